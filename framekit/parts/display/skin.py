"""The skin of a body of revolution as a smooth radius by height."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Point


@dataclass(frozen=True)
class Skin:
    """A body of revolution: its `radius` in mm at a height in mm from `low` to `high`.

    Heights are the frame's z. The skin is convex; it is closed at an end where its radius is 0.
    """

    radius: Callable[[float], float]
    low: float
    high: float


def skin_through(meridian: Sequence[Point]) -> Skin:
    """A smooth skin through points of a meridian, each radius and height in mm, heights rising.

    Cubic pieces with the points' own slopes in the angle v = arccos of the height, in which a
    rounded end is smooth; give at least some dozen points, close together at the ends.

    Raises:
        GeometryError: fewer than four points, or heights that do not rise.
    """
    radii, heights = [p[0] for p in meridian], [p[1] for p in meridian]
    if len(meridian) < 4 or any(b <= a for a, b in pairwise(heights)):
        raise GeometryError(
            Fault(
                "stand-meridian",
                f"A meridian of {len(meridian)} points whose heights do not all rise has no skin.",
                hint="Give four points or more, from the lower end up.",
            )
        )
    low, high = heights[0], heights[-1]
    middle, half = (low + high) / 2, (high - low) / 2
    at = [math.acos(max(-1.0, min(1.0, (middle - h) / half))) for h in heights]
    # A point past either end, mirrored, gives the slope there.
    ends_at = [-at[1], *at, 2 * math.pi - at[-2]]
    signs = [-1.0 if radii[0] == 0.0 else 1.0, -1.0 if radii[-1] == 0.0 else 1.0]
    around = [signs[0] * radii[1], *radii, signs[1] * radii[-2]]
    slopes = []
    for i in range(1, len(ends_at) - 1):
        a, b = ends_at[i] - ends_at[i - 1], ends_at[i + 1] - ends_at[i]
        one, two = (around[i] - around[i - 1]) / a, (around[i + 1] - around[i]) / b
        slopes.append((one * b + two * a) / (a + b))

    def radius(height: float) -> float:
        v = math.acos(max(-1.0, min(1.0, (middle - height) / half)))
        i = 0
        low_i, high_i = 0, len(at) - 1
        while high_i - low_i > 1:
            i = (low_i + high_i) // 2
            if at[i] <= v:
                low_i = i
            else:
                high_i = i
        step = at[low_i + 1] - at[low_i]
        t = (v - at[low_i]) / step
        return (
            radii[low_i] * (1 + 2 * t) * (1 - t) ** 2
            + slopes[low_i] * step * t * (1 - t) ** 2
            + radii[low_i + 1] * t * t * (3 - 2 * t)
            + slopes[low_i + 1] * step * t * t * (t - 1)
        )

    return Skin(radius, low, high)
