"""Paths of straight lines and true circular arcs, in mm, y up.

A vertex carries the bulge of the segment that leaves it: tan(a/4), where a is the arc's angle,
positive counter-clockwise, 0 for a straight line (the convention of DXF polylines, AutoCAD DXF
Reference, group code 42). Arcs stay arcs from the design to the machine; polylines are for
computing only.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

Point = tuple[float, float]

CHORD_ERROR = 0.005
"""Greatest distance in mm between an arc and the polyline that stands for it in computations."""


class Vertex(NamedTuple):
    """A corner at (x, y) in mm and the bulge of the segment that leaves it."""

    x: float
    y: float
    bulge: float = 0.0


class Segment(NamedTuple):
    """A line (bulge 0) or arc from start to end, in mm."""

    start: Point
    end: Point
    bulge: float

    @property
    def chord(self) -> float:
        """The distance from start to end in mm."""
        return math.dist(self.start, self.end)

    @property
    def angle(self) -> float:
        """The arc's signed angle in radians, 0 for a line."""
        return 4.0 * math.atan(self.bulge)

    @property
    def radius(self) -> float:
        """The arc's radius in mm, infinite for a line: c(1 + b²)/(4|b|)."""
        if self.bulge == 0.0:
            return math.inf
        return self.chord * (1.0 + self.bulge**2) / (4.0 * abs(self.bulge))

    @property
    def centre(self) -> Point:
        """The arc's centre in mm; raises ZeroDivisionError for a line."""
        (x0, y0), (x1, y1) = self.start, self.end
        k = (1.0 - self.bulge**2) / (4.0 * self.bulge)
        return ((x0 + x1) / 2 - k * (y1 - y0), (y0 + y1) / 2 + k * (x1 - x0))

    @property
    def length(self) -> float:
        """The exact length in mm."""
        if self.bulge == 0.0:
            return self.chord
        return self.radius * abs(self.angle)

    def direction(self, at_end: bool = False) -> Point:
        """The unit tangent at the start, or at the end."""
        (x0, y0), (x1, y1) = self.start, self.end
        heading = math.atan2(y1 - y0, x1 - x0)
        half = self.angle / 2
        heading += half if at_end else -half
        return (math.cos(heading), math.sin(heading))

    def points(self, chord_error: float) -> Iterator[Point]:
        """The start and the inner points of the polyline that stands for the segment."""
        yield self.start
        if self.bulge == 0.0:
            return
        radius, angle = self.radius, self.angle
        if radius <= chord_error:
            count = max(1, math.ceil(abs(angle) / (math.pi / 2)))
        else:
            step = 2.0 * math.acos(1.0 - chord_error / radius)
            count = max(1, math.ceil(abs(angle) / step - 1e-9))
        cx, cy = self.centre
        first = math.atan2(self.start[1] - cy, self.start[0] - cx)
        for i in range(1, count):
            a = first + angle * i / count
            yield (cx + radius * math.cos(a), cy + radius * math.sin(a))

    def tangent_points(self, chord_error: float) -> Iterator[Point]:
        """The start and the corners of an arc's tangents, at most `chord_error` mm off the arc."""
        radius, (cx, cy) = self.radius, self.centre
        step = 2.0 * math.acos(radius / (radius + chord_error))
        count = max(2, math.ceil(abs(self.angle) / step))
        first = math.atan2(self.start[1] - cy, self.start[0] - cx)
        far = radius / math.cos(self.angle / count / 2)
        yield self.start
        for i in range(count):
            a = first + self.angle * (i + 0.5) / count
            yield (cx + far * math.cos(a), cy + far * math.sin(a))


