"""Intervals hold every value and slope; series are the derivatives. Oracle: mpmath at 40 digits.

mpmath evaluates the functions and differentiates them by finite differences at high precision
(`mpmath.diff`, `mpmath.taylor`); nothing is shared with the code under test.
"""

from __future__ import annotations

import itertools
import math
from types import SimpleNamespace
from typing import Any

import mpmath
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from framekit.constraints.enclosure import enclose, shape_of
from framekit.constraints.intervals import Interval
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.constraints.series import SERIES, along

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

# Functions of one number, and the range in which each is tried.
FUNCTIONS: dict[str, tuple[Any, float, float]] = {
    "sqrt": (lambda m, x: m.sqrt(x), 1e-6, 1e6),
    "cbrt": (lambda m, x: m.cbrt(x), 1e-6, 1e6),
    "cbrt below": (lambda m, x: m.cbrt(x), -1e6, -1e-6),
    "square": (lambda m, x: m.square(x), -1e3, 1e3),
    "third power": (lambda m, x: x**3, -1e3, 1e3),
    "fourth power": (lambda m, x: m.power(x, 4), -1e2, 1e2),
    "minus second power": (lambda m, x: x**-2, 1e-2, 1e2),
    "half of the third power": (lambda m, x: x**1.5, 1e-2, 1e2),
    "inverse": (lambda m, x: 3 / x, 1e-3, 1e3),
    "inverse below": (lambda m, x: 3 / x, -1e3, -1e-3),
    "quotient": (lambda m, x: (x + 2) / -7, -1e3, 1e3),
    "sin": (lambda m, x: m.sin(x), -20.0, 20.0),
    "cos": (lambda m, x: m.cos(x), -20.0, 20.0),
    "tan": (lambda m, x: m.tan(x), -1.5, 1.5),
    "asin": (lambda m, x: m.asin(x), -0.999, 0.999),
    "acos": (lambda m, x: m.acos(x), -0.999, 0.999),
    "atan": (lambda m, x: m.atan(x), -1e3, 1e3),
    "exp": (lambda m, x: m.exp(x), -20.0, 20.0),
    "log": (lambda m, x: m.log(x), 1e-3, 1e6),
    "abs": (lambda m, x: m.abs(x), -1e3, 1e3),
    "max": (lambda m, x: m.max(1.5, x, 3 - x), -10.0, 10.0),
    "min": (lambda m, x: m.min(1.5, x, 3 - x), -10.0, 10.0),
    "mixed": (lambda m, x: m.sin(x) * x / (1 + m.square(x)) - (2 - x) * x, -10.0, 10.0),
}
KINKS = ("abs", "max", "min")
NAMES = sorted(FUNCTIONS)


@st.composite
def spans(draw: st.DrawFn, name: str | None = None) -> tuple[str, float, float, float]:
    """A function, an interval in its range and a point of the interval."""
    name = name or draw(st.sampled_from(NAMES))
    _, least, most = FUNCTIONS[name]
    ends = sorted(draw(st.floats(least, most)) for _ in range(2))
    if draw(st.booleans()):  # a narrow one
        ends[1] = min(most, ends[0] + draw(st.floats(0, 1e-3)) * max(1.0, abs(ends[0])))
    share = draw(st.floats(0, 1))
    point = min(max(ends[0] + share * (ends[1] - ends[0]), ends[0]), ends[1])
    return name, ends[0], ends[1], point


@given(spans())
def test_an_interval_holds_every_value_and_slope(span: tuple[str, float, float, float]) -> None:
    name, low, high, point = span
    function = FUNCTIONS[name][0]
    interval = function(INTERVALS, Interval(low, high, ((1.0, 1.0),)))
    with mpmath.workdps(40):
        for x in (low, point, high):
            assert interval.low <= function(DIGITS, mpmath.mpf(x)) <= interval.high
        if name in KINKS:
            return
        slope = mpmath.diff(lambda x: function(DIGITS, x), mpmath.mpf(point))
        # 1e-15 of the slope: mpmath's own difference at 40 digits.
        room = 1e-15 * (1 + abs(slope))
        assert interval.slopes[0][0] - room <= slope <= interval.slopes[0][1] + room


