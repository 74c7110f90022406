"""Few plain parts in rows on one sheet, in the order they come in: a coupon, not a nest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from framekit.errors import Fault, NestError
from framekit.parts.model import FrameParts, Part, Parts
from framekit.sheets.check import find_faults
from framekit.sheets.finish import Finish
from framekit.sheets.model import Placement, Sheets
from framekit.sheets.protocol import NestItem, NestJob, NestResult, Place
from framekit.sheets.route.tour import plan_runs
from framekit.sheets.stock.supply import Board
from framekit.solution.fitting import margin_of, spacing_of, stock_size

NESTER = "rows"


def lay_in_rows(parts: Parts, sheet_id: str) -> Sheets:
    """All parts of the first frame on one sheet, row upon row, no row longer than the first part.

    Rows start at the sheet's origin, so an offcut will do. Parts are no nearer than the spec's
    spacing, and than two kerfs. Each part's pose becomes its place. Raises NestError when the
    sheet is too small.
    """
    (made,) = parts.frames
    frame = made.solution
    kerf = frame.value("cutter.kerf")
    width, height = stock_size(frame.spec)
    margin = max(margin_of(frame.spec), kerf)
    gap = max(spacing_of(frame.spec), 2 * kerf)
    lying, corners = _best(made.parts, width, height, margin, gap)
    job = NestJob(
        tuple(NestItem(p.id, p.outline.outer.polygon_around) for p in made.parts),
        width,
        height,
        margin,
        gap,
        "sheets",
    )
    turn = 0.0 if lying else 90.0
    places = tuple(Place(n, 0, x, y, turn) for n, (x, y) in enumerate(corners))
    faults = find_faults(job, NestResult((places,)))
    if faults:
        raise NestError(
            Fault(
                "coupon-too-large",
                f"the coupon does not go on a sheet of {width:g} × {height:g} mm: {faults[0]}",
                frame.spec.where("sheet"),
                "Ask for fewer slots or fewer strips.",
            )
        )
    posed = tuple(_posed(part, place) for part, place in zip(made.parts, places, strict=True))
    placements = tuple(
        Placement(part, at.x, at.y, at.rotation) for part, at in zip(posed, places, strict=True)
    )
    sheet = Finish(parts).sheet(
        sheet_id,
        (posed[0].material, posed[0].thickness),
        Board(width, height, price=frame.spec.sheet.price),
        margin,
        placements,
        plan_runs(placements),
    )
    return Sheets(replace(parts, frames=(FrameParts(frame, posed),)), (sheet,), NESTER)


def _best(
    parts: Sequence[Part], width: float, height: float, margin: float, gap: float
) -> tuple[bool, list[tuple[float, float]]]:
    """Whether the rows run along the sheet's length, and where each part's origin goes, mm."""
    sizes = [part.outline.outer.bounds[2:] for part in parts]
    corners, (long, high) = _rows(sizes, gap)
    lies = long <= width - 2 * margin and high <= height - 2 * margin
    if lies or not (high <= width - 2 * margin and long <= height - 2 * margin):
        return True, [(margin + x, margin + y) for x, y in corners]
    # Turned by a quarter about its origin, a part reaches to the left of it.
    return False, [(margin + high - y, margin + x) for x, y in corners]


def _rows(
    sizes: Sequence[tuple[float, float]], gap: float
) -> tuple[list[tuple[float, float]], tuple[float, float]]:
    """The lower left corner of each part, and the extent of all, mm."""
    longest = sizes[0][0]
    corners: list[tuple[float, float]] = []
    x = y = deep = 0.0
    for long, high in sizes:
        if x > 0 and x + long > longest + 1e-9:
            x, y, deep = 0.0, y + deep + gap, 0.0
        corners.append((x, y))
        x += long + gap
        deep = max(deep, high)
    return corners, (max(longest, *(s[0] for s in sizes)), y + deep)


def _posed(part: Part, place: Place) -> Part:
    """The part lying flat at its place on the sheet."""
    c, s = (1.0, 0.0) if place.rotation == 0 else (0.0, 1.0)
    return replace(
        part,
        pose=(
            (c, -s, 0.0, place.x),
            (s, c, 0.0, place.y),
            (0.0, 0.0, 1.0, 0.0),
            (0.0, 0.0, 0.0, 1.0),
        ),
    )
