"""A set's parts so that each frame lies on as few sheets as can be.

Each frame is nested by itself on the kind of sheet of which it takes fewest, the smallest of
those. What it puts on one sheet stays together, and goes on a sheet that is begun already where
one takes it, the earliest first. So no frame lies on more sheets than it takes by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from framekit.errors import NestError
from framekit.sheets.protocol import Nester, NestJob, NestProgress, NestResult, Place, Progress
from framekit.sheets.stock.assignment import (
    StockAssignment,
    area_of,
    fill_boards,
    make_assignment,
    on_board,
    refuse_too_large,
    renumbered,
    subset,
)
from framekit.sheets.stock.filling import Copy, fill_board
from framekit.sheets.stock.supply import Board

FULL = 0.85
"""A sheet whose parts would fill more than this share of it is not tried."""
LOOSE = 0.5
"""Up to this share, a sheet is nested anew where the parts do not go between those that lie."""


@dataclass
class _OpenSheet:
    """A sheet with parts on it, that may take more; parts of `refused` mm² found no room on it."""

    kind: int
    places: tuple[Place, ...]
    area: float
    refused: float = float("inf")


@dataclass
class _Layout:
    """The sheets laid so far, and the layouts found before by what was asked for."""

    job: NestJob
    boards: Sequence[Board]
    engine: Nester
    quick: Nester
    sheets: list[_OpenSheet] = field(default_factory=list)
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
        small, groups = subset(on_board(self.job, board), ordered)
        asked = (
            kind,
            engine.name,
            tuple((self._shape(group[0][0]), len(group)) for group in groups),
        )
        if asked not in self.known:
            self.known[asked] = self._found(board, small, engine)
        found = self.known[asked]
        return None if found is None else renumbered(found, groups)

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


def nest_groups(
    job: NestJob,
    boards: Sequence[Board],
    groups: Sequence[Sequence[Copy]],
    engine: Nester,
    quick: Nester,
    progress: Progress | None = None,
) -> StockAssignment:
    """The parts of each group on as few sheets as it takes by itself; `groups` share no copies.

    `engine` nests each group by itself, `quick` tries it on sheets that are begun. Raises
    StockError for a part larger than every sheet.
    """
    refuse_too_large(job, boards)
    layout = _Layout(job, boards, engine, quick)
    for n, group in enumerate(groups):
        if progress is not None:
            progress(NestProgress(n, len(groups), None, f"nesting frame {n + 1} of {len(groups)}"))
        _add_group(layout, group)
    return make_assignment(
        job,
        engine,
        [sheet.places for sheet in layout.sheets],
        [sheet.kind for sheet in layout.sheets],
        layout.missing,
    )


def _add_group(layout: _Layout, group: Sequence[Copy]) -> None:
    """Add one group's parts."""
    best = _fewest_sheets(layout, group)
    if best is None:
        layout.missing += _spread(layout, group)
        return
    kind, alone = best
    waiting = [sheet for sheet in alone if not _added(layout, sheet)]
    if len(waiting) <= layout.left(kind):
        layout.sheets += [_OpenSheet(kind, s, area_of(layout.job, s)) for s in waiting]
        return
    # Too few of that kind are left, so these parts go wherever there is any room.
    copies = [(place.item, place.copy) for sheet in waiting for place in sheet]
    layout.missing += _spread(layout, copies)


def _fewest_sheets(
    layout: _Layout, group: Sequence[Copy]
) -> tuple[int, tuple[tuple[Place, ...], ...]] | None:
    """The kind of sheet of which a group takes fewest, and its layout; None where none does."""
    best: tuple[tuple[float, float, int], int, tuple[tuple[Place, ...], ...]] | None = None
    area = sum(layout.job.items[item].area for item, _ in group)
    for kind, board in enumerate(layout.boards):
        short = layout.left(kind) * board.area < area
        if board.outline is not None and (short or area > board.area):
            continue
        if board.outline is None and short and kind < len(layout.boards) - 1:
            continue
        sheets = layout.nested(kind, group, layout.engine)
        if sheets is None:
            continue
        lacking = max(0.0, len(sheets) - layout.left(kind))
        merit = (lacking, len(sheets), kind)
        if best is None or merit < best[0]:
            best = merit, kind, sheets
    return None if best is None else (best[1], best[2])


def _added(layout: _Layout, sheet: Sequence[Place]) -> bool:
    """Whether what a group puts on one sheet was laid on a sheet that is begun already."""
    area = area_of(layout.job, sheet)
    copies = [(p.item, p.copy) for p in sheet]
    for opened in layout.sheets:
        board = layout.boards[opened.kind]
        if area >= opened.refused or opened.area + area > FULL * board.area:
            continue
        places, _ = fill_board(board, layout.job, copies, opened.places, must=True)
        if places:
            opened.places = (*opened.places, *places)
        elif opened.area + area > LOOSE * board.area or not _nested_anew(layout, opened, copies):
            opened.refused = area
            continue
        opened.area += area
        return True
    return False


def _nested_anew(layout: _Layout, opened: _OpenSheet, copies: Sequence[Copy]) -> bool:
    """Whether an opened sheet takes these copies too when all on it is nested anew."""
    both = [*((p.item, p.copy) for p in opened.places), *copies]
    found = layout.nested(opened.kind, both, layout.quick)
    if found is None or len(found) != 1:
        return False
    opened.places = found[0]
    return True


def _spread(layout: _Layout, copies: Sequence[Copy]) -> tuple[Copy, ...]:
    """The copies that found no place when the sheets left are filled with what they take."""
    kinds = [k for k in range(len(layout.boards)) if layout.left(k) >= 1]
    boards = [replace(layout.boards[k], count=_whole(layout.left(k))) for k in kinds]
    sheets, of, left = fill_boards(layout.job, boards, layout.engine, copies, None)
    for kind, sheet in zip(of, sheets, strict=True):
        layout.sheets.append(_OpenSheet(kinds[kind], sheet, area_of(layout.job, sheet)))
    return left


def _whole(count: float) -> int | None:
    return None if count == float("inf") else int(count)
