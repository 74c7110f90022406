"""A sheet's time, summed by hand."""

from __future__ import annotations

import pytest

from framekit.geometry.path import Path, Vertex, rectangle
from framekit.sheets.estimate import Pace, tally


def test_seconds_against_a_hand_sum():
    """A 30 × 40 mm rectangle from (10, 0), then a 50 mm mark: travel 10, cut 140, travel from
    (10, 0) to (10, 30), mark 50; speeds 10, 100, 200 mm/s, 0.3 s a pierce."""
    cut = rectangle(10, 40, 20, 40)
    mark = Path((Vertex(10, 30), Vertex(60, 30)), closed=False)
    expected = 10 / 200 + 140 / 10 + 0.3 + 30 / 200 + 50 / 100
    found = tally([(cut, False), (mark, True)], Pace(10, 100, 200, 0.3))
    # 1e-12: sums of a few terms
    assert found.seconds == pytest.approx(expected, abs=1e-12)
    assert (found.cut, found.mark, found.travel, found.pierces) == (140, 50, 40, 1)
