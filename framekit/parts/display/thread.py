"""Whether a straight thread from a hole in a rib gets out past the level plates.

The thread lies beside the rib's face. Where it comes to a plate's height it needs the plate's
bore, or has to be outside the plate's rim.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from framekit.geometry.path import Point
from framekit.parts.model import Part
from framekit.parts.shape.edges import encloses, ray_crossings


@dataclass(frozen=True)
class Thread:
    """A thread, no thicker than the hole's `diameter`, from a hole at `at` in a rib's own axes;
    mm."""

    rib: Part
    at: Point
    diameter: float

    def passes(self, plate: Part, angle: float) -> bool:
        """Return whether the thread, straight at `angle` radians from the axis, misses a plate."""
        out, up = math.sin(angle), math.cos(angle)
        radii = [
            self.at[0] + out * face / up
            for face in self._faces(plate)
            if up and face / up > 0.0  # only what the thread comes to on its way
        ]
        near, far = min(radii, default=math.inf), max(radii, default=-math.inf)
        return all(far < low or high < near for low, high in self._spans(plate))

    def reaches_apex(self, plates: Sequence[Part], ends: tuple[float, float], up: float) -> bool:
        """Return whether the thread gets straight to some point of the axis beyond the frame.

        `ends` are the frame's lowest and highest z in mm; `up` is 1 for a point above, −1 below.
        """
        x, y = self.at
        # With the apex a height h above the hole the thread is at x (1 − rise/h) from the axis;
        # each plate bars a range of 1/h, and h can be as great as one likes.
        most = 1.0 / (up * ((ends[1] if up > 0.0 else ends[0]) - y))
        barred = []
        for plate in plates:
            rises = [up * face for face in self._faces(plate) if up * face > 0.0]
            for low, high in self._spans(plate) if rises else ():
                first = min((1.0 - high / x) / rise for rise in rises)
                last = max((1.0 - low / x) / rise for rise in rises)
                barred.append((first, last))
        # If any place is free, one is just beyond a barred range or at either end.
        places = [0.0, most, *(last for _, last in barred)]
        return any(
            0.0 <= place <= most and not any(a < place < b for a, b in barred) for place in places
        )

    def _faces(self, plate: Part) -> tuple[float, float]:
        """How far along the axis a plate's two faces are from the hole."""
        middle = plate.pose[2][3] - self.at[1]
        return (middle - plate.thickness / 2, middle + plate.thickness / 2)

    def _spans(self, plate: Part) -> list[tuple[float, float]]:
        """The stretches of radius where a plate is in the way beside the rib, either side."""
        beside = (self.rib.thickness + self.diameter) / 2
        c, s = self.rib.pose[0][0], self.rib.pose[1][0]
        own = [(plate.pose[0][j] * c + plate.pose[1][j] * s) for j in (0, 1)]
        spans = []
        for side in (beside, -beside):
            spans += _stretches(plate, (-side * own[1], side * own[0]), (own[0], own[1]))
        return [(low - self.diameter / 2, high + self.diameter / 2) for low, high in spans]


def _stretches(plate: Part, start: Point, direction: Point) -> list[tuple[float, float]]:
    """The stretches of a ray that run through a plate's material."""
    paths = (plate.outline.outer, *plate.outline.holes)
    cuts = sorted(
        along
        for path in paths
        for segment in path.segments
        for along in ray_crossings(segment, start, direction)
    )
    found = []
    for low, high in pairwise([0.0, *cuts]):
        middle = (low + high) / 2
        point = (start[0] + middle * direction[0], start[1] + middle * direction[1])
        if sum(encloses(path, point) for path in paths) == 1:
            found.append((low, high))
    return found
