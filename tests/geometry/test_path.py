"""Paths: exact lengths, areas and bounds; polygons that stand for them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LinearRing, Point, Polygon

from framekit.geometry.path import CHORD_ERROR, Path, Segment, Vertex, circle, rectangle


def test_a_quarter_circle_has_the_bulge_of_the_dxf_reference():
    """Bulge = tan(angle / 4): 0.414213562 for a quarter; radius c(1 + b²)/(4|b|)."""
    quarter = Segment((10.0, 0.0), (0.0, 10.0), 0.41421356237309503)
    # 1e-12: one tangent
    assert quarter.radius == pytest.approx(10, abs=1e-12)
    assert quarter.centre == pytest.approx((0, 0), abs=1e-12)
    assert quarter.length == pytest.approx(5 * math.pi, abs=1e-12)
    assert quarter.direction() == pytest.approx((0, 1), abs=1e-12)
    assert quarter.direction(at_end=True) == pytest.approx((-1, 0), abs=1e-12)


@settings(deadline=None)
@given(
    st.floats(0.5, 500),
    st.floats(0, 360),
    st.floats(5, 355),
)
def test_bounds_of_a_turned_pie_hold_its_points_tightly(radius, start, angle):
    """Oracle: a dense sample of the arc, by cosine and sine alone."""
    a0, a1 = math.radians(start), math.radians(start + angle)
    bulge = math.tan((a1 - a0) / 4)
    pie = Path(
        (
            Vertex(radius * math.cos(a0), radius * math.sin(a0), bulge),
            Vertex(radius * math.cos(a1), radius * math.sin(a1)),
        )
    )
    n = 4000
    xs, ys = zip(
        *(
            (radius * math.cos(a0 + (a1 - a0) * i / n), radius * math.sin(a0 + (a1 - a0) * i / n))
            for i in range(n + 1)
        ),
        strict=True,
    )
    # a dense sample misses the extreme by at most r (1 − cos(half a step))
    slack = radius * (1 - math.cos(math.pi / n)) + 1e-9
    assert pie.bounds == pytest.approx((min(xs), min(ys), max(xs), max(ys)), abs=slack)
    segment = radius**2 * ((a1 - a0) - math.sin(a1 - a0)) / 2
    # 1e-9 relative: a tangent of a quarter of the angle, ill-conditioned near 360 degrees
    assert pie.area == pytest.approx(segment, rel=1e-9, abs=1e-9)


def test_the_polygon_around_holds_the_true_outline_and_hugs_it():
    path = Path((Vertex(0, 0), Vertex(30, 0, 0.8), Vertex(30, 20, -0.4), Vertex(0, 20, 0.3)))
    around = Polygon(path.polygon_around)
    fine = path.polyline_within(1e-6)
    assert all(around.buffer(1e-6).contains(Point(p)) for p in fine)
    ring = LinearRing(fine)
    # the tangents' corners are the farthest points; 1e-6 for the sample's own chords
    assert all(ring.distance(Point(p)) <= CHORD_ERROR + 1e-6 for p in path.polygon_around)


def test_turning_back_and_reversing():
    path = Path((Vertex(0, 0, 0.5), Vertex(10, 0), Vertex(10, 5, -0.2)))
    # 1e-12: rounding
    assert path.reversed().area == pytest.approx(-path.area, abs=1e-12)
    assert path.reversed().length == pytest.approx(path.length, abs=1e-12)
    assert path.reversed().reversed() == path
    moved = path.moved(37.0, 5.0, -2.0)
    assert moved.area == pytest.approx(path.area, abs=1e-9)
    opened = Path((Vertex(0, 0, 1.0), Vertex(10, 0)), closed=False)
    assert opened.reversed().vertices == (Vertex(10, 0, -1.0), Vertex(0, 0, 0.0))
    assert path.moved(90.0).vertices[1][:2] == (0.0, 10.0)


def test_circles_and_rectangles():
    # 1e-9: products
    assert circle(10, clockwise=True).area == pytest.approx(-100 * math.pi, abs=1e-9)
    assert rectangle(1, 3, 5, 4).bounds == (1, 3, 3, 7)
