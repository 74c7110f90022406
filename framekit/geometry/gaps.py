"""Paths cut open and started elsewhere: places along a path by arc length, arcs kept as arcs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from framekit.geometry.path import Path, Point, Segment, Vertex

LEAST = 1e-7
"""mm; a piece of a segment shorter than this is left out."""


@dataclass(frozen=True)
class Foot:
    """The nearest place of a path to a point: how far along, and how far away, mm."""

    along: float
    away: float


def started_at(path: Path, vertex: int) -> Path:
    """The same closed path, started at another of its vertices.

    >>> started_at(Path((Vertex(0, 0), Vertex(1, 0), Vertex(1, 1))), 1).vertices[0][:2]
    (1, 0)
    """
    return Path((*path.vertices[vertex:], *path.vertices[:vertex]), path.closed)


def nearest_vertex(path: Path, point: Point) -> int:
    """The number of the vertex nearest to a point in mm; the first of equals."""
    return min(
        range(len(path.vertices)),
        key=lambda i: (round(math.dist(path.vertices[i][:2], point), 6), i),
    )


def foot_of(path: Path, point: Point) -> Foot:
    """The place along a path that is nearest to a point in mm."""
    best = Foot(0.0, math.inf)
    before = 0.0
    for segment in path.segments:
        length = segment.length
        share = _nearest_share(segment, point)
        away = math.dist(point_of(segment, share), point)
        if away < best.away - 1e-12:
            best = Foot(before + share * length, away)
        before += length
    return best


def _nearest_share(segment: Segment, point: Point) -> float:
    """The share of a segment's length, 0 to 1, at which it is nearest to a point."""
    (x0, y0), (x1, y1) = segment.start, segment.end
    if segment.bulge == 0.0:
        square = segment.chord**2
        if square == 0.0:
            return 0.0
        share = ((point[0] - x0) * (x1 - x0) + (point[1] - y0) * (y1 - y0)) / square
        return min(1.0, max(0.0, share))
    cx, cy = segment.centre
    first = math.atan2(y0 - cy, x0 - cx)
    turn = math.atan2(point[1] - cy, point[0] - cx) - first
    angle = segment.angle
    turn = turn % (2 * math.pi) if angle > 0 else -((-turn) % (2 * math.pi))
    share = turn / angle
    if share <= 1.0:
        return share
    ends = math.dist(segment.start, point), math.dist(segment.end, point)
    return 0.0 if ends[0] <= ends[1] else 1.0


def point_of(segment: Segment, share: float) -> Point:
    """The point in mm at a share of a segment's length, 0 to 1."""
    if share <= 0.0:
        return segment.start
    if share >= 1.0:
        return segment.end
    (x0, y0), (x1, y1) = segment.start, segment.end
    if segment.bulge == 0.0:
        return (x0 + share * (x1 - x0), y0 + share * (y1 - y0))
    cx, cy = segment.centre
    at = math.atan2(y0 - cy, x0 - cx) + share * segment.angle
    return (cx + segment.radius * math.cos(at), cy + segment.radius * math.sin(at))


def point_along(path: Path, along: float) -> Point:
    """The point in mm that lies `along` mm from the path's start; a closed path goes round."""
    left = along % path.length if path.closed else along
    for segment in path.segments:
        length = segment.length
        if left <= length:
            return point_of(segment, left / length if length else 0.0)
        left -= length
    return path.segments[-1].end


def stretch(path: Path, start: float, end: float) -> Path:
    """The open path between two places along a path, in mm from its start, 0 ≤ start < end.

    `end` may lie beyond a closed path's length: then it goes on round.
    """
    vertices: list[Vertex] = []
    last: Point = (0.0, 0.0)
    before = 0.0
    rounds = 2 if path.closed else 1
    for segment in path.segments * rounds:
        length = segment.length
        low, high = max(start - before, 0.0), min(end - before, length)
        if high - low > LEAST:
            share = (high - low) / length
            bulge = math.tan(math.atan(segment.bulge) * share) if segment.bulge else 0.0
            x, y = point_of(segment, low / length)
            vertices.append(Vertex(x, y, bulge))
            last = point_of(segment, high / length)
        before += length
        if before >= end:
            break
    vertices.append(Vertex(*last))
    return Path(tuple(vertices), closed=False)


def opened(path: Path, middles: Sequence[Point], gap: float) -> tuple[Path, ...]:
    """The pieces left of a closed path when gaps of `gap` mm are cut out of it, in order round.

    `middles` are the points in mm nearest to which the gaps have their middles. The first piece
    is the one after the gap that stands first in `middles`; without gaps the path comes back.
    """
    if not middles:
        return (path,)
    length = path.length
    first = foot_of(path, middles[0]).along
    places = sorted((foot_of(path, point).along - first) % length for point in middles)
    pieces = []
    for i, place in enumerate(places):
        following = places[i + 1] if i + 1 < len(places) else length
        start = (first + place + gap / 2) % length
        if following - place - gap > LEAST:
            pieces.append(stretch(path, start, start + following - place - gap))
    return tuple(pieces)
