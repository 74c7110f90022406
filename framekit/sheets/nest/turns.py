"""Which turns a shape may have on a sheet: an even set, or the few at which it fits at all."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry import MultiPoint

from framekit.sheets.nest.shapes import Points, SearchShape, turned

EVEN_STEPS = ((1, 15.0), (6, 30.0), (12, 45.0))
"""Up to so many different shapes that are not round, turns this many degrees apart; else 90."""
_SCAN = 0.5
_FIT = 1e-9


def turns_for(shapes: list[SearchShape], room: tuple[float, float]) -> list[tuple[float, ...]]:
    """For each shape the turns in degrees at which it fits a room of width × height mm.

    Empty for a shape that fits at no turn.
    """
    crowd = sum(not shape.round for shape in shapes)
    step = next((step for most, step in EVEN_STEPS if crowd <= most), 90.0)
    return [_turns(shape, step, room) for shape in shapes]


def _turns(shape: SearchShape, step: float, room: tuple[float, float]) -> tuple[float, ...]:
    hull = _hull(shape)
    even = [step * k for k in range(round(360 / step))]
    if shape.round:
        even = [0.0]
    else:
        first = _aligned(hull) % 90.0
        if min(first, 90.0 - first) > 1.0:
            even += [round(first + 90.0 * k, 4) for k in range(4)]
    fitting = tuple(angle for angle in even if _excess(hull, angle, room) <= _FIT)
    return fitting or _rare_turns(hull, room)


def _hull(shape: SearchShape) -> Points:
    ring = shapely.convex_hull(MultiPoint(shape.exact))
    return np.asarray(shapely.get_coordinates(ring), dtype=np.float64)


def _aligned(hull: Points) -> float:
    """The turn in degrees that lays the hull's smallest rectangle along the axes."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(MultiPoint(hull)))
    if len(corners) < 2:
        return 0.0
    run = corners[1] - corners[0]
    return -math.degrees(math.atan2(float(run[1]), float(run[0])))


def _excess(hull: Points, angle: float, room: tuple[float, float]) -> float:
    """By how much in mm the turned hull is too long or too high; negative when there is play."""
    points = turned(hull, angle)
    size = points.max(axis=0) - points.min(axis=0)
    return float(max(size[0] - room[0], size[1] - room[1]))


def _rare_turns(hull: Points, room: tuple[float, float]) -> tuple[float, ...]:
    """The turns of most play, from a fine scan of half a turn; empty if nothing fits."""
    scan = np.arange(0.0, 180.0, _SCAN)
    excess = np.array([_excess(hull, float(a), room) for a in scan])
    low = (excess <= np.roll(excess, 1)) & (excess <= np.roll(excess, -1))
    found: list[float] = []
    for middle in scan[low]:
        left, right = float(middle) - _SCAN, float(middle) + _SCAN
        for _ in range(60):
            third = (right - left) / 3
            if _excess(hull, left + third, room) <= _excess(hull, right - third, room):
                right -= third
            else:
                left += third
        angle = round((left + right) / 2, 6) % 180.0
        if _excess(hull, angle, room) <= _FIT and angle not in found:
            found += [angle, angle + 180.0]
    return tuple(sorted(found))
