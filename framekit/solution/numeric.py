"""Namespaces of functions that laws run on: plain floats, and bands with slopes.

A `Band` is an interval with an interval slope for each input that varies. All its ends are
rounded outward, so it holds every value the law takes in the box in exact arithmetic (Moore,
Kearfott and Cloud, Introduction to Interval Analysis, SIAM 2009, chapters 2, 3 and 5). A slope
that is exactly zero stays so.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from math import inf, nextafter
from types import SimpleNamespace
from typing import Any

FLOATS: Any = SimpleNamespace(
    sqrt=math.sqrt,
    cbrt=math.cbrt,
    square=lambda x: x * x,
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
    pi=math.pi,
)
"""The functions on plain floats; `choose` takes the first of two when the test is not negative."""

Interval = tuple[float, float]
EVERYTHING: Interval = (-inf, inf)
_ZERO: Interval = (0.0, 0.0)


def _outward(low: float, high: float) -> Interval:
    """The interval a rounding wider; an exact zero stays."""
    return (
        nextafter(low, -inf) if low else 0.0,
        nextafter(high, inf) if high else 0.0,
    )


def times(a: Interval, b: Interval) -> Interval:
    """The product of two intervals, rounded outward; zero times anything is zero.

    >>> times((0.0, 0.0), (-inf, inf))
    (0.0, 0.0)
    """
    if a == _ZERO or b == _ZERO:
        return _ZERO
    p, q, r, s = a[0] * b[0], a[0] * b[1], a[1] * b[0], a[1] * b[1]
    total = p + q + r + s
    if total - total != 0.0:  # an infinity; zero times infinity has no weight
        p, q, r, s = (0.0 if math.isnan(x) else x for x in (p, q, r, s))
    return _outward(min(p, q, r, s), max(p, q, r, s))


class Band:
    """An interval `low … high` and its slopes by each input that varies, intervals too."""

    __slots__ = ("high", "low", "slopes")
    __array_ufunc__ = None

    def __init__(self, low: float, high: float, slopes: tuple[Interval, ...]) -> None:
        """Keep the interval and one slope for each input."""
        self.low = low
        self.high = high
        self.slopes = slopes

    def __add__(self, other: Any) -> Band:
        """The sum's band."""
        if not isinstance(other, Band):
            if other == 0:
                return self
            low, high = self.low + other, self.high + other
            return Band(nextafter(low, -inf), nextafter(high, inf), self.slopes)
        slopes = tuple(
            [
                t if s == _ZERO else s if t == _ZERO else _outward(s[0] + t[0], s[1] + t[1])
                for s, t in zip(self.slopes, other.slopes, strict=True)
            ]
        )
        return Band(
            nextafter(self.low + other.low, -inf), nextafter(self.high + other.high, inf), slopes
        )

    __radd__ = __add__

    def __neg__(self) -> Band:
        """The negative's band."""
        return Band(-self.high, -self.low, tuple([(-b, -a) for a, b in self.slopes]))

    def __sub__(self, other: Any) -> Band:
        """The difference's band."""
        return self.__add__(-other)

    def __rsub__(self, other: Any) -> Band:
        """The difference's band."""
        return (-self).__add__(other)

    def __mul__(self, other: Any) -> Band:
        """The product's band."""
        if not isinstance(other, Band):
            if other == 1:
                return self
            point = (other, other)
            low, high = times((self.low, self.high), point)
            return Band(low, high, tuple([times(s, point) for s in self.slopes]))
        a, b = (self.low, self.high), (other.low, other.high)
        slopes = []
        for s, t in zip(self.slopes, other.slopes, strict=True):
            left, right = times(s, b), times(a, t)
            if left == _ZERO or right == _ZERO:
                slopes.append(left if right == _ZERO else right)
            else:
                slopes.append(_outward(left[0] + right[0], left[1] + right[1]))
        low, high = times(a, b)
        return Band(low, high, tuple(slopes))

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Band:
        """The quotient's band; a divisor over zero gives an infinite one."""
        if isinstance(other, Band):
            return self * _inverse(other)
        low, high = self.low / other, self.high / other
        if other < 0:
            low, high = high, low
        slopes = tuple(
            [
                _ZERO if s == _ZERO else _outward(*(sorted((s[0] / other, s[1] / other))))
                for s in self.slopes
            ]
        )
        return Band(nextafter(low, -inf), nextafter(high, inf), slopes)

    def __rtruediv__(self, other: Any) -> Band:
        """The quotient's band."""
        return _inverse(self).__mul__(other)

    def __pow__(self, power: float) -> Any:
        """The band of a power; one that is not whole takes the part of the band from zero up."""
        if power == 0:
            return 1.0
        if power < 0:
            return _inverse(self) ** -power
        x = self
        if power % 1:
            if x.high < 0:
                raise ValueError("a broken power of a band wholly below zero")
            x = Band(max(0.0, x.low), x.high, x.slopes)
        spans, even = x.low <= 0 <= x.high, power % 2 == 0
        ends = (x.low**power, x.high**power)
        values = (0.0 if spans and even else min(ends), max(ends))
        slopes = tuple([_power(end, power - 1) * power for end in (x.low, x.high)])
        least = 0.0 if spans and not even and power > 1 else min(slopes)
        return _through(x, values, _wide((least, max(slopes))))


