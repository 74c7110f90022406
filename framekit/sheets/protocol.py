"""What a nester gets and gives: polygons and a sheet in, placements out.

A nester knows nothing of ribs, discs or frames. It gets closed outlines in mm and says how far
each one is turned and moved. The sheet's origin is its lower left corner, x runs along its
length, y up.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

Point = tuple[float, float]
Objective = Literal["length", "sheets"]


@dataclass(frozen=True)
class NestItem:
    """One kind of part to place `copies` times: outline and holes in mm, y up, not repeated.

    `key` names the part in messages. The origin of the coordinates is the part's own; it may lie
    outside the outline.
    """

    key: str
    outer: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()
    copies: int = 1

    @property
    def area(self) -> float:
        """The area in mm², holes taken off."""
        return ring_area(self.outer) - math.fsum(ring_area(hole) for hole in self.holes)


def ring_area(ring: Sequence[Point]) -> float:
    """Return the area in mm² inside a ring of points, whichever way it runs.

    >>> ring_area(((0.0, 0.0), (3.0, 0.0), (3.0, 2.0)))
    3.0
    """
    pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
    return abs(math.fsum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2


@dataclass(frozen=True)
class NestJob:
    """The items and the sheet they go on; all lengths in mm.

    `width` is the sheet's length along x and `height` its height along y. No part comes nearer
    than `margin` to the sheet's edge, nor nearer than `spacing` to another part. Objective
    `length` asks for the least total length used over all sheets; `sheets` for the fewest
    sheets, then the least length used on the last one. `seconds` is how long a nester that
    searches by the clock may take, None for its own choice; others take no notice.
    """

    items: tuple[NestItem, ...]
    width: float
    height: float
    margin: float = 0.0
    spacing: float = 0.0
    objective: Objective = "length"
    seconds: float | None = None


@dataclass(frozen=True)
class Place:
    """Where one copy lies: turned by `rotation` degrees ccw about its origin, then moved by x, y.

    `item` counts the job's items and `copy` the copies of that item, both from 0; `x` and `y`
    are mm from the sheet's lower left corner.
    """

    item: int
    copy: int
    x: float
    y: float
    rotation: float


@dataclass(frozen=True)
class NestResult:
    """The placements of every copy, one tuple a sheet.

    `notes` are what people should know of how they were found, in words; `stopped` tells that the
    user ended the search.
    """

    sheets: tuple[tuple[Place, ...], ...]
    notes: tuple[str, ...] = ()
    stopped: bool = False


@dataclass(frozen=True)
class NestProgress:
    """How far a nester is: `done` of `total` passes, the best length in mm so far, and a note."""

    done: int
    total: int
    best: float | None
    note: str


Progress = Callable[[NestProgress], None]
"""Gets how far a nester is, now and then."""


class Nester(Protocol):
    """The contract of a nester: a name and one function."""

    @property
    def name(self) -> str:
        """The name it is registered under."""
        ...

    def nest(self, job: NestJob, progress: Progress | None = None) -> NestResult:
        """A legal layout of every copy in the job.

        `progress` is called now and then; it does not change the layout.

        Raises:
            NestError: A part cannot lie on the sheet at any rotation, or no legal layout came out.
        """
        ...
