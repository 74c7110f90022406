"""Laying shapes on a sheet one after another, each at the best free point of a grid.

A shape's grid starts where it touches the left and lower margin. What others forbid is drawn on
it from no-fit polygons, so grid layouts are exact; only places between grid points are missed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from framekit.sheets.nest.compaction import Spot
from framekit.sheets.nest.nofit import Mask, NoFit, box_of, fill_rings, grid_count

Angles = tuple[float, ...]
Scalar = TypeVar("Scalar", bound=np.generic)
Other = TypeVar("Other", bound=np.generic)


@dataclass(frozen=True)
class Cell:
    """A shape's place on its grid: the turn in degrees and the column and row."""

    shape: int
    angle: float
    column: int
    row: int


def common_points(
    grid: NDArray[Scalar], patch: NDArray[Other], column: int, row: int
) -> tuple[NDArray[Scalar], NDArray[Other]]:
    """Return views of a grid and of a patch laid on it at a column and row, where both have points.

    Both have the same shape, which may be empty.
    """
    x0, y0 = max(column, 0), max(row, 0)
    x1 = max(x0, min(column + patch.shape[0], grid.shape[0]))
    y1 = max(y0, min(row + patch.shape[1], grid.shape[1]))
    return grid[x0:x1, y0:y1], patch[x0 - column : x1 - column, y0 - row : y1 - row]


class Grid:
    """Grids of `step` mm for all shapes and turns on a room of `width` × `height` mm.

    The room starts at (margin, margin) on the sheet.
    """

    def __init__(
        self,
        nofit: NoFit,
        angles: list[Angles],
        room: tuple[float, float],
        margin: float,
        step: float,
    ) -> None:
        """Measure every shape at each of its turns in degrees."""
        self.nofit, self.angles, self.step, self.margin = nofit, angles, step, margin
        self.width, self.height = room
        self._start: dict[tuple[int, float], tuple[float, float]] = {}
        self._size: dict[tuple[int, float], tuple[int, int]] = {}
        self._length: dict[tuple[int, float], float] = {}
        self._patches: dict[tuple[int, float, int, float], tuple[int, int, Mask]] = {}
        for number, shape in enumerate(nofit.shapes):
            for angle in angles[number]:
                x0, y0, x1, y1 = shape.extent(angle)
                key = number, angle
                self._start[key] = margin - x0, margin - y0
                self._length[key] = x1 - x0
                self._size[key] = (
                    grid_count(self.width - (x1 - x0), step),
                    grid_count(self.height - (y1 - y0), step),
                )

    def right_end(self, cells: Iterable[Cell]) -> float:
        """The rightmost x in mm of the cells' outlines; the margin for none."""
        ends = (self.margin + c.column * self.step + self._length[c.shape, c.angle] for c in cells)
        return max(ends, default=self.margin)

    def least_right(self, cells: Iterable[Cell]) -> float:
        """The least x in mm that each cell's shape could end at on its own, at its best turn."""
        lengths = (min(self._length[c.shape, a] for a in self.angles[c.shape]) for c in cells)
        return self.margin + max(lengths, default=0.0)

    def size_within(self, shape: int, angle: float, limit: float) -> tuple[int, int]:
        """Columns and rows of a turned shape's grid when nothing may pass x = `limit` mm."""
        nx, ny = self._size[shape, angle]
        room = limit - self.margin - self._length[shape, angle]
        return min(nx, grid_count(room, self.step)), ny

    def pushed(self, cell: Cell, limit: float) -> Cell:
        """The cell moved left until it ends by x = `limit` mm, at its shortest turn if need be."""
        nx, _ = self.size_within(cell.shape, cell.angle, limit)
        if nx:
            return replace(cell, column=min(cell.column, nx - 1))
        angle = min(self.angles[cell.shape], key=lambda a: self._length[cell.shape, a])
        _, ny = self._size[cell.shape, angle]
        return Cell(cell.shape, angle, 0, min(cell.row, ny - 1))

    def spots(self, cells: Iterable[Cell]) -> list[Spot]:
        """The cells' places in mm."""
        spots = []
        for cell in cells:
            x, y = self._start[cell.shape, cell.angle]
            at = x + cell.column * self.step, y + cell.row * self.step
            spots.append(Spot(cell.shape, *at, cell.angle))
        return spots

    def lay(
        self, order: list[int], limit: float, must: bool = False
    ) -> tuple[list[Cell], list[int]]:
        """Lay the shapes one by one; return their cells and the shapes left over.

        Each goes where its right end is least, then lowest, and not past x = `limit` mm. With
        `must` the first one that finds no place ends it.
        """
        masks: dict[tuple[int, float], tuple[Mask, int]] = {}
        cells: list[Cell] = []
        left: list[int] = []
        for shape in order:
            best: tuple[float, int, Cell] | None = None
            if shape not in left:
                for angle in self.angles[shape]:
                    found = self._first_free(masks, cells, shape, angle)
                    if found is not None and (best is None or found[:2] < best[:2]):
                        best = found
            if best is None or best[0] > limit:
                left.append(shape)
                if must:
                    break
            else:
                cells.append(best[2])
        return cells, left

    def _first_free(
        self,
        masks: dict[tuple[int, float], tuple[Mask, int]],
        cells: list[Cell],
        shape: int,
        angle: float,
    ) -> tuple[float, int, Cell] | None:
        """The leftmost, then lowest free grid point of a shape: right end in mm, row, cell."""
        key = shape, angle
        nx, ny = self._size[key]
        if not nx or not ny:
            return None
        mask, done = masks.get(key) or (np.zeros((nx, ny), dtype=np.bool_), 0)
        for cell in cells[done:]:
            self._forbid(mask, cell, shape, angle)
        masks[key] = mask, len(cells)
        flat = mask.reshape(-1)
        first = int(flat.argmin())
        if flat[first]:
            return None
        column, row = divmod(first, ny)
        right = self.margin + column * self.step + self._length[key]
        return right, row, Cell(shape, angle, column, row)

    def _forbid(self, mask: Mask, cell: Cell, shape: int, angle: float) -> None:
        """Mark the grid points at which the shape would overlap the cell's."""
        key = cell.shape, cell.angle, shape, angle
        patch = self._patches.get(key)
        if patch is None:
            patch = self._patches[key] = self.patch(*key)
        points, drawn = common_points(mask, patch[2], cell.column + patch[0], cell.row + patch[1])
        points |= drawn

    def patch(self, one: int, turn_one: float, two: int, turn_two: float) -> tuple[int, int, Mask]:
        """The no-fit mask of two turned shapes: column and row of its corner, and the mask."""
        rings = self.nofit.rings(one, two, turn_one, turn_two)
        low_x, low_y, high_x, high_y = box_of(rings)
        start_one, start_two = self._start[one, turn_one], self._start[two, turn_two]
        dx, dy = start_two[0] - start_one[0], start_two[1] - start_one[1]
        step = self.step
        left, right = math.ceil((low_x - dx) / step), math.floor((high_x - dx) / step) + 1
        low, high = math.ceil((low_y - dy) / step), math.floor((high_y - dy) / step) + 1
        if high <= low or right <= left:
            return left, low, np.zeros((0, 0), dtype=np.bool_)
        corner = dx + left * step, dy + low * step
        return left, low, fill_rings(rings, *corner, right - left, high - low, step)
