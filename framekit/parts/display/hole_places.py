"""Where a part has room for a hole: distances from its edges and along a ray, in mm."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from framekit.geometry.path import Path, Point, Segment
from framekit.parts.model import Part
from framekit.parts.shape.edges import distance_to, encloses, ray_crossings

_STEPS = 24
"""Places tried along a ray's run in material before the best is refined."""


class _Edge(NamedTuple):
    """An edge of a part, and a circle around it: its centre and radius in mm."""

    segment: Segment
    x: float
    y: float
    reach: float


class PartRoom:
    """How much room a part has at a point: for many points of one part."""

    def __init__(self, part: Part) -> None:
        """Keep the part's edges, and the places where other parts cross it."""
        self._outer = part.outline.outer
        self._voids = [(path, path.bounds) for path in (*part.outline.holes, *part.crossings)]
        self.own: Sequence[Path] = (self._outer, *part.outline.holes)
        paths = (self._outer, *(path for path, _ in self._voids))
        self._edges = [_edge(segment) for path in paths for segment in path.segments]

    def at(self, point: Point) -> float:
        """Return how far in mm a point lies from the part's edges and from the places where other
        parts cross it; 0 when it lies off the material or in such a place."""
        x, y = point
        if not encloses(self._outer, point):
            return 0.0
        for path, (x0, y0, x1, y1) in self._voids:
            if x0 <= x <= x1 and y0 <= y <= y1 and encloses(path, point):
                return 0.0
        # Nearest first by the circles around the edges: most need no exact look.
        far = [(math.hypot(x - e.x, y - e.y) - e.reach, i) for i, e in enumerate(self._edges)]
        nearest = math.inf
        for at_least, i in sorted(far):
            if at_least >= nearest:
                break
            nearest = min(nearest, distance_to(self._edges[i].segment, point))
        return nearest


def _edge(segment: Segment) -> _Edge:
    (x0, y0), (x1, y1) = segment.start, segment.end
    # An arc of up to half a turn lies within the circle over its chord, any within two radii.
    wide = abs(segment.bulge) > 1.0
    reach = 2 * segment.radius if wide else segment.chord / 2
    return _Edge(segment, (x0 + x1) / 2, (y0 + y1) / 2, reach)


def roomiest(
    part: PartRoom, start: Point, angle: float, room: float, least: float
) -> tuple[Point, float] | None:
    """Return the point with most room on a ray across a part, and its room; None if too little.

    The ray starts at `start` in the part's own axes, `angle` radians from y toward x. Points
    nearer to its start than `least` and points with less than `room` around them do not count.
    """
    direction = (math.sin(angle), math.cos(angle))
    cuts = sorted(
        along
        for path in part.own
        for segment in path.segments
        for along in ray_crossings(segment, start, direction)
    )

    def at(along: float) -> Point:
        return (start[0] + along * direction[0], start[1] + along * direction[1])

    best: tuple[float, float] = (0.0, 0.0)
    for begin, end in zip([0.0, *cuts], cuts, strict=False):
        first = max(begin, least)
        if first > end or end - begin < 2 * room * 0.999:
            continue
        if part.at(at((begin + end) / 2)) <= 0.0:
            continue
        step = (end - first) / _STEPS
        clear, along = max((part.at(at(first + step * i)), first + step * i) for i in range(_STEPS))
        if clear + step < room:
            continue  # room grows by no more than the way along the ray
        refined = _peak(lambda x: part.at(at(x)), max(first, along - step), along + step)
        best = max(best, (clear, along), (part.at(at(refined)), refined))
    clear, along = best
    return (at(along), clear) if clear >= room - 1e-9 else None


_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
_NARROWED = 34
"""Steps of a search for a peak; they narrow it to less than a ten-millionth."""


def _peak(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a function is greatest, by golden section (any text on optimization)."""
    one, two = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    first, second = function(one), function(two)
    for _ in range(_NARROWED):
        if first < second:
            low, one, first = one, two, second
            two = low + _GOLDEN * (high - low)
            second = function(two)
        else:
            high, two, second = two, one, first
            one = high - _GOLDEN * (high - low)
            first = function(one)
    return (low + high) / 2


def clearance_at(part: Part, point: Point) -> float:
    """Return how far in mm a point of a part lies from its edges, as `PartRoom.at` does."""
    return PartRoom(part).at(point)