@dataclass(frozen=True)
class Path:
    """A closed or open chain of lines and arcs; a closed one does not repeat its first vertex."""

    vertices: tuple[Vertex, ...]
    closed: bool = True

    @cached_property
    def segments(self) -> tuple[Segment, ...]:
        """The lines and arcs in order."""
        v = self.vertices
        last = len(v) if self.closed else len(v) - 1
        return tuple(Segment(v[i][:2], v[(i + 1) % len(v)][:2], v[i].bulge) for i in range(last))

    @property
    def length(self) -> float:
        """The exact length in mm."""
        return math.fsum(s.length for s in self.segments)

    @property
    def area(self) -> float:
        """The exact signed area in mm², positive counter-clockwise: shoelace and arc segments."""
        total = []
        for s in self.segments:
            total.append((s.start[0] * s.end[1] - s.end[0] * s.start[1]) / 2)
            if s.bulge:
                total.append(s.radius**2 * (s.angle - math.sin(s.angle)) / 2)
        return math.fsum(total)

    @cached_property
    def polyline(self) -> tuple[Point, ...]:
        """The points in mm, shape (n, 2), within `CHORD_ERROR`; a closed path repeats none."""
        return self.polyline_within(CHORD_ERROR)

    def polyline_within(self, chord_error: float) -> tuple[Point, ...]:
        """The points in mm, shape (n, 2), no farther than `chord_error` mm from the true arcs."""
        points = [p for s in self.segments for p in s.points(chord_error)]
        if not self.closed:
            points.append(self.vertices[-1][:2])
        return tuple(points)

    @cached_property
    def polygon_around(self) -> tuple[Point, ...]:
        """The corners in mm, shape (n, 2), of a polygon that holds a counter-clockwise path.

        Arcs that bulge outward are replaced by their tangents, the others by chords, so nothing
        of the true outline lies outside; nothing of the polygon is farther off than
        `CHORD_ERROR`.
        """
        return tuple(
            p
            for s in self.segments
            for p in (s.tangent_points if s.bulge > 0 else s.points)(CHORD_ERROR)
        )

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """The exact least and greatest x and y in mm: (min x, min y, max x, max y)."""
        xs = [v.x for v in self.vertices]
        ys = [v.y for v in self.vertices]
        for s in self.segments:
            if not s.bulge:
                continue
            cx, cy = s.centre
            first = math.atan2(s.start[1] - cy, s.start[0] - cx)
            for quarter in range(4):
                turn = (quarter * math.pi / 2 - first) % (2 * math.pi)
                if s.bulge < 0:
                    turn -= 2 * math.pi
                if abs(turn) <= abs(s.angle):
                    xs.append(cx + s.radius * (1, 0, -1, 0)[quarter])
                    ys.append(cy + s.radius * (0, 1, 0, -1)[quarter])
        return (min(xs), min(ys), max(xs), max(ys))

    def reversed(self) -> Path:
        """The same path run the other way."""
        v = self.vertices
        if self.closed:
            turned = [
                Vertex(v[i].x, v[i].y, _minus(v[i - 1].bulge)) for i in range(len(v) - 1, -1, -1)
            ]
        else:
            turned = [
                Vertex(v[i].x, v[i].y, _minus(v[i - 1].bulge) if i else 0.0)
                for i in range(len(v) - 1, -1, -1)
            ]
        return Path(tuple(turned), self.closed)

    def moved(self, rotation: float = 0.0, x: float = 0.0, y: float = 0.0) -> Path:
        """The path turned by `rotation` degrees about the origin, then moved by x, y in mm."""
        c, s = cosine_sine(rotation)
        return Path(
            tuple(
                Vertex(c * v.x - s * v.y + x, s * v.x + c * v.y + y, v.bulge) for v in self.vertices
            ),
            self.closed,
        )


@dataclass(frozen=True)
class Outline:
    """A flat piece: an outer path, counter-clockwise, and holes, clockwise; mm, y up."""

    outer: Path
    holes: tuple[Path, ...] = ()

    @property
    def area(self) -> float:
        """The exact area in mm², holes taken off."""
        return abs(self.outer.area) - math.fsum(abs(h.area) for h in self.holes)

    @property
    def length(self) -> float:
        """The exact length of all its edges in mm."""
        return self.outer.length + math.fsum(h.length for h in self.holes)

    def moved(self, rotation: float = 0.0, x: float = 0.0, y: float = 0.0) -> Outline:
        """The outline turned by `rotation` degrees about the origin, then moved by x, y in mm."""
        return Outline(
            self.outer.moved(rotation, x, y),
            tuple(h.moved(rotation, x, y) for h in self.holes),
        )


def circle(radius: float, clockwise: bool = False) -> Path:
    """A full circle about the origin as two half-circle arcs; `radius` in mm.

    >>> round(circle(10.0).area, 6)
    314.159265
    """
    bulge = -1.0 if clockwise else 1.0
    return Path((Vertex(radius, 0.0, bulge), Vertex(-radius, 0.0, bulge)))


def rectangle(left: float, right: float, middle: float, height: float) -> Path:
    """A closed rectangle between two x in mm, `height` mm high about the y `middle`."""
    low, high = middle - height / 2, middle + height / 2
    return Path((Vertex(left, low), Vertex(right, low), Vertex(right, high), Vertex(left, high)))


def cosine_sine(degrees: float) -> Point:
    """The cosine and sine of an angle in degrees, exact at multiples of 90.

    >>> cosine_sine(90.0)
    (0.0, 1.0)
    """
    quarter, rest = divmod(degrees, 90.0)
    c, s = math.cos(math.radians(rest)), math.sin(math.radians(rest))
    for _ in range(int(quarter) % 4):
        c, s = -s, c
    return (c + 0.0, s + 0.0)


def _minus(bulge: float) -> float:
    return -bulge if bulge else 0.0
