"""Where points and rays lie against the lines and arcs of a path, exactly; mm."""

from __future__ import annotations

import math

from framekit.geometry.crossing import line_circle, line_line
from framekit.geometry.path import Path, Point, Segment


def distance_to(segment: Segment, point: Point) -> float:
    """The exact distance in mm from a point to a line or arc."""
    (x, y), (x0, y0), (x1, y1) = point, segment.start, segment.end
    ends = min(math.dist(point, segment.start), math.dist(point, segment.end))
    if segment.bulge == 0.0:
        square = (x1 - x0) ** 2 + (y1 - y0) ** 2
        share = ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / square if square else -1.0
        if not 0.0 < share < 1.0:
            return ends
        return abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / math.sqrt(square)
    cx, cy = segment.centre
    turn = math.atan2(y - cy, x - cx) - math.atan2(y0 - cy, x0 - cx)
    if math.copysign(1.0, segment.bulge) * turn % (2 * math.pi) > abs(segment.angle):
        return ends
    return min(ends, abs(math.hypot(x - cx, y - cy) - segment.radius))


def ray_crossings(segment: Segment, origin: Point, direction: Point) -> list[float]:
    """How far along a ray from `origin` (unit direction) it crosses a line or arc, in mm."""
    (x0, y0), (x1, y1) = segment.start, segment.end
    if segment.bulge:
        found = line_circle(origin, direction, segment.centre, segment.radius)
    elif segment.chord:
        u = ((x1 - x0) / segment.chord, (y1 - y0) / segment.chord)
        found = line_line(origin, direction, segment.start, u)
    else:
        found = []
    return [
        along
        for p in found
        if distance_to(segment, p) < 1e-7
        and (along := (p[0] - origin[0]) * direction[0] + (p[1] - origin[1]) * direction[1]) > 0.0
    ]


def encloses(path: Path, point: Point) -> bool:
    """Whether a closed path encloses a point: crossings of a ray upward, counted exactly."""
    count = 0
    x, y = point
    for segment in path.segments:
        (x0, y0), (x1, y1) = segment.start, segment.end
        if (x0 <= x) != (x1 <= x) and y < y0 + (x - x0) * (y1 - y0) / (x1 - x0):
            count += 1
        if not segment.bulge:
            continue
        # An arc of up to half a turn lies within the circle over its chord.
        middle, chord = ((x0 + x1) / 2, (y0 + y1) / 2), (x1 - x0, y1 - y0)
        away = 4 * ((x - middle[0]) ** 2 + (y - middle[1]) ** 2)
        if abs(segment.bulge) <= 1.0 and away > chord[0] ** 2 + chord[1] ** 2:
            continue
        if _in_cap(segment.start, segment.end, segment.bulge, point):
            count += 1
    return count % 2 == 1


def _in_cap(start: Point, end: Point, bulge: float, point: Point) -> bool:
    """Whether a point lies between a chord and its arc: it sees the chord under more than the
    arc's angle at the rim (Euclid III.21)."""
    ax, ay = start[0] - point[0], start[1] - point[1]
    bx, by = end[0] - point[0], end[1] - point[1]
    sees = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    least = math.pi - 2 * math.atan(abs(bulge))
    # A counter-clockwise arc lies right of its chord, where the chord is seen clockwise.
    return -math.copysign(1.0, bulge) * sees > least
