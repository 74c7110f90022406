"""Namespaces of functions that laws run on: plain floats, and intervals with slopes."""

from __future__ import annotations

import math
from collections.abc import Callable
from math import inf, nextafter
from types import SimpleNamespace
from typing import Any

from framekit.constraints.intervals import (
    EVERYTHING,
    ZERO,
    Bounds,
    Interval,
    as_interval,
    hull,
    outward,
    through,
    times,
    unbounded,
    wide,
)
from framekit.geometry.profile_curve import HeightCurve

FLOATS: Any = SimpleNamespace(
    sqrt=math.sqrt,
    cbrt=math.cbrt,
    square=lambda x: x * x,
    power=lambda x, power: x**power,
    sin=math.sin,
    cos=math.cos,
    tan=math.tan,
    asin=math.asin,
    acos=math.acos,
    atan=math.atan,
    exp=math.exp,
    log=math.log,
    abs=abs,
    max=max,
    min=min,
    choose=lambda test, first, second: first if test >= 0 else second,
    curve=lambda curve, x: curve.at(x),
    curve_slope=lambda curve, x: curve.slope(x),
    made_curve=lambda make, sizes, x: make(*sizes).at(x),
    pi=math.pi,
)
"""The functions on plain floats. `power` raises to a whole power above zero, `choose` takes the
first of two when the test is not negative, `curve` the radius of a `profile_curve.HeightCurve` at a
height, `curve_slope` its slope there, and `made_curve` the radius of the curve that a function of
plain sizes makes."""


def _sqrt(x: Any) -> Any:
    if not isinstance(x, Interval):
        return math.sqrt(x)
    if x.high < 0:
        raise ValueError("the square root of an interval wholly below zero")
    low, high = math.sqrt(max(0.0, x.low)), math.sqrt(x.high)
    outer = (0.5 / high if high else 0.0, 0.5 / low if low else inf)
    slopes = tuple([times(s, outward(*outer)) for s in x.slopes])
    return Interval(max(0.0, nextafter(low, -inf)), nextafter(high, inf), slopes)


def _square(x: Any) -> Any:
    if not isinstance(x, Interval):
        return x * x
    low, high = x.low * x.low, x.high * x.high
    values = (min(low, high), max(low, high))
    if x.low <= 0 <= x.high:
        values = (0.0, values[1])
    if not values[1] and (x.low or x.high):  # a square too small for a number
        values = (values[0], nextafter(0.0, inf))
    low, high = outward(*values)
    outer = (2 * x.low, 2 * x.high)
    return Interval(low, high, tuple([times(s, outer) for s in x.slopes]))


def _rising(
    function: Callable[[float], float], slope: Callable[[float], float]
) -> Callable[[Any], Any]:
    """A function that rises everywhere, with the slopes at its ends the least and most."""

    def on(x: Any) -> Any:
        if not isinstance(x, Interval):
            return function(x)
        ends = (slope(x.low), slope(x.high))
        low, high = min(ends), max(ends)
        if x.low < 0 < x.high:
            low, high = min(low, slope(0.0)), max(high, slope(0.0))
        return through(x, (function(x.low), function(x.high)), wide((low, high)))

    return on


def _asin_slope(x: float) -> float:
    return 1.0 / math.sqrt((1.0 - x) * (1.0 + x)) if abs(x) < 1.0 else inf


def _asin(x: Any) -> Any:
    if not isinstance(x, Interval):
        return math.asin(x)
    if x.low > 1 or x.high < -1:
        raise ValueError("the arc sine of an interval wholly beyond one")
    ends = (max(-1.0, x.low), min(1.0, x.high))
    slopes = [_asin_slope(end) for end in ends]
    least = 1.0 if ends[0] <= 0 <= ends[1] else min(slopes)
    return through(x, (math.asin(ends[0]), math.asin(ends[1])), wide((least, max(slopes))))


def _log(x: Any) -> Any:
    if not isinstance(x, Interval):
        return math.log(x)
    if x.high <= 0:
        raise ValueError("the logarithm of an interval that is nowhere above zero")
    low, steepest = (math.log(x.low), 1 / x.low) if x.low > 0 else (-inf, inf)
    return through(x, (low, math.log(x.high)), wide((1 / x.high, steepest)))


def _wave(x: Interval, start: float) -> Bounds:
    """The range of a cosine whose crests lie at `start` and every turn on, over the interval."""

    def meets(first: float) -> bool:
        count = math.ceil((x.low - first) / (2 * math.pi) - 1e-9)
        return first + 2 * math.pi * count <= x.high + 1e-9

    ends = (math.cos(x.low - start), math.cos(x.high - start))
    low = -1.0 if meets(start + math.pi) else min(ends)
    high = 1.0 if meets(start) else max(ends)
    low, high = low - 1e-15 * (1 + abs(x.low)), high + 1e-15 * (1 + abs(x.high))
    return (max(-1.0, low), min(1.0, high))


