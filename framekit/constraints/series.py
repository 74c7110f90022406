"""Derivatives of a plain function along a line, exact to rounding: truncated Taylor series.

A `Series` is f(x₀ + s) = c₀ + c₁ s + c₂ s² + c₃ s³ + …; arithmetic on it is that of polynomials
cut after s³ (Griewank and Walther, Evaluating Derivatives, SIAM 2008, chapter 13).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from math import inf
from types import SimpleNamespace
from typing import Any

from framekit.geometry.profile_curve import HeightCurve


class Series:
    """The value and the first three Taylor coefficients by one parameter."""

    __slots__ = ("c0", "c1", "c2", "c3")
    __array_ufunc__ = None

    def __init__(self, c0: float, c1: float = 0.0, c2: float = 0.0, c3: float = 0.0) -> None:
        """Keep the coefficients."""
        self.c0 = c0
        self.c1 = c1
        self.c2 = c2
        self.c3 = c3

    def __add__(self, other: Any) -> Series:
        """The sum's series."""
        if not isinstance(other, Series):
            return Series(self.c0 + other, self.c1, self.c2, self.c3)
        return Series(
            self.c0 + other.c0, self.c1 + other.c1, self.c2 + other.c2, self.c3 + other.c3
        )

    __radd__ = __add__

    def __neg__(self) -> Series:
        """The negative's series."""
        return Series(-self.c0, -self.c1, -self.c2, -self.c3)

    def __sub__(self, other: Any) -> Series:
        """The difference's series."""
        return self.__add__(-other)

    def __rsub__(self, other: Any) -> Series:
        """The difference's series."""
        return (-self).__add__(other)

    def __mul__(self, other: Any) -> Series:
        """The product's series."""
        if not isinstance(other, Series):
            return Series(self.c0 * other, self.c1 * other, self.c2 * other, self.c3 * other)
        a0, a1, a2, a3 = self.c0, self.c1, self.c2, self.c3
        b0, b1, b2, b3 = other.c0, other.c1, other.c2, other.c3
        return Series(
            a0 * b0,
            a0 * b1 + a1 * b0,
            a0 * b2 + a1 * b1 + a2 * b0,
            a0 * b3 + a1 * b2 + a2 * b1 + a3 * b0,
        )

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Series:
        """The quotient's series."""
        if not isinstance(other, Series):
            return Series(self.c0 / other, self.c1 / other, self.c2 / other, self.c3 / other)
        return self.__mul__(_inverse(other))

    def __rtruediv__(self, other: Any) -> Series:
        """The quotient's series."""
        return _inverse(self).__mul__(other)

    def __pow__(self, power: float) -> Series:
        """The series of a fixed power."""
        x = self.c0
        factors = (1.0, power, power * (power - 1) / 2, power * (power - 1) * (power - 2) / 6)
        terms = [f * x ** (power - n) if f else 0.0 for n, f in enumerate(factors)]
        return _through(self, *terms)


def _through(x: Series, g0: float, g1: float, g2: float, g3: float) -> Series:
    """The series of a function with these Taylor coefficients at the value of `x`."""
    a1, a2, a3 = x.c1, x.c2, x.c3
    if a1 == a2 == a3 == 0.0:
        return Series(g0)
    return Series(
        g0, g1 * a1, g1 * a2 + g2 * a1 * a1, g1 * a3 + 2.0 * g2 * a1 * a2 + g3 * a1 * a1 * a1
    )


def _inverse(x: Series) -> Series:
    y = 1.0 / x.c0
    return _through(x, y, -y * y, y * y * y, -y * y * y * y)


def _vertical(x: Series, value: float) -> Series:
    """Where the tangent stands upright: the slope is infinite, what follows unknown."""
    return Series(value, math.copysign(inf, x.c1)) if x.c1 else Series(value)


def _lifted(plain: Callable[[float], float], series: Callable[[Series], Series]) -> Any:
    def on(x: Any) -> Any:
        return series(x) if isinstance(x, Series) else plain(x)

    return on


def _sqrt(x: Series) -> Series:
    y = math.sqrt(x.c0)
    if y == 0.0:
        return _vertical(x, 0.0)
    return _through(x, y, 0.5 / y, -0.125 / y**3, 0.0625 / y**5)


