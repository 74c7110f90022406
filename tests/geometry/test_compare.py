"""Comparing outlines, against shapely and figures that are plain to see."""

import math

import pytest

from framekit.geometry.compare import area_between, greatest_distance, same_path
from framekit.geometry.path import Outline, Path, Vertex, circle


def box(x0: float, y0: float, x1: float, y1: float) -> Path:
    return Path((Vertex(x0, y0), Vertex(x1, y0), Vertex(x1, y1), Vertex(x0, y1)))


def test_area_between_boxes():
    # 10 × 10 against itself moved by 1: two strips of 1 × 10. Exact but for rounding.
    one, other = Outline(box(0, 0, 10, 10)), Outline(box(1, 0, 11, 10))
    assert area_between(one, other) == pytest.approx(20.0, abs=1e-9)
    assert area_between(one, one) == 0.0


def test_area_between_counts_holes():
    one = Outline(box(0, 0, 10, 10), (box(4, 4, 6, 6).reversed(),))
    assert area_between(one, Outline(box(0, 0, 10, 10))) == pytest.approx(4.0, abs=1e-9)


def test_greatest_distance_of_circles():
    # Concentric circles lie 1 mm apart everywhere; each polyline is within 0.001 mm.
    distance = greatest_distance(Outline(circle(10.0)), Outline(circle(9.0)))
    assert distance == pytest.approx(1.0, abs=0.002)


def test_greatest_distance_sees_the_middle_of_an_edge():
    # A triangle's tip 3 mm above the middle of a straight edge: no vertex of the box is near.
    roof = Path((Vertex(0, 0), Vertex(10, 0), Vertex(10, 5), Vertex(5, 8), Vertex(0, 5)))
    distance = greatest_distance(Outline(roof), Outline(box(0, 0, 10, 5)))
    assert distance == pytest.approx(3.0, abs=1e-9)


def test_greatest_distance_is_the_same_both_ways():
    one = Outline(box(0, 0, 10, 10), (circle(1.0, clockwise=True).moved(x=5.0, y=5.0),))
    other = Outline(box(0, 0, 10, 10))
    there, back = greatest_distance(one, other), greatest_distance(other, one)
    assert there == back
    # The hole's edge, at its four quadrants, is 4 mm from the nearest edge of the box.
    assert there > 3.99


def test_same_path_from_another_start_only_in_the_same_sense():
    path = Path((Vertex(0, 0, 0.5), Vertex(4, 0), Vertex(4, 3)))
    turned = Path((Vertex(4, 3), Vertex(0, 0, 0.5), Vertex(4, 0)))
    assert same_path(path, turned)
    assert not same_path(path, path.reversed())
    assert not same_path(path, Path((Vertex(0, 0, -0.5), Vertex(4, 0), Vertex(4, 3))))
    assert not same_path(path, Path(path.vertices, closed=False))


def test_same_path_open_keeps_its_start():
    path = Path((Vertex(0, 0), Vertex(4, 0), Vertex(4, 3)), closed=False)
    assert same_path(path, path)
    assert not same_path(path, Path((*path.vertices[1:], path.vertices[0]), closed=False))


def test_same_path_bulge_within_tolerance():
    # A bulge off by 1e-6 on a chord of 1 mm lifts the arc's middle by 5e-7 mm.
    one = Path((Vertex(0, 0, 0.3), Vertex(1, 0), Vertex(0, 1)))
    other = Path((Vertex(0, 0, 0.3 + 1e-6), Vertex(1, 0), Vertex(0, 1)))
    assert same_path(one, other, tolerance=1e-6)
    assert not same_path(one, other, tolerance=1e-7)
    assert math.isclose(one.segments[0].chord, 1.0)
