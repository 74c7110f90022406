"""Intervals with a slope for each input that varies.

An `Interval` has two ends and, for each input that varies, bounds of its slope. All ends are
rounded outward, so it holds every value the law takes in the box in exact arithmetic (Moore,
Kearfott and Cloud, Introduction to Interval Analysis, SIAM 2009, chapters 2, 3 and 5). A slope
that is exactly zero stays so.
"""

from __future__ import annotations

import math
from math import inf, nextafter
from typing import Any

Bounds = tuple[float, float]
EVERYTHING: Bounds = (-inf, inf)
ZERO: Bounds = (0.0, 0.0)


class DoubtError(ValueError):
    """A box over which something could not be proved; it may be over a smaller one."""


def outward(low: float, high: float) -> Bounds:
    """The bounds a rounding wider; an exact zero stays."""
    return (
        nextafter(low, -inf) if low else 0.0,
        nextafter(high, inf) if high else 0.0,
    )


def plus(a: Bounds, b: Bounds) -> Bounds:
    """The sum of two bounds, rounded outward; zero added to anything leaves it."""
    return a if b == ZERO else b if a == ZERO else outward(a[0] + b[0], a[1] + b[1])


def times(a: Bounds, b: Bounds) -> Bounds:
    """The product of two bounds, rounded outward; zero times anything is zero.

    >>> times((0.0, 0.0), (-inf, inf))
    (0.0, 0.0)
    """
    if a == ZERO or b == ZERO:
        return ZERO
    p, q, r, s = a[0] * b[0], a[0] * b[1], a[1] * b[0], a[1] * b[1]
    total = p + q + r + s
    if total - total != 0.0:  # an infinity; zero times infinity has no weight
        p, q, r, s = (0.0 if math.isnan(x) else x for x in (p, q, r, s))
    return outward(min(p, q, r, s), max(p, q, r, s))


class Interval:
    """An interval `low … high` and the bounds of its slope by each input."""

    __slots__ = ("high", "low", "slopes")
    __array_ufunc__ = None

    def __init__(self, low: float, high: float, slopes: tuple[Bounds, ...]) -> None:
        """Keep the interval and one slope for each input."""
        self.low = low
        self.high = high
        self.slopes = slopes

    def __add__(self, other: Any) -> Interval:
        """The sum's interval."""
        if not isinstance(other, Interval):
            if other == 0:
                return self
            low, high = self.low + other, self.high + other
            return Interval(nextafter(low, -inf), nextafter(high, inf), self.slopes)
        slopes = tuple([plus(s, t) for s, t in zip(self.slopes, other.slopes, strict=True)])
        return Interval(
            nextafter(self.low + other.low, -inf), nextafter(self.high + other.high, inf), slopes
        )

    __radd__ = __add__

    def __neg__(self) -> Interval:
        """The negative's interval."""
        return Interval(-self.high, -self.low, tuple([(-b, -a) for a, b in self.slopes]))

    def __sub__(self, other: Any) -> Interval:
        """The difference's interval."""
        return self.__add__(-other)

    def __rsub__(self, other: Any) -> Interval:
        """The difference's interval."""
        return (-self).__add__(other)

    def __mul__(self, other: Any) -> Interval:
        """The product's interval."""
        if not isinstance(other, Interval):
            if other == 1:
                return self
            point = (other, other)
            low, high = times((self.low, self.high), point)
            return Interval(low, high, tuple([times(s, point) for s in self.slopes]))
        a, b = (self.low, self.high), (other.low, other.high)
        slopes = [
            plus(times(s, b), times(a, t)) for s, t in zip(self.slopes, other.slopes, strict=True)
        ]
        low, high = times(a, b)
        return Interval(low, high, tuple(slopes))

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Interval:
        """The quotient's interval; a divisor over zero gives an infinite one."""
        if isinstance(other, Interval):
            return self * inverse(other)
        low, high = self.low / other, self.high / other
        if other < 0:
            low, high = high, low
        slopes = tuple(
            [
                ZERO if s == ZERO else outward(*(sorted((s[0] / other, s[1] / other))))
                for s in self.slopes
            ]
        )
        return Interval(nextafter(low, -inf), nextafter(high, inf), slopes)

    def __rtruediv__(self, other: Any) -> Interval:
        """The quotient's interval."""
        return inverse(self).__mul__(other)

    def __pow__(self, power: float) -> Any:
        """The interval of a power; one that is not whole takes the part from zero up."""
        if power == 0:
            return 1.0
        if power < 0:
            return inverse(self) ** -power
        x = self
        if power % 1:
            if x.high < 0:
                raise ValueError("a broken power of an interval wholly below zero")
            x = Interval(max(0.0, x.low), x.high, x.slopes)
        spans, even = x.low <= 0 <= x.high, power % 2 == 0
        ends = (x.low**power, x.high**power)
        values = (0.0 if spans and even else min(ends), max(ends))
        slopes = tuple([_power(end, power - 1) * power for end in (x.low, x.high)])
        least = 0.0 if spans and not even and power > 1 else min(slopes)
        return through(x, values, wide((least, max(slopes))))


def _power(base: float, power: float) -> float:
    """The power, infinite for a negative one of zero."""
    return inf if base == 0 and power < 0 else float(base**power)


def wide(bounds: Bounds) -> Bounds:
    """The bounds four roundings wider: what a function of the C library may be off, and more."""
    low, high = bounds
    for _ in range(4):
        low, high = nextafter(low, -inf), nextafter(high, inf)
    return (low, high)


def through(x: Interval, values: Bounds, outer: Bounds) -> Interval:
    """The interval of a function with these values and this slope over the interval `x`."""
    low, high = wide(values)
    outer = (0.0 if outer[0] == inf else outer[0], outer[1])
    return Interval(low, high, tuple([times(s, outer) for s in x.slopes]))


def unbounded(x: Interval) -> Interval:
    """Everything, with any slope by what moves the interval."""
    return Interval(-inf, inf, tuple([s if s == ZERO else EVERYTHING for s in x.slopes]))


def inverse(x: Interval) -> Interval:
    """The interval of one over it; an infinite one where it holds zero."""
    if x.low <= 0.0 <= x.high:
        return unbounded(x)
    values = (1.0 / x.high, 1.0 / x.low)
    square = times(values, values)
    return through(x, values, wide((-square[1], -square[0])))


def as_interval(x: Any, like: Interval) -> Interval:
    """The value as an interval over the same inputs as another."""
    return x if isinstance(x, Interval) else Interval(x, x, tuple([ZERO for _ in like.slopes]))


def hull(first: Interval, second: Interval) -> Interval:
    """The interval that holds both."""
    slopes = tuple(
        [
            (min(s[0], t[0]), max(s[1], t[1]))
            for s, t in zip(first.slopes, second.slopes, strict=True)
        ]
    )
    return Interval(min(first.low, second.low), max(first.high, second.high), slopes)
