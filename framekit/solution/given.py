"""A number the solver starts from."""

from __future__ import annotations

from typing import NamedTuple

from framekit.errors import Where
from framekit.solution.model import Origin
from framekit.spec.measure import Measure


class Given(NamedTuple):
    """A number to start from; lengths in mm. `note` says where a default or row comes from."""

    name: str
    measure: Measure
    origin: Origin
    where: Where
    note: str = ""
