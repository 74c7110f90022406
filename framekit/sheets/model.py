"""What the sheets stage hands on: placed, labelled and ordered parts on stock."""

from __future__ import annotations

from dataclasses import dataclass

from framekit.geometry.path import Outline, Path
from framekit.parts.model import Part, Parts


def stock_text(material: str, thickness: float) -> str:
    """A material and a thickness in mm as people read them.

    >>> stock_text("birch-plywood", 3.05)
    'birch-plywood 3.05 mm'
    """
    return f"{material} {thickness:.4g} mm"


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
    """One sheet: size and thickness in mm, placements in cutting order, and what it costs.

    `used_length` and `used_width` in mm are the extent of the parts plus the margins at the
    origin's side; `cut_length` in mm; `seconds` is an estimate at the spec's speeds. `price` is
    that of a whole sheet with its currency, None where it is not known.
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

    @property
    def stock(self) -> str:
        """Material and thickness as people read them."""
        return stock_text(self.material, self.thickness)


@dataclass(frozen=True)
class Sheets:
    """All sheets, the parts they hold, and how the layout was found: reused, and why or why not."""

    parts: Parts
    sheets: tuple[Sheet, ...]
    nester: str
    reused: bool = False
    why: str = "new"
