"""Packing shapes into one room: a first layout, shortened on the grid, then squeezed exactly."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field

from framekit.sheets.compact import Frame, Spot, compact, used_right
from framekit.sheets.grid import Angles, Cell, Grid
from framekit.sheets.nofit import NoFit
from framekit.sheets.overlap import Separation
from framekit.sheets.shapes import Shape

Heard = Callable[[int, int, float | None], None]
"""Gets the passes done, their total and the least used length in mm so far."""
Lawful = Callable[[list[Spot]], bool]
"""Whether spots are legal on the exact outlines."""


@dataclass(frozen=True)
class Effort:
    """How much is tried: starts, moves a start for ten shapes, grid points, squeezing rounds."""

    starts: int = 2
    moves: int = 600
    points: int = 16000
    rounds: int = 12


@dataclass
class Room:
    """One sheet's usable room and the shapes that may lie in it; all lengths in mm.

    `coarse` are the shapes of the grid search, `fine` the same with finer outlines.
    """

    coarse: list[Shape]
    fine: list[Shape]
    turns: list[Angles]
    size: tuple[float, float]
    margin: float
    effort: Effort
    lawful: Lawful
    _nofit: NoFit = field(init=False)

    def __post_init__(self) -> None:
        """No-fit polygons are shared by all that is packed in this room."""
        self._nofit = NoFit(self.coarse)

    def pack(self, wanted: list[int], heard: Heard, starts: int | None = None) -> list[Spot] | None:
        """All wanted shapes (by number) in one room, in as little length as found; or None."""
        starts = starts or self.effort.starts
        n = len(wanted)
        if self._area(wanted) > self.size[0] * self.size[1]:
            return None
        moves = max(self.effort.moves // 2, min(self.effort.moves, 12 * self.effort.moves // n))
        moves = moves if n > 1 else 0
        grid, first = self._first(wanted)
        separation = Separation(grid)
        rng = random.Random(n)
        best: list[Spot] | None = None
        total = starts * moves
        for start in range(starts):
            if start or first is None:
                order = list(wanted)
                rng.shuffle(order)
                cells = self._laid(grid, order)
            else:
                cells = first
            if cells is None:
                cells, _ = separation.separate(
                    self._heap(grid, wanted, rng), self.margin + self.size[0], moves, rng
                )
                if cells is None:
                    continue

            def told(done: int, right: float, start: int = start) -> None:
                known = right if best is None else min(right, used_right(best, self.fine))
                heard(start * moves + done, total, known + self.margin)

            cells = separation.shorten(cells, moves, rng, told)
            spots = self.squeezed(grid.spots(cells))
            if best is None or used_right(spots, self.fine) < used_right(best, self.fine):
                best = spots
        return best

    def fill(self, wanted: list[int]) -> tuple[list[Spot], list[int]]:
        """As much area of the wanted shapes as one room was found to take, and the rest."""
        grid = self._grid(self.size[0], len(wanted))
        layout = grid.lay([(k, self.turns[k]) for k in wanted], self.margin + self.size[0], False)
        if layout is None or not layout.cells:
            return [], wanted
        cells, left = list(layout.cells), [wanted[i] for i in layout.left]
        separation, rng = Separation(grid), random.Random(len(wanted))
        for shape in sorted(set(left), key=lambda k: -self.coarse[k].area):
            while shape in left:
                if self._area([c.shape for c in cells] + [shape]) > self.size[0] * self.size[1]:
                    break
                trial = [*cells, Cell(shape, self.turns[shape][0], 0, 0)]
                limit = self.margin + self.size[0]
                more, _ = separation.separate(trial, limit, self.effort.moves // 6, rng)
                if more is None:
                    break
                cells = more
                left.remove(shape)
        return grid.spots(cells), left

    def squeezed(self, spots: list[Spot]) -> list[Spot]:
        """The spots squeezed to the left, or as they are where that gives nothing legal."""
        n = len(spots)
        rounds = self.effort.rounds if n <= 15 else self.effort.rounds // 2 if n <= 40 else 0
        if not rounds:
            return spots
        frame = Frame(self.margin, self.margin + self.size[0], self.margin + self.size[1])
        tight = compact(spots, self.fine, frame, rounds)
        return tight if self.lawful(tight) else spots

    def _area(self, wanted: list[int]) -> float:
        return sum(self.fine[k].solid for k in wanted)

    def _grid(self, length: float, count: int) -> Grid:
        points = self.effort.points * max(1.0, min(count / 10, 2.0))
        step = math.sqrt(length * self.size[1] / points)
        return Grid(self._nofit, self.turns, (length, self.size[1]), self.margin, step)

    def _first(self, wanted: list[int]) -> tuple[Grid, list[Cell] | None]:
        """A grid over no more length than is needed and the shapes laid on it, largest first."""
        order = sorted(wanted, key=lambda k: (-self.coarse[k].area, k))
        need = 1.25 * self._area(wanted) / self.size[1]
        longest = max(min(self._extent(k, a) for a in self.turns[k]) for k in wanted)
        length = min(self.size[0], max(need, longest))
        while True:
            grid = self._grid(length, len(wanted))
            cells = self._laid(grid, order)
            if cells is not None or length >= self.size[0]:
                return grid, cells
            length = min(self.size[0], length * 1.3)

    def _extent(self, shape: int, angle: float) -> float:
        x0, _, x1, _ = self.coarse[shape].extent(angle)
        return x1 - x0

    def _laid(self, grid: Grid, wanted: list[int]) -> list[Cell] | None:
        limit = self.margin + grid.width
        layout = grid.lay([(k, self.turns[k]) for k in wanted], limit, must=True)
        return None if layout is None else list(layout.cells)

    def _heap(self, grid: Grid, wanted: list[int], rng: random.Random) -> list[Cell]:
        """The shapes anywhere, on top of each other."""
        limit = self.margin + grid.width
        heap = []
        for shape in wanted:
            nx, ny = grid.size_within(shape, self.turns[shape][0], limit)
            cell = Cell(shape, self.turns[shape][0], rng.randrange(max(nx, 1)), rng.randrange(ny))
            heap.append(cell)
        return heap
