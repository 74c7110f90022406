"""The rib's inner edge under any skin: the skin moved inward along its normal by the rib's width.

The result is a curve of its own, a radius over the height through many points of the moved skin;
parts are drawn and checks are judged by that curve. Where the skin bends more sharply than the
width allows, the moved skin folds, and the part nearest to the axis counts (the parallel curve of
any text on differential geometry, less its swallowtails).
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from itertools import pairwise

from framekit.bodies.model import width_at
from framekit.constraints.namespaces import FLOATS
from framekit.geometry.profile_curve import HeightCurve, monotone_slopes

POINTS = 240
"""Pieces of the moved skin and of the resulting curve."""
FAN = 12
"""Normals between the two sides of a corner."""

Function = Callable[[float], float]
Point = tuple[float, float]


def inner_curve(
    radius: Function,
    slope: Function,
    ends: tuple[float, float],
    widths: tuple[float, float, float],
    corners: Sequence[float] = (),
) -> HeightCurve:
    """The inner edge as a radius over the height, mm; 0 where the rib is solid to the axis.

    `radius` and `slope` of the skin take heights between the `ends`; `widths` are the rib's at the
    lower end, the middle and the upper end; `corners` are heights where the slope jumps.
    """
    moved = _moved(radius, slope, ends, widths, corners)
    low, high = ends
    heights = [_height(low, high, i / POINTS) for i in range(POINTS + 1)]
    radii = [math.inf] * len(heights)
    for (r0, z0), (r1, z1) in pairwise(moved):
        if z1 < z0:
            r0, z0, r1, z1 = r1, z1, r0, z0
        for i in range(bisect_left(heights, z0), bisect_right(heights, z1)):
            share = (heights[i] - z0) / (z1 - z0) if z1 > z0 else 0.0
            radii[i] = min(radii[i], r0 + share * (r1 - r0))
    found = tuple(max(0.0, r) if r < math.inf else 0.0 for r in radii)
    return HeightCurve(tuple(heights), found, monotone_slopes(tuple(heights), found))


def _height(low: float, high: float, share: float) -> float:
    """A height at a share of the way, 0 to 1; closer together toward both ends."""
    if share in (0.0, 1.0):
        return high if share else low
    return (low + high) / 2 + (high - low) / 2 * math.sin(math.pi * (share - 0.5))


def _moved(
    radius: Function,
    slope: Function,
    ends: tuple[float, float],
    widths: tuple[float, float, float],
    corners: Sequence[float],
) -> list[Point]:
    """Points of the moved skin from below to above, run on beyond both ends."""
    low, high = ends
    beyond = 2 * max(widths)
    near = (high - low) * 1e-7

    def width(z: float) -> float:
        return float(width_at(FLOATS, min(max(z, low), high), low, high, widths))

    def at(z: float, r: float, s: float) -> Point:
        w, size = width(z), math.hypot(1.0, s)
        return (r - w / size, z + w * s / size)

    found: list[Point] = []
    r, s = radius(low), slope(low)
    found += [at(z, r + s * (z - low), s) for z in (low - beyond, low - beyond / 2)]
    inside = sorted({_height(low, high, i / POINTS) for i in range(POINTS + 1)} | set(corners))
    for z in inside:
        if z not in corners:
            found.append(at(z, radius(z), slope(z)))
            continue
        before, after = (math.atan(slope(z + side)) for side in (-near, near))
        turns = (math.tan(before + (after - before) * i / FAN) for i in range(FAN + 1))
        found += [at(z, radius(z), turn) for turn in turns]
    r, s = radius(high), slope(high)
    found += [at(z, r + s * (z - high), s) for z in (high + beyond / 2, high + beyond)]
    return found
