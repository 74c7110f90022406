"""Arcs and lines fitted to a curve that is given as a radius over the height; mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from framekit.constraints.roots import bisect
from framekit.errors import GeometryError
from framekit.geometry.arcfit import fit_arcs
from framekit.geometry.path import Point
from framekit.parts.shape.corners import Corner
from framekit.solution.model import HeightFunction

FIT = 0.005
"""mm between the curve and its arcs; half of the 0.01 mm promised, as measured points are few."""

SHORTEST = 0.02
"""mm of height below which a piece that no arcs fit becomes a line."""

_BESIDE = 1e-9
"""mm from a break at which its slope on one side is taken."""

_STRAIGHT = 1e-12
"""Share of the radius that rounding may put a straight skin off its line."""

_SAMPLES = 24
"""Steps in which a least or greatest radius is looked for."""


def fit_curve(
    radius: HeightFunction,
    slope: HeightFunction,
    breaks: Sequence[float],
    start: float,
    stop: float,
) -> list[Corner]:
    """Return the corners of arcs fitted from one height to another, both ends included.

    `breaks` are heights where the radius or its slope may jump to another formula.
    """
    low, high = min(start, stop), max(start, stop)
    if high - low < _BESIDE:
        return [Corner(radius(start), start)]
    places = [low, *(b for b in breaks if low + 1e-6 < b < high - 1e-6), high]
    if start > stop:
        places.reverse()
    corners: list[Corner] = []
    broken = {b for p in places for b in breaks if abs(b - p) <= 1e-6}
    for one, two in pairwise(places):
        corners += _piece(radius, slope, one, two, broken)[:-1]
    return [*corners, Corner(radius(stop), stop)]


def least(radius: HeightFunction, low: float, high: float, breaks: Sequence[float]) -> float:
    """The least radius in mm between two heights, from samples and breaks."""
    return min(map(radius, _samples(low, high, breaks)))


def most(radius: HeightFunction, low: float, high: float, breaks: Sequence[float]) -> float:
    """The greatest radius in mm between two heights, from samples and breaks."""
    return max(map(radius, _samples(low, high, breaks)))


def turning_place(radius: HeightFunction, level: float, low: float, high: float) -> float:
    """A height between two, of radii below and above `level`, where the radius is `level`; mm."""
    rising = radius(low) < level
    return bisect(lambda z: (radius(z) < level) == rising, low, high)


def _samples(low: float, high: float, breaks: Sequence[float]) -> list[float]:
    even = [low + (high - low) * i / _SAMPLES for i in range(_SAMPLES)]
    return [*even, high, *(b for b in breaks if low < b < high)]


def _is_straight(radius: HeightFunction, low: float, high: float) -> bool:
    """Whether the curve between two heights is a line, by samples that lie unevenly."""
    first, last = radius(low), radius(high)
    for share in (0.11, 0.37, 0.52, 0.81):
        on_line = first + (last - first) * share
        if abs(radius(low + (high - low) * share) - on_line) > _STRAIGHT * (1.0 + abs(on_line)):
            return False
    return True


def _piece(
    radius: HeightFunction, slope: HeightFunction, start: float, stop: float, broken: set[float]
) -> list[Corner]:
    low, high = min(start, stop), max(start, stop)
    middle, half = (start + stop) / 2, (stop - start) / 2
    upward = math.copysign(1.0, half)
    ends = [low, high]
    for i, inward in ((0, 1.0), (1, -1.0)):
        if any(abs(b - ends[i]) <= 1e-6 for b in broken) or not math.isfinite(slope(ends[i])):
            ends[i] += inward * _BESIDE

    def height(u: float) -> float:
        # Points crowd toward the ends, where a skin that closes turns most.
        return min(max(middle + half * math.sin(u), low), high)

    def point_at(u: float) -> Point:
        z = height(u)
        return (radius(z), z)

    def tangent_at(u: float) -> Point:
        return (upward * slope(min(max(height(u), ends[0]), ends[1])), upward)

    if _is_straight(radius, low, high):
        return [Corner(radius(start), start), Corner(radius(stop), stop)]
    try:
        arcs = fit_arcs(point_at, tangent_at, -math.pi / 2, math.pi / 2, FIT)
    except GeometryError:
        if high - low < SHORTEST:
            return [Corner(radius(start), start), Corner(radius(stop), stop)]
        first = _piece(radius, slope, start, middle, broken)
        return [*first[:-1], *_piece(radius, slope, middle, stop, broken)]
    return [Corner(*v) for v in arcs]
