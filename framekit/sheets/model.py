"""What the sheets stage hands on: placed, labelled and ordered parts on stock."""

from __future__ import annotations

from dataclasses import dataclass

from framekit.geometry.path import Outline, Path
from framekit.parts.model import Part, Parts


@dataclass(frozen=True)
class Placement:
    """A part on a sheet: turned by `rotation` degrees about its own origin, then moved by x, y mm.

    `label` holds the strokes of the part's label in the part's own axes, mm.
    """

    part: Part
    x: float
    y: float
    rotation: float
    label: tuple[Path, ...] = ()

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
    """One sheet: size in mm, placements in cutting order, and what it costs.

    `used_length` and `used_width` in mm are the extent of the parts plus the margins at the
    origin's side; `cut_length` in mm; `seconds` is an estimate at the spec's speeds.
    """

    id: str
    width: float
    height: float
    placements: tuple[Placement, ...]
    used_length: float
    used_width: float
    cut_length: float
    seconds: float


@dataclass(frozen=True)
class Sheets:
    """All sheets, the parts they hold, and how the layout was found: reused, and why or why not."""

    parts: Parts
    sheets: tuple[Sheet, ...]
    nester: str
    reused: bool = False
    why: str = "new"
