"""Parts → Sheets: nested on stock, labelled, in cutting order, with time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

from framekit.errors import Fault, NestError
from framekit.geometry import path as geometry
from framekit.parts.model import Part, Parts
from framekit.plugins import NESTERS, load
from framekit.sheets.estimate import Pace, pace_of, seconds_for
from framekit.sheets.jobs import StockJob, make_jobs
from framekit.sheets.labels import Rooms, place_label
from framekit.sheets.layout import StockLayout, layout_text, read_layouts, rounded
from framekit.sheets.legality import find_faults
from framekit.sheets.model import Placement, Sheet, Sheets
from framekit.sheets.order import cutting_order
from framekit.sheets.protocol import Nester, NestJob, NestProgress, NestResult, Place

Progress = Callable[[NestProgress], None]


class Nested(NamedTuple):
    """The sheets, and the text of the layout file that gives them again."""

    sheets: Sheets
    layout: str


class _Laid(NamedTuple):
    """Where the parts of one stock lie, whether as they did before, and why or why not."""

    result: NestResult
    reused: bool
    why: str


def nest_parts(
    parts: Parts,
    nester: str = "quick",
    kept: Path | None = None,
    again: bool = False,
    progress: Progress | None = None,
) -> Nested:
    """The parts on as few sheets as the nester finds, in the stock's length order.

    Each stock is nested by itself, the ribs' first, and the sheets are numbered through. `kept` is
    a layout file to use for the stocks whose parts it fits; `again` nests anew all the same and
    keeps the old layout where the new one is not shorter. Raises NestError when a part does not
    go on the sheet or a layout is illegal, UnknownNameError for an unknown nester.
    """
    jobs = make_jobs(parts)
    engine: Nester = load(NESTERS, nester)
    old = (None,) * len(jobs) if kept is None else read_layouts(kept, [j.job for j in jobs], nester)
    stale = kept is not None and kept.exists()
    laid = tuple(
        _lay(stock.job, engine, before, again, stale, _share(progress, number, len(jobs)))
        for number, (stock, before) in enumerate(zip(jobs, old, strict=True))
    )
    faults = [
        text
        for stock, found in zip(jobs, laid, strict=True)
        for text in find_faults(stock.job, found.result)
    ]
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
    pairs = tuple(zip(jobs, laid, strict=True))
    sheets = Sheets(
        parts,
        _sheets(parts, [(stock, found.result) for stock, found in pairs]),
        nester,
        all(found.reused for found in laid),
        _why([(stock.stock, found.why) for stock, found in pairs]),
    )
    layouts = [StockLayout(stock.stock, stock.job, found.result) for stock, found in pairs]
    return Nested(sheets, layout_text(layouts, nester))


def _lay(
    job: NestJob,
    engine: Nester,
    old: NestResult | None,
    again: bool,
    stale: bool,
    progress: Progress | None,
) -> _Laid:
    """The layout of one stock; `stale` says that a layout file is there, for these parts or not."""
    if old is not None and find_faults(job, old):
        old = None
    if old is not None and not again:
        return _Laid(old, True, "used again")
    result = rounded(engine.nest(job, progress))
    if old is not None and _cost(job, old) <= _cost(job, result):
        return _Laid(old, True, "used again")
    why = "new"
    if old is not None:
        why = "new, and better than the one kept"
    elif stale:
        why = "new, since the parts, the sheet or the settings have changed"
    return _Laid(result, False, why)


def _share(progress: Progress | None, number: int, count: int) -> Progress | None:
    """The progress of one job among several: those before it are done, those after it are not."""
    if progress is None or count == 1:
        return progress

    def forward(state: NestProgress) -> None:
        total = max(state.total, 1)  # a job may have no passes
        done = number * total + state.done
        progress(NestProgress(done, count * total, state.best, state.note))

    return forward


def _why(reasons: Sequence[tuple[str, str]]) -> str:
    """One reason where all stocks have the same, else each stock with its own."""
    if len({why for _, why in reasons}) == 1:
        return reasons[0][1]
    return "; ".join(f"{stock}: {why}" for stock, why in reasons)


def _cost(job: NestJob, result: NestResult) -> tuple[int, float]:
    last = result.sheets[-1]
    return (len(result.sheets), max(_right_edge(job, place) for place in last))


def _right_edge(job: NestJob, place: Place) -> float:
    c, s = geometry.cosine_sine(place.rotation)
    return max(c * x - s * y for x, y in job.items[place.item].outer) + place.x


def _sheets(parts: Parts, laid: Iterable[tuple[StockJob, NestResult]]) -> tuple[Sheet, ...]:
    pace = pace_of(parts.frames[0].solution.spec.cutter.speed)
    labels: dict[tuple[str, str], tuple[geometry.Path, ...]] = {}
    rooms: Rooms = {}
    sheets: list[Sheet] = []
    for stock, result in laid:
        for places in result.sheets:
            placed = []
            for place in places:
                part = stock.groups[place.item][place.copy]
                name = (part.frame, part.id)
                if name not in labels:
                    keep_clear = (*part.marks, *part.crossings)
                    labels[name] = place_label(label_text(part), part.outline, keep_clear, rooms)
                placed.append(Placement(part, place.x, place.y, place.rotation, labels[name]))
            sheets.append(_sheet(len(sheets) + 1, stock, cutting_order(placed), pace))
    return tuple(sheets)


def _sheet(number: int, stock: StockJob, ordered: tuple[Placement, ...], pace: Pace) -> Sheet:
    bounds = [p.outline.outer.bounds for p in ordered]
    return Sheet(
        id=f"sheet-{number}",
        width=stock.job.width,
        height=stock.job.height,
        placements=ordered,
        used_length=max(b[2] for b in bounds) + stock.job.margin,
        used_width=max(b[3] for b in bounds) + stock.job.margin,
        cut_length=sum(p.outline.length for p in ordered),
        seconds=seconds_for([pair for p in ordered for pair in _paths(p)], pace),
        material=stock.material,
        thickness=stock.thickness,
        price=stock.price,
    )


def label_text(part: Part) -> str:
    """What is engraved on a part: the frame's id, and its kind's initial with its number."""
    kind, _, number = part.id.partition("-")
    return f"{part.frame} {kind[0].upper()}{number}"


def _paths(placement: Placement) -> list[tuple[geometry.Path, bool]]:
    outline = placement.outline
    marks = [(mark, True) for mark in placement.marks]
    cuts = [(path, False) for path in (*outline.holes, outline.outer)]
    return [*marks, *cuts]
