"""No-fit masks, convex pieces and the small linear programmes against other ways to the answer."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import linprog
from shapely import affinity
from shapely.geometry import Polygon

from framekit.sheets.nest.convex import convex_pieces
from framekit.sheets.nest.nofit import NoFit, fill_rings
from framekit.sheets.nest.shapes import make_shape
from framekit.sheets.nest.simplex import least_cost

BENT = ((0.0, 0.0), (30.0, 0.0), (30.0, 8.0), (10.0, 8.0), (10.0, 25.0), (0.0, 25.0))
WEDGE = ((0.0, 0.0), (22.0, 4.0), (3.0, 14.0))


def test_convex_pieces_fill_the_outline_and_are_convex() -> None:
    pieces = [Polygon(p) for p in convex_pieces(np.array(BENT))]
    assert len(pieces) == 2
    # areas of integer corners are exact: 30·8 + 10·17
    assert sum(p.area for p in pieces) == pytest.approx(410.0, abs=1e-9)
    assert all(p.equals(p.convex_hull) for p in pieces)


@pytest.mark.parametrize(("one", "two"), [(0.0, 0.0), (30.0, 75.0), (200.0, 10.0)])
def test_mask_agrees_with_overlap_of_the_outlines(one: float, two: float) -> None:
    shapes = [make_shape(BENT, 0.0), make_shape(WEDGE, 0.0)]
    rims = [Polygon(shape.rim) for shape in shapes]
    step, count = 4.0, 20
    for i, j in ((0, 1), (1, 0), (0, 0)):
        rings = NoFit(shapes).rings(i, j, one, two)
        mask = fill_rings(rings, -40.0, -40.0, count, count, step)
        still = affinity.rotate(rims[i], one, origin=(0, 0))
        moving = affinity.rotate(rims[j], two, origin=(0, 0))
        for column in range(count):
            for row in range(count):
                shifted = affinity.translate(moving, -40 + column * step, -40 + row * step)
                assert mask[column, row] == (still.intersection(shifted).area > 1e-9)


@pytest.mark.parametrize("spacing", [0.0, 2.0, 6.0])
def test_a_search_shape_holds_the_outline_and_half_the_spacing(spacing: float) -> None:
    shape = make_shape(BENT, spacing)
    exact = Polygon(shape.exact)
    assert Polygon(shape.rim).contains(exact)
    # the nearest the rim comes to the outline; 1e-9 for rounding of doubles
    assert Polygon(shape.rim).exterior.distance(exact) >= spacing / 2 - 1e-9


def test_a_slotted_disc_counts_as_round() -> None:
    points = [(20 * math.cos(math.radians(a)), 20 * math.sin(math.radians(a))) for a in range(360)]
    slotted = Polygon(points).difference(Polygon(((8, -1.5), (30, -1.5), (30, 1.5), (8, 1.5))))
    shape = make_shape(tuple(slotted.exterior.coords)[:-1], 2.0)
    assert shape.round
    assert not make_shape(BENT, 2.0).round


def test_least_cost_agrees_with_scipy() -> None:
    rng = np.random.default_rng(7)
    for case in range(40):
        rows = rng.normal(size=(60, 8)) * (rng.random((60, 8)) < 0.5)
        limits = rng.uniform(-0.3 if case % 2 else 0.0, 2.0, size=60)
        cost, reach = rng.normal(size=8), rng.uniform(0.5, 3.0, size=8)
        ours = least_cost(cost, rows, limits, reach)
        theirs = linprog(cost, rows, limits, bounds=np.column_stack([-reach, reach]))
        assert (ours is not None) == (theirs.status == 0)
        if ours is not None:
            # both solvers stop at 1e-9 or so; the costs are of order 1
            assert cost @ ours == pytest.approx(theirs.fun, abs=1e-7)
            assert (rows @ ours - limits).max() < 1e-7
