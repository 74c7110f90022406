"""How far two outlines differ: by area, by distance, vertex by vertex; mm."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from framekit.geometry.path import Outline, Path, Vertex

if TYPE_CHECKING:
    from shapely import Polygon


def area_between(one: Outline, other: Outline, chord_error: float = 1e-3) -> float:
    """The area in mm² that lies in one outline and not in the other.

    Arcs are compared as polylines within `chord_error` mm, so arcs that differ only in where they
    are cut up give about `chord_error` times their length.

    >>> from framekit.geometry.path import circle
    >>> round(area_between(Outline(circle(10.0)), Outline(circle(9.0))), 1)
    59.7
    """
    return float(_polygon(one, chord_error).symmetric_difference(_polygon(other, chord_error)).area)


def greatest_distance(one: Outline, other: Outline, chord_error: float = 1e-3) -> float:
    """The greatest distance in mm from an edge of either outline to the nearest of the other.

    This is the Hausdorff distance of the edges, taken at points no farther apart than a hundredth
    of the longer outline's extent; arcs are polylines within `chord_error` mm.
    """
    import shapely  # lazily: 0.1 s to load, and only comparing needs it

    a, b = _polygon(one, chord_error).boundary, _polygon(other, chord_error).boundary
    low_x, low_y, high_x, high_y = shapely.total_bounds([a, b])
    step = math.hypot(high_x - low_x, high_y - low_y) / 100
    worst = 0.0
    for edges, against in ((a, b), (b, a)):
        points = shapely.points(shapely.get_coordinates(shapely.segmentize(edges, step)))
        worst = max(worst, float(shapely.distance(points, against).max()))
    return worst


def same_path(one: Path, other: Path, tolerance: float = 1e-6) -> bool:
    """Whether two paths have the same vertices in the same order, wherever a closed one starts.

    Points may be `tolerance` mm apart, and so may the middles of their lines and arcs.

    >>> same_path(Path((Vertex(0, 0), Vertex(1, 0), Vertex(0, 1))),
    ...           Path((Vertex(0, 1), Vertex(0, 0), Vertex(1, 0))))
    True
    """
    a, b = one.vertices, other.vertices
    if one.closed != other.closed or len(a) != len(b):
        return False
    starts = range(len(b)) if one.closed else range(1)
    return any(_same_from(a, b, start, tolerance, one.closed) for start in starts)


def _same_from(
    a: tuple[Vertex, ...], b: tuple[Vertex, ...], start: int, tolerance: float, closed: bool
) -> bool:
    for i, v in enumerate(a):
        w = b[(start + i) % len(b)]
        if math.hypot(v.x - w.x, v.y - w.y) > tolerance:
            return False
        if i + 1 < len(a) or closed:
            # An arc's middle rises by half its chord times its bulge.
            chord = math.hypot(a[(i + 1) % len(a)].x - v.x, a[(i + 1) % len(a)].y - v.y)
            if abs(v.bulge - w.bulge) * chord / 2 > tolerance:
                return False
    return True


def _polygon(outline: Outline, chord_error: float) -> Polygon:
    from shapely import Polygon  # lazily, as above

    return Polygon(
        outline.outer.polyline_within(chord_error),
        [hole.polyline_within(chord_error) for hole in outline.holes],
    )
