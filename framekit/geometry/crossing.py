"""Where the lines and arcs of paths cross one another, in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from framekit.geometry.path import Path, Point, Segment, Vertex

_SAME = 1e-6
"""Distance in mm within which points are one."""

_AT_END = 1e-3
"""Distance in mm from a shared end within which neighbours may touch."""

_NEAR = 1e-9
"""Distance in mm past its ends at which an edge is still met."""

_SMOOTH = 1e-4
"""Turn in radians below which neighbours count as tangential."""


class _Edge(NamedTuple):
    """A segment with its box and, for an arc, its circle."""

    segment: Segment
    box: tuple[float, float, float, float]
    centre: Point | None
    radius: float


def first_crossing(paths: Sequence[Path]) -> Point | None:
    """A point in mm where two edges of the paths cross or touch, or None when none do.

    Edges may share their ends, and edges that lie along one another are not told apart.

    >>> from framekit.geometry.path import Vertex
    >>> bow = Path((Vertex(0, 0), Vertex(2, 2), Vertex(2, 0), Vertex(0, 2)))
    >>> first_crossing([bow])
    (1.0, 1.0)
    """
    edges = sorted((_edge(s) for p in paths for s in p.segments), key=lambda e: e.box)
    open_edges: list[_Edge] = []
    for edge in edges:
        left, low, _, high = edge.box
        open_edges = [other for other in open_edges if other.box[2] >= left]
        for other in open_edges:
            if other.box[1] <= high and low <= other.box[3]:
                found = _crossings(other, edge)
                if found:
                    return found[0]
        open_edges.append(edge)
    return None


def _edge(segment: Segment) -> _Edge:
    start, end = Vertex(*segment.start, segment.bulge), Vertex(*segment.end)
    box = Path((start, end), closed=False).bounds
    if segment.bulge == 0.0:
        return _Edge(segment, box, None, math.inf)
    return _Edge(segment, box, segment.centre, segment.radius)


def _crossings(one: _Edge, two: _Edge) -> list[Point]:
    """The points in mm where two edges cross, their shared ends left out."""
    shared = _shared_ends(one.segment, two.segment)
    if any(smooth for _, smooth in shared):
        # Two circles, or a circle and a line, that touch at a point have no other in common.
        return []
    if one.centre is not None and two.centre is not None:
        found = circle_circle(one.centre, one.radius, two.centre, two.radius)
    elif one.centre is not None:
        found = line_circle(two.segment.start, _unit(two.segment), one.centre, one.radius)
    elif two.centre is not None:
        found = line_circle(one.segment.start, _unit(one.segment), two.centre, two.radius)
    else:
        found = line_line(
            one.segment.start, _unit(one.segment), two.segment.start, _unit(two.segment)
        )
    return [
        p
        for p in found
        if _is_on(p, one)
        and _is_on(p, two)
        and all(math.dist(p, end) > _AT_END for end, _ in shared)
    ]


def _shared_ends(one: Segment, two: Segment) -> list[tuple[Point, bool]]:
    """The ends two segments share, each with whether they have one tangent there."""
    shared = []
    for p, p_last in ((one.start, False), (one.end, True)):
        for q, q_last in ((two.start, False), (two.end, True)):
            if math.dist(p, q) <= _SAME:
                (ax, ay), (bx, by) = one.direction(p_last), two.direction(q_last)
                shared.append((p, abs(ax * by - ay * bx) < _SMOOTH))
    return shared


def _is_on(p: Point, edge: _Edge) -> bool:
    """Whether a point of an edge's whole line or circle is on the edge itself."""
    segment = edge.segment
    if edge.centre is None:
        u = _unit(segment)
        along = (p[0] - segment.start[0]) * u[0] + (p[1] - segment.start[1]) * u[1]
        return -_NEAR <= along <= segment.chord + _NEAR
    cx, cy = edge.centre
    first = math.atan2(segment.start[1] - cy, segment.start[0] - cx)
    turn = math.atan2(p[1] - cy, p[0] - cx) - first
    near = _NEAR / edge.radius
    return (math.copysign(turn, turn * segment.bulge) + near) % (2 * math.pi) <= (
        abs(segment.angle) + 2 * near
    )


def _unit(line: Segment) -> Point:
    chord = line.chord
    return ((line.end[0] - line.start[0]) / chord, (line.end[1] - line.start[1]) / chord)


def line_line(p: Point, u: Point, q: Point, v: Point) -> list[Point]:
    """The crossing in mm of the lines from p along unit vector u and q along v, if they cross."""
    sine = u[0] * v[1] - u[1] * v[0]
    if abs(sine) < 1e-12:
        return []
    k = ((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / sine
    return [(p[0] + k * u[0], p[1] + k * u[1])]


def line_circle(p: Point, u: Point, centre: Point, radius: float) -> list[Point]:
    """The crossings in mm of the line from p along unit vector u with a circle: none or two."""
    along = (centre[0] - p[0]) * u[0] + (centre[1] - p[1]) * u[1]
    height = (centre[0] - p[0]) * u[1] - (centre[1] - p[1]) * u[0]
    square = (radius - height) * (radius + height)
    if square < 0.0:
        return []
    half = math.sqrt(square)
    return [(p[0] + k * u[0], p[1] + k * u[1]) for k in (along - half, along + half)]


def circle_circle(c: Point, r: float, d: Point, s: float) -> list[Point]:
    """The crossings in mm of two circles about c and d: none or two; none for one and the same."""
    apart = math.dist(c, d)
    if apart < _SAME:
        return []
    u = ((d[0] - c[0]) / apart, (d[1] - c[1]) / apart)
    along = (apart + (r - s) * (r + s) / apart) / 2
    square = (r - along) * (r + along)
    if square < 0.0:
        return []
    half = math.sqrt(square)
    foot = (c[0] + along * u[0], c[1] + along * u[1])
    return [(foot[0] - k * u[1], foot[1] + k * u[0]) for k in (-half, half)]
