"""How far parts stick out of the skin, from their outlines and the skin's radius alone; mm."""

from __future__ import annotations

import math

from framekit.geometry.path import Point
from framekit.parts.model import Part
from framekit.parts.verify.solids import SOLID_CHORD
from framekit.solution.model import Meridian

_STEPS = 32
"""Steps between a disc's faces at which the skin is looked at."""

_NEAR = 0.01
"""mm that count as on the skin, or as at the body's end."""

_TRIED = 40
"""Steps of each search for the nearest point of the skin."""


class Envelope:
    """A body's skin: a point's distance outside it, and the greatest radius of a disc."""

    def __init__(self, meridian: Meridian) -> None:
        """Keep the skin's radius, its ends and its breaks."""
        self._skin = meridian.outer
        self._low, self._high = meridian.low, meridian.high
        self._breaks = meridian.breaks

    def distance_outside(self, x: float, y: float) -> float:
        """Return a rib point's distance outside in mm, 0 inside, up to `_NEAR` from above only."""
        level = min(max(y, self._low), self._high)
        nearest = self._gap(x, y, level)
        step = nearest / _TRIED
        while nearest > _NEAR and step > _NEAR / 100:
            middle = level
            for i in range(-_TRIED, _TRIED + 1):
                z = min(max(middle + step * i, self._low), self._high)
                gap = self._gap(x, y, z)
                if gap < nearest:
                    nearest, level = gap, z
            step /= _TRIED
        return nearest

    def _gap(self, x: float, y: float, z: float) -> float:
        """The distance from a point to the body's section at the height z."""
        return math.hypot(max(0.0, x - self._skin(z)), y - z)

    def disc_limit(self, height: float, half: float) -> float:
        """Return the greatest radius in mm of a disc whose faces are `half` above and below.

        It is −∞ where a face lies past the body's end.
        """
        low, high = height - half, height + half
        if low < self._low - _NEAR or high > self._high + _NEAR:
            return -math.inf
        heights = [low + (high - low) * i / _STEPS for i in range(_STEPS + 1)]
        heights += [z for z in self._breaks if low < z < high]
        return min(self._skin(min(max(z, self._low), self._high)) for z in heights)


def protrusion_of(part: Part, envelope: Envelope) -> float:
    """Return how far a rib or a level disc sticks out of the skin in mm, 0 or less for inside."""
    points = _points(part)
    if part.kind == "rib":
        return max(0.0, *(envelope.distance_outside(x, y) for x, y in points))
    rim = max(math.hypot(x, y) for x, y in points)
    height, half = part.pose[2][3], part.thickness / 2
    limit = envelope.disc_limit(height, half)
    return rim if limit == -math.inf else rim - limit


def face_protrusion(rib: Part) -> float:
    """Return how far the edges of a rib's faces stick out past its middle plane's edge, in mm."""
    half = rib.thickness / 2
    return max([0.0, *(math.hypot(x, half) - x for x, _ in _points(rib) if x > 0)])


def _points(part: Part) -> tuple[Point, ...]:
    return part.outline.outer.polyline_within(SOLID_CHORD)
