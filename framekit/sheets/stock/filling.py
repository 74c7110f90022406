"""Filling one sheet of any outline: parts laid on a raster one by one, verified exactly.

The raster only proposes places: a correlation by FFT of what is taken with the part's own cells
gives all free ones at once. Each is then tried on the exact outlines, and moved left and down as
far as it goes within a cell.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import Polygon

from framekit.sheets.protocol import NestItem, NestJob, Place
from framekit.sheets.stock.supply import Board

CELLS = 240
"""Cells along the longer side of a board."""
FINEST = 1.0
"""mm; no cell is smaller."""
STEP = 15.0
"""Degrees between the turns tried."""
TRIES = 6
"""Places tried exactly at one turn, leftmost first."""
SLIDES = 6
"""Halvings of a cell by which a part is moved left, then down."""
TIGHT = 1e-7
"""mm that a part keeps beyond the margin and spacing, for rounding."""

Mask = NDArray[np.bool_]
Copy = tuple[int, int]
"""An item's number and which of its copies."""


@dataclass
class _Kind:
    """A part to lay: its polygon at each turn about its own origin, and its cells there."""

    item: NestItem
    turns: dict[float, Polygon] = field(default_factory=dict)
    cells: dict[float, tuple[Mask, NDArray[np.complex128], float, float]] = field(
        default_factory=dict
    )

    def turned(self, angle: float) -> Polygon:
        """The exact polygon, turned."""
        if angle not in self.turns:
            whole = Polygon(self.item.outer, self.item.holes)
            self.turns[angle] = affinity.rotate(whole, angle, origin=(0, 0))
        return self.turns[angle]


def region_of(board: Board, margin: float) -> shapely.Geometry:
    """Where parts may lie on a board: at least `margin` mm inside its edge, a polygon in mm."""
    return Polygon(board.corners).buffer(-margin, join_style="mitre", mitre_limit=100.0)


def fill_board(
    board: Board,
    job: NestJob,
    wanted: Sequence[Copy],
    there: Sequence[Place] = (),
    must: bool = False,
) -> tuple[tuple[Place, ...], tuple[Copy, ...]]:
    """Places of as many of the wanted copies as one board was found to take, and the rest.

    Large parts go before small ones; the margin and spacing are the job's. What is `there` stays
    where it lies. With `must` it is all of them or none.
    """
    region = region_of(board, job.margin)
    if shapely.is_empty(region):
        return (), tuple(wanted)
    filler = _Filler(board, region, job)
    for place in there:
        filler.take(_Kind(job.items[place.item]).turned(place.rotation), place.x, place.y)
    kinds = {n: _Kind(job.items[n]) for n, _ in wanted}
    size = {n: kind.turned(0.0).area for n, kind in kinds.items()}
    order = sorted(wanted, key=lambda copy: (-round(size[copy[0]], 6), copy))
    full: set[int] = set()
    places: list[Place] = []
    left: list[Copy] = []
    for n, copy in order:
        spot = None if n in full else filler.lay(kinds[n])
        if spot is None and must:
            return (), tuple(wanted)
        if spot is None:
            full.add(n)
            left.append((n, copy))
        else:
            places.append(Place(n, copy, *spot))
    return tuple(sorted(places, key=lambda p: (p.item, p.copy))), tuple(sorted(left))


