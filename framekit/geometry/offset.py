"""Closed paths moved outward or inward by a small distance with true lines and arcs, in mm.

A line moves sideways and stays a line; an arc keeps its centre and its radius grows or shrinks.
Where two neighbours no longer meet they are run on, or cut back, to where they do: a mitre, or
a round arc about the old corner where the mitre would be too long. This is the offset that makes
up for a cutter's width, so the distance is small against the outline; an outline too fine for it
is refused, never quietly changed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from framekit.errors import Fault, GeometryError
from framekit.geometry.crossing import circle_circle, first_crossing, line_circle, line_line
from framekit.geometry.path import Outline, Path, Point, Segment, Vertex

MITRE_LIMIT = 1.5
"""Longest mitre, from the old corner to the new, over the distance; past it the corner is round.

A square corner's is √2, and a slot's mouth at a rim is a little sharper than square. A path round
a corner gives the same part however it runs there, so a longer one would only take room."""

PATH_REACH = MITRE_LIMIT / 2
"""How far a cutter's middle goes from its part at most, over the width of the cut."""
CUT_REACH = PATH_REACH + 0.5
"""How far the cut itself goes from its part at most, over its width: half of it beyond the
middle."""

_SMOOTH = 1e-4
"""Turn in radians below which neighbours count as tangential. There the crossing of their
tangents is the crossing of the curves to within (distance · turn / 2)² / (2 · radius), under
1e-8 mm for the distances and radii of cutting, and better conditioned than the curves' own."""

_SAME = 1e-6
"""Distance in mm within which points are one."""

_STRAIGHT = 1e-7
"""Rise in mm below which an arc is moved as the line it is to any machine."""


def offset_outline(outline: Outline, distance: float) -> Outline:
    """The outline with its outer path moved outward and its holes inward by `distance` mm.

    This is the cutter's middle line when `distance` is half the width it removes. A negative
    distance undoes a positive one, where no corner was rounded.

    Raises:
        GeometryError: an edge would vanish or edges would cross.

    >>> from framekit.geometry.path import circle
    >>> ring = offset_outline(Outline(circle(20.0), (circle(10.0, clockwise=True),)), 0.1)
    >>> ring.outer.bounds[2], ring.holes[0].bounds[2]
    (20.1, 9.9)
    """
    outer = offset_path(outline.outer, distance)
    holes = tuple(offset_path(hole, -distance) for hole in outline.holes)
    if distance < 0.0:
        _refuse_crossing((outer, *holes), distance)
    return Outline(outer, holes)


def offset_path(path: Path, distance: float) -> Path:
    """The closed path moved outward of what it encloses by `distance` mm, whichever way it runs.

    Lines stay lines and arcs stay arcs about their centre, radius ± `distance`; smooth joints
    stay smooth. At a corner the neighbours meet at their exact crossing, with a round arc instead
    where that lies farther than `MITRE_LIMIT` times the distance from the corner. An arc whose
    radius becomes exactly nothing becomes a corner.

    Raises:
        GeometryError: the path is open or encloses nothing, an edge would vanish, or edges would
            cross.

    >>> square = Path((Vertex(0, 0), Vertex(10, 0), Vertex(10, 10), Vertex(0, 10)))
    >>> offset_path(square, 1.0).bounds
    (-1.0, -1.0, 11.0, 11.0)
    """
    area = path.area if path.closed else 0.0
    if area == 0.0 or not math.isfinite(area) or not math.isfinite(distance):
        raise _too_fine(distance, "The path has to be closed and enclose something.", None)
    if distance == 0.0:
        return path
    # Positive moves every edge to its right: outward when the path runs counter-clockwise.
    rightward = math.copysign(distance, distance * area)
    moved = [_moved(s, rightward) for s in path.segments if s.chord > 1e-9]
    edges = _without_points(moved, distance)
    vertices = _joined(edges, rightward, distance)
    result = Path(tuple(vertices))
    if result.area * area <= 0.0:
        raise _too_fine(distance, "Nothing would be left of it.", vertices[0][:2])
    _refuse_crossing((result,), distance)
    return result


@dataclass(frozen=True)
class _Edge:
    """A moved line or arc, not yet trimmed: its old ends, new ends, directions there
    and bulge."""

    old_start: Point
    old_end: Point
    start: Point
    end: Point
    start_direction: Point
    end_direction: Point
    centre: Point | None
    radius: float
    bulge: float


def _moved(segment: Segment, rightward: float) -> _Edge:
    bulge = segment.bulge
    if abs(bulge) * segment.chord / 2 < _STRAIGHT:
        (x0, y0), (x1, y1) = segment.start, segment.end
        chord = segment.chord
        s = e = ((x1 - x0) / chord, (y1 - y0) / chord)
        centre, radius, bulge = None, math.inf, 0.0
    else:
        s, e = segment.direction(), segment.direction(at_end=True)
        centre = segment.centre
        radius = segment.radius + math.copysign(rightward, rightward * bulge)
    return _Edge(
        segment.start,
        segment.end,
        (segment.start[0] + rightward * s[1], segment.start[1] - rightward * s[0]),
        (segment.end[0] + rightward * e[1], segment.end[1] - rightward * e[0]),
        s,
        e,
        centre,
        radius,
        bulge,
    )


