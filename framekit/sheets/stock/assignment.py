"""Which parts go on which of the sheets at hand, and what found no place."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from framekit.errors import Fault, NestError, StockError, Where
from framekit.sheets.nest.packing_job import check_job
from framekit.sheets.nest.shapes import make_shape
from framekit.sheets.nest.turns import turns_for
from framekit.sheets.protocol import (
    Nester,
    NestItem,
    NestJob,
    NestProgress,
    NestResult,
    Place,
    Progress,
)
from framekit.sheets.stock.filling import Copy, fill_board
from framekit.sheets.stock.supply import Board


@dataclass(frozen=True)
class StockAssignment:
    """A layout on sheets of several kinds.

    `boards` has the number of each sheet's kind, `missing` the copies without a place, and `more`
    the sheets of the job's own size that those would take.
    """

    result: NestResult
    boards: tuple[int, ...]
    missing: tuple[Copy, ...] = ()
    more: int = 0


def on_board(job: NestJob, board: Board) -> NestJob:
    """The job on sheets of that board's size."""
    return replace(job, width=board.width, height=board.height)


def subset(job: NestJob, copies: Sequence[Copy]) -> tuple[NestJob, list[list[Copy]]]:
    """The job with these copies alone, and for each of its items the copies it stands for."""
    groups: dict[int, list[Copy]] = {}
    for item, copy in copies:
        groups.setdefault(item, []).append((item, copy))
    items = tuple(replace(job.items[n], copies=len(group)) for n, group in groups.items())
    return replace(job, items=items), list(groups.values())


def renumbered(
    result: NestResult, groups: Sequence[Sequence[Copy]]
) -> tuple[tuple[Place, ...], ...]:
    """Return the sheets of a `subset`'s layout with the copies' numbers in the whole job."""
    return tuple(
        tuple(Place(*groups[p.item][p.copy], p.x, p.y, p.rotation) for p in sheet)
        for sheet in result.sheets
    )


def all_copies(job: NestJob) -> tuple[Copy, ...]:
    """Every copy of the job, in order."""
    return tuple((n, k) for n, item in enumerate(job.items) for k in range(item.copies))


def fits(item: NestItem, board: Board, job: NestJob) -> bool:
    """Whether a part alone goes on a board."""
    if board.outline is not None:
        return bool(fill_board(board, job, ((job.items.index(item), 0),))[0])
    size = board.width - 2 * job.margin, board.height - 2 * job.margin
    return bool(turns_for([make_shape(item.outer, job.spacing)], size)[0])


def refuse_too_large(job: NestJob, boards: Sequence[Board]) -> None:
    """Nothing; raises StockError that names every part that is larger than every sheet."""
    for board in boards:
        check_job(on_board(job, board))
    large = [
        item for item in job.items if item.copies and not any(fits(item, b, job) for b in boards)
    ]
    if large:
        raise StockError(*(_too_large(item, job, boards) for item in large))


def _too_large(item: NestItem, job: NestJob, boards: Sequence[Board]) -> Fault:
    xs, ys = zip(*item.outer, strict=True)
    size = f"{max(xs) - min(xs):.1f} × {max(ys) - min(ys):.1f} mm"
    there = ", ".join(f"{b.width:g} × {b.height:g} mm" for b in boards) or "none"
    return Fault(
        "nest-too-large",
        f"{item.key} ({size}) goes on none of the sheets at hand at any rotation, with a margin of "
        f"{job.margin:g} mm: {there}",
        Where(path=item.key),
        "Get a larger sheet, or make the model smaller.",
    )


def assign_densely(
    job: NestJob, boards: Sequence[Board], engine: Nester, progress: Progress | None = None
) -> StockAssignment:
    """All parts as dense as can be: leftovers first, the smallest before others.

    The last kind, the largest, is nested by the engine. Where there are too few of it, the sheets
    of most part area are kept. Raises StockError for a part larger than every sheet and NestError.
    """
    if len(boards) == 1 and boards[0].count is None:
        result = engine.nest(on_board(job, boards[0]), progress)
        return StockAssignment(result, (0,) * len(result.sheets))
    refuse_too_large(job, boards)
    sheets, kinds, left = fill_boards(job, boards, engine, all_copies(job), progress)
    return make_assignment(job, engine, sheets, kinds, left)


def fill_boards(
    job: NestJob,
    boards: Sequence[Board],
    engine: Nester,
    copies: Sequence[Copy],
    progress: Progress | None,
) -> tuple[list[tuple[Place, ...]], list[int], tuple[Copy, ...]]:
    """Sheets with as many of the copies as they take, their kinds, and the copies left over."""
    sheets: list[tuple[Place, ...]] = []
    kinds: list[int] = []
    left = tuple(copies)
    whole = [k for k, board in enumerate(boards) if board.outline is None]
    last = whole[-1] if whole else None
    for k, board in enumerate(boards):
        if k == last:
            continue
        for n in range(board.count or 0):
            if progress is not None:
                progress(NestProgress(n, board.count or 0, None, f"filling leftover {n + 1}"))
            places, left = fill_board(board, job, left)
            if not places:
                break
            sheets.append(places)
            kinds.append(k)
    if last is None or not left:
        return sheets, kinds, left
    board = boards[last]
    able = [copy for copy in left if fits(job.items[copy[0]], board, job)]
    if not able:
        return sheets, kinds, left
    small, groups = subset(on_board(job, board), able)
    laid = renumbered(engine.nest(small, progress), groups)
    fullest = sorted(range(len(laid)), key=lambda i: (-area_of(job, laid[i]), i))
    count = len(laid) if board.count is None else board.count
    kept = sorted(fullest[:count])
    sheets += [laid[i] for i in kept]
    kinds += [last] * len(kept)
    found = {(p.item, p.copy) for sheet in sheets for p in sheet}
    return sheets, kinds, tuple(copy for copy in copies if copy not in found)


def area_of(job: NestJob, places: Sequence[Place]) -> float:
    """The area in mm² of the parts on a sheet."""
    return math.fsum(job.items[place.item].area for place in places)


def make_assignment(
    job: NestJob,
    engine: Nester,
    sheets: Sequence[tuple[Place, ...]],
    kinds: Sequence[int],
    missing: Sequence[Copy],
) -> StockAssignment:
    """Return the assignment of these sheets, with the sheets that the missing copies would take."""
    more = 0
    if missing:
        small, _ = subset(job, missing)
        try:
            more = len(engine.nest(small).sheets)
        except NestError:
            more = len(missing)  # each on a larger sheet of its own
    return StockAssignment(NestResult(tuple(sheets)), tuple(kinds), tuple(sorted(missing)), more)
