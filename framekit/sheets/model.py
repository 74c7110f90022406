"""What the sheets stage hands on: placed, labelled and ordered parts on stock."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from framekit.geometry.path import Outline, Path, Point, cosine_sine
from framekit.parts.model import Part, Parts


def stock_text(material: str, thickness: float) -> str:
    """A material and a thickness in mm as people read them.

    >>> stock_text("birch-plywood", 3.05)
    'birch-plywood 3.05 mm'
    """
    return f"{material} {thickness:.4g} mm"


class Run(NamedTuple):
    """One path the machine runs: of which placement, for what, which one, and from where.

    `operation` is `mark`, `inside` or `outside`; `path` counts the placement's marks or holes.
    `start` is the point in mm on the sheet at or nearest to which it starts, the middle of a
    bridge where the path has some. A `backward` mark is run from its end.
    """

    placement: int
    operation: str
    path: int
    start: Point
    backward: bool = False


@dataclass(frozen=True)
class Placement:
    """A part on a sheet: turned by `rotation` degrees about its own origin, then moved by x, y mm.

    `label` holds the strokes of the part's label in the part's own axes, mm. `bridges` has the
    middles of the bridges of each hole, then of the outline, in the part's own axes, mm; empty
    where none are wanted.
    """

    part: Part
    x: float
    y: float
    rotation: float
    label: tuple[Path, ...] = ()
    bridges: tuple[tuple[Point, ...], ...] = ()

    @property
    def bridge_middles(self) -> tuple[tuple[Point, ...], ...]:
        """The middles of the bridges on the sheet, mm, of each hole and of the outline."""
        c, s = cosine_sine(self.rotation)
        return tuple(
            tuple((c * x - s * y + self.x, s * x + c * y + self.y) for x, y in points)
            for points in self.bridges
        )

    @property
    def outline(self) -> Outline:
        """The finished outline on the sheet, mm, origin at the sheet's lower left corner."""
        return self.part.outline.moved(self.rotation, self.x, self.y)

    @property
    def marks(self) -> tuple[Path, ...]:
        """The marks and the label on the sheet, mm."""
        return tuple(
            p.moved(self.rotation, self.x, self.y) for p in (*self.part.marks, *self.label)
        )


@dataclass(frozen=True)
class Sheet:
    """One sheet: size and thickness in mm, placements as they come free, and what it costs.

    `used_length` and `used_width` in mm are the extent of the parts plus the margins at the
    origin's side. `price` is that of the whole sheet with its currency, None where it is not
    known. `outline` has a leftover's corners, (n, 2) in mm, None for a whole sheet, and `area`
    its mm². `runs` are all paths in order, `gap` what bridges leave of a cut in mm. `cut_length`,
    `mark_length` and `travel` in mm, `pierces` and `seconds` are estimates at the spec's speeds.
    """

    id: str
    width: float
    height: float
    placements: tuple[Placement, ...]
    used_length: float
    used_width: float
    cut_length: float
    seconds: float
    material: str
    thickness: float
    price: tuple[float, str] | None = None
    outline: tuple[Point, ...] | None = None
    area: float = 0.0
    runs: tuple[Run, ...] = ()
    gap: float = 0.0
    pierces: int = 0
    mark_length: float = 0.0
    travel: float = 0.0

    @property
    def stock(self) -> str:
        """Material and thickness as people read them."""
        return stock_text(self.material, self.thickness)

    @property
    def part_area(self) -> float:
        """The area of all parts in mm²."""
        return math.fsum(p.part.outline.area for p in self.placements)


@dataclass(frozen=True)
class Shortage:
    """The parts of one stock that found no place, and the sheets more that they would take.

    `more` counts sheets of `size`, length and width in mm.
    """

    stock: str
    parts: tuple[Part, ...]
    more: int
    size: tuple[float, float]

    @property
    def text(self) -> str:
        """What is missing, in a sentence without its end."""
        names = ", ".join(f"{part.frame}/{part.id}" for part in self.parts[:NAMED])
        rest = len(self.parts) - NAMED
        if rest > 0:
            names += f" and {rest} more"
        count = "1 part" if len(self.parts) == 1 else f"{len(self.parts)} parts"
        sheets = "1 sheet" if self.more == 1 else f"{self.more} sheets"
        return (
            f"the {self.stock} at hand runs out: {count} found no place ({names}); it takes "
            f"{sheets} of {self.size[0]:g} × {self.size[1]:g} mm more"
        )


NAMED = 40
"""Parts named in one sentence."""


@dataclass(frozen=True)
class Sheets:
    """All sheets, the parts they hold, and how the layout was found: reused, and why or why not.

    `short` says which parts found no place on the sheets at hand. `despite_failures` is whoever
    takes it upon himself saying that files may be made of sheets that would be refused otherwise.
    """

    parts: Parts
    sheets: tuple[Sheet, ...]
    nester: str
    reused: bool = False
    why: str = "new"
    short: tuple[Shortage, ...] = ()
    despite_failures: bool = False
