"""Intervals where a function turns, has a pole or an upright tangent: ends and slopes by hand.

`RANGES` has the exact range of each function over an interval and the exact range of its slope,
worked out by hand from the derivative; mpmath samples both again at 40 digits. The plain sums and
products are compared with exact fractions.
"""

from __future__ import annotations

import itertools
import math
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import mpmath
import numpy as np
import pytest

from framekit.constraints.arrays import ARRAYS
from framekit.constraints.intervals import EVERYTHING, ZERO, Interval
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.constraints.series import SERIES, along

inf = math.inf
sin, cos, tan, exp, log, atan, asin, acos = (
    *(math.sin, math.cos, math.tan, math.exp, math.log, math.atan, math.asin, math.acos),
)
pi, root = math.pi, math.sqrt

DIGITS = SimpleNamespace(
    sqrt=mpmath.sqrt,
    cbrt=lambda x: mpmath.sign(x) * mpmath.cbrt(abs(x)),
    square=lambda x: x * x,
    power=lambda x, power: x**power,
    sin=mpmath.sin,
    cos=mpmath.cos,
    tan=mpmath.tan,
    asin=mpmath.asin,
    acos=mpmath.acos,
    atan=mpmath.atan,
    exp=mpmath.exp,
    log=mpmath.log,
    abs=abs,
    max=max,
    min=min,
    choose=lambda test, first, second: first if test >= 0 else second,
    pi=mpmath.pi,
)

