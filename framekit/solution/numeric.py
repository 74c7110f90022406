"""Namespaces of functions the generated laws run on: plain floats, and bands with slopes.

A `Band` is an interval with an interval slope for each toleranced input. Where a slope's sign is
certain over the whole box, the extreme lies in a corner, and the law evaluated there in floats is
the exact bound (Moore, Kearfott and Cloud, Introduction to Interval Analysis, SIAM 2009,
section 6.4).
"""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

FLOATS: Any = SimpleNamespace(
    sqrt=math.sqrt,
    cbrt=lambda x: math.copysign(abs(x) ** (1.0 / 3.0), x),
    square=lambda x: x * x,
    sin=math.sin,
    cos=math.cos,
    tan=math.tan,
    asin=math.asin,
    acos=math.acos,
    atan=math.atan,
    abs=abs,
    max=max,
    min=min,
    choose=lambda test, first, second: first if test >= 0 else second,
    pi=math.pi,
)
"""The functions on plain floats; `choose` takes the first of two when the test is not negative."""

Interval = tuple[float, float]
_ZERO: Interval = (0.0, 0.0)


def _times(a: Interval, b: Interval) -> Interval:
    products = (a[0] * b[0], a[0] * b[1], a[1] * b[0], a[1] * b[1])
    return (min(products), max(products))


class Band:
    """An interval `low … high` and its slopes by each toleranced input, intervals too."""

    __slots__ = ("high", "low", "slopes")
    __array_ufunc__ = None

    def __init__(self, low: float, high: float, slopes: tuple[Interval, ...]) -> None:
        """Keep the interval and one slope for each input."""
        self.low = low
        self.high = high
        self.slopes = slopes

    def _other(self, value: Any) -> Band:
        if isinstance(value, Band):
            return value
        return Band(value, value, tuple(_ZERO for _ in self.slopes))

    def __add__(self, other: Any) -> Band:
        """The sum's band."""
        o = self._other(other)
        slopes = tuple(
            (a[0] + b[0], a[1] + b[1]) for a, b in zip(self.slopes, o.slopes, strict=True)
        )
        return Band(self.low + o.low, self.high + o.high, slopes)

    __radd__ = __add__

    def __neg__(self) -> Band:
        """The negative's band."""
        return Band(-self.high, -self.low, tuple((-b, -a) for a, b in self.slopes))

    def __sub__(self, other: Any) -> Band:
        """The difference's band."""
        return self + (-self._other(other))

    def __rsub__(self, other: Any) -> Band:
        """The difference's band."""
        return self._other(other) + (-self)

    def __mul__(self, other: Any) -> Band:
        """The product's band."""
        o = self._other(other)
        low, high = _times((self.low, self.high), (o.low, o.high))
        slopes = []
        for a, b in zip(self.slopes, o.slopes, strict=True):
            left, right = _times(a, (o.low, o.high)), _times((self.low, self.high), b)
            slopes.append((left[0] + right[0], left[1] + right[1]))
        return Band(low, high, tuple(slopes))

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Band:
        """The quotient's band; a divisor over zero gives an infinite one."""
        o = self._other(other)
        if o.low <= 0.0 <= o.high:
            return _unbounded(len(self.slopes))
        inverse = (1.0 / o.high, 1.0 / o.low)
        square = _times(inverse, inverse)
        slopes = tuple(_times((-s[1], -s[0]), square) for s in o.slopes)
        return self * Band(*inverse, slopes)

    def __rtruediv__(self, other: Any) -> Band:
        """The quotient's band."""
        return self._other(other) / self

    def __pow__(self, power: int) -> Band:
        """The band of a small whole power."""
        result = self
        for _ in range(power - 1):
            result = result * self
        return result


def _unbounded(count: int) -> Band:
    everything = (-math.inf, math.inf)
    return Band(-math.inf, math.inf, tuple(everything for _ in range(count)))


def _sqrt(x: Any) -> Any:
    if not isinstance(x, Band):
        return math.sqrt(x)
    low, high = math.sqrt(max(0.0, x.low)), math.sqrt(max(0.0, x.high))
    outer = (0.5 / high if high else math.inf, 0.5 / low if low else math.inf)
    return Band(low, high, tuple(_safe_times(s, outer) for s in x.slopes))


def _safe_times(a: Interval, b: Interval) -> Interval:
    if a == _ZERO:
        return _ZERO
    if math.isinf(b[1]):
        return (-math.inf if a[0] < 0 else 0.0, math.inf if a[1] > 0 else 0.0)
    return _times(a, b)


def _abs(x: Any) -> Any:
    if not isinstance(x, Band):
        return abs(x)
    if x.low >= 0:
        return x
    if x.high <= 0:
        return -x
    slopes = tuple((min(-s[1], s[0]), max(-s[0], s[1])) for s in x.slopes)
    return Band(0.0, max(-x.low, x.high), slopes)


def _max(a: Any, b: Any, *more: Any) -> Any:
    if more:
        return _max(_max(a, b), *more)
    if not isinstance(a, Band) and not isinstance(b, Band):
        return max(a, b)
    first = a if isinstance(a, Band) else b._other(a)
    second = first._other(b)
    if first.low >= second.high:
        return first
    if second.low >= first.high:
        return second
    slopes = tuple(
        (min(s[0], t[0]), max(s[1], t[1])) for s, t in zip(first.slopes, second.slopes, strict=True)
    )
    return Band(max(first.low, second.low), max(first.high, second.high), slopes)


BANDS: Any = SimpleNamespace(
    sqrt=_sqrt,
    square=lambda x: x * x,
    sin=math.sin,
    cos=math.cos,
    tan=math.tan,
    abs=_abs,
    max=_max,
    choose=FLOATS.choose,
    pi=math.pi,
)
"""The functions on bands; angles and the tests of `choose` are design values, so plain floats."""