@pytest.mark.parametrize("name", NAMES)
def test_an_interval_of_a_plain_function_is_no_wider_than_needed(name: str) -> None:
    function, least, most = FUNCTIONS[name]
    if name == "mixed":  # a variable that comes twice counts twice
        return
    low, high = 0.9 * least + 0.1 * most, 0.2 * least + 0.8 * most
    interval = function(INTERVALS, Interval(low, high, ((1.0, 1.0),)))
    values = [function(FLOATS, low + n * (high - low) / 20000) for n in range(20001)]
    size = max(map(abs, values))
    # 1e-4 of the size: what 20001 points miss at a kink.
    assert interval.low == pytest.approx(min(values), abs=1e-4 * size)
    assert interval.high == pytest.approx(max(values), abs=1e-4 * size)


@given(spans())
def test_floats_series_and_digits_agree_in_value_and_derivatives(
    span: tuple[str, float, float, float],
) -> None:
    name, _, _, point = span
    function = FUNCTIONS[name][0]
    if name in KINKS and min(abs(point), abs(point - 1.5)) < 1e-6:
        return
    series = along(function, (point,), (1.0,))
    with mpmath.workdps(60):
        exact = mpmath.taylor(lambda x: function(DIGITS, x), mpmath.mpf(point), 3)
        for found, wanted in zip((series.c0, series.c1, series.c2, series.c3), exact, strict=True):
            # 1e-9: mpmath's differences at 60 digits are better; a few cancellations of doubles.
            assert found == pytest.approx(float(wanted), rel=1e-9, abs=1e-9)
    assert function(FLOATS, point) == pytest.approx(series.c0, rel=1e-14, abs=1e-14)


def test_zero_times_an_unbounded_slope_is_zero() -> None:
    x = Interval(0.0, 1.0, ((1.0, 1.0), (0.0, 0.0)))
    assert INTERVALS.sqrt(x).slopes[1] == (0.0, 0.0)
    assert (1 / Interval(-1.0, 1.0, ((1.0, 1.0), (0.0, 0.0)))).slopes[1] == (0.0, 0.0)


def test_a_divisor_over_zero_gives_everything() -> None:
    interval = 1 / Interval(-1.0, 1.0, ((1.0, 1.0),))
    assert (interval.low, interval.high) == (-math.inf, math.inf)
    assert interval.slopes == ((-math.inf, math.inf),)


@pytest.mark.parametrize(
    ("function", "low", "high"),
    [
        (INTERVALS.sqrt, -2.0, -1.0),
        (INTERVALS.log, -2.0, 0.0),
        (INTERVALS.asin, 1.5, 2.0),
        (lambda x: x**0.5, -2.0, -1.0),
    ],
)
def test_an_interval_wholly_outside_the_domain_is_an_error(function, low, high) -> None:
    with pytest.raises(ValueError, match=r"wholly|nowhere"):
        function(Interval(low, high, ((1.0, 1.0),)))


def test_an_interval_partly_outside_gives_the_part_inside() -> None:
    interval = INTERVALS.sqrt(Interval(-1.0, 4.0, ((1.0, 1.0),)))
    # 1e-15: one rounding outward.
    assert (interval.low, interval.high) == pytest.approx((0.0, 2.0), abs=1e-15)
    assert interval.slopes[0][1] == math.inf


def test_an_open_choice_may_jump() -> None:
    test = Interval(-1.0, 1.0, ((1.0, 1.0),))
    interval = INTERVALS.choose(test, 5.0, 2.0)
    assert (interval.low, interval.high, interval.slopes) == (2.0, 5.0, ((-math.inf, math.inf),))
    assert INTERVALS.choose(Interval(0.0, 1.0, ((1.0, 1.0),)), 5.0, 2.0) == 5.0
    assert INTERVALS.choose(Interval(-1.0, -0.5, ((1.0, 1.0),)), 5.0, 2.0) == 2.0


