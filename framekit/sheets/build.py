"""Parts → Sheets: nested on stock, labelled, in cutting order, with time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

from framekit.errors import Fault, NestError
from framekit.geometry import path as geometry
from framekit.parts.model import Parts
from framekit.plugins import NESTERS, load
from framekit.sheets.check import find_faults
from framekit.sheets.finish import Finish
from framekit.sheets.layout import StockLayout, layout_text, read_layouts, rounded
from framekit.sheets.model import Sheet, Sheets, Shortage
from framekit.sheets.protocol import Nester, NestProgress, Place, Progress
from framekit.sheets.route.tour import plan_runs
from framekit.sheets.stock.assignment import StockAssignment, assign_densely
from framekit.sheets.stock.group_nesting import nest_groups
from framekit.sheets.stock.jobs import StockJob, make_jobs
from framekit.sheets.stock.timed_nester import TimedNester


class Nested(NamedTuple):
    """The sheets, and the text of the layout file that gives them again."""

    sheets: Sheets
    layout: str


class _StockResult(NamedTuple):
    """Where the parts of one stock lie, whether as they did before, and why or why not."""

    found: StockAssignment
    reused: bool
    why: str


def nest_parts(
    parts: Parts,
    nester: str = "quick",
    kept: Path | None = None,
    again: bool = False,
    progress: Progress | None = None,
    seconds: float | None = None,
) -> Nested:
    """The parts on as few sheets as the nester finds, in the stock's length order.

    Each stock is nested by itself, the ribs' first, and the sheets are numbered through. `kept` is
    a layout file to use for the stocks whose parts it fits; `again` nests anew all the same and
    keeps the old layout where the new one is not shorter. Where the sheets at hand run out, the
    rest is laid and `short` says what is missing. `seconds` is how long a nester that searches by
    the clock may take for each layout: one for a stock, or for a frame that is kept together; once
    the user ends its search, the later ones get no time. Raises NestError when a part does not go
    on the sheet, a bridge on no edge, or a layout is illegal, StockError when the list of sheets
    at hand is no use, and UnknownNameError for an unknown nester.
    """
    jobs = make_jobs(parts)
    engine = TimedNester(load(NESTERS, nester), seconds)
    old = (None,) * len(jobs) if kept is None else read_layouts(kept, jobs, nester)
    stale = kept is not None and kept.exists()
    laid = tuple(
        _lay(stock, engine, before, again, stale, _share(progress, number, len(jobs)))
        for number, (stock, before) in enumerate(zip(jobs, old, strict=True))
    )
    faults = [
        text for stock, lay in zip(jobs, laid, strict=True) for text in faults_of(stock, lay.found)
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
        _sheets(parts, [(stock, lay.found) for stock, lay in pairs]),
        nester,
        all(lay.reused for lay in laid),
        _why([(stock.stock, lay.why) for stock, lay in pairs]),
        tuple(_shortage(parts, stock, lay.found) for stock, lay in pairs if lay.found.missing),
    )
    layouts = [StockLayout(stock, lay.found) for stock, lay in pairs]
    return Nested(sheets, layout_text(layouts, nester))


def faults_of(stock: StockJob, found: StockAssignment) -> tuple[str, ...]:
    """Sentences on all that is wrong with a stock's layout; none when it is legal."""
    if stock.plain:
        return find_faults(stock.job, found.result)
    outlines = [stock.boards[kind].corners for kind in found.boards]
    faults = find_faults(stock.job, found.result, outlines, frozenset(found.missing))
    many = [
        f"{found.boards.count(k)} sheets of a kind are used, and {board.count} are at hand."
        for k, board in enumerate(stock.boards)
        if board.count is not None and found.boards.count(k) > board.count
    ]
    return (*faults, *many)


def _shortage(parts: Parts, stock: StockJob, found: StockAssignment) -> Shortage:
    missing = tuple(stock.groups[item][copy] for item, copy in found.missing)
    return Shortage(stock.stock, missing, found.more, (stock.job.width, stock.job.height))


def _lay(
    stock: StockJob,
    engine: TimedNester,
    old: StockAssignment | None,
    again: bool,
    stale: bool,
    progress: Progress | None,
) -> _StockResult:
    """The layout of one stock; `stale` says that a layout file is there, for these parts or not."""
    if old is not None and faults_of(stock, old):
        old = None
    if old is not None and not again:
        return _StockResult(old, True, "used again")
    found = rounded(_assigned(stock, engine, progress))
    if old is not None and _cost(stock, old) <= _cost(stock, found):
        return _StockResult(old, True, engine.with_notes("used again"))
    why = "new"
    if old is not None:
        why = "new, and better than the one kept"
    elif stale:
        why = "new, since the parts, the sheet or the settings have changed"
    return _StockResult(found, False, engine.with_notes(why))


def _assigned(stock: StockJob, engine: Nester, progress: Progress | None) -> StockAssignment:
    if stock.grouped:
        quick: Nester = load(NESTERS, "quick")
        return nest_groups(stock.job, stock.boards, stock.frame_copies, engine, quick, progress)
    return assign_densely(stock.job, stock.boards, engine, progress)


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


def _cost(stock: StockJob, found: StockAssignment) -> tuple[int, float, float]:
    """What is wanted least of: parts without a place, the area of sheets, the last one's length."""
    last = found.result.sheets[-1] if found.result.sheets else ()
    area = sum(stock.boards[kind].area for kind in found.boards)
    return (len(found.missing), area, max((_right_edge(stock, p) for p in last), default=0.0))


def _right_edge(stock: StockJob, place: Place) -> float:
    c, s = geometry.cosine_sine(place.rotation)
    return max(c * x - s * y for x, y in stock.job.items[place.item].outer) + place.x


def _sheets(parts: Parts, laid: Iterable[tuple[StockJob, StockAssignment]]) -> tuple[Sheet, ...]:
    finish = Finish(parts)
    sheets: list[Sheet] = []
    for stock, found in laid:
        for kind, places in zip(found.boards, found.result.sheets, strict=True):
            placed = [
                finish.placement(stock.groups[place.item][place.copy], place) for place in places
            ]
            runs = plan_runs(placed)
            # The parts stand in the order in which they come free, and the runs count them so.
            order = [run.placement for run in runs if run.operation == "outside"]
            at = {old: new for new, old in enumerate(order)}
            sheets.append(
                finish.sheet(
                    f"sheet-{len(sheets) + 1}",
                    (stock.material, stock.thickness),
                    stock.boards[kind],
                    stock.job.margin,
                    tuple(placed[i] for i in order),
                    tuple(run._replace(placement=at[run.placement]) for run in runs),
                )
            )
    return tuple(sheets)