Law = Any
# name: the function, the interval, the range of its values, the range of its slope.
RANGES: dict[str, tuple[Law, tuple[float, float], tuple[float, float], tuple[float, float]]] = {
    "first power over zero": (lambda m, x: x**1, (-2, 1), (-2, 1), (1, 1)),
    "square over zero": (lambda m, x: x**2, (-2, 1), (0, 4), (-4, 2)),
    "square above": (lambda m, x: x**2, (1, 3), (1, 9), (2, 6)),
    "square below": (lambda m, x: x**2, (-3, -1), (1, 9), (-6, -2)),
    "square to zero": (lambda m, x: x**2, (-3, 0), (0, 9), (-6, 0)),
    "third power over zero": (lambda m, x: x**3, (-2, 1), (-8, 1), (0, 12)),
    "third power below": (lambda m, x: x**3, (-2, -1), (-8, -1), (3, 12)),
    "third power from zero": (lambda m, x: x**3, (0, 2), (0, 8), (0, 12)),
    "fourth power over zero": (lambda m, x: x**4, (-1, 2), (0, 16), (-4, 32)),
    "fifth power over zero": (lambda m, x: x**5, (-1, 2), (-1, 32), (0, 80)),
    "fifth power of the namespace": (lambda m, x: m.power(x, 5), (-2, 1), (-32, 1), (0, 80)),
    "sixth power of the namespace": (lambda m, x: m.power(x, 6), (-2, 1), (0, 64), (-192, 6)),
    "minus first power above": (lambda m, x: x**-1, (1, 4), (0.25, 1), (-1, -1 / 16)),
    "minus first power below": (lambda m, x: x**-1, (-4, -1), (-1, -0.25), (-1, -1 / 16)),
    "minus second power below": (lambda m, x: x**-2, (-2, -1), (0.25, 1), (0.25, 2)),
    "minus third power below": (lambda m, x: x**-3, (-2, -1), (-1, -0.125), (-3, -3 / 16)),
    "half power from zero": (lambda m, x: x**0.5, (0, 4), (0, 2), (0.25, inf)),
    "half power above": (lambda m, x: x**0.5, (1, 4), (1, 2), (0.25, 0.5)),
    "power 1.5 from zero": (lambda m, x: x**1.5, (0, 4), (0, 8), (0, 3)),
    "power 2.5 above": (lambda m, x: x**2.5, (1, 4), (1, 32), (2.5, 20)),
    "power minus 0.5": (lambda m, x: x**-0.5, (1, 4), (0.5, 1), (-0.5, -1 / 16)),
    "root from zero": (lambda m, x: m.sqrt(x), (0, 9), (0, 3), (1 / 6, inf)),
    "root above": (lambda m, x: m.sqrt(x), (4, 9), (2, 3), (1 / 6, 0.25)),
    "cube root over zero": (lambda m, x: m.cbrt(x), (-8, 1), (-2, 1), (1 / 12, inf)),
    "cube root below": (lambda m, x: m.cbrt(x), (-27, -8), (-3, -2), (1 / 27, 1 / 12)),
    "square of the namespace": (lambda m, x: m.square(x), (-1, 3), (0, 9), (-2, 6)),
    "inverse above": (lambda m, x: 6 / x, (2, 3), (2, 3), (-1.5, -2 / 3)),
    "inverse below": (lambda m, x: 6 / x, (-3, -2), (-3, -2), (-1.5, -2 / 3)),
    "negative over it": (lambda m, x: -6 / x, (2, 3), (-3, -2), (2 / 3, 1.5)),
    "divided by a negative": (lambda m, x: x / -4, (-2, 6), (-1.5, 0.5), (-0.25, -0.25)),
    "times a negative": (lambda m, x: x * -4, (-2, 6), (-24, 8), (-4, -4)),
    "less than a number": (lambda m, x: 5 - x, (-2, 6), (-1, 7), (-1, -1)),
    "sine over its crest": (
        *(lambda m, x: m.sin(x), (0.5, 2.0), (sin(0.5), 1), (cos(2.0), cos(0.5))),
    ),
    "sine over its trough": (
        *(lambda m, x: m.sin(x), (-2.0, -1.0), (-1, sin(-1.0)), (cos(2.0), cos(1.0))),
    ),
    "sine on a slope": (
        *(lambda m, x: m.sin(x), (-0.5, 1.0), (sin(-0.5), sin(1.0)), (cos(1.0), 1)),
    ),
    "sine a turn on": (lambda m, x: m.sin(x), (6.0, 8.0), (sin(6.0), 1), (cos(8.0), 1)),
    "sine over all": (lambda m, x: m.sin(x), (-4.0, 4.0), (-1, 1), (-1, 1)),
    "cosine over its crest": (
        *(lambda m, x: m.cos(x), (-1.0, 2.0), (cos(2.0), 1), (-1, sin(1.0))),
    ),
    "cosine over its trough": (
        *(lambda m, x: m.cos(x), (2.0, 4.0), (-1, cos(2.0)), (-sin(2.0), -sin(4.0))),
    ),
    "cosine on a slope": (
        *(lambda m, x: m.cos(x), (0.5, 1.0), (cos(1.0), cos(0.5)), (-sin(1.0), -sin(0.5))),
    ),
    "tangent over zero": (
        *(lambda m, x: m.tan(x), (-0.5, 1.0), (tan(-0.5), tan(1.0)), (1, 1 + tan(1.0) ** 2)),
    ),
    "tangent below": (
        lambda m, x: m.tan(x),
        *((-1.0, -0.5), (-tan(1.0), -tan(0.5)), (1 + tan(0.5) ** 2, 1 + tan(1.0) ** 2)),
    ),
    "tangent on the next branch": (
        *(lambda m, x: m.tan(x), (3.0, 4.0), (tan(3.0), tan(4.0)), (1, 1 + tan(4.0) ** 2)),
    ),
    "arc tangent over zero": (*(lambda m, x: m.atan(x), (-1, 2), (-pi / 4, atan(2.0)), (0.2, 1)),),
    "arc tangent above": (lambda m, x: m.atan(x), (1, 2), (pi / 4, atan(2.0)), (0.2, 0.5)),
    "arc sine over zero": (
        *(lambda m, x: m.asin(x), (-0.5, 0.8), (-pi / 6, asin(0.8)), (1, 1 / 0.6)),
    ),
    "arc sine to its end": (
        lambda m, x: m.asin(x),
        (0.5, 1),
        (pi / 6, pi / 2),
        (1 / root(0.75), inf),
    ),
    "arc sine below": (
        *(lambda m, x: m.asin(x), (-0.8, -0.6), (asin(-0.8), asin(-0.6)), (1.25, 1 / 0.6)),
    ),
    "arc cosine over zero": (
        *(lambda m, x: m.acos(x), (-0.5, 0.8), (acos(0.8), 2 * pi / 3), (-1 / 0.6, -1)),
    ),
    "exponential": (lambda m, x: m.exp(x), (-1, 2), (exp(-1.0), exp(2.0)), (exp(-1.0), exp(2.0))),
    "logarithm": (lambda m, x: m.log(x), (0.5, 4), (log(0.5), log(4.0)), (0.25, 2)),
    "logarithm from zero": (lambda m, x: m.log(x), (0, 4), (-inf, log(4.0)), (0.25, inf)),
    "size over zero": (lambda m, x: m.abs(x), (-2, 1), (0, 2), (-1, 1)),
    "size below": (lambda m, x: m.abs(x), (-2, -1), (1, 2), (-1, -1)),
    "size above": (lambda m, x: m.abs(x), (1, 2), (1, 2), (1, 1)),
    "greatest at a kink": (lambda m, x: m.max(x, 0), (-2, 1), (0, 1), (0, 1)),
    "greatest on one side": (lambda m, x: m.max(x, 0), (1, 2), (1, 2), (1, 1)),
    "greatest on the other": (lambda m, x: m.max(x, 0), (-2, -1), (0, 0), (0, 0)),
    "greatest of three": (lambda m, x: m.max(x, -x, 1), (-2, 1), (1, 2), (-1, 1)),
    "least at a kink": (lambda m, x: m.min(x, 0), (-2, 1), (-2, 0), (0, 1)),
    "least of three": (lambda m, x: m.min(x, 3 - x, 5), (0, 2), (0, 1.5), (-1, 1)),
    "chosen above": (lambda m, x: m.choose(x, 2 * x, -x), (1, 3), (2, 6), (2, 2)),
    "chosen from zero": (lambda m, x: m.choose(x, 2 * x, -x), (0, 3), (0, 6), (2, 2)),
    "chosen below": (lambda m, x: m.choose(x, 2 * x, -x), (-3, -1), (1, 3), (-1, -1)),
}
WIDER = {"greatest of three", "least of three", "power minus 0.5"}
"""A branch that is never the least may still count, and a broken power below zero is that of the
inverse: what is found may be wider than what is by hand."""


