"""Stack-ups: a chain of dimensions, worst case and root-sum-square.

The figures are arithmetic: 40 - 25 - 2 - 10 = 3, 0.10 + 0.05 + 0.03 + 0.05 = 0.23, and
√(0.10² + 0.05² + 0.03² + 0.05²) = 0.126095. The sample is numpy's, seeded.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from framekit.constraints.law import Form
from framekit.constraints.propagation import from_limits, propagate
from framekit.constraints.uncertainty import Toleranced, worst_case

# Housing, bearing, washer, spacer: size and tolerance in mm.
CHAIN = {"housing": (40, 0.10), "bearing": (25, 0.05), "washer": (2, 0.03), "spacer": (10, 0.05)}


def gap(m, housing, bearing, washer, spacer):
    return housing - bearing - washer - spacer


def spread_of(function, parts, divisor):
    names = tuple(parts)
    inputs = tuple(Toleranced(n, n, v, t, t / divisor) for n, (v, t) in parts.items())
    return worst_case(Form("result", names, function, ""), {}, inputs)


def test_the_gap_worst_case_and_root_sum_square() -> None:
    spread = spread_of(gap, CHAIN, 2.0)  # ± is two standard deviations
    # 1e-10 mm: bounds are rounded outward; 5e-7: the figure has six digits.
    assert (spread.low, spread.value, spread.high) == pytest.approx((2.77, 3.0, 3.23), abs=1e-10)
    assert spread.low <= 2.77 < 3.23 <= spread.high
    assert 2 * spread.sigma == pytest.approx(0.126095, abs=5e-7)
    assert not spread.curved
    shares = {s.input: s.share for s in spread.shares}
    # 100 : 25 : 9 : 25 of 159; 1e-12: rounding.
    assert shares == pytest.approx(
        {"housing": 100 / 159, "bearing": 25 / 159, "washer": 9 / 159, "spacer": 25 / 159},
        rel=1e-12,
    )
    assert spread.shares[0].input == spread.driver == "housing"


def test_the_same_gap_by_the_general_function() -> None:
    inputs = [from_limits(n, v, t, "normal") for n, (v, t) in CHAIN.items()]
    result = propagate(gap, inputs)
    # 5e-7: the figure has six digits; 1e-12: rounding.
    assert 2 * result.uncertainty == pytest.approx(0.126095, abs=5e-7)
    assert result.value == pytest.approx(3.0, abs=1e-12)
    assert result.uncertainty == pytest.approx(spread_of(gap, CHAIN, 2.0).sigma, rel=1e-12)


@pytest.mark.parametrize("divisor", [2.0, math.sqrt(3.0)])
def test_the_gap_of_a_million_sampled_assemblies(divisor) -> None:
    rng = np.random.default_rng(20)
    parts = []
    for value, tolerance in CHAIN.values():
        if divisor == 2.0:
            parts.append(rng.normal(value, tolerance / 2, 10**6))
        else:
            parts.append(rng.uniform(value - tolerance, value + tolerance, 10**6))
    sample = gap(None, *parts)
    spread = spread_of(gap, CHAIN, divisor)
    # 0.3 %: four standard errors of a standard deviation of a million, 1/√(2e6) = 0.07 %.
    assert spread.sigma == pytest.approx(np.std(sample), rel=3e-3)
    if divisor != 2.0:
        assert spread.low <= sample.min()
        assert sample.max() <= spread.high


def test_ten_parts() -> None:
    parts = {f"part {n}": (7.0, 0.1) for n in range(10)}
    spread = spread_of(lambda m, *sizes: sum(sizes), parts, 2.0)
    # 1e-10 mm: rounded outward; 5e-4: ± 0.316 has three digits.
    assert (spread.low, spread.high) == pytest.approx((69.0, 71.0), abs=1e-10)
    assert 2 * spread.sigma == pytest.approx(0.316, abs=5e-4)
    # 1e-12: rounding.
    assert [s.share for s in spread.shares] == pytest.approx([0.1] * 10, rel=1e-12)
