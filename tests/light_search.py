"""A short search for layouts, for tests of what stands around nesting."""

from __future__ import annotations

import pytest

from framekit.sheets.nest.quick.packing import Effort
from framekit.sheets.stock import filling

MOVES, POINTS, ROUNDS = 60, 4000, 2
"""Of the nester `quick`: a layout as legal as any, in a third of the time, and a little longer."""
CELLS, TURN = 100, 45.0
"""Of what fills leftovers: cells along the longer side of a board, degrees between turns."""


@pytest.fixture(autouse=True, scope="module")
def light_search(request):
    """Little is tried for a layout, but where nesting itself is what is tested."""
    if "nest" in request.path.parts:
        yield
        return
    with pytest.MonkeyPatch.context() as patch:
        start = Effort.__init__
        patch.setattr(start, "__defaults__", (MOVES, POINTS, ROUNDS))
        patch.setattr(filling, "CELLS", CELLS)
        patch.setattr(filling, "STEP", TURN)
        yield