def _without_points(edges: list[_Edge], distance: float) -> list[_Edge]:
    """The edges less the arcs that shrank to a point, whose neighbours now meet there."""
    kept: list[_Edge] = []
    for i, edge in enumerate(edges):
        if edge.radius <= -1e-9:
            raise _too_fine(
                distance,
                f"An arc there has a radius of only {edge.radius + abs(distance):.4g} mm.",
                edge.old_start,
            )
        if edge.radius > 1e-9:
            kept.append(edge)
            continue
        before, after = edges[i - 1], edges[(i + 1) % len(edges)]
        if math.dist(before.end, after.start) > _SAME:
            raise _too_fine(distance, "An arc there would vanish.", edge.old_start)
    return kept


def _joined(edges: list[_Edge], rightward: float, distance: float) -> list[Vertex]:
    """The vertices of the edges trimmed or run on to one another, round corners put in."""
    if not edges:
        raise _too_fine(distance, "Nothing would be left of it.", None)
    starts = [edge.start for edge in edges]
    ends = [edge.end for edge in edges]
    rounds: list[float] = [0.0] * len(edges)
    for i, edge in enumerate(edges):
        after = edges[(i + 1) % len(edges)]
        joint = _joint(edge, after, rightward, distance)
        if isinstance(joint, float):
            rounds[i] = joint
        else:
            ends[i] = starts[(i + 1) % len(edges)] = joint
    vertices: list[Vertex] = []
    for i, edge in enumerate(edges):
        bulge = _bulge(edge, starts[i], ends[i], distance)
        vertices.append(Vertex(*starts[i], bulge))
        if rounds[i]:
            vertices.append(Vertex(*ends[i], rounds[i]))
    return vertices


def _joint(one: _Edge, two: _Edge, rightward: float, distance: float) -> Point | float:
    """Where one edge now gives way to the next, or the bulge of the round arc between them."""
    (ax, ay), (bx, by) = one.end_direction, two.start_direction
    turn = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    if math.dist(one.old_end, two.old_start) > _SAME:
        # An arc between them shrank to a point, and they meet there.
        return one.end
    corner = one.old_end
    if abs(turn) < _SMOOTH:
        along = rightward / (1.0 + ax * bx + ay * by)
        return (corner[0] + along * (ay + by), corner[1] - along * (ax + bx))
    if math.pi - abs(turn) < _SMOOTH:
        raise _too_fine(distance, "The path turns straight back on itself there.", corner)
    outside = turn * rightward > 0.0
    crossing = _crossing(one, two, corner)
    reach = math.dist(crossing, corner) if crossing else math.inf
    if outside:
        if crossing is None or reach > MITRE_LIMIT * abs(rightward) * (1 + 1e-9):
            return math.tan(turn / 4)
        return crossing
    if crossing is None:
        raise _too_fine(distance, "Two edges there would no longer meet.", corner)
    return crossing


def _crossing(one: _Edge, two: _Edge, corner: Point) -> Point | None:
    """The crossing nearest the old corner of two edges' whole lines or circles, if they cross."""
    if one.centre is not None and two.centre is not None:
        found = circle_circle(one.centre, one.radius, two.centre, two.radius)
    elif one.centre is not None:
        found = line_circle(two.start, two.start_direction, one.centre, one.radius)
    elif two.centre is not None:
        found = line_circle(one.end, one.end_direction, two.centre, two.radius)
    else:
        found = line_line(one.end, one.end_direction, two.start, two.start_direction)
    return min(found, key=lambda p: math.dist(p, corner), default=None)


def _bulge(edge: _Edge, start: Point, end: Point, distance: float) -> float:
    """The bulge of an edge between its new ends; refuses one that was trimmed to nothing."""
    if edge.centre is None:
        u = edge.start_direction
        if (end[0] - start[0]) * u[0] + (end[1] - start[1]) * u[1] <= _SAME:
            raise _too_fine(distance, "An edge there would vanish.", edge.old_start)
        return 0.0
    trim = _swing(edge, edge.end, end) - _swing(edge, edge.start, start)
    if abs(trim) < 1e-12:
        return edge.bulge
    before = 4 * math.atan(edge.bulge)
    angle = before + trim
    if angle * before <= 0.0 or abs(angle) * edge.radius <= _SAME:
        raise _too_fine(distance, "An arc there would vanish.", edge.old_start)
    if abs(angle) >= 2 * math.pi:
        raise _too_fine(distance, "An arc there would close on itself.", edge.old_start)
    return math.tan(angle / 4)


def _swing(edge: _Edge, before: Point, after: Point) -> float:
    """The signed angle in radians about an arc's centre from one point of it to another."""
    assert edge.centre is not None
    x, y = before[0] - edge.centre[0], before[1] - edge.centre[1]
    u, v = after[0] - edge.centre[0], after[1] - edge.centre[1]
    return math.atan2(x * v - y * u, x * u + y * v)


def _refuse_crossing(paths: tuple[Path, ...], distance: float) -> None:
    where = first_crossing(paths)
    if where is not None:
        raise _too_fine(distance, "Its edges would cross there.", where)


def _too_fine(distance: float, reason: str, where: Point | None) -> GeometryError:
    place = f" near x {where[0]:.2f}, y {where[1]:.2f} mm" if where else ""
    return GeometryError(
        Fault(
            "offset",
            f"An outline cannot be moved by {distance:.4g} mm{place}. {reason}",
            hint="Make that feature larger, or the cutter's width smaller.",
        )
    )
