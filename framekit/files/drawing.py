"""What is drawn on each sheet, before any file format: paths, what each is for, and their order."""

from __future__ import annotations

from dataclasses import dataclass

from framekit.errors import Fault, GeometryError
from framekit.files.settings import CutSettings
from framekit.geometry.offset import offset_outline
from framekit.geometry.path import Outline, Path
from framekit.parts.model import Part
from framekit.sheets.model import Sheet, Sheets


@dataclass(frozen=True)
class Operation:
    """One path on the sheet in mm, y up, and what it is for: `mark`, `inside` or `outside`."""

    name: str
    path: Path


@dataclass(frozen=True)
class DrawnPart:
    """One part on a sheet: marks first, then its holes, then its outline, which frees it."""

    id: str
    frame: str
    title: str
    operations: tuple[Operation, ...]


@dataclass(frozen=True)
class DrawnSheet:
    """One sheet of width × height mm and its parts in cutting order; `stock` says what it is."""

    id: str
    stock: str
    width: float
    height: float
    parts: tuple[DrawnPart, ...]


def draw_sheets(sheets: Sheets, settings: CutSettings) -> tuple[DrawnSheet, ...]:
    """The paths to cut on each sheet, outlines moved outward by half the kerf if the file does it.

    Raises:
        GeometryError: a part has a feature too fine for the kerf.
    """
    # Equal outlines, such as a frame's ribs, are moved once.
    moved: dict[Outline, Outline] = {}
    return tuple(
        DrawnSheet(
            sheet.id,
            sheet.stock,
            sheet.width,
            sheet.height,
            _parts(sheet, settings.offset, moved),
        )
        for sheet in sheets.sheets
    )


def _parts(sheet: Sheet, offset: float, moved: dict[Outline, Outline]) -> tuple[DrawnPart, ...]:
    drawn = []
    for placement in sheet.placements:
        part = placement.part
        if part.outline not in moved:
            moved[part.outline] = _moved(part, offset)
        outline = moved[part.outline].moved(placement.rotation, placement.x, placement.y)
        operations = (
            *(Operation("mark", path) for path in placement.marks),
            *(Operation("inside", path) for path in outline.holes),
            Operation("outside", outline.outer),
        )
        drawn.append(DrawnPart(part.id, part.frame, part.title, operations))
    return tuple(drawn)


def _moved(part: Part, offset: float) -> Outline:
    if offset == 0.0:
        return part.outline
    try:
        return offset_outline(part.outline, offset)
    except GeometryError as error:
        raise GeometryError(
            Fault(
                "kerf",
                f"Part {part.id} of {part.frame} has a feature too fine for a kerf of "
                f"{2 * offset:.4g} mm. {error.message}",
                part.origin,
                error.hint,
            )
        ) from error