class _Filler:
    """One board being filled."""

    def __init__(self, board: Board, region: shapely.Geometry, job: NestJob) -> None:
        self.spacing = job.spacing
        self.step = max(FINEST, max(board.width, board.height) / CELLS)
        self.shape = (
            math.ceil(board.width / self.step),
            math.ceil(board.height / self.step),
        )
        self.region = region
        self.placed: list[Polygon] = []
        x = (np.arange(self.shape[0]) + 0.5) * self.step
        y = (np.arange(self.shape[1]) + 0.5) * self.step
        self.x, self.y = np.meshgrid(x, y, indexing="ij")
        shapely.prepare(region)
        self.taken = ~shapely.contains_xy(region, self.x, self.y)

    def lay(self, kind: _Kind) -> tuple[float, float, float] | None:
        """The leftmost, then lowest place found for a part: x, y in mm and its turn; or None."""
        spectrum = np.fft.rfft2(self.taken.astype(np.float64))
        best: tuple[tuple[float, float], tuple[float, float, float]] | None = None
        for k in range(round(360 / STEP)):
            found = self._at_turn(kind, k * STEP, spectrum, best[0] if best else None)
            if found is not None and (best is None or found[0] < best[0]):
                best = found
        if best is None:
            return None
        x, y, angle = best[1]
        self.take(kind.turned(angle), x, y)
        return best[1]

    def _at_turn(
        self,
        kind: _Kind,
        angle: float,
        spectrum: NDArray[np.complex128],
        beat: tuple[float, float] | None,
    ) -> tuple[tuple[float, float], tuple[float, float, float]] | None:
        cells = self._cells(kind, angle)
        if cells is None:
            return None
        mask, conjugate, x0, y0 = cells
        shared = np.fft.irfft2(spectrum * conjugate, s=self.shape)
        columns = self.shape[0] - mask.shape[0] + 1
        rows = self.shape[1] - mask.shape[1] + 1
        free = np.argwhere(shared[:columns, :rows] < 0.5)
        polygon = kind.turned(angle)
        for column, row in free[:TRIES].tolist():
            x, y = column * self.step + x0, row * self.step + y0
            right = x + polygon.bounds[2]
            if beat is not None and right - self.step > beat[0]:
                return None
            if self._is_free(affinity.translate(polygon, x, y)):
                x, y = self._slid(polygon, x, y)
                reach = (round(x + polygon.bounds[2], 3), round(y + polygon.bounds[1], 3))
                return reach, (x, y, angle)
        return None

    def _cells(
        self, kind: _Kind, angle: float
    ) -> tuple[Mask, NDArray[np.complex128], float, float] | None:
        """A turned part's cells, their spectrum, and where its origin lies from the first one."""
        if angle not in kind.cells:
            polygon = kind.turned(angle)
            left, low, right, top = polygon.bounds
            nx = math.ceil((right - left) / self.step) + 1
            ny = math.ceil((top - low) / self.step) + 1
            if nx > self.shape[0] + 1 or ny > self.shape[1] + 1:
                return None
            nx, ny = min(nx, self.shape[0]), min(ny, self.shape[1])
            grown = polygon.buffer(self.step / 4)
            shapely.prepare(grown)
            x, y = self.x[:nx, :ny] + left, self.y[:nx, :ny] + low
            mask = np.asarray(shapely.contains_xy(grown, x, y))
            spectrum = np.conj(np.fft.rfft2(mask.astype(np.float64), s=self.shape))
            kind.cells[angle] = mask, spectrum, -left, -low
        return kind.cells[angle]

    def _is_free(self, polygon: Polygon) -> bool:
        if not shapely.covers(self.region, polygon):
            return False
        if not self.placed:
            return True
        near = shapely.dwithin(np.array(self.placed, dtype=object), polygon, self.spacing + TIGHT)
        return not near.any()

    def _slid(self, polygon: Polygon, x: float, y: float) -> tuple[float, float]:
        """The place moved left and down by less than a cell, still free; ends on 0.1 µm."""
        for across in (True, False):
            by = self.step / 2
            for _ in range(SLIDES):
                trial = (x - by, y) if across else (x, y - by)
                if self._is_free(affinity.translate(polygon, *trial)):
                    x, y = trial
                by /= 2
        return x, y

    def take(self, turned: Polygon, x: float, y: float) -> None:
        """Let a part lie at a place in mm, legal or not."""
        polygon = affinity.translate(turned, x, y)
        self.placed.append(polygon)
        grown = polygon.buffer(self.spacing, quad_segs=8)
        shapely.prepare(grown)
        self.taken |= shapely.contains_xy(grown, self.x, self.y)
