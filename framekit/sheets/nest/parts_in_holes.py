"""Parts in the holes of other parts: free sheet, so it is used first.

Every hole, small ones first, takes the largest part that goes in, then whatever still fits
beside it. A part with something in its holes may itself go into a larger hole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from framekit.sheets.nest.convex import convex_pieces
from framekit.sheets.nest.nofit import nofit_rings, sum_rings
from framekit.sheets.nest.shapes import Points, SearchShape, turned
from framekit.sheets.protocol import Point

ANGLES = tuple(30.0 * k for k in range(12))
"""The turns in degrees tried for a part that is not round."""
_SPARE = 2e-3
_WALL = 0.1


@dataclass(frozen=True)
class Kind:
    """A shape of part: outline and holes in its own axes, mm, and its search shape."""

    holes: tuple[tuple[Point, ...], ...]
    shape: SearchShape


@dataclass(frozen=True)
class Held:
    """A unit in a hole: its reference point in mm and turn in degrees, from the holder's own
    reference point and axes."""

    unit: Unit
    x: float
    y: float
    angle: float


@dataclass(frozen=True)
class Unit:
    """A part and what its holes hold: `kind` counts the list of kinds."""

    kind: int
    held: tuple[Held, ...] = ()


def fill_bores(kinds: list[Kind], copies: list[int], spacing: float) -> list[Unit]:
    """The units left to lay on sheets, with all they hold, largest outline first.

    `copies` gives the number of parts of each kind, `spacing` is in mm.
    """
    order = sorted(range(len(kinds)), key=lambda k: (-kinds[k].shape.area, k))
    free: dict[int, list[Unit]] = {k: [Unit(k)] * copies[k] for k in order}
    holes = [
        (Polygon(hole).area, k, number)
        for k in order
        for number, hole in enumerate(kinds[k].holes)
        if len(hole) >= 3
    ]
    filler = _Filler(kinds, spacing)
    for _, k, number in sorted(holes):
        for i in range(copies[k]):
            if i >= len(free[k]):  # the rest already lie in other holes
                break
            holder = free[k][i]
            taken: list[Held] = []
            for other in order:
                while free[other] and (other != k or len(free[k]) > i + 1):
                    spot = filler.spot(k, number, tuple(taken), other)
                    if spot is None:
                        break
                    taken.append(Held(free[other].pop(), *spot))
            if taken:
                free[k][i] = Unit(k, holder.held + tuple(taken))
            else:
                break  # an equal hole will stay as empty
    return [unit for k in order for unit in free[k]]


@dataclass
class _Filler:
    """Looks for room in holes and remembers the answers."""

    kinds: list[Kind]
    spacing: float
    _known: dict[object, tuple[float, float, float] | None] = field(default_factory=dict)
    _rooms: dict[tuple[int, int, int, float], BaseGeometry] = field(default_factory=dict)

    def spot(
        self, holder: int, hole: int, taken: tuple[Held, ...], other: int
    ) -> tuple[float, float, float] | None:
        """Where the other kind goes into a hole beside what it has taken: x, y, turn; or None."""
        key = (holder, hole, other, tuple((h.unit.kind, h.x, h.y, h.angle) for h in taken))
        if key not in self._known:
            self._known[key] = self._look(holder, hole, taken, other)
        return self._known[key]

    def _look(
        self, holder: int, hole: int, taken: tuple[Held, ...], other: int
    ) -> tuple[float, float, float] | None:
        shape = self.kinds[other].shape
        ring = np.array(self.kinds[holder].holes[hole]) - np.array(self.kinds[holder].shape.centre)
        bore = Polygon(ring).buffer(0)
        room = bore.area - sum(self.kinds[h.unit.kind].shape.area for h in taken)
        longest = shapely.minimum_bounding_radius(bore)
        if shape.area > room or _diameter(shape) > 2 * longest:
            return None
        for angle in (0.0,) if shape.round else ANGLES:
            key = (holder, hole, other, angle)
            if key not in self._rooms:
                self._rooms[key] = _room(bore, shape, angle, self.spacing)
            region = self._rooms[key]
            for held in taken:
                if region.is_empty:
                    break
                barred = _barred(self.kinds[held.unit.kind].shape, held, shape, angle)
                region = shapely.difference(region, barred)
            if not region.is_empty:
                corners = shapely.get_coordinates(region)
                x, y = min((round(float(b), 6), round(float(a), 6)) for a, b in corners)[::-1]
                return x, y, angle
        return None


def _diameter(shape: SearchShape) -> float:
    """The longest extent of the exact outline, mm, over a few directions: a lower bound."""
    extents = (shape.extent(angle) for angle in range(0, 180, 15))
    return max(high - low for low, _, high, _ in extents)


def _room(bore: Polygon, shape: SearchShape, angle: float, spacing: float) -> BaseGeometry:
    """All reference points in mm at which the turned shape keeps its spacing inside a bore."""
    if shape.round:
        radius = shape.radius + spacing
        return bore.buffer(-(radius + _SPARE) / math.cos(math.pi / 128), quad_segs=32)
    inner = bore.buffer(-spacing / 2 - _SPARE - _WALL)
    inner = shapely.simplify(inner, _WALL)
    if inner.is_empty:
        return inner
    x0, y0, x1, y1 = bore.bounds
    reach = max(x1 - x0, y1 - y0) + _diameter(shape)
    middle = (x0 + x1) / 2
    box = shapely.box(x0 - reach, y0 - reach, x1 + reach, y1 + reach)
    walls = shapely.difference(box, inner)
    pieces: list[Points] = []
    for side in (
        shapely.box(x0 - reach, y0 - reach, middle, y1 + reach),
        shapely.box(middle, y0 - reach, x1 + reach, y1 + reach),
    ):
        half = shapely.intersection(walls, side)
        for part in half.geoms if isinstance(half, MultiPolygon) else [half]:
            if isinstance(part, Polygon) and not part.interiors:
                ring = np.asarray(part.exterior.coords)[:-1]
                pieces += convex_pieces(ring if part.exterior.is_ccw else ring[::-1])
    rings = sum_rings(pieces, [-turned(piece, angle) for piece in shape.pieces])
    barred = _even_odd(rings)
    return shapely.difference(bore, barred.buffer(_SPARE))


def _barred(standing: SearchShape, held: Held, shape: SearchShape, angle: float) -> BaseGeometry:
    """Reference points in mm at which the shape comes too near to one already held."""
    rings = nofit_rings(standing, shape, angle - held.angle)
    moved = [turned(ring, held.angle) + np.array([held.x, held.y]) for ring in rings]
    return _even_odd(moved).buffer(_SPARE)


def _even_odd(rings: list[Points]) -> BaseGeometry:
    region: BaseGeometry = Polygon()
    for ring in rings:
        region = shapely.symmetric_difference(region, Polygon(ring).buffer(0))
    return region