# Functions of two numbers whose range over a box has an extreme inside, on an edge or at a kink.
BOXED = [
    lambda m, x, y: (3 - m.max(0, x + y)) * (3 + m.max(0, x + y)),
    lambda m, x, y: m.sqrt(m.max(0, 2 - m.square(x) - m.square(y))),
    lambda m, x, y: m.abs(m.abs(x) - m.abs(y)),
    lambda m, x, y: m.sin(3 * x) * m.cos(2 * y),
    lambda m, x, y: m.max(x, m.square(x)) + y,
]
# Functions with a jump, a valley along a line or a slanted bowl: the few splittings there are do
# not make their range tight.
LOOSE = [
    lambda m, x, y: m.choose(x - y, x, 2 * y),
    lambda m, x, y: m.max(x, y) - m.min(x, y),
    lambda m, x, y: m.square(x) + m.square(y) - x * y,
]


@pytest.mark.parametrize("function", [*BOXED, *LOOSE])
@settings(max_examples=30, deadline=None)
@given(
    centre=st.tuples(st.floats(-1, 1), st.floats(-1, 1)),
    reach=st.tuples(st.floats(0.01, 1), st.floats(0.01, 1)),
)
def test_a_proved_range_holds_a_grid_and_is_tight(function, centre, reach) -> None:
    box = [(n, c - r, c + r) for n, (c, r) in enumerate(zip(centre, reach, strict=True))]
    found = enclose(function, centre, box)
    steps = range(41)
    axes = [[low + n / 40 * (high - low) for n in steps] for _, low, high in box]
    values = [function(FLOATS, x, y) for x, y in itertools.product(*axes)]
    # 1e-15 of the size: the plain evaluation of the grid rounds too.
    room = 1e-15 * (1 + max(map(abs, values)))
    assert found.low <= min(values) + room
    assert max(values) - room <= found.high
    if function in LOOSE:
        return
    width = max(values) - min(values)
    # 5 %, and what a grid of 41 misses where two curved sides meet: 0.5 % of the size.
    assert found.high - found.low <= 1.05 * width + 0.005 * (1 + max(map(abs, values)))


def test_equal_kinks_turn_over_together() -> None:
    # (3 - h)(3 + h), h = max(0, x): the range over x = ± 0.01 is 1e-4 wide, not 0.06.
    function = BOXED[0]
    found = enclose(function, (0.0, 0.0), [(0, -0.01, 0.01)])
    # 1e-12: rounding.
    assert (found.low, found.high) == pytest.approx((9 - 1e-4, 9.0), abs=1e-12)
    assert found.kinked


@pytest.mark.parametrize(
    ("function", "moving", "shape"),
    [
        (lambda m, x, y: x, (0,), "same"),
        (lambda m, x, y: y, (0,), "constant"),
        (lambda m, x, y: 2.0, (0,), "constant"),
        (lambda m, x, y: m.square(y) * x - x / m.sin(y), (0,), "straight"),
        (lambda m, x, y: x + y, (0, 1), "straight"),
        (lambda m, x, y: x + m.sqrt(y), (0,), "rooted"),
        (lambda m, x, y: x * y, (0, 1), "bent"),
        (lambda m, x, y: y / x, (0,), "bent"),
        (lambda m, x, y: x**3, (0,), "bent"),
        (lambda m, x, y: m.max(0, x), (0,), "bent"),
        (lambda m, x, y: x if y > 0 else 2 * x, (0,), "bent"),
    ],
)
def test_the_shape_of_a_function(function, moving, shape) -> None:
    assert shape_of(function, 2, moving) == shape


def test_one_namespace_as_another() -> None:
    assert set(vars(FLOATS)) == set(vars(INTERVALS)) == set(vars(SERIES))
