"""Smooth plane curves as chains of true arcs and lines, in mm.

The curve is cut into pieces of about equal error, and a biarc is put on each: two arcs that meet
the curve's end points and tangents and each other's tangent (Bolton, "Biarc curves",
Computer-Aided Design 7 (1975) 89-92; from memory). A biarc's error on a short piece of length h
grows as h³ times the change of curvature along the curve, so the first cuts share out
∫ |dκ/ds|^(1/3) ds, and the errors found there shift and multiply them. Pieces that still miss the
tolerance are halved.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable
from itertools import accumulate, pairwise

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Point, Vertex

Curve = Callable[[float], Point]
Place = Callable[[float], tuple[Point, Point]]
"""The point and the unit tangent at a parameter."""

Arc = tuple[Point, float]
"""An arc's start point and bulge; the next arc's start is its end."""

FIT_ERROR = 0.004
"""Default greatest distance in mm between a curve and its arcs."""

_MEASURED = 48
"""Steps over which a curve's change of curvature is measured."""

_ERROR_SHARE = 1.0 / 240.0
"""A biarc's greatest error over h³ |dκ/ds|; found by experiment on ellipses, only a first guess."""

_MOST_TURN = math.pi / 2
"""Greatest turn in radians of a first piece."""

_ROUNDS = 5
"""Times the cuts are shifted to level the errors before pieces are halved instead."""

_ROOM = 1.04
"""Pieces taken over those that just suffice if all errors were level."""

_CHECKED = 12
"""Points of each piece, less one, at which its distance is checked."""

_SAFETY = 0.95
"""Share of the tolerance that a checked point may use: the greatest distance lies between points
and is at most 2 % greater when a piece has 11 of them."""

_STRAIGHT = 1e-7
"""Rise in mm below which an arc is written as a line."""

_MOST_HALVINGS = 16


def fit_arcs(
    point_at: Curve, tangent_at: Curve, start: float, end: float, tolerance: float = FIT_ERROR
) -> tuple[Vertex, ...]:
    """The vertices of arcs and lines that stay within `tolerance` mm of a smooth plane curve.

    `point_at` gives the point in mm at a parameter; `tangent_at` the direction of growing
    parameter there, of any length but zero. The curve runs from `start` to `end`, which may be
    the lesser one. The last vertex is the curve's end and has bulge 0. A symmetric curve gives
    symmetric arcs, and parts of a circle or straight line come back as one arc or line.

    Raises:
        GeometryError: the tolerance is not positive, or the curve has no place or direction
            somewhere, or its tangents are not its own.

    >>> len(fit_arcs(lambda u: (u, 0.0), lambda u: (1.0, 0.0), 0.0, 50.0))
    2
    """
    if not (tolerance > 0.0 and math.isfinite(start) and math.isfinite(end) and start != end):
        raise GeometryError(
            Fault(
                "arc-fit",
                f"A curve from parameter {start:g} to {end:g} cannot be fitted within "
                f"{tolerance:g} mm.",
                hint="The tolerance has to be positive and the ends have to differ.",
            )
        )
    backwards = end < start

    def place(u: float) -> tuple[Point, Point]:
        point, (x, y) = point_at(u), tangent_at(u)
        size = math.hypot(x, y)
        if not (0.0 < size < math.inf and math.isfinite(point[0]) and math.isfinite(point[1])):
            raise GeometryError(
                Fault(
                    "arc-fit",
                    f"The curve has no place or no direction at parameter {u:g}.",
                    hint="Use a parameter in which the curve moves at every point.",
                )
            )
        if backwards:
            size = -size
        return point, (x / size, y / size)

    arcs = _levelled(_Fitter(point_at, place), start, end, tolerance * _SAFETY)
    if arcs is None:
        raise GeometryError(
            Fault(
                "arc-fit",
                f"The curve cannot be followed within {tolerance:g} mm.",
                hint="Check its tangents, and split it where it turns sharply.",
            )
        )
    last = point_at(end)
    merged = _merge(arcs, last)
    return (*(Vertex(p[0], p[1], b) for p, b in merged), Vertex(last[0], last[1]))


