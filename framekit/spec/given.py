"""A number the solver starts from."""

from __future__ import annotations

from typing import Literal, NamedTuple

from framekit.errors import Where
from framekit.spec.measure import Measure

Origin = Literal["given", "default", "catalogue", "derived"]
"""Where a number comes from."""


class Given(NamedTuple):
    """A number to start from; lengths in mm. `note` says where a default or row comes from."""

    name: str
    measure: Measure
    origin: Origin
    where: Where
    note: str = ""
