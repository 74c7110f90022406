"""Roots: all of them in a range, and the place where something stops to hold."""

from __future__ import annotations

import math

import pytest

from framekit.constraints.roots import bisect, bracket, find_roots


@pytest.mark.parametrize("near", [1e-1, 1e-3, 1e-5, 1e-7])
@pytest.mark.parametrize("place", [0.30001, 0.5])
def test_a_pair_of_roots_between_two_points_is_seen(near, place):
    points = [i / 159 for i in range(160)]
    roots = find_roots(lambda x: (x - place) ** 2 - near**2, points, 1.0)
    # 1e-9: the square of so small a distance carries half the digits
    assert roots == pytest.approx((place - near, place + near), abs=1e-9)
    assert find_roots(lambda x: (x - place) ** 2 + near**2, points, 1.0) == () or near < 2e-6


def test_halving_ends_beside_the_place_where_something_stops_to_hold():
    """The cube root of 20 by hand: 2.714417616594907 (OEIS A010592)."""
    low, high = bracket(lambda x: x**3 < 20, 0.0, 4.0)
    assert low**3 < 20 <= high**3
    # 1e-15: the two last numbers
    assert bisect(lambda x: x**3 < 20, 0.0, 4.0) == pytest.approx(2.714417616594907, rel=1e-15)
    assert bracket(lambda x: x > 1.0, 3.0, -1.0, halvings=3) == (1.5, 1.0)
    assert math.isclose(bisect(lambda x: False, 0.0, 1.0), 0.0, abs_tol=1e-15)