def ellipse_arcs(
    a: float, c: float, start: float, end: float, tolerance: float = FIT_ERROR
) -> tuple[Vertex, ...]:
    """The vertices of arcs that stay within `tolerance` mm of x = a cos u, y = c sin u.

    `a` and `c` are the half axes in mm; u runs from `start` to `end` in radians, at most one
    turn, either way round. A circle is one true arc, or two when it runs over 180°. The last
    vertex is the end and has bulge 0.

    Raises:
        GeometryError: a half axis is not positive, or the curve runs over more than one turn.

    >>> [round(v.bulge, 9) for v in ellipse_arcs(10.0, 10.0, 0.0, math.pi / 2)]
    [0.414213562, 0.0]
    """
    sweep = end - start
    if not (a > 0.0 and c > 0.0 and 0.0 < abs(sweep) <= 2 * math.pi + 1e-12):
        raise GeometryError(
            Fault(
                "arc-fit",
                f"There is no ellipse arc with half axes {a:g} and {c:g} mm over "
                f"{math.degrees(sweep):g}°.",
                hint="Half axes have to be positive, and the arc at most one turn.",
            )
        )

    def point_at(u: float) -> Point:
        return (a * _clean(math.cos(u)), c * _clean(math.sin(u)))

    if a == c:
        pieces = 1 if abs(sweep) <= math.pi + 1e-12 else 2
        bulge = math.tan(sweep / (4 * pieces))
        corners = [point_at(start + sweep * i / pieces) for i in range(pieces)]
        last = point_at(end)
        return (*(Vertex(x, y, bulge) for x, y in corners), Vertex(last[0], last[1]))

    def tangent_at(u: float) -> Point:
        return (-a * _clean(math.sin(u)), c * _clean(math.cos(u)))

    return fit_arcs(point_at, tangent_at, start, end, tolerance)


def _clean(value: float) -> float:
    """The cosine or sine, 0 where only rounding keeps it from 0."""
    return 0.0 if abs(value) < 1e-15 else value


def _levelled(fitter: _Fitter, start: float, end: float, most: float) -> list[Arc] | None:
    """The arcs of few pieces with about equal errors, none over `most` mm; None if there are none.

    Each round cuts anew by the errors of the round before, as an error grows with the cube of its
    piece's length.
    """
    cuts = _first_cuts(fitter.place, start, end, most)
    for _ in range(_ROUNDS):
        pieces = fitter.pieces(cuts)
        worst = max(error for _, error in pieces)
        if worst <= most:
            return [arc for arcs, _ in pieces for arc in arcs]
        # A piece far off the rule, or with no biarc at all, counts as at most 64 times too bad.
        shares = [(min(max(error / most, 1e-4), 64.0)) ** (1 / 3) for _, error in pieces]
        running = [0.0, *accumulate(shares)]
        count = max(len(pieces), math.ceil(running[-1] * _ROOM))
        cuts = _cut(running, cuts, count)
    arcs: list[Arc] = []
    for i in range(len(cuts) - 1):
        piece = fitter.halved(cuts[i], cuts[i + 1], most, _MOST_HALVINGS)
        if piece is None:
            return None
        arcs.extend(piece)
    return arcs


