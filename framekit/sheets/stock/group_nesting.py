"""A set's parts so that each frame lies on as few sheets as can be.

Each frame is nested by itself on the kind of sheet of which it takes fewest, the smallest of
those. What it puts on one sheet stays together, and goes on a sheet that is begun already where
one takes it, the earliest first. So no frame lies on more sheets than it takes by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from framekit.errors import NestError
from framekit.sheets.protocol import Nester, NestJob, NestProgress, NestResult, Place
from framekit.sheets.stock.assignment import (
    Allotment,
    Told,
    area_of,
    area_of_item,
    filled,
    finished,
    given_back,
    on_board,
    only,
    refuse_too_large,
)
from framekit.sheets.stock.filling import Copy, fill_board
from framekit.sheets.stock.supply import Board

FULL = 0.85
"""A sheet whose parts would fill more than this share of it is not tried."""
LOOSE = 0.5
"""Up to this share, a sheet is nested anew where the parts do not go between those that lie."""


@dataclass
class _Begun:
    """A sheet with parts on it, that may take more; parts of `refused` mm² found no room on it."""

    kind: int
    places: tuple[Place, ...]
    area: float
    refused: float = float("inf")


@dataclass
class _Table:
    """Everything that is laid so far, and layouts found before, by what was asked for."""

    job: NestJob
    boards: Sequence[Board]
    engine: Nester
    quick: Nester
    sheets: list[_Begun] = field(default_factory=list)
    missing: list[Copy] = field(default_factory=list)
    known: dict[object, NestResult | None] = field(default_factory=dict)
    shapes: dict[object, int] = field(default_factory=dict)

    def left(self, kind: int) -> float:
        """How many sheets of a kind are not begun yet."""
        count = self.boards[kind].count
        used = sum(sheet.kind == kind for sheet in self.sheets)
        return float("inf") if count is None else count - used

    def nested(
        self, kind: int, copies: Sequence[Copy], engine: Nester
    ) -> tuple[tuple[Place, ...], ...] | None:
        """These copies on sheets of a kind; None where one does not fit. Equal asks are kept."""
        board = self.boards[kind]
        ordered = sorted(copies, key=lambda c: (self._shape(c[0]), c))
        small, groups = only(on_board(self.job, board), ordered)
        asked = (
            kind,
            engine.name,
            tuple((self._shape(group[0][0]), len(group)) for group in groups),
        )
        if asked not in self.known:
            self.known[asked] = self._found(board, small, engine)
        found = self.known[asked]
        return None if found is None else given_back(found, groups)

    def _shape(self, item: int) -> int:
        outline = (self.job.items[item].outer, self.job.items[item].holes)
        return self.shapes.setdefault(outline, len(self.shapes))

    def _found(self, board: Board, small: NestJob, engine: Nester) -> NestResult | None:
        if board.outline is not None:
            wanted = [(n, k) for n, item in enumerate(small.items) for k in range(item.copies)]
            places, left = fill_board(board, small, wanted)
            return None if left else NestResult((places,))
        try:
            return engine.nest(small)
        except NestError:
            return None


def allot_together(
    job: NestJob,
    boards: Sequence[Board],
    teams: Sequence[Sequence[Copy]],
    engine: Nester,
    quick: Nester,
    told: Told = None,
) -> Allotment:
    """The parts of each team on as few sheets as it takes by itself; `teams` share no copies.

    `engine` nests each team by itself, `quick` tries it on sheets that are begun. Raises
    StockError for a part larger than every sheet.
    """
    refuse_too_large(job, boards)
    table = _Table(job, boards, engine, quick)
    for n, team in enumerate(teams):
        if told is not None:
            told(NestProgress(n, len(teams), None, f"nesting frame {n + 1} of {len(teams)}"))
        _add(table, team)
    return finished(
        job,
        engine,
        [sheet.places for sheet in table.sheets],
        [sheet.kind for sheet in table.sheets],
        table.missing,
    )


def _add(table: _Table, team: Sequence[Copy]) -> None:
    """Lay one team's parts."""
    best = _by_itself(table, team)
    if best is None:
        table.missing += _scattered(table, team)
        return
    kind, alone = best
    waiting = [sheet for sheet in alone if not _joined(table, sheet)]
    if len(waiting) <= table.left(kind):
        table.sheets += [_Begun(kind, s, area_of(table.job, s)) for s in waiting]
        return
    # Too few of that kind are left, so these parts go wherever there is any room.
    copies = [(place.item, place.copy) for sheet in waiting for place in sheet]
    table.missing += _scattered(table, copies)


def _by_itself(
    table: _Table, team: Sequence[Copy]
) -> tuple[int, tuple[tuple[Place, ...], ...]] | None:
    """The kind of sheet of which a team takes fewest, and its layout; None where none does."""
    best: tuple[tuple[float, float, int], int, tuple[tuple[Place, ...], ...]] | None = None
    area = sum(area_of_item(table.job.items[item]) for item, _ in team)
    for kind, board in enumerate(table.boards):
        short = table.left(kind) * board.area < area
        if board.outline is not None and (short or area > board.area):
            continue
        if board.outline is None and short and kind < len(table.boards) - 1:
            continue
        sheets = table.nested(kind, team, table.engine)
        if sheets is None:
            continue
        lacking = max(0.0, len(sheets) - table.left(kind))
        merit = (lacking, len(sheets), kind)
        if best is None or merit < best[0]:
            best = merit, kind, sheets
    return None if best is None else (best[1], best[2])


def _joined(table: _Table, sheet: Sequence[Place]) -> bool:
    """Whether what a team puts on one sheet was laid on a sheet that is begun already."""
    area = area_of(table.job, sheet)
    copies = [(p.item, p.copy) for p in sheet]
    for begun in table.sheets:
        board = table.boards[begun.kind]
        if area >= begun.refused or begun.area + area > FULL * board.area:
            continue
        places, _ = fill_board(board, table.job, copies, begun.places, must=True)
        if places:
            begun.places = (*begun.places, *places)
        elif begun.area + area > LOOSE * board.area or not _mixed(table, begun, copies):
            begun.refused = area
            continue
        begun.area += area
        return True
    return False


def _mixed(table: _Table, begun: _Begun, copies: Sequence[Copy]) -> bool:
    """Whether a begun sheet takes these copies too when all on it is nested anew."""
    both = [*((p.item, p.copy) for p in begun.places), *copies]
    found = table.nested(begun.kind, both, table.quick)
    if found is None or len(found) != 1:
        return False
    begun.places = found[0]
    return True


def _scattered(table: _Table, copies: Sequence[Copy]) -> tuple[Copy, ...]:
    """The copies that found no place when the sheets left are filled with what they take."""
    kinds = [k for k in range(len(table.boards)) if table.left(k) >= 1]
    boards = [replace(table.boards[k], count=_whole(table.left(k))) for k in kinds]
    sheets, of, left = filled(table.job, boards, table.engine, copies, None)
    for kind, sheet in zip(of, sheets, strict=True):
        table.sheets.append(_Begun(kinds[kind], sheet, area_of(table.job, sheet)))
    return left


def _whole(count: float) -> int | None:
    return None if count == float("inf") else int(count)
