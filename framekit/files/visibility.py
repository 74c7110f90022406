"""What the eye sees of flat faces: hidden surfaces removed exactly, without sorting faces.

Sorting whole faces from back to front fails for plates that cross in slots. Here no order is
needed. Seen through a picture plane, the nearness 1/d of a flat face is a linear function of the
place on the page. Where two faces are seen one over the other, the difference of their nearness is
linear too, so one face hides the other in the part of their overlap on one side of a straight
line, or in all of it. Taking these parts off for all pairs leaves of each face exactly what is
seen of it, whatever the faces' shapes, and even where faces cross.

Faces turned away from the eye may be left out: a ray to the eye leaves every closed solid through
a face that is turned to it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
import shapely

Array = npt.NDArray[np.float64]
Shapes = npt.NDArray[np.object_]
Indices = npt.NDArray[np.int64]

GRID = 1e-3
"""Page units to which corners are rounded where regions are joined or cut: gaps left by floating
point close, and nothing that can be seen changes."""

_LEAST_AREA = 1e-7
"""Square page units below which two faces only touch."""


def visible_regions(faces: Shapes, nearness: Array, tolerance: float) -> Shapes:
    """What is seen of each of n faces on the page: polygons, perhaps several or empty, shape (n,).

    `faces` are n polygons on the page; `nearness`, shape (n, 3), has the a, b and c of each one's
    1/d = a x + b y + c. Of two faces whose nearness differs by less than `tolerance` none hides
    the other.
    """
    kept = _not_covered(faces, nearness, tolerance)
    seen: Shapes = np.full(len(faces), shapely.Polygon(), dtype=object)
    seen[kept] = faces[kept]
    hiding: dict[int, list[shapely.Geometry]] = defaultdict(list)
    for first, second, common, gap in _overlaps(faces, nearness, kept):
        low, high = float(gap.min()), float(gap.max())
        if high > tolerance:
            hiding[second].append(_side(common, nearness[first] - nearness[second], low, tolerance))
        if low < -tolerance:
            hiding[first].append(
                _side(common, nearness[second] - nearness[first], -high, tolerance)
            )
    for face, pieces in hiding.items():
        hidden = shapely.union_all(_areas(pieces), grid_size=GRID)
        seen[face] = shapely.difference(faces[face], hidden, grid_size=GRID)
    return seen


def _areas(shapes: Sequence[shapely.Geometry]) -> Shapes:
    """The polygons in the shapes, without the lines and points where faces only touch."""
    parts = shapely.get_parts(shapely.get_parts(np.array(shapes, dtype=object)))
    polygons: Shapes = parts[shapely.get_dimensions(parts) == 2]
    return polygons


def _not_covered(faces: Shapes, nearness: Array, tolerance: float) -> Indices:
    """The faces that no other covers wholly; most of a frame's small faces are behind a large one.

    What a covered face hides, the face that covers it hides too.
    """
    shapely.prepare(faces)
    area = shapely.area(faces)
    large = np.flatnonzero(area > 20.0 * np.median(area))
    tree = shapely.STRtree(faces)
    which, small = tree.query(faces[large], predicate="contains_properly")
    cover = large[which]
    covered = np.zeros(len(faces), dtype=bool)
    if len(small):
        gap = _gaps(faces[small], nearness[cover] - nearness[small])
        covered[small[[values.min() > tolerance for values in gap]]] = True
    covered |= area < _LEAST_AREA
    return np.flatnonzero(~covered)


def _overlaps(
    faces: Shapes, nearness: Array, kept: Indices
) -> list[tuple[int, int, shapely.Geometry, Array]]:
    """Every two faces that overlap on the page, their overlap, and at each of its corners by how
    much the first is nearer."""
    shapes = faces[kept]
    shapely.prepare(shapes)
    i, j = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    first, second = kept[i[i < j]], kept[j[i < j]]
    common = shapely.intersection(faces[first], faces[second])
    wide = shapely.area(common) > _LEAST_AREA
    first, second, common = first[wide], second[wide], common[wide]
    gaps = _gaps(common, nearness[first] - nearness[second])
    return list(zip(first.tolist(), second.tolist(), common, gaps, strict=True))


def _gaps(shapes: Shapes, difference: Array) -> list[Array]:
    """A linear function, one row of `difference` a shape, at the corners of each shape."""
    points, of = shapely.get_coordinates(shapes, return_index=True)
    values = (difference[of, :2] * points).sum(axis=1) + difference[of, 2]
    return np.split(values, np.flatnonzero(np.diff(of)) + 1)


def _side(
    common: shapely.Geometry, difference: Array, low: float, tolerance: float
) -> shapely.Geometry:
    """The part of an overlap where a linear function is above zero; all of it when `low`, its
    least value, is not below."""
    if low >= -tolerance:
        return common
    a, b, c = difference
    size = float(np.hypot(a, b))
    across, along = np.array((a, b)) / size, np.array((-b, a)) / size
    middle = np.array(shapely.get_coordinates(shapely.centroid(common))[0])
    start = middle - (a * middle[0] + b * middle[1] + c) / size * across
    reach = 2.0 * float(shapely.length(common))
    half = shapely.Polygon(
        [
            start - reach * along,
            start + reach * along,
            start + reach * (along + across),
            start + reach * (across - along),
        ]
    )
    return shapely.intersection(common, half)