def _power(base: float, power: float) -> float:
    """The power, infinite for a negative one of zero."""
    return inf if base == 0 and power < 0 else float(base**power)


def _wide(interval: Interval) -> Interval:
    """The interval four roundings wider: what a function of the C library may be off, and more."""
    low, high = interval
    for _ in range(4):
        low, high = nextafter(low, -inf), nextafter(high, inf)
    return (low, high)


def _through(x: Band, values: Interval, outer: Interval) -> Band:
    """The band of a function with these values and this slope over the band `x`."""
    low, high = _wide(values)
    outer = (0.0 if outer[0] == inf else outer[0], outer[1])
    return Band(low, high, tuple([times(s, outer) for s in x.slopes]))


def _unbounded(x: Band) -> Band:
    return Band(-inf, inf, tuple([s if s == _ZERO else EVERYTHING for s in x.slopes]))


def _inverse(x: Band) -> Band:
    if x.low <= 0.0 <= x.high:
        return _unbounded(x)
    values = (1.0 / x.high, 1.0 / x.low)
    square = times(values, values)
    return _through(x, values, _wide((-square[1], -square[0])))


def _sqrt(x: Any) -> Any:
    if not isinstance(x, Band):
        return math.sqrt(x)
    if x.high < 0:
        raise ValueError("the square root of a band wholly below zero")
    low, high = math.sqrt(max(0.0, x.low)), math.sqrt(x.high)
    outer = (0.5 / high if high else 0.0, 0.5 / low if low else inf)
    slopes = tuple([times(s, _outward(*outer)) for s in x.slopes])
    return Band(max(0.0, nextafter(low, -inf)), nextafter(high, inf), slopes)


def _square(x: Any) -> Any:
    if not isinstance(x, Band):
        return x * x
    low, high = x.low * x.low, x.high * x.high
    values = (min(low, high), max(low, high))
    if x.low <= 0 <= x.high:
        values = (0.0, values[1])
    low, high = _outward(*values)
    outer = (2 * x.low, 2 * x.high)
    return Band(low, high, tuple([times(s, outer) for s in x.slopes]))


def _rising(
    function: Callable[[float], float], slope: Callable[[float], float]
) -> Callable[[Any], Any]:
    """A function that rises everywhere, with the slopes at its ends the least and most."""

    def on(x: Any) -> Any:
        if not isinstance(x, Band):
            return function(x)
        ends = (slope(x.low), slope(x.high))
        low, high = min(ends), max(ends)
        if x.low < 0 < x.high:
            low, high = min(low, slope(0.0)), max(high, slope(0.0))
        return _through(x, (function(x.low), function(x.high)), _wide((low, high)))

    return on


def _asin_slope(x: float) -> float:
    return 1.0 / math.sqrt((1.0 - x) * (1.0 + x)) if abs(x) < 1.0 else inf


def _asin(x: Any) -> Any:
    if not isinstance(x, Band):
        return math.asin(x)
    if x.low > 1 or x.high < -1:
        raise ValueError("the arc sine of a band wholly beyond one")
    ends = (max(-1.0, x.low), min(1.0, x.high))
    slopes = [_asin_slope(end) for end in ends]
    least = 1.0 if ends[0] <= 0 <= ends[1] else min(slopes)
    return _through(x, (math.asin(ends[0]), math.asin(ends[1])), _wide((least, max(slopes))))


def _log(x: Any) -> Any:
    if not isinstance(x, Band):
        return math.log(x)
    if x.high <= 0:
        raise ValueError("the logarithm of a band that is nowhere above zero")
    low, steepest = (math.log(x.low), 1 / x.low) if x.low > 0 else (-inf, inf)
    return _through(x, (low, math.log(x.high)), _wide((1 / x.high, steepest)))