def _sin(x: Any) -> Any:
    if not isinstance(x, Interval):
        return math.sin(x)
    return through(x, _wave(x, math.pi / 2), _wave(x, 0.0))


def _cos(x: Any) -> Any:
    if not isinstance(x, Interval):
        return math.cos(x)
    return through(x, _wave(x, 0.0), _wave(x, -math.pi / 2))


def _tan(x: Any) -> Any:
    if not isinstance(x, Interval):
        return math.tan(x)
    branch = math.floor(x.low / math.pi + 0.5)
    edges = (math.pi * (branch - 0.5), math.pi * (branch + 0.5))
    if x.low - edges[0] < 1e-12 or edges[1] - x.high < 1e-12:
        return unbounded(x)
    ends = (math.tan(x.low), math.tan(x.high))
    least = 1.0 if ends[0] <= 0 <= ends[1] else 1 + min(t * t for t in ends)
    return through(x, ends, wide((least, 1 + max(t * t for t in ends))))


def _abs(x: Any) -> Any:
    if not isinstance(x, Interval):
        return abs(x)
    if x.low >= 0:
        return x
    if x.high <= 0:
        return -x
    slopes = tuple([(min(-s[1], s[0]), max(-s[0], s[1])) for s in x.slopes])
    return Interval(0.0, max(-x.low, x.high), slopes)


def _max(a: Any, b: Any, *more: Any) -> Any:
    if more:
        return _max(_max(a, b), *more)
    if not isinstance(a, Interval) and not isinstance(b, Interval):
        return max(a, b)
    first = as_interval(a, b)
    second = as_interval(b, first)
    if first.low >= second.high:
        return first
    if second.low >= first.high:
        return second
    return hull(
        Interval(max(first.low, second.low), first.high, first.slopes),
        Interval(max(first.low, second.low), second.high, second.slopes),
    )


def _min(a: Any, b: Any, *more: Any) -> Any:
    return -_max(-a, -b, *[-x for x in more])


def _choose(test: Any, first: Any, second: Any) -> Any:
    if not isinstance(test, Interval):
        return first if test >= 0 else second
    if test.low >= 0:
        return first
    if test.high < 0:
        return second
    both = hull(as_interval(first, test), as_interval(second, test))
    moved = [a if a == ZERO else EVERYTHING for a in test.slopes]
    slopes = tuple(
        [(min(s[0], t[0]), max(s[1], t[1])) for s, t in zip(both.slopes, moved, strict=True)]
    )
    return Interval(both.low, both.high, slopes)


def _curve(curve: HeightCurve, x: Any) -> Any:
    if not isinstance(x, Interval):
        return curve.at(x)
    low, high = curve.extremes(x.low, x.high)
    flat, steep = curve.slope_extremes(x.low, x.high)
    # The cubics' sums are off by far under 1e-14 of their terms, which these bound.
    room, slack = 1e-14 * max(curve.radii), 1e-14 * curve.steepest
    return through(x, (low - room, high + room), wide((flat - slack, steep + slack)))


def _curve_slope(curve: HeightCurve, x: Any) -> Any:
    if not isinstance(x, Interval):
        return curve.slope(x)
    low, high = wide(curve.slope_extremes(x.low, x.high))
    slopes = tuple([s if s == ZERO else EVERYTHING for s in x.slopes])
    return Interval(low, high, slopes)


def _made_curve(make: Callable[..., HeightCurve], sizes: tuple[Any, ...], x: Any) -> Any:
    plain = [_only(size) for size in sizes]
    if None in plain:
        raise ValueError("a curve that is made for given sizes has no interval over sizes")
    return _curve(make(*plain), x)


def _only(size: Any) -> float | None:
    """The one number a size is, None for an interval of several."""
    if not isinstance(size, Interval):
        return float(size)
    fixed = size.low == size.high and all(s == ZERO for s in size.slopes)
    return size.low if fixed else None


INTERVALS: Any = SimpleNamespace(
    sqrt=_sqrt,
    cbrt=_rising(math.cbrt, lambda x: 1 / (3 * math.cbrt(x) ** 2) if x else inf),
    square=_square,
    power=lambda x, power: x**power,
    sin=_sin,
    cos=_cos,
    tan=_tan,
    asin=_asin,
    acos=lambda x: math.pi / 2 - _asin(x) if isinstance(x, Interval) else math.acos(x),
    atan=_rising(math.atan, lambda x: 1 / (1 + x * x)),
    exp=_rising(math.exp, math.exp),
    log=_log,
    abs=_abs,
    max=_max,
    min=_min,
    choose=_choose,
    curve=_curve,
    curve_slope=_curve_slope,
    made_curve=_made_curve,
    pi=math.pi,
)
"""The functions on intervals. An interval partly outside a function's domain gives that of the
part inside; one wholly outside raises ValueError, as the float does. Where the test of `choose` is
not decided over the box, the result may jump: its slopes are unbounded."""
