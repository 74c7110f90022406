"""Shortening a layout: push everything into less length, then move parts until none overlap.

Guided local search in the manner of Egeblad, Nielsen and Odgaard, "Fast neighborhood search for
two- and three-dimensional nesting problems" (2007): a part that overlaps goes to the point and
turn, of all on the grid, with the least weighted overlap; weights of pairs that stay in each
other's way grow. How deep a point lies in a no-fit polygon is drawn once for each pair of turns.
"""

from __future__ import annotations

import random
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from framekit.sheets.nest.nofit import Mask
from framekit.sheets.nest.quick.grid import Cell, Grid, common_points

Depths = NDArray[np.float32]

TURNS = 4
"""Turns tried in a move, drawn from all, besides the present one."""
PATIENCE = 200
"""Moves spent on one length before a longer one is tried."""
_FIRST_CUT = 0.03
_LEAST_CUT = 0.004
_LIGHTEST, _HEAVIEST = 1e-3, 1e6


def depth_of(mask: Mask) -> Depths:
    """How deep in grid steps each true point of an (nx, ny) mask lies, about; 0 where false.

    With a and b the least ways out along the two axes it is the distance to a slanted straight
    edge that gives these: ab / √(a² + b²).
    """
    a = np.minimum(_way_up(mask), _way_up(mask[:, ::-1])[:, ::-1])
    b = np.minimum(_way_up(mask.T), _way_up(mask.T[:, ::-1])[:, ::-1]).T
    depth = a * b / np.sqrt(a * a + b * b + np.float32(1e-9))
    return np.asarray(depth, dtype=np.float32)


def _way_up(mask: Mask) -> Depths:
    """Steps from each point down to the last false one before it; far when there is none."""
    column = np.arange(mask.shape[1], dtype=np.float32)
    last = np.maximum.accumulate(np.where(mask, np.float32(-1e3), column), axis=1)
    return np.asarray(column - last, dtype=np.float32)


class Separation:
    """Overlap depths on a grid and the search that removes them."""

    def __init__(self, grid: Grid) -> None:
        """No depth is drawn yet."""
        self.grid = grid
        self._depths: dict[tuple[int, float, int, float], tuple[int, int, Depths]] = {}

    def shorten(
        self,
        cells: list[Cell],
        moves: int,
        rng: random.Random,
        report: Callable[[int, float], None],
    ) -> list[Cell]:
        """The layout made shorter and shorter with `moves` moves; it stays free of overlap.

        `report` gets the moves done and the right end in mm.
        """
        best, cut, used = list(cells), _FIRST_CUT, 0
        trial = list(cells)
        while used < moves:
            right = self.grid.right_end(best)
            goal = right - cut * (right - self.grid.margin)
            if self.grid.least_right(best) > goal:
                if cut <= _LEAST_CUT:
                    break
                cut = max(cut * 0.6, _LEAST_CUT)
                continue
            done, spent = self.separate(trial, goal, min(PATIENCE, moves - used), rng)
            used += max(spent, 1)
            if done is None:
                cut = max(cut * 0.6, _LEAST_CUT)
                trial = list(best)
            else:
                best, trial = done, list(done)
            report(used, self.grid.right_end(best))
        return best

    def separate(
        self, cells: list[Cell], limit: float, moves: int, rng: random.Random
    ) -> tuple[list[Cell] | None, int]:
        """The cells moved so that none overlap and none passes x = `limit` mm, and moves spent.

        None when `moves` moves did not do it.
        """
        now = [self.grid.pushed(cell, limit) for cell in cells]
        n = len(now)
        weight = np.ones((n, n), dtype=np.float32)
        depth = np.zeros((n, n))
        for i in range(n):
            for j in range(i):
                depth[i, j] = depth[j, i] = self._between(now[j], now[i])
        spent = 0
        while True:
            bad = [i for i in range(n) if depth[i].any()]
            if not bad:
                return now, spent
            rng.shuffle(bad)
            for j in bad:
                if not depth[j].any():
                    continue
                if spent >= moves:
                    return None, spent
                spent += 1
                now[j] = self._best_cell(now, j, weight[j], limit, rng)
                for i in range(n):
                    if i != j:
                        depth[i, j] = depth[j, i] = self._between(now[i], now[j])
            deepest = depth.max()
            if deepest > 0:
                growth = np.where(depth > 0, 1.2 + 0.8 * depth / deepest, 0.97)
                weight *= growth.astype(np.float32)
                weight *= np.float32(min(1.0, _HEAVIEST / float(weight.max())))
                weight = np.maximum(weight, np.float32(_LIGHTEST))

    def _best_cell(
        self, cells: list[Cell], moving: int, weight: Depths, limit: float, rng: random.Random
    ) -> Cell:
        """Where one cell overlaps the others least, over all points and a few turns."""
        cell = cells[moving]
        turns = self.grid.angles[cell.shape]
        if len(turns) > TURNS:
            turns = (cell.angle, *rng.sample(turns, TURNS))
        least, chosen = np.inf, cell
        for angle in turns:
            nx, ny = self.grid.size_within(cell.shape, angle, limit)
            if not nx or not ny:
                continue
            cost = np.zeros((nx, ny), dtype=np.float32)
            for i, other in enumerate(cells):
                if i != moving:
                    self._add(cost, other, cell.shape, angle, weight[i])
            flat = cost.reshape(-1)
            first = int(flat.argmin())
            if flat[first] < least:
                least = float(flat[first])
                chosen = Cell(cell.shape, angle, *divmod(first, ny))
            if least == 0:
                break
        return chosen

    def _add(self, cost: Depths, other: Cell, shape: int, angle: float, weight: np.float32) -> None:
        left, low, depths = self._depth(other.shape, other.angle, shape, angle)
        points, drawn = common_points(cost, depths, other.column + left, other.row + low)
        points += drawn * weight

    def _between(self, one: Cell, two: Cell) -> float:
        """How deep in grid steps two cells overlap."""
        left, low, depths = self._depth(one.shape, one.angle, two.shape, two.angle)
        x, y = two.column - one.column - left, two.row - one.row - low
        if 0 <= x < depths.shape[0] and 0 <= y < depths.shape[1]:
            return float(depths[x, y])
        return 0.0

    def _depth(
        self, one: int, turn_one: float, two: int, turn_two: float
    ) -> tuple[int, int, Depths]:
        key = one, turn_one, two, turn_two
        known = self._depths.get(key)
        if known is None:
            left, low, mask = self.grid.patch(*key)
            framed = np.pad(mask, 1) if mask.size else mask
            known = self._depths[key] = left - 1, low - 1, depth_of(framed)
        return known
