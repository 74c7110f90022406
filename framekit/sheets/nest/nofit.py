"""Where one shape may not lie because of another: no-fit polygons and their grid masks.

The no-fit polygon of A and B holds every shift p at which B moved by p overlaps A: the
Minkowski sum of A and -B (Art, "An approach to the two dimensional irregular cutting stock
problem", 1966). Sums of convex pieces are joined to make it. Whether a grid point lies inside is
exact, so two shapes on one grid need no further allowance.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from framekit.sheets.nest.shapes import Points, SearchShape, turned

Rings = list[Points]
Mask = NDArray[np.bool_]


def nofit_rings(one: SearchShape, two: SearchShape, angle: float) -> Rings:
    """Rings of the no-fit polygon of `one` unturned and `two` turned by `angle` degrees, mm."""
    return sum_rings(list(one.pieces), [-turned(piece, angle) for piece in two.pieces])


def sum_rings(first: list[Points], second: list[Points]) -> Rings:
    """Closed rings in mm of the Minkowski sum of two sets, each given by its convex pieces."""
    sums = [(a[:, None, :] + b[None, :, :]).reshape(-1, 2) for a in first for b in second]
    sizes = np.array([len(s) for s in sums])
    owners = np.repeat(np.arange(len(sums)), sizes)
    clouds = shapely.linestrings(np.concatenate(sums), indices=owners)
    whole = shapely.union_all(shapely.convex_hull(clouds))
    rings: Rings = []
    for polygon in shapely.get_parts(whole):
        if polygon.geom_type == "Polygon":
            rings.append(np.asarray(polygon.exterior.coords))
            rings.extend(np.asarray(hole.coords) for hole in polygon.interiors)
    return rings


def fill_rings(rings: Rings, x0: float, y0: float, nx: int, ny: int, step: float) -> Mask:
    """An (nx, ny) mask: true where (x0 + i·step, y0 + j·step) lies inside the rings (even-odd)."""
    starts = np.concatenate([ring[:-1] for ring in rings])
    ends = np.concatenate([ring[1:] for ring in rings])
    sx, ex = (starts[:, 0] - x0) / step, (ends[:, 0] - x0) / step
    sy, ey = (starts[:, 1] - y0) / step, (ends[:, 1] - y0) / step
    # columns i with lower <= i < upper cross the edge: half open, so that a corner counts once
    lower = np.clip(np.ceil(np.minimum(sx, ex)), 0, nx).astype(np.int64)
    upper = np.clip(np.ceil(np.maximum(sx, ex)), 0, nx).astype(np.int64)
    counts = upper - lower
    edge = np.repeat(np.arange(len(counts)), counts)
    first = np.cumsum(counts) - counts
    column = np.arange(len(edge)) - first[edge] + lower[edge]
    run = ex - sx
    slope = np.divide(ey - sy, run, out=np.zeros_like(run), where=run != 0)
    height = sy[edge] + (column - sx[edge]) * slope[edge]
    row = np.clip(np.ceil(height), 0, ny).astype(np.int64)
    toggles = np.bincount(column * (ny + 1) + row, minlength=nx * (ny + 1)).astype(np.uint8)
    inside = np.bitwise_xor.accumulate(toggles.reshape(nx, ny + 1) & 1, axis=1)
    return inside[:, :ny].astype(np.bool_)


class NoFit:
    """No-fit polygons of a list of shapes, made when first asked for and kept."""

    def __init__(self, shapes: list[SearchShape]) -> None:
        """Nothing is computed yet."""
        self.shapes = shapes
        self._rings: dict[tuple[int, int, int], Rings] = {}

    def rings(self, one: int, two: int, turn_one: float, turn_two: float) -> Rings:
        """Rings in mm of the shifts of shape `two` that overlap shape `one`, both turned."""
        if one > two:
            return [-ring for ring in self.rings(two, one, turn_two, turn_one)]
        if self.shapes[one].round and self.shapes[two].round:
            turn_one = turn_two = 0.0
        elif self.shapes[one].round:
            turn_one = turn_two
        elif self.shapes[two].round:
            turn_two = turn_one
        relative = round((turn_two - turn_one) * 1000) % 360000
        return [turned(ring, turn_one) for ring in self._relative(one, two, relative)]

    def _relative(self, one: int, two: int, relative: int) -> Rings:
        if one == two and relative > 180000:
            # B at -a seen from A is A at a seen from B, turned back
            back = self._relative(one, two, 360000 - relative)
            return [-turned(ring, relative / 1000) for ring in back]
        key = (one, two, relative)
        if key not in self._rings:
            shapes = self.shapes
            self._rings[key] = nofit_rings(shapes[one], shapes[two], relative / 1000)
        return self._rings[key]


def box_of(rings: Rings) -> tuple[float, float, float, float]:
    """The box (min x, min y, max x, max y) of the rings, mm."""
    low = np.min([ring.min(axis=0) for ring in rings], axis=0)
    high = np.max([ring.max(axis=0) for ring in rings], axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def grid_count(length: float, step: float) -> int:
    """How many grid points lie on a stretch of `length` mm that starts at one; 0 if negative."""
    return max(0, math.floor(length / step + 1e-9) + 1)
