"""The outlines a search works with: grown by half the spacing, smoothed, and centred.

A search shape holds its part's outline with half the spacing all round, so two parts keep their
spacing when their search shapes do not overlap. It may be larger (narrow slots are closed,
arcs become few chords), never smaller.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import cast

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from framekit.sheets.nest.convex import convex_pieces
from framekit.sheets.protocol import Point

Points = NDArray[np.float64]

CLOSING = 2.0
"""Slots up to twice this width in mm, less than the spacing, are of no use to a neighbour."""
TOLERANCE = 0.25
"""How far in mm the few chords of a search shape may leave the smoothed outline."""
ROUND = 0.02
"""Corners within this share of the radius from one circle make a shape round."""


@dataclass(frozen=True)
class SearchShape:
    """A part as the search sees it.

    `centre` is the search reference in the part's own axes, mm. `exact` is the (n, 2) outline
    about that reference, `rim` the (k, 2) ccw grown outline about it and `pieces` its convex
    pieces. `area` is the rim's and `solid` the exact outline's in mm². `round` tells that turning
    makes no difference.
    """

    centre: Point
    exact: Points
    rim: Points
    pieces: tuple[Points, ...]
    area: float
    solid: float
    round: bool

    @property
    def radius(self) -> float:
        """The greatest distance in mm of the exact outline from the reference."""
        return float(np.hypot(self.exact[:, 0], self.exact[:, 1]).max())

    def extent(self, angle: float) -> tuple[float, float, float, float]:
        """The box (min x, min y, max x, max y) in mm of the exact outline turned by `angle`°."""
        turned_points = turned(self.exact, angle)
        low, high = turned_points.min(axis=0), turned_points.max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def turned(points: Points, angle: float) -> Points:
    """The (n, 2) points turned ccw by `angle` degrees about the origin."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    matrix = np.array([[c, s], [-s, c]])
    return np.asarray(points @ matrix, dtype=np.float64)


def make_shape(
    outer: tuple[Point, ...], spacing: float, tolerance: float = TOLERANCE
) -> SearchShape:
    """The search shape of an outline in mm, grown by half of `spacing` mm."""
    polygon = shapely.make_valid(Polygon(outer))
    middle = shapely.centroid(shapely.minimum_bounding_circle(polygon))
    centre = (float(middle.x), float(middle.y))
    exact = np.asarray(outer, dtype=np.float64) - np.array(centre)
    grown = _grown(Polygon(exact), spacing / 2, tolerance)
    rim = _ring(grown)
    radii = np.hypot(rim[:, 0], rim[:, 1])
    inner = shapely.distance(shapely.Point(0, 0), shapely.LinearRing(rim))
    is_round = bool(inner > 0 and radii.max() - inner < ROUND * radii.max())
    if is_round:
        rim = _circle(float(np.hypot(exact[:, 0], exact[:, 1]).max()) + spacing / 2, tolerance)
    return SearchShape(
        centre=centre,
        exact=exact,
        rim=rim,
        pieces=tuple(convex_pieces(rim)),
        area=float(Polygon(rim).area),
        solid=float(polygon.area),
        round=is_round,
    )


def _grown(polygon: Polygon, by: float, tolerance: float) -> Polygon:
    """A simple outline with few corners that holds the polygon's outer ring grown by `by` mm."""
    solid = Polygon(polygon.exterior).buffer(0)
    corner = by / math.cos(math.pi / 16)
    closed = solid.buffer(corner + CLOSING, quad_segs=8).buffer(-CLOSING / math.cos(math.pi / 32))
    grown = shapely.union(closed, solid.buffer(corner, quad_segs=4))
    ring = _largest(grown.buffer(tolerance, join_style="mitre", mitre_limit=2.0))
    needed = solid.buffer(by / math.cos(math.pi / 64), quad_segs=16)
    for share in (1.0, 0.5, 0.2):
        few = shapely.simplify(ring, tolerance * share)
        if isinstance(few, Polygon) and few.is_valid and few.covers(needed):
            return few
    return ring


def _largest(shape: Polygon | MultiPolygon) -> Polygon:
    """The outer ring of the largest polygon in a shape, filled."""
    parts = shape.geoms if isinstance(shape, MultiPolygon) else [shape]
    return Polygon(max(cast("list[Polygon]", list(parts)), key=lambda p: p.area).exterior)


def _ring(polygon: Polygon) -> Points:
    """The polygon's outer ring as a ccw (n, 2) array without the repeated end."""
    ring = np.asarray(polygon.exterior.coords, dtype=np.float64)[:-1]
    return ring if polygon.exterior.is_ccw else ring[::-1]


def _circle(radius: float, tolerance: float) -> Points:
    """Corners of a ccw polygon round the circle of `radius` mm, at most `tolerance` outside it."""
    count = max(8, math.ceil(math.pi / math.acos(radius / (radius + tolerance))))
    angles = np.arange(count) * (2 * math.pi / count)
    outer = radius / math.cos(math.pi / count)
    return np.column_stack([outer * np.cos(angles), outer * np.sin(angles)])