def _wave(x: Band, start: float) -> Interval:
    """The range of a cosine whose crests lie at `start` and every turn on, over the band."""

    def meets(first: float) -> bool:
        count = math.ceil((x.low - first) / (2 * math.pi) - 1e-9)
        return first + 2 * math.pi * count <= x.high + 1e-9

    ends = (math.cos(x.low - start), math.cos(x.high - start))
    low = -1.0 if meets(start + math.pi) else min(ends)
    high = 1.0 if meets(start) else max(ends)
    low, high = low - 1e-15 * (1 + abs(x.low)), high + 1e-15 * (1 + abs(x.high))
    return (max(-1.0, low), min(1.0, high))


def _sin(x: Any) -> Any:
    if not isinstance(x, Band):
        return math.sin(x)
    return _through(x, _wave(x, math.pi / 2), _wave(x, 0.0))


def _cos(x: Any) -> Any:
    if not isinstance(x, Band):
        return math.cos(x)
    return _through(x, _wave(x, 0.0), _wave(x, -math.pi / 2))


def _tan(x: Any) -> Any:
    if not isinstance(x, Band):
        return math.tan(x)
    branch = math.floor(x.low / math.pi + 0.5)
    edges = (math.pi * (branch - 0.5), math.pi * (branch + 0.5))
    if x.low - edges[0] < 1e-12 or edges[1] - x.high < 1e-12:
        return _unbounded(x)
    ends = (math.tan(x.low), math.tan(x.high))
    least = 1.0 if ends[0] <= 0 <= ends[1] else 1 + min(t * t for t in ends)
    return _through(x, ends, _wide((least, 1 + max(t * t for t in ends))))


def _abs(x: Any) -> Any:
    if not isinstance(x, Band):
        return abs(x)
    if x.low >= 0:
        return x
    if x.high <= 0:
        return -x
    slopes = tuple([(min(-s[1], s[0]), max(-s[0], s[1])) for s in x.slopes])
    return Band(0.0, max(-x.low, x.high), slopes)


def as_band(x: Any, like: Band) -> Band:
    """The value as a band over the same inputs as another."""
    return x if isinstance(x, Band) else Band(x, x, tuple([_ZERO for _ in like.slopes]))


def _max(a: Any, b: Any, *more: Any) -> Any:
    if more:
        return _max(_max(a, b), *more)
    if not isinstance(a, Band) and not isinstance(b, Band):
        return max(a, b)
    first = as_band(a, b)
    second = as_band(b, first)
    if first.low >= second.high:
        return first
    if second.low >= first.high:
        return second
    return hull(
        Band(max(first.low, second.low), first.high, first.slopes),
        Band(max(first.low, second.low), second.high, second.slopes),
    )


def hull(first: Band, second: Band) -> Band:
    """The band that holds both."""
    slopes = tuple(
        [
            (min(s[0], t[0]), max(s[1], t[1]))
            for s, t in zip(first.slopes, second.slopes, strict=True)
        ]
    )
    return Band(min(first.low, second.low), max(first.high, second.high), slopes)


def _min(a: Any, b: Any, *more: Any) -> Any:
    return -_max(-a, -b, *[-x for x in more])


def _choose(test: Any, first: Any, second: Any) -> Any:
    if not isinstance(test, Band):
        return first if test >= 0 else second
    if test.low >= 0:
        return first
    if test.high < 0:
        return second
    both = hull(as_band(first, test), as_band(second, test))
    moved = [a if a == _ZERO else EVERYTHING for a in test.slopes]
    slopes = tuple(
        [(min(s[0], t[0]), max(s[1], t[1])) for s, t in zip(both.slopes, moved, strict=True)]
    )
    return Band(both.low, both.high, slopes)


BANDS: Any = SimpleNamespace(
    sqrt=_sqrt,
    cbrt=_rising(math.cbrt, lambda x: 1 / (3 * math.cbrt(x) ** 2) if x else inf),
    square=_square,
    sin=_sin,
    cos=_cos,
    tan=_tan,
    asin=_asin,
    acos=lambda x: math.pi / 2 - _asin(x) if isinstance(x, Band) else math.acos(x),
    atan=_rising(math.atan, lambda x: 1 / (1 + x * x)),
    exp=_rising(math.exp, math.exp),
    log=_log,
    abs=_abs,
    max=_max,
    min=_min,
    choose=_choose,
    pi=math.pi,
)
"""The functions on bands. A band partly outside a function's domain gives the band of the part
inside; one wholly outside raises ValueError, as the float does. Where the test of `choose` is
not decided over the box, the result may jump: its slopes are unbounded."""
