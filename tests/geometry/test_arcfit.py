"""Arc fitting: every arc set is laid beside a dense sampling of its curve.

The distance is taken here from the arcs' own circles (centre and radius by the law of the bulge,
AutoCAD DXF Reference, group code 42), not by the code under test.
"""

import math
from itertools import pairwise

import numpy as np
import pytest

from framekit.errors import GeometryError
from framekit.geometry.arcfit import ellipse_arcs, fit_arcs


def arcs_of(vertices):
    """Start, end, centre, radius and signed angle of each arc; a line has centre None."""
    for v, w in pairwise(vertices):
        chord = math.dist(v[:2], w[:2])
        angle = 4 * math.atan(v.bulge)
        if v.bulge == 0.0:
            yield np.array(v[:2]), np.array(w[:2]), None, math.inf, 0.0
            continue
        radius = chord / (2 * math.sin(abs(angle) / 2))
        direction = (np.array(w[:2]) - v[:2]) / chord
        normal = np.array([-direction[1], direction[0]])
        height = math.copysign(radius * math.cos(angle / 2), v.bulge)
        centre = (np.array(v[:2]) + w[:2]) / 2 + normal * height
        yield np.array(v[:2]), np.array(w[:2]), centre, radius, angle


def greatest_deviation(vertices, x, y):
    """The greatest distance in mm from the points to the nearest arc, its ends respected."""
    points = np.column_stack([x, y])
    best = np.full(len(points), np.inf)
    for start, end, centre, radius, angle in arcs_of(vertices):
        if centre is None:
            d = end - start
            t = np.clip((points - start) @ d / (d @ d), 0, 1)
            gap = np.linalg.norm(points - start - t[:, None] * d, axis=1)
        else:
            v = points - centre
            first = math.atan2(*(start - centre)[::-1])
            turn = (np.arctan2(v[:, 1], v[:, 0]) - first) * math.copysign(1, angle)
            on = turn % (2 * math.pi) <= abs(angle)
            to_ends = np.minimum(
                np.linalg.norm(points - start, axis=1), np.linalg.norm(points - end, axis=1)
            )
            gap = np.where(on, abs(np.linalg.norm(v, axis=1) - radius), to_ends)
        best = np.minimum(best, gap)
    return best.max()


def tangent_breaks(vertices):
    """The greatest turn in radians between an arc and the next."""
    ends = []
    for start, end, _, _, angle in arcs_of(vertices):
        heading = math.atan2(*(end - start)[::-1])
        ends.append((heading - angle / 2, heading + angle / 2))
    return max(
        (abs(math.remainder(b[0] - a[1], 2 * math.pi)) for a, b in pairwise(ends)),
        default=0.0,
    )


# The bodies are half a frame of 300 mm with Jupiter's and Saturn's flattening, then steeper ones.
HALF_AXES = [(150.0, 140.27), (150.0, 135.3), (127.0, 118.0), (150.0, 50.0), (20.0, 400.0)]


@pytest.mark.parametrize("a, c", HALF_AXES)
@pytest.mark.parametrize(
    "start, end",
    [(0.0, 2 * math.pi), (-math.pi / 2, math.pi / 2), (0.2, 1.3), (math.pi / 2, -math.pi / 2)],
)
@pytest.mark.parametrize("tolerance", [0.004, 0.0005, 0.05])
def test_ellipse_stays_within_tolerance(a, c, start, end, tolerance):
    vertices = ellipse_arcs(a, c, start, end, tolerance)
    u = np.linspace(start, end, 20001)
    assert greatest_deviation(vertices, a * np.cos(u), c * np.sin(u)) <= tolerance
    # Tangents are continuous up to the rounding of lines that rise less than 1e-9 mm.
    assert tangent_breaks(vertices) < 1e-6
    for vertex, at in ((vertices[0], start), (vertices[-1], end)):
        assert vertex[:2] == pytest.approx((a * math.cos(at), c * math.sin(at)), abs=1e-12 * a)
    assert vertices[-1].bulge == 0.0


@pytest.mark.parametrize("a, c", HALF_AXES)
def test_ellipse_is_symmetric(a, c):
    vertices = ellipse_arcs(a, c, -math.pi / 2, math.pi / 2)
    for v, w in zip(vertices, reversed(vertices), strict=True):
        # The cuts differ only by the rounding of sums; 1e-6 mm is a thousandth of the tolerance.
        assert (v.x, v.y) == pytest.approx((w.x, -w.y), abs=1e-6)
    bulges = [v.bulge for v in vertices[:-1]]
    assert bulges == pytest.approx(bulges[::-1], abs=1e-6)