def _cbrt(x: Series) -> Series:
    y = math.cbrt(x.c0)
    if y == 0.0:
        return _vertical(x, 0.0)
    return _through(x, y, 1 / (3 * y**2), -1 / (9 * y**5), 5 / (81 * y**8))


def _sin(x: Series) -> Series:
    s, c = math.sin(x.c0), math.cos(x.c0)
    return _through(x, s, c, -s / 2, -c / 6)


def _cos(x: Series) -> Series:
    s, c = math.sin(x.c0), math.cos(x.c0)
    return _through(x, c, -s, -c / 2, s / 6)


def _tan(x: Series) -> Series:
    t = math.tan(x.c0)
    q = 1 + t * t
    return _through(x, t, q, t * q, q * (1 + 3 * t * t) / 3)


def _asin(x: Series) -> Series:
    y, v = math.asin(x.c0), x.c0
    q = (1 - v) * (1 + v)
    if q == 0.0:
        return _vertical(x, y)
    r = math.sqrt(q)
    return _through(x, y, 1 / r, v / (2 * r * q), (1 + 2 * v * v) / (6 * r * q * q))


def _acos(x: Series) -> Series:
    rest = -_asin(x)
    return Series(math.acos(x.c0), rest.c1, rest.c2, rest.c3)


def _atan(x: Series) -> Series:
    v = x.c0
    q = 1 / (1 + v * v)
    return _through(x, math.atan(v), q, -v * q * q, (3 * v * v - 1) * q**3 / 3)


def _exp(x: Series) -> Series:
    y = math.exp(x.c0)
    return _through(x, y, y, y / 2, y / 6)


def _log(x: Series) -> Series:
    q = 1 / x.c0
    return _through(x, math.log(x.c0), q, -q * q / 2, q**3 / 3)


def _curve(curve: HeightCurve, x: Any) -> Any:
    return _through(x, *curve.series(x.c0)) if isinstance(x, Series) else curve.at(x)


def _curve_slope(curve: HeightCurve, x: Any) -> Any:
    if not isinstance(x, Series):
        return curve.slope(x)
    _, c1, c2, c3 = curve.series(x.c0)
    return _through(x, c1, 2 * c2, 3 * c3, 0.0)


def _made_curve(make: Callable[..., HeightCurve], sizes: tuple[Any, ...], x: Any) -> Any:
    if any(isinstance(s, Series) and (s.c1, s.c2, s.c3) != (0.0, 0.0, 0.0) for s in sizes):
        raise ValueError("a curve that is made for given sizes has no slope by a size")
    return _curve(make(*(_at(size) for size in sizes)), x)


def _at(x: Any) -> float:
    return float(x.c0) if isinstance(x, Series) else float(x)


SERIES: Any = SimpleNamespace(
    sqrt=_lifted(math.sqrt, _sqrt),
    cbrt=_lifted(math.cbrt, _cbrt),
    square=lambda x: x * x,
    power=lambda x, power: x**power,
    sin=_lifted(math.sin, _sin),
    cos=_lifted(math.cos, _cos),
    tan=_lifted(math.tan, _tan),
    asin=_lifted(math.asin, _asin),
    acos=_lifted(math.acos, _acos),
    atan=_lifted(math.atan, _atan),
    exp=_lifted(math.exp, _exp),
    log=_lifted(math.log, _log),
    abs=_lifted(abs, lambda x: x if x.c0 >= 0 else -x),
    max=lambda *values: max(values, key=_at),
    min=lambda *values: min(values, key=_at),
    choose=lambda test, first, second: first if _at(test) >= 0 else second,
    curve=_curve,
    curve_slope=_curve_slope,
    made_curve=_made_curve,
    pi=math.pi,
)
"""The functions on series; at a kink the first branch is taken."""


def along(
    function: Callable[..., Any], values: Sequence[float], direction: Sequence[float]
) -> Series:
    """The series of `function(m, *values)` where each value moves by its part of `direction`.

    Raises what the function raises, such as ValueError outside its domain.

    >>> square = along(lambda m, x, y: m.square(x) * y, (3.0, 2.0), (1.0, 0.0))
    >>> square.c0, square.c1, square.c2
    (18.0, 12.0, 2.0)
    """
    moving = [Series(v, d) if d else v for v, d in zip(values, direction, strict=True)]
    result = function(SERIES, *moving)
    return result if isinstance(result, Series) else Series(float(result))
