"""What is drawn on each sheet, before any file format: paths, what each is for, and their order."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from framekit.errors import Fault, GeometryError
from framekit.files.release import refuse_unfit
from framekit.files.settings import CutSettings
from framekit.geometry.offset import offset_outline
from framekit.geometry.path import Outline, Path
from framekit.parts.model import Part
from framekit.sheets.model import Sheet, Sheets
from framekit.sheets.route.cuts import plain_runs
from framekit.sheets.route.runs import run_paths


@dataclass(frozen=True)
class Operation:
    """One path on the sheet in mm, y up, and what it is for: `mark`, `inside` or `outside`."""

    name: str
    path: Path


@dataclass(frozen=True)
class DrawnPart:
    """What is run of one part in one go: its marks, or its cuts, or some of either."""

    id: str
    frame: str
    title: str
    operations: tuple[Operation, ...]


@dataclass(frozen=True)
class DrawnSheet:
    """One sheet of width × height mm and what is run on it in order; `stock` says what it is.

    A part comes more than once where its marks and cuts are not run in one go. `count` is the
    number of parts, `bridges` whether cuts have gaps for bridges; `outline` has the corners of a
    leftover in mm.
    """

    id: str
    stock: str
    width: float
    height: float
    parts: tuple[DrawnPart, ...]
    count: int
    bridges: bool = False
    outline: tuple[tuple[float, float], ...] | None = None


def draw_sheets(sheets: Sheets, settings: CutSettings) -> tuple[DrawnSheet, ...]:
    """The paths to cut on each sheet, outlines moved outward by half the kerf if the file does it.

    All marks of a sheet come before its cuts; bridges are gaps in the cuts. Raises BuildError or
    StockError where the sheets are not fit to be cut, as in `refuse_unfit`, and GeometryError where
    a part has a feature too fine for the kerf.
    """
    refuse_unfit(sheets)
    # Equal outlines, such as a frame's ribs, are moved once.
    moved: dict[tuple[Outline, float], Outline] = {}
    return tuple(
        DrawnSheet(
            sheet.id,
            sheet.stock,
            sheet.width,
            sheet.height,
            _parts(sheet, settings, moved),
            len(sheet.placements),
            any(placement.bridges for placement in sheet.placements),
            sheet.outline,
        )
        for sheet in sheets.sheets
    )


def _parts(
    sheet: Sheet, settings: CutSettings, moved: dict[tuple[Outline, float], Outline]
) -> tuple[DrawnPart, ...]:
    outlines = []
    for placement in sheet.placements:
        part = placement.part
        key = (part.outline, settings.offset_of(part))
        if key not in moved:
            moved[key] = _moved(part, key[1])
        outlines.append(moved[key].moved(placement.rotation, placement.x, placement.y))
    marks = [placement.marks for placement in sheet.placements]
    middles = [placement.bridge_middles for placement in sheet.placements]
    drawn = []
    runs = sheet.runs or plain_runs(sheet.placements)
    for (number, _), group in groupby(runs, lambda r: (r.placement, r.operation == "mark")):
        part = sheet.placements[number].part
        operations = tuple(
            Operation(run.operation, path)
            for run in group
            for path in run_paths(run, outlines[number], marks[number], middles[number], sheet.gap)
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