def test_few_arcs():
    # Regression, not truth: a rib's skin at Saturn's flattening on a 300 mm frame.
    assert len(ellipse_arcs(150.0, 135.3, -math.pi / 2, math.pi / 2)) - 1 <= 24
    # The count grows with the cube root of the precision: a thousandth needs ten times the arcs.
    coarse = len(ellipse_arcs(150.0, 100.0, 0.0, 6.0, 0.05)) - 1
    fine = len(ellipse_arcs(150.0, 100.0, 0.0, 6.0, 0.00005)) - 1
    assert 7.0 < fine / coarse < 13.0


def test_circle_is_one_true_arc():
    (start, end) = ellipse_arcs(40.0, 40.0, 0.0, math.pi / 2)
    # Quarter of a circle: bulge tan(90°/4) = √2 − 1, in closed form.
    assert start.bulge == pytest.approx(math.sqrt(2) - 1, abs=1e-15)
    assert end == (0.0, 40.0, 0.0)
    half = ellipse_arcs(40.0, 40.0, -math.pi / 2, math.pi / 2)
    assert len(half) == 2 and half[0].bulge == pytest.approx(1.0, abs=1e-15)
    over = ellipse_arcs(40.0, 40.0, 0.0, 1.5 * math.pi)
    assert len(over) == 3 and over[0].bulge == over[1].bulge
    clockwise = ellipse_arcs(40.0, 40.0, math.pi / 2, 0.0)
    assert clockwise[0].bulge == pytest.approx(1 - math.sqrt(2), abs=1e-15)


def test_general_circle_and_line_are_found():
    vertices = fit_arcs(
        lambda u: (5 + 30 * math.cos(u), 7 + 30 * math.sin(u)),
        lambda u: (-math.sin(u), math.cos(u)),
        0.3,
        2.9,
    )
    assert len(vertices) == 2
    assert vertices[0].bulge == pytest.approx(math.tan(2.6 / 4), abs=1e-9)
    line = fit_arcs(lambda u: (3 * u, 4 * u), lambda u: (3.0, 4.0), 0.0, 20.0)
    assert line == ((0.0, 0.0, 0.0), (60.0, 80.0, 0.0))


def test_wave_with_points_of_inflection():
    vertices = fit_arcs(
        lambda u: (u, 20 * math.sin(u / 10)), lambda u: (1.0, 2 * math.cos(u / 10)), 0.0, 150.0
    )
    u = np.linspace(0, 150, 20001)
    assert greatest_deviation(vertices, u, 20 * np.sin(u / 10)) <= 0.004
    assert {v.bulge > 0 for v in vertices[:-1]} == {True, False}


def test_curve_whose_curvature_jumps():
    # A straight line that runs into a circle of 25 mm: smooth tangents, curvature 0 then 1/25.
    def point(u):
        return (u, 0.0) if u < 0 else (25 * math.sin(u / 25), 25 - 25 * math.cos(u / 25))

    def tangent(u):
        return (1.0, 0.0) if u < 0 else (math.cos(u / 25), math.sin(u / 25))

    vertices = fit_arcs(point, tangent, -31.0, 29.0)
    places = np.array([point(u) for u in np.linspace(-31.0, 29.0, 20001)])
    assert greatest_deviation(vertices, places[:, 0], places[:, 1]) <= 0.004
    assert len(vertices) - 1 <= 40


@pytest.mark.parametrize(
    "call",
    [
        lambda: ellipse_arcs(0.0, 10.0, 0.0, 1.0),
        lambda: ellipse_arcs(10.0, 10.0, 0.0, 7.0),
        lambda: ellipse_arcs(10.0, 10.0, 1.0, 1.0),
        lambda: ellipse_arcs(10.0, 5.0, 0.0, 1.0, 0.0),
        lambda: fit_arcs(lambda u: (u, 0.0), lambda u: (0.0, 0.0), 0.0, 1.0),
        lambda: fit_arcs(lambda u: (math.nan, 0.0), lambda u: (1.0, 0.0), 0.0, 1.0),
        # Tangents that stand across the curve leave half circles however short the pieces.
        lambda: fit_arcs(lambda u: (u, 0.0), lambda u: (0.0, 1.0), 0.0, 2.1, 1e-9),
    ],
)
def test_what_cannot_be_fitted_is_refused(call):
    with pytest.raises(GeometryError):
        call()


def test_a_full_ellipse_takes_few_looks_at_the_curve():
    looks = 0

    def point(u):
        nonlocal looks
        looks += 1
        return (150.0 * math.cos(u), 135.3 * math.sin(u))

    def tangent(u):
        return (-150.0 * math.sin(u), 135.3 * math.cos(u))

    vertices = fit_arcs(point, tangent, 0.0, 2 * math.pi)
    # 49 to measure it, and 12 a piece of two arcs in each of at most two rounds.
    assert looks <= 50 + 2 * 12 * len(vertices) / 2