def _first_cuts(place: Place, start: float, end: float, most: float) -> list[float]:
    """The parameters that cut the curve into pieces of equal ∫ |dκ/ds|^(1/3) ds."""
    step = (end - start) / _MEASURED
    at = [start + step * i for i in range(_MEASURED)] + [end]
    places = [place(u) for u in at]
    lengths, turns = [], []
    for (p, s), (q, t) in pairwise(places):
        lengths.append(math.hypot(q[0] - p[0], q[1] - p[1]))
        turns.append(math.atan2(s[0] * t[1] - s[1] * t[0], s[0] * t[0] + s[1] * t[1]))
    curvature = [k / h if h > 0.0 else 0.0 for k, h in zip(turns, lengths, strict=True)]
    # From each step's middle to the next's; every step takes half of what lies at its two ends.
    roots = [
        abs(after - before) ** (1 / 3) * ((h + g) / 2) ** (2 / 3)
        for (before, after), (h, g) in zip(pairwise(curvature), pairwise(lengths), strict=True)
    ]
    roots = [roots[0], *roots, roots[-1]]
    shares = [(before + after) / 2 for before, after in pairwise(roots)]
    turn = math.fsum(abs(k) for k in turns)
    total = math.fsum(shares)
    if total < 1e-9:
        # Nothing changes along a circle or a straight line: share by the turn or the length.
        shares = [abs(k) for k in turns] if turn > 1e-9 else lengths
    count = max(
        1,
        math.ceil(turn / _MOST_TURN - 1e-9),
        math.ceil(total * (_ERROR_SHARE / most) ** (1 / 3)),
    )
    return _cut([0.0, *accumulate(shares)], at, count)


def _cut(running: list[float], at: list[float], count: int) -> list[float]:
    """The parameters that cut the curve into `count` pieces with equal shares of a running sum."""
    cuts = [at[0]]
    for i in range(1, count):
        wanted = running[-1] * i / count
        k = min(max(bisect_left(running, wanted), 1), len(at) - 1)
        width = running[k] - running[k - 1]
        share = (wanted - running[k - 1]) / width if width > 0.0 else 0.5
        cuts.append(at[k - 1] + (at[k] - at[k - 1]) * share)
    cuts.append(at[-1])
    return cuts


class _Fitter:
    """Puts biarcs on pieces of one curve and measures how far they stray from it."""

    def __init__(self, point_at: Curve, place: Place):
        self._point_at = point_at
        self.place = place

    def pieces(self, cuts: list[float]) -> list[tuple[list[Arc], float]]:
        """The arcs of every piece and their greatest distance from the curve in mm."""
        ends = [self.place(u) for u in cuts]
        return [self._piece(cuts[i : i + 2], ends[i], ends[i + 1]) for i in range(len(cuts) - 1)]

    def halved(self, start: float, end: float, most: float, halvings: int) -> list[Arc] | None:
        """The arcs of a piece, halved until none strays over `most` mm; None if that fails."""
        arcs, error = self._piece([start, end], self.place(start), self.place(end))
        if error <= most:
            return arcs
        if halvings == 0:
            return None
        middle = (start + end) / 2
        left = self.halved(start, middle, most, halvings - 1)
        if left is None:
            return None
        right = self.halved(middle, end, most, halvings - 1)
        return None if right is None else left + right

    def _piece(
        self, cuts: list[float], first: tuple[Point, Point], last: tuple[Point, Point]
    ) -> tuple[list[Arc], float]:
        arcs = _biarc(first[0], first[1], last[0], last[1])
        if arcs is None:
            return [], math.inf
        (p, first_bulge), (q, second_bulge) = arcs
        one, two = _Circle(p, q, first_bulge), _Circle(q, last[0], second_bulge)
        # A point belongs to the arc on its side of the joint's normal.
        tx, ty = two.start_direction
        step = (cuts[1] - cuts[0]) / _CHECKED
        worst = 0.0
        for i in range(1, _CHECKED):
            x, y = self._point_at(cuts[0] + step * i)
            circle = one if (x - q[0]) * tx + (y - q[1]) * ty < 0.0 else two
            error = circle.distance(x, y)
            if not error <= worst:
                worst = error if error >= 0.0 else math.inf  # not a number: the curve is broken
        return arcs, worst


