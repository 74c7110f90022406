"""Curves through points: `scipy.interpolate.PchipInterpolator` (Fritsch and Butland, 1984) is the
oracle; it shares no code with what is tested."""

from __future__ import annotations

import math
import random
from typing import Any

import numpy as np
import pytest
from constraints.refusals import refusal
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from framekit.constraints.arrays import curve_on_arrays
from framekit.constraints.intervals import Interval
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.constraints.series import SERIES, along
from framekit.errors import SpecError
from framekit.geometry.profile_curve import points_curve

BAD_POINTS: list[Any] = [
    [],
    [[3, 4]],
    "points",
    None,
    5,
    [3, 4, 5],
    [[1, 2], [3]],
    [[1, 2], [3, 4, 5]],
    [[1, 2], "34"],
    [[1, 2], ["3", 4]],
    [[1, 2], [True, 4]],
    [[1, 2], [None, 4]],
    [[1, 2], [3 + 4j, 4]],
    [[1, 2], [math.nan, 4]],
    [[1, 2], [math.inf, 4]],
    [[1, 2], [3, -math.inf]],
    [[1, 2], [3, math.nan]],
    [[1, 2], [10**400, 4]],
    [[1, 2], [1e13, 4]],
    [[1, 2], [-1, 4]],
    [[1, 0], [0, 4], [2, 8]],
    [[0, 0], [0, 4]],
    [[0, 0], [0, 4], [0, 8]],
    [[1, 2], [3, 2]],
    [[1, 2], [3, 2 + 1e-9]],
    [[1, 0], [2, 5], [3, 4], [2, 9]],
    [[1, 9], [2, 5], [3, 6], [2, 0]],
    [[10, 0], [20, 30], [5, 10], [20, 40], [10, 50]],
    [[10, 0], [20, 10], [20, 10], [10, 20]],
    [[1, i] for i in range(2001)],
    [[1 + i % 7, i] for i in range(1_000_000)],
]


@pytest.mark.parametrize("points", BAD_POINTS, ids=range(len(BAD_POINTS)))
def test_bad_points_are_refused_in_a_sentence(points: Any) -> None:
    refusal(lambda: points_curve(points, True))


def test_a_fold_names_its_point() -> None:
    says = refusal(lambda: points_curve([[1, 0], [2, 5], [3, 4], [2, 9]]))
    assert "point 3" in says and "radius must follow from the height" in says


def random_points(rng: random.Random, count: int) -> list[list[float]]:
    heights = sorted(rng.sample(range(-500, 500), count))
    return [[float(rng.choice([0.5, 7, 7, 20, rng.uniform(1, 90)])), float(z)] for z in heights]


@pytest.mark.parametrize("seed", range(30))
def test_smooth_curves_are_those_of_scipy(seed: int) -> None:
    rng = random.Random(seed)
    points = random_points(rng, rng.choice([2, 3, 4, 12, 60]))
    curve = points_curve(points if seed % 2 else points[::-1])
    other = PchipInterpolator([z for _, z in points], [r for r, _ in points])
    low, high = curve.heights[0], curve.heights[-1]
    z = np.linspace(low, high, 701)
    # 1e-12 and 1e-10: roundings of radii up to 90 mm, and of their differences over a few mm.
    np.testing.assert_allclose([curve.at(x) for x in z], other(z), rtol=1e-12, atol=1e-12)
    np.testing.assert_allclose([curve.slope(x) for x in z], other(z, 1), rtol=1e-10, atol=1e-10)
    np.testing.assert_allclose(curve_on_arrays(curve, z), other(z), rtol=1e-12, atol=1e-12)
    inner = z[(z > low) & (z < high)]
    inner = inner[~np.isin(inner, curve.heights)]
    second = [2 * SERIES.curve(curve, along(lambda m, x: x, [x], [1.0])).c2 for x in inner]
    np.testing.assert_allclose(second, other(inner, 2), rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("smooth", [True, False])
@pytest.mark.parametrize("seed", range(15))
def test_extremes_and_bands_hold_samples_tightly(seed: int, smooth: bool) -> None:
    rng = random.Random(seed)
    curve = points_curve(random_points(rng, 9), smooth)
    for _ in range(20):
        low, high = sorted(
            rng.uniform(curve.heights[0] - 9, curve.heights[-1] + 9) for _ in range(2)
        )
        z = np.append(np.linspace(low, high, 4001), [h for h in curve.heights if low < h < high])
        values = curve_on_arrays(curve, z)
        least, most = curve.extremes(low, high)
        # 1e-9: rounding; the ends and the points are among the samples.
        assert least == pytest.approx(values.min(), abs=1e-9)
        assert most == pytest.approx(values.max(), abs=1e-9)
        band = INTERVALS.curve(curve, Interval(low, high, ((1.0, 1.0),)))
        assert band.low <= values.min() and values.max() <= band.high
        assert band.low >= least - 1e-9 and band.high <= most + 1e-9
        slopes = [curve.slope(x) for x in z if curve.heights[0] <= x <= curve.heights[-1]]
        flat, steep = curve.slope_extremes(low, high)
        if slopes:
            assert flat - 1e-12 <= min(slopes) and max(slopes) <= steep + 1e-12
            assert band.slopes[0][0] <= min(slopes) and max(slopes) <= band.slopes[0][1]


def test_straight_pieces_corners_and_turns() -> None:
    curve = points_curve([[10, 0], [30, 10], [20, 20], [20, 30], [40, 40]], smooth=False)
    assert curve.at(5) == 20 and curve.slope(5) == 2 and curve.at(15) == 25
    assert curve.corners() == (10, 20, 30)
    assert curve.minima() == (25,)
    assert curve.slope_extremes(9, 11) == (-1, 2)
    assert (curve.at(-9), curve.at(99)) == (10, 40)
    assert FLOATS.curve(curve, 5.0) == 20


def test_a_smooth_curve_of_twice_the_points_is_twice_as_large() -> None:
    points = [[0, 0], [30, 10], [20, 20], [0, 45]]
    curve, twice = points_curve(points), points_curve([[2 * r, 2 * z] for r, z in points])
    assert hash(curve) != hash(twice)
    for z in (0.0, 3.0, 14.0, 44.9, 45.0):
        assert twice.at(2 * z) == pytest.approx(2 * curve.at(z), rel=1e-14)  # a few roundings
        assert twice.slope(2 * z) == pytest.approx(curve.slope(z), rel=1e-13, abs=1e-14)
    assert curve.corners() == ()


@given(
    st.lists(
        st.lists(st.floats() | st.integers() | st.none() | st.text(max_size=2), max_size=3),
        max_size=6,
    )
)
@settings(deadline=None)
def test_any_points_are_read_or_refused(points: Any) -> None:
    try:
        curve = points_curve(points)
    except SpecError as error:
        assert error.hint
    else:
        middle = (curve.heights[0] + curve.heights[-1]) / 2
        assert 0 < curve.at(middle) <= max(curve.radii) * (1 + 1e-12)  # a few roundings


def test_curve_on_arrays_keeps_nan_and_shape() -> None:
    curve = points_curve([[10, 0], [30, 10]])
    assert np.isnan(curve_on_arrays(curve, np.array([np.nan, 1.0]))).tolist() == [True, False]
    assert curve_on_arrays(curve, np.float64(5.0)) == 20
    assert curve_on_arrays(curve, np.zeros((2, 3))).shape == (2, 3)
