"""How long a sheet takes: path lengths over speeds, and pierces; mm and seconds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from framekit.geometry.path import Path
from framekit.spec.sections import Speeds


class Pace(NamedTuple):
    """Speeds in mm/s along cuts, marks and between paths, and seconds for each start of a cut."""

    cut: float
    mark: float
    travel: float
    pierce: float


DEFAULT_PACE = Pace(10.0, 100.0, 200.0, 0.3)
"""Middling for a small laser in 3 mm plywood (common practice, no source)."""


def pace_of(speeds: Speeds) -> Pace:
    """The speeds of a spec, defaults where it gives none."""
    return Pace(
        DEFAULT_PACE.cut if speeds.cut is None else speeds.cut,
        DEFAULT_PACE.mark if speeds.mark is None else speeds.mark,
        DEFAULT_PACE.travel if speeds.travel is None else speeds.travel,
        DEFAULT_PACE.pierce if speeds.pierce is None else speeds.pierce,
    )


class Tally(NamedTuple):
    """What the paths of a sheet come to: lengths in mm, starts of cuts, and seconds."""

    cut: float
    mark: float
    travel: float
    pierces: int
    seconds: float


def tally(paths: Sequence[tuple[Path, bool]], pace: Pace) -> Tally:
    """What paths run in order come to, from the sheet's origin; the flag says mark (not cut).

    Straight travel between the end of one path and the start of the next; no time for speeding
    up or slowing down, nor for the way back.
    """
    cuts = [path.length for path, mark in paths if not mark]
    marks = [path.length for path, mark in paths if mark]
    travels = []
    x, y = 0.0, 0.0
    for path, _ in paths:
        start = path.vertices[0]
        end = start if path.closed else path.vertices[-1]
        travels.append(math.dist((x, y), (start.x, start.y)))
        x, y = end.x, end.y
    cut, mark, travel = math.fsum(cuts), math.fsum(marks), math.fsum(travels)
    seconds = cut / pace.cut + mark / pace.mark + travel / pace.travel + len(cuts) * pace.pierce
    return Tally(cut, mark, travel, len(cuts), seconds)