def exact(outer: tuple[float, float], inner: tuple[float, float], size: float) -> None:
    """Assert that the first bounds hold the second and are at most some roundings wider."""
    for found, wanted, sign in ((outer[0], inner[0], -1), (outer[1], inner[1], 1)):
        # The second bounds were rounded themselves, by 1e-15 of their size at most.
        assert sign * (found - wanted) >= -1e-15 * size or found == wanted
        # 1e-14 of the size: ten roundings outward.
        assert found == pytest.approx(wanted, abs=1e-14 * size)


@pytest.mark.parametrize("name", RANGES)
def test_the_range_and_the_slope_are_those_by_hand(name: str) -> None:
    function, (low, high), values, slopes = RANGES[name]
    found = function(INTERVALS, Interval(low, high, ((1.0, 1.0), (0.0, 0.0))))
    if not isinstance(found, Interval):  # a number: nothing moves it
        assert values == (found, found) and slopes == (0, 0)
        return
    size = 1 + max(abs(x) for x in (low, high, *values) if math.isfinite(x))
    steep = size + max(abs(x) for x in slopes if math.isfinite(x))
    if name in WIDER:
        assert found.low <= values[0] and values[1] <= found.high
        assert found.slopes[0][0] <= slopes[0] and slopes[1] <= found.slopes[0][1]
    else:
        exact((found.low, found.high), values, size)
        exact(found.slopes[0], slopes, steep)
    assert found.slopes[1] == ZERO  # of an input that does not come in


@pytest.mark.parametrize("name", RANGES)
def test_the_figures_by_hand_hold_at_every_sample(name: str) -> None:
    """The table above against mpmath, so that it is no copy of the code's own mistakes."""
    function, (low, high), values, slopes = RANGES[name]
    steps = [low + (high - low) * n / 48 for n in range(49)]
    with mpmath.workdps(40):
        points = [x for x in steps if x or not name.startswith("logarithm")]
        reached = [function(DIGITS, mpmath.mpf(x)) for x in points]
        assert all(values[0] - 1e-14 <= y <= values[1] + 1e-14 for y in reached)
        # At 49 places a turn is missed by a 24th of the width at most, squared times the bend.
        assert math.isinf(values[0]) or min(reached) <= values[0] + 0.01
        assert max(reached) >= values[1] - 0.01
        kinks = ("size", "greatest", "least", "chosen", "cube root over")
        if name.startswith(kinks):
            return
        inner = [mpmath.mpf(x) for x in points[1:-1]]
        rises = [mpmath.diff(lambda x: function(DIGITS, x), x) for x in inner]
        assert all(slopes[0] - 1e-12 <= s <= slopes[1] + 1e-12 for s in rises)


