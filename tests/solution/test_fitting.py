"""Whether a rib fits a sheet, turned or not, against points on its edge."""

from __future__ import annotations

import math

import numpy as np
import pytest

from framekit.analysis.sweep import ARRAYS
from framekit.bodies.spheroid import spheroid
from framekit.constraints.intervals import Interval
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.solution.fitting import rib_fit, rib_room

SKIN = spheroid()
RANDOM = np.random.default_rng(4)
CASES = [
    (a, a * RANDOM.uniform(0.4, 1.6), a * e, tuple(a * RANDOM.uniform(0.8, 3, 2)))
    for a, e in zip(RANDOM.uniform(20, 300, 20), [0.0, *RANDOM.uniform(0, 0.9, 19)], strict=True)
]


def values_of(a, c, gap):
    return {
        "model.equatorial_radius": a,
        "model.polar_radius": c,
        "rib.pole_gap": gap,
        "rib.reach": a - gap,
        "rib.height": 2 * c * math.sqrt((a - gap) * (a + gap)) / a,
    }


def left_over(a, c, gap, room, degrees):
    """What the rib's outer edge leaves of the room in mm, by 20,001 points on it."""
    last = math.acos(gap / a)
    angles = np.linspace(-last, last, 20_001)
    x, y = a * np.cos(angles), c * np.sin(angles)
    turn = math.radians(degrees)
    along, across = math.cos(turn) * x - math.sin(turn) * y, math.sin(turn) * x + math.cos(turn) * y
    return min(room[0] - np.ptp(along), room[1] - np.ptp(across))


@pytest.mark.parametrize(("a", "c", "gap", "room"), CASES)
def test_the_room_a_turned_rib_leaves(a, c, gap, room):
    values = values_of(a, c, gap)
    for degrees in (0, 1, 17, 45, 63, 89, 90):
        # 1e-6 of the size: how far the points may lie from the farthest one on the edge
        expected = pytest.approx(left_over(a, c, gap, room, degrees), abs=1e-6 * max(a, c))
        found = rib_room(FLOATS, SKIN, values, room, degrees)
        assert found == expected
        mirrored = left_over(a, c, gap, room, 180 - degrees)
        assert rib_room(FLOATS, SKIN, values, room, degrees) == pytest.approx(
            mirrored, abs=1e-6 * a * 2
        )


@pytest.mark.parametrize(("a", "c", "gap", "room"), CASES)
def test_arrays_and_bands_agree_with_floats(a, c, gap, room):
    values = values_of(a, c, gap)
    arrays = {name: np.array([x, 2 * x]) for name, x in values.items()}
    bands = {name: Interval(x * 0.999, x * 1.001, ()) for name, x in values.items()}
    for degrees in (0, 20, 90):
        found = rib_room(FLOATS, SKIN, values, room, degrees)
        # 1e-12 relative: the same formula in the same order
        assert rib_room(ARRAYS, SKIN, arrays, room, degrees)[0] == pytest.approx(found, rel=1e-12)
        band = rib_room(INTERVALS, SKIN, bands, room, degrees)
        assert band.low <= found <= band.high


def test_a_rib_is_turned_only_where_it_must_be():
    # A whole ring's half, 200 mm high and 100 mm wide, by hand: 0° in 110 × 210, 90° in 210 × 110.
    values = values_of(100.0, 100.0, 0.0)
    assert rib_fit(SKIN, values, (110.0, 210.0)) == (10.0, 0.0)
    assert rib_fit(SKIN, values, (210.0, 110.0)) == (10.0, 90.0)
    # Turned by 45° a half disc of radius r spans r + r/√2 both ways (any geometry text).
    side = 100 + 100 / math.sqrt(2)
    margin, degrees = rib_fit(SKIN, values, (side + 1.0, side + 1.0))
    # 1e-9 mm: a sum of roots
    assert (margin, degrees) == (pytest.approx(1.0, abs=1e-9), 45.0)
    assert rib_fit(SKIN, values, (side - 1.0, side - 1.0))[0] == pytest.approx(-1.0, abs=1e-9)