class _Circle:
    """The circle or straight line that an arc lies on."""

    def __init__(self, start: Point, end: Point, bulge: float):
        dx, dy = end[0] - start[0], end[1] - start[1]
        chord = math.hypot(dx, dy)
        square = bulge * bulge
        # The chord's direction turned back by half the arc's angle, 2 atan(bulge).
        cos, sin = (1 - square) / (1 + square), 2 * bulge / (1 + square)
        ux, uy = dx / chord, dy / chord
        self.start_direction = (ux * cos + uy * sin, uy * cos - ux * sin)
        self.bulge = bulge
        if bulge:
            k = (1 - square) / (4 * bulge)
            self.x = (start[0] + end[0]) / 2 - k * dy
            self.y = (start[1] + end[1]) / 2 + k * dx
            self.radius = chord * (1 + square) / (4 * abs(bulge))
        else:
            self.x, self.y, self.radius = start[0], start[1], math.inf
            self._normal = (-uy, ux)

    def distance(self, x: float, y: float) -> float:
        """The distance in mm from a point to the circle or line."""
        if self.bulge:
            return abs(math.hypot(x - self.x, y - self.y) - self.radius)
        return abs((x - self.x) * self._normal[0] + (y - self.y) * self._normal[1])


def _biarc(p: Point, s: Point, q: Point, t: Point) -> list[Arc] | None:
    """Two arcs from p along s to q along t with equal tangent lengths; None when p and q meet.

    With control points p + d s and q − d t, a distance 2d apart, the joint is midway between
    them, so d solves 2 (1 − s·t) d² + 2 (v·(s + t)) d − v·v = 0 for v = q − p.
    """
    vx, vy = q[0] - p[0], q[1] - p[1]
    square = vx * vx + vy * vy
    along = vx * (s[0] + t[0]) + vy * (s[1] + t[1])
    spread = 2.0 * (1.0 - (s[0] * t[0] + s[1] * t[1]))
    below = along + math.sqrt(max(along * along + spread * square, 0.0))
    if square == 0.0 or below <= 0.0:
        return None
    d = square / below
    joint = (
        (p[0] + q[0] + d * (s[0] - t[0])) / 2,
        (p[1] + q[1] + d * (s[1] - t[1])) / 2,
    )
    # The tangent makes half the arc's angle with the chord, and bulge = tan(angle / 4).
    one = _half_angle_tangent(s, (joint[0] - p[0], joint[1] - p[1]))
    two = _half_angle_tangent((q[0] - joint[0], q[1] - joint[1]), t)
    if one is None or two is None:
        return None
    return [(p, one), (joint, two)]


def _half_angle_tangent(u: Point, v: Point) -> float | None:
    """The tangent of half the angle from u to v, 0 for a rise that does not count; None at 180°."""
    size = math.hypot(*u) * math.hypot(*v)
    below = size + u[0] * v[0] + u[1] * v[1]
    if below <= 1e-9 * size:
        return None
    bulge = (u[0] * v[1] - u[1] * v[0]) / below
    return 0.0 if abs(bulge) * size / 2 < _STRAIGHT else bulge


def _merge(arcs: list[Arc], last: Point) -> list[Arc]:
    """The arcs, with neighbours of one circle or line joined while they stay within 180°."""
    merged: list[Arc] = []
    for i, (start, bulge) in enumerate(arcs):
        end = arcs[i + 1][0] if i + 1 < len(arcs) else last
        if merged:
            before, bulge_before = merged[-1]
            joined = _joined(_Circle(before, start, bulge_before), _Circle(start, end, bulge), end)
            if joined is not None:
                merged[-1] = (before, joined)
                continue
        merged.append((start, bulge))
    return merged


def _joined(one: _Circle, two: _Circle, end: Point) -> float | None:
    """The bulge of both arcs as one, or None when they are not parts of one circle or line."""
    if one.bulge == 0.0 and two.bulge == 0.0:
        return 0.0
    if one.bulge * two.bulge <= 0.0:
        return None
    near = 1e-7
    if (
        abs(one.radius - two.radius) > near
        or math.hypot(one.x - two.x, one.y - two.y) > near
        or one.distance(*end) > near
    ):
        return None
    half = math.atan(one.bulge) + math.atan(two.bulge)
    return math.tan(half) if abs(half) <= math.pi / 4 + 1e-12 else None
