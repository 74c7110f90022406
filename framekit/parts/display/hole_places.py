"""Where a part has room for a hole: distances from its edges and along a ray, in mm."""

from __future__ import annotations

import math

from framekit.geometry.path import Point
from framekit.parts.model import Part
from framekit.parts.shape.edges import distance_to, encloses, ray_crossings

_STEPS = 24
"""Places tried along a ray's run in material before the best is refined."""


def roomiest(
    part: Part, start: Point, angle: float, room: float, least: float
) -> tuple[Point, float] | None:
    """Return the point with most room on a ray across a part, and its room; None if too little.

    The ray starts at `start` in the part's own axes, `angle` radians from y toward x. Points
    nearer to its start than `least` and points with less than `room` around them do not count.
    """
    direction = (math.sin(angle), math.cos(angle))
    cuts = sorted(
        along
        for path in (part.outline.outer, *part.outline.holes)
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
        if clearance_at(part, at((begin + end) / 2)) <= 0.0:
            continue
        step = (end - first) / _STEPS
        clear, along = max(
            (clearance_at(part, at(first + step * i)), first + step * i) for i in range(_STEPS)
        )
        if clear + step < room:
            continue  # room grows by no more than the way along the ray
        low, high = max(first, along - step), along + step
        for _ in range(40):
            one, two = low + 0.382 * (high - low), low + 0.618 * (high - low)
            if clearance_at(part, at(one)) < clearance_at(part, at(two)):
                low = one
            else:
                high = two
        refined = (low + high) / 2
        clear, along = max((clear, along), (clearance_at(part, at(refined)), refined))
        best = max(best, (clear, along))
    clear, along = best
    return (at(along), clear) if clear >= room - 1e-9 else None


def clearance_at(part: Part, point: Point) -> float:
    """Return how far in mm a point of a part lies from its edges and from the places where other
    parts cross it; 0 when it lies off the material or in such a place."""
    outline = part.outline
    if not encloses(outline.outer, point):
        return 0.0
    voids = (*outline.holes, *part.crossings)
    if any(encloses(path, point) for path in voids):
        return 0.0
    return min(
        distance_to(segment, point) for path in (outline.outer, *voids) for segment in path.segments
    )
