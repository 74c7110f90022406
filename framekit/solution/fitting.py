"""Whether a part fits a rectangle, turned if need be; plain numbers in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

from framekit.spec.measure import Measure
from framekit.spec.model import FrameSpec

Point = tuple[float, float]


def stock_size(frame: FrameSpec) -> tuple[float, float]:
    """Length and width in mm of the stock a machine reaches: the sheet, where the bed covers it.

    The sheet lies on the bed the way that leaves more of it in reach.
    """
    sheet = _pair(frame.sheet.size) or _pair(frame.cutter.bed)
    bed = _pair(frame.cutter.bed) or sheet
    if sheet is None or bed is None:
        raise AssertionError("the spec model asks for a sheet's size or a bed")
    along = (min(sheet[0], bed[0]), min(sheet[1], bed[1]))
    across = (min(sheet[1], bed[0]), min(sheet[0], bed[1]))
    return max(along, across, key=lambda size: size[0] * size[1])


def _pair(size: tuple[Measure, Measure] | None) -> tuple[float, float] | None:
    return None if size is None else (size[0].value, size[1].value)


def margin_of(frame: FrameSpec) -> float:
    """The width in mm kept free along the stock's edges."""
    return 5.0 if frame.cutter.margin is None else frame.cutter.margin.value


def spacing_of(frame: FrameSpec) -> float:
    """The least gap in mm between parts."""
    return 2.0 if frame.cutter.spacing is None else frame.cutter.spacing.value


def rib_hull(a: float, c: float, pole_gap: float, count: int = 48) -> tuple[Point, ...]:
    """Points in mm on the rib's outer edge, shape (count + 1, 2), tangent polygon's corners.

    The corners lie outside the ellipse with semi-axes `a` and `c`, so their hull holds the rib.
    """
    last = math.acos(min(1.0, pole_gap / a))
    points = []
    for i in range(count):
        low, high = -last + 2 * last * i / count, -last + 2 * last * (i + 1) / count
        middle, grow = (low + high) / 2, 1 / math.cos((high - low) / 2)
        points.append((a * math.cos(middle) * grow, c * math.sin(middle) * grow))
    ends = [(pole_gap, s * c * math.sin(last)) for s in (-1.0, 1.0)]
    return (*points, *ends)


def best_fit(points: Sequence[Point], width: float, height: float) -> tuple[float, float]:
    """The greatest margin in mm and the rotation in degrees that leaves it.

    `points` has shape (n, 2) in mm; the margin is the least of width and height left over, below
    zero where the part does not fit however it is turned (in steps of one degree).
    """
    best = (-math.inf, 0.0)
    for degrees in (0, 90, *range(1, 90), *range(91, 180)):
        c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        xs = [c * x - s * y for x, y in points]
        ys = [s * x + c * y for x, y in points]
        margin = min(width - max(xs) + min(xs), height - max(ys) + min(ys))
        if margin > best[0] + 1e-9:
            best = (margin, float(degrees))
        if degrees == 90 and best[0] >= 0:
            break
    return best