@pytest.mark.parametrize("name", RANGES)
def test_every_namespace_gives_one_value_at_a_point(name: str) -> None:
    function, (low, high), _, _ = RANGES[name]
    for share in (0.11, 0.52, 0.97):
        x = low + share * (high - low)
        with mpmath.workdps(40):
            wanted = float(function(DIGITS, mpmath.mpf(x)))
        floats = function(FLOATS, x)
        series = along(function, (x,), (1.0,)).c0
        (rows, _) = np.broadcast_to(function(ARRAYS, np.array([x, x])), 2)
        point = function(INTERVALS, Interval(x, x, ((0.0, 0.0),)))
        ends = (point.low, point.high) if isinstance(point, Interval) else (point, point)
        # 4e-15: a few roundings of doubles, and the C library's own.
        for found in (floats, series, rows):
            assert found == pytest.approx(wanted, rel=4e-15, abs=4e-15)
        # 3e-14: roundings outward, up to 1e-15 of an angle to each side for a sine.
        assert ends == pytest.approx((wanted, wanted), rel=3e-14, abs=3e-14)
        assert ends[0] <= wanted <= ends[1]


@pytest.mark.parametrize("name", [n for n in RANGES if not n.startswith(("tangent", "size"))])
@pytest.mark.parametrize("rate", [(2.0, 3.0), (-3.0, -2.0), (-1.0, 4.0)])
def test_slopes_follow_the_chain_rule(name: str, rate: tuple[float, float]) -> None:
    """An argument with a slope of its own multiplies; by hand, over all four products."""
    function, (low, high), _, slopes = RANGES[name]
    found = function(INTERVALS, Interval(low, high, (rate, ZERO)))
    if not isinstance(found, Interval) or name in WIDER:
        return
    products = [s * r for s in slopes for r in rate if not (s == 0 and math.isinf(r))]
    wanted = (min(products), max(products))
    steep = 1 + max([abs(x) for x in products if math.isfinite(x)], default=1.0)
    # 1e-13 of the size: the table's own roundings, and a dozen outward.
    assert found.slopes[0] == pytest.approx(wanted, abs=1e-13 * steep)
    assert found.slopes[1] == ZERO


ENDS = [(-3.0, -2.0), (-3.0, 0.0), (-2.0, 1.0), (0.0, 2.0), (1.0, 3.0), (0.1, 0.7), (-0.3, 0.1)]


@pytest.mark.parametrize(("a", "b"), [(a, b) for a in ENDS for b in ENDS], ids=str)
def test_sums_products_and_quotients_hold_the_exact_fractions(a, b) -> None:
    """Every corner as a fraction, exactly; the extremes of + − × ÷ lie in corners."""
    x, y = Interval(*a, ((1.0, 1.0), ZERO)), Interval(*b, (ZERO, (1.0, 1.0)))
    corners = list(itertools.product(map(Fraction, a), map(Fraction, b)))
    # Slopes by x and by y: of a sum 1 and 1, of a product y and x.
    for found, exactly, by_x, by_y in (
        (x + y, [p + q for p, q in corners], [1, 1], [1, 1]),
        (x - y, [p - q for p, q in corners], [1, 1], [-1, -1]),
        (x * y, [p * q for p, q in corners], b, a),
    ):
        assert found.low <= min(exactly) and max(exactly) <= found.high
        # 1e-15 each: one or two roundings outward of sums below 10.
        assert found.low == pytest.approx(float(min(exactly)), abs=1e-14)
        assert found.high == pytest.approx(float(max(exactly)), abs=1e-14)
        assert found.slopes[0] == pytest.approx((min(by_x), max(by_x)), abs=1e-14)
        assert found.slopes[1] == pytest.approx((min(by_y), max(by_y)), abs=1e-14)
    quotient = x / y
    if b[0] <= 0 <= b[1]:
        assert (quotient.low, quotient.high) == EVERYTHING
        assert quotient.slopes == (EVERYTHING, EVERYTHING)
        return
    exactly = [p / q for p, q in corners]
    assert quotient.low <= min(exactly) and max(exactly) <= quotient.high
    # Slopes 1/y and −x/y² at the corners. 1e-13: their roundings, up to 100 in size.
    assert quotient.low == pytest.approx(float(min(exactly)), abs=1e-13)
    assert quotient.high == pytest.approx(float(max(exactly)), abs=1e-13)
    by_x = [1 / Fraction(q) for q in b]
    by_y = [-Fraction(p) / Fraction(q) ** 2 for p in a for q in b]
    assert quotient.slopes[0] == pytest.approx((float(min(by_x)), float(max(by_x))), abs=1e-13)
    assert quotient.slopes[1] == pytest.approx((float(min(by_y)), float(max(by_y))), abs=1e-12)


