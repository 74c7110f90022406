"""Packing shapes onto one sheet: a first layout, shortened on the grid, then squeezed exactly."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

from framekit.sheets.nest.compaction import Frame, Spot, compact, used_right
from framekit.sheets.nest.nofit import NoFit
from framekit.sheets.nest.quick.grid import Angles, Cell, Grid
from framekit.sheets.nest.quick.overlap import Separation
from framekit.sheets.nest.shapes import SearchShape

FEW, SOME = 15, 40
"""Up to FEW parts are squeezed fully, up to SOME with fewer rounds, more not at all."""
ROUNDING = 1e-7
"""A part may pass the edge of its room by this much, in mm."""
INSERTS = 4
"""Adding one more part to a full sheet may take this part of the moves."""
HOPELESS = 0.15
"""When more than this share of the area finds no place at first, no layout is looked for."""
OVERLONG = 1.08
"""A layout this many times too long is still begun: it may be squeezed onto the sheet."""

PassProgress = Callable[[int, int, float | None], None]
"""Gets the passes done, their total and the least used length in mm so far."""


class LegalityTest(Protocol):
    """Whether spots are legal on the exact outlines."""

    def __call__(self, spots: list[Spot], beyond: float = 0.0) -> bool:
        """True for legal spots on a sheet that is longer by `beyond` mm."""
        ...


@dataclass(frozen=True)
class Effort:
    """How much is tried: moves for ten shapes, grid points, rounds of the last squeeze."""

    moves: int = 1400
    points: int = 16000
    rounds: int = 12


@dataclass
class Packer:
    """Packs shapes into one sheet's usable room of `size`; all lengths in mm.

    `coarse` are the shapes of the grid search, `fine` the same with finer outlines.
    """

    coarse: list[SearchShape]
    fine: list[SearchShape]
    turns: list[Angles]
    size: tuple[float, float]
    margin: float
    effort: Effort
    is_legal: LegalityTest
    _nofit: NoFit = field(init=False)
    _searches: dict[tuple[float, float], Separation] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """No-fit polygons are shared by all that this packs."""
        self._nofit = NoFit(self.coarse)

    def pack(self, wanted: list[int], report: PassProgress) -> list[Spot] | None:
        """All wanted shapes (by number) in one room, in as little length as found; or None."""
        if self._area(wanted) > self.size[0] * self.size[1]:
            return None
        moves = self._moves(len(wanted))
        separation, cells = self._first(wanted)
        grid, rng = separation.grid, random.Random(len(wanted))
        if cells is None:
            heap = self._heap(grid, wanted, rng)
            if heap is None:
                return None
            cells, _ = separation.separate(heap, self.margin + grid.width, moves, rng)
        if cells is None:
            return None
        cells = separation.shorten(
            cells, moves, rng, lambda done, right: report(done, moves, right + self.margin)
        )
        spots = self.squeezed(grid.spots(cells))
        report(moves, moves, used_right(spots, self.fine) + self.margin)
        fits = used_right(spots, self.fine) <= self.margin + self.size[0] + ROUNDING
        return spots if fits else None

    def _moves(self, n: int) -> int:
        """Moves for n shapes: more for many, until their cost, which grows with n, forbids it."""
        many = min(max(1.0, n / 10), 1.5, 180 / n)
        return int(self.effort.moves * many) if n > 1 else 0

    def fill(self, wanted: list[int]) -> tuple[list[Spot], list[int]]:
        """As much area of the wanted shapes as one room was found to take, and the rest.

        A filled room is not made shorter, so its grid need not be finer for many parts: moves on
        a coarser one are cheaper, and find their way no worse.
        """
        separation = self._search(self.size[0], self.effort.points)
        grid = separation.grid
        cells, left = grid.lay(wanted, self.margin + self.size[0])
        if not cells:
            return [], wanted
        rng = random.Random(len(wanted))
        for shape in sorted(set(left), key=lambda k: -self.coarse[k].area):
            while shape in left:
                if self._area([c.shape for c in cells] + [shape]) > self.size[0] * self.size[1]:
                    break
                trial = [*cells, Cell(shape, self.turns[shape][0], 0, 0)]
                limit = self.margin + self.size[0]
                more, _ = separation.separate(trial, limit, self.effort.moves // INSERTS, rng)
                if more is None:
                    break
                cells = more
                left.remove(shape)
        return grid.spots(cells), left

    def squeezed(self, spots: list[Spot]) -> list[Spot]:
        """The spots squeezed to the left, or as they are where that gives nothing legal."""
        n = len(spots)
        rounds = self.effort.rounds if n <= FEW else self.effort.rounds // 2 if n <= SOME else 0
        if not rounds:
            return spots
        frame = Frame(self.margin, self.margin + self.size[1])
        tight = compact(spots, self.fine, frame, rounds)
        return tight if self.is_legal(tight) else spots

    def _area(self, wanted: list[int]) -> float:
        return sum(self.fine[k].solid for k in wanted)

    def _points(self, count: int) -> float:
        """Grid points for a layout that is to be as short as it goes: more for many parts."""
        return self.effort.points * max(1.0, min(count / 10, 2.0))

    def _search(self, length: float, points: float) -> Separation:
        step = math.sqrt(length * self.size[1] / points)
        key = length, step
        if key not in self._searches:
            room = length, self.size[1]
            grid = Grid(self._nofit, self.turns, room, self.margin, step)
            self._searches[key] = Separation(grid)
        return self._searches[key]

    def _first(self, wanted: list[int]) -> tuple[Separation, list[Cell] | None]:
        """A grid over no more length than is needed and the shapes laid on it, largest first."""
        order = sorted(wanted, key=lambda k: (-self.coarse[k].area, k))
        need = 1.25 * self._area(wanted) / self.size[1]
        longest = max(min(self._extent(k, a) for a in self.turns[k]) for k in wanted)
        most = self.size[0] * OVERLONG
        length = min(most, max(need, longest))
        while True:
            separation = self._search(length, self._points(len(wanted)))
            grid = separation.grid
            cells, left = grid.lay(order, self.margin + grid.width, must=True)
            if not left or length >= most:
                return separation, None if left else cells
            length = min(most, length * 1.3)

    def _extent(self, shape: int, angle: float) -> float:
        x0, _, x1, _ = self.coarse[shape].extent(angle)
        return x1 - x0

    def _heap(self, grid: Grid, wanted: list[int], rng: random.Random) -> list[Cell] | None:
        """What finds a place, and the rest anywhere on top of it; None if that is too much."""
        limit = self.margin + grid.width
        order = sorted(wanted, key=lambda k: (-self.coarse[k].area, k))
        heap, left = grid.lay(order, limit)
        if self._area(left) > HOPELESS * self._area(wanted):
            return None
        for shape in left:
            nx, ny = grid.size_within(shape, self.turns[shape][0], limit)
            cell = Cell(shape, self.turns[shape][0], rng.randrange(max(nx, 1)), rng.randrange(ny))
            heap.append(cell)
        return heap
