"""Parts → Sheets: nested on stock, labelled, in cutting order, with time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from framekit.errors import Fault, NestError
from framekit.geometry import path as geometry
from framekit.parts.model import Part, Parts
from framekit.plugins import NESTERS, load
from framekit.sheets.estimate import pace_of, seconds_for
from framekit.sheets.labels import Rooms, place_label
from framekit.sheets.layout import layout_text, read_layout, rounded
from framekit.sheets.legality import find_faults
from framekit.sheets.model import Placement, Sheet, Sheets
from framekit.sheets.order import cutting_order
from framekit.sheets.protocol import Nester, NestItem, NestJob, NestProgress, NestResult, Place
from framekit.solution.fitting import margin_of, spacing_of, stock_size

Progress = Callable[[NestProgress], None]


class Nested(NamedTuple):
    """The sheets, and the text of the layout file that gives them again."""

    sheets: Sheets
    layout: str


def nest_parts(
    parts: Parts,
    nester: str = "quick",
    kept: Path | None = None,
    again: bool = False,
    progress: Progress | None = None,
) -> Nested:
    """The parts on as few sheets as the nester finds, in the stock's length order.

    `kept` is a layout file to use while it fits these parts; `again` nests anew all the same and
    keeps the old layout where the new one is not shorter. Raises NestError when a part does not
    go on the sheet or a layout is illegal, UnknownNameError for an unknown nester.
    """
    groups = _groups(parts)
    job = make_job(parts, groups)
    engine: Nester = load(NESTERS, nester)
    old = read_layout(kept, job, nester) if kept is not None else None
    if old is not None and find_faults(job, old):
        old = None
    reused = old is not None and not again
    if reused and old is not None:
        result = old
    else:
        result = rounded(engine.nest(job, progress))
        if old is not None and _cost(job, old) <= _cost(job, result):
            result, reused = old, True
    faults = find_faults(job, result)
    if faults:
        raise NestError(
            *(
                Fault(
                    "layout-illegal",
                    text,
                    hint=f"The nester '{nester}' gave an illegal layout; use another or report it.",
                )
                for text in faults
            )
        )
    why = "used again" if reused else "new"
    if not reused and kept is not None and kept.exists():
        why = "new, since the parts, the sheet or the settings have changed"
        why = "new, and better than the one kept" if old is not None else why
    sheets = Sheets(parts, _sheets(parts, groups, job, result), nester, reused, why)
    return Nested(sheets, layout_text(job, result, nester))


def _groups(parts: Parts) -> tuple[tuple[Part, ...], ...]:
    """Parts with one outline, in order: the copies a nester may exchange."""
    groups: dict[geometry.Outline, list[Part]] = {}
    for part in parts.all:
        groups.setdefault(part.outline, []).append(part)
    return tuple(tuple(group) for group in groups.values())


def make_job(parts: Parts, groups: Sequence[Sequence[Part]]) -> NestJob:
    """The nester's job for groups of equal parts."""
    frame = parts.frames[0].solution.spec
    width, height = stock_size(frame)
    items = tuple(
        NestItem(
            key=f"{group[0].frame}/{group[0].id}",
            outer=group[0].outline.outer.polygon_around,
            holes=tuple(hole.polyline for hole in group[0].outline.holes),
            copies=len(group),
        )
        for group in groups
    )
    return NestJob(items, width, height, margin_of(frame), spacing_of(frame), "sheets")


def _cost(job: NestJob, result: NestResult) -> tuple[int, float]:
    last = result.sheets[-1]
    return (len(result.sheets), max(_right_edge(job, place) for place in last))


def _right_edge(job: NestJob, place: Place) -> float:
    c, s = geometry.cosine_sine(place.rotation)
    return max(c * x - s * y for x, y in job.items[place.item].outer) + place.x


def _sheets(
    parts: Parts, groups: Sequence[Sequence[Part]], job: NestJob, result: NestResult
) -> tuple[Sheet, ...]:
    pace = pace_of(parts.frames[0].solution.spec.cutter.speed)
    labels: dict[tuple[str, str], tuple[geometry.Path, ...]] = {}
    rooms: Rooms = {}
    sheets = []
    for number, places in enumerate(result.sheets, 1):
        placed = []
        for place in places:
            part = groups[place.item][place.copy]
            name = (part.frame, part.id)
            if name not in labels:
                keep_clear = (*part.marks, *part.crossings)
                labels[name] = place_label(label_text(part), part.outline, keep_clear, rooms)
            placed.append(Placement(part, place.x, place.y, place.rotation, labels[name]))
        ordered = cutting_order(placed)
        paths = [pair for placement in ordered for pair in _paths(placement)]
        bounds = [p.outline.outer.bounds for p in ordered]
        sheets.append(
            Sheet(
                id=f"sheet-{number}",
                width=job.width,
                height=job.height,
                placements=ordered,
                used_length=max(b[2] for b in bounds) + job.margin,
                used_width=max(b[3] for b in bounds) + job.margin,
                cut_length=sum(p.outline.length for p in ordered),
                seconds=seconds_for(paths, pace),
            )
        )
    return tuple(sheets)


def label_text(part: Part) -> str:
    """What is engraved on a part: the frame's id, and R or D with the part's number."""
    kind, _, number = part.id.partition("-")
    return f"{part.frame} {kind[0].upper()}{number}"


def _paths(placement: Placement) -> list[tuple[geometry.Path, bool]]:
    outline = placement.outline
    marks = [(mark, True) for mark in placement.marks]
    cuts = [(path, False) for path in (*outline.holes, outline.outer)]
    return [*marks, *cuts]