@pytest.mark.parametrize("a", ENDS, ids=str)
@pytest.mark.parametrize("number", [3.0, -0.7, 0.1, 1, -1])
def test_an_interval_and_a_number_hold_the_exact_fractions(a, number) -> None:
    x = Interval(*a, ((1.0, 1.0), ZERO))
    ends, n = [Fraction(end) for end in a], Fraction(number)
    for found, exactly, slope in (
        (x + number, [e + n for e in ends], 1),
        (number + x, [e + n for e in ends], 1),
        (x - number, [e - n for e in ends], 1),
        (number - x, [n - e for e in ends], -1),
        (x * number, [e * n for e in ends], n),
        (number * x, [e * n for e in ends], n),
        (x / number, [e / n for e in ends], 1 / n),
    ):
        assert found.low <= min(exactly) and max(exactly) <= found.high
        # 1e-14: two roundings of numbers below 30.
        assert (found.low, found.high) == pytest.approx(
            (float(min(exactly)), float(max(exactly))), abs=1e-14
        )
        assert found.slopes[0][0] <= slope <= found.slopes[0][1]
        assert found.slopes[0] == pytest.approx((float(slope),) * 2, abs=1e-14)
        assert found.slopes[1] == ZERO


@pytest.mark.parametrize("power", [-3, -2, -1])
@pytest.mark.parametrize("ends", [(-2.0, 1.0), (0.0, 1.0), (-1.0, 0.0)])
def test_a_negative_power_over_zero_holds_all_it_takes(power: int, ends: tuple[float, float]):
    found = Interval(*ends, ((1.0, 1.0), ZERO)) ** power
    # Near zero it grows beyond every bound, on the side that its sign says.
    assert found.high == inf or (ends[1] <= 0 and power % 2 and found.low == -inf)
    for x in np.linspace(*ends, 21):
        if x:
            assert found.low <= x**power <= found.high
            assert found.slopes[0][0] <= power * x ** (power - 1) <= found.slopes[0][1]
    assert found.slopes[1] == ZERO


def test_a_tangent_over_its_pole_is_unbounded() -> None:
    for low, high in ((1.0, 2.0), (-2.0, -1.0), (4.0, 5.0), (0.0, pi / 2)):
        found = INTERVALS.tan(Interval(low, high, ((1.0, 1.0), ZERO)))
        assert (found.low, found.high, found.slopes) == (-inf, inf, (EVERYTHING, ZERO))


def test_a_choice_between_slopes_that_is_open() -> None:
    test = Interval(-1.0, 2.0, ((1.0, 1.0), ZERO))
    first, second = Interval(1.0, 2.0, (ZERO, (3.0, 3.0))), Interval(-5.0, -4.0, (ZERO, (7.0, 7.0)))
    found = INTERVALS.choose(test, first, second)
    # By the first input the result may jump; the second does not move the test, so that only
    # slopes up to the steeper one are possible.
    assert (found.low, found.high) == (-5.0, 2.0)
    assert found.slopes[0] == EVERYTHING
    assert found.slopes[1][0] <= 3.0 and found.slopes[1][1] == 7.0


def test_the_zeroth_power_is_one() -> None:
    assert Interval(-2.0, 1.0, ((1.0, 1.0),)) ** 0 == 1.0


@pytest.mark.parametrize("power", [1, 2, 3, 4, 5, 6, 7])
def test_whole_powers_of_series_and_arrays_at_zero(power: int) -> None:
    # xⁿ at 0 has the coefficient 1 at n and no other; the square of −2 … is by hand.
    series = along(lambda m, x: x**power, (0.0,), (1.0,))
    wanted = [1.0 if n == power else 0.0 for n in range(4)]
    assert [series.c0, series.c1, series.c2, series.c3] == wanted
    assert ARRAYS.power(np.array([-2.0, 3.0]), power).tolist() == [(-2.0) ** power, 3.0**power]
    assert FLOATS.power(-2.0, power) == SERIES.power(-2.0, power) == (-2.0) ** power
