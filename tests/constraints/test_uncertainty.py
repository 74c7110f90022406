"""Worst case, sigma and ranking of functions of toleranced inputs, against sums by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from framekit.constraints.law import Form
from framekit.constraints.uncertainty import Spread, Toleranced, worst_case


def plain(function: Any, *inputs: Toleranced) -> Spread:
    """The spread of any function of toleranced inputs alone."""
    form = Form("result", tuple(i.made for i in inputs), function, "")
    return worst_case(form, {}, inputs)


def limits(name: str, value: float, tolerance: float) -> Toleranced:
    return Toleranced(name, name, value, tolerance, tolerance / math.sqrt(3))


def test_an_input_itself_keeps_its_limits_to_the_bit() -> None:
    spread = plain(lambda m, x: x, limits("x", 3.05, 0.03))
    assert (spread.low, spread.high) == (3.05 - 0.03, 3.05 + 0.03)
    assert spread.shares == (("x", 1.0, 1.0),)
    assert not spread.curved


def test_what_no_live_input_moves_has_no_width() -> None:
    still = plain(lambda m, x, y: m.max(m.sqrt(y), x), limits("x", 1.0, 0.5), limits("y", 9.0, 0.0))
    assert (still.value, still.low, still.high, still.sigma) == (3.0, 3.0, 3.0, 0.0)
    assert still.driver is None
    assert still.shares == ()


def test_the_ranking_is_by_variance_and_the_driver_by_reach() -> None:
    # x: slope 2, T 0.1, uniform: variance 0.04/3 = 0.01333; y: slope -1, T 0.21, normal:
    # variance 0.105² = 0.011025. Reach: 0.2 of x, 0.21 of y.
    y = Toleranced("y", "y", 5.0, 0.21, 0.105)
    spread = plain(lambda m, x, y: 2 * x - y, limits("x", 1.0, 0.1), y)
    assert [s.input for s in spread.shares] == ["x", "y"]
    # 1e-12: rounding.
    assert spread.shares[0].share == pytest.approx(0.04 / 3 / (0.04 / 3 + 0.011025), rel=1e-12)
    assert [s.slope for s in spread.shares] == pytest.approx([2.0, -1.0], rel=1e-12)
    assert spread.driver == "y"


def test_a_bend_is_sampled() -> None:
    # x² for x uniform in ± 1: range 0 … 1, variance 1/5 - 1/9 (moments of the uniform).
    spread = plain(lambda m, x: m.square(x), limits("x", 0.0, 1.0))
    assert spread.curved
    # 1e-3: 0.1 % of the range is the slack of the bounds; 1e-3: sampling.
    assert (spread.low, spread.high) == pytest.approx((0.0, 1.0), abs=1e-3)
    assert spread.sigma == pytest.approx(math.sqrt(1 / 5 - 1 / 9), rel=1e-3)
    assert spread.shares[0].share == 1.0


def test_a_product_at_zero_is_sampled_though_every_slope_is_zero() -> None:
    # x y for x, y uniform in ± 1: variance (1/3)², range ± 1.
    spread = plain(lambda m, x, y: x * y, limits("x", 0.0, 1.0), limits("y", 0.0, 1.0))
    assert spread.curved
    # 0.2 %: two slacks of 0.1 %; 1e-3: sampling.
    assert (spread.low, spread.high) == pytest.approx((-1.0, 1.0), abs=2e-3)
    assert spread.sigma == pytest.approx(1 / 3, rel=1e-3)


def test_the_warning_starts_at_three_per_cent() -> None:
    # x + b x²/2 at 0 with sigma 1: |f''| sigma/(2 |f'|) = b/2.
    for b, curved in ((0.058, False), (0.062, True)):
        one = Toleranced("x", "x", 0.0, 2.0, 1.0)
        spread = plain(lambda m, x, b=b: x + b / 2 * m.square(x), one)
        assert spread.curved is curved
        # variance 1 + b²/2 of the normal distribution (its fourth moment is 3); 1 % is promised.
        assert spread.sigma == pytest.approx(math.sqrt(1 + b * b / 2), rel=0.01)


def test_an_upright_tangent_gives_finite_numbers() -> None:
    spread = plain(lambda m, x: m.sqrt(m.max(0, x)), limits("x", 0.0, 1.0))
    assert spread.curved
    # 1e-12: rounding outward. Mean 1/3 and mean square 1/4 of the whole: variance 1/4 - 1/9.
    assert (spread.low, spread.high) == pytest.approx((0.0, 1.0), abs=1e-12)
    assert spread.sigma == pytest.approx(math.sqrt(1 / 4 - 1 / 9), rel=2e-3)
    assert spread.shares == (("x", 0.5, 1.0),)


def test_a_corner_outside_the_domain_is_an_error() -> None:
    with pytest.raises(ValueError, match="below zero"):
        plain(lambda m, x: m.sqrt(x), limits("x", 0.5, 1.0))


def test_same_input_same_bits() -> None:
    first, second = (plain(lambda m, x: m.square(x), limits("x", 0.0, 1.0)) for _ in range(2))
    assert first == second
