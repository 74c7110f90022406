"""Offsets, against shapely's buffers of fine polylines and figures in closed form."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from framekit.errors import GeometryError
from framekit.geometry.compare import same_path
from framekit.geometry.offset import offset_outline, offset_path
from framekit.geometry.path import Outline, Path, Vertex, circle

FINE = 1e-5
"""Chord error in mm of the polylines given to shapely."""


def slack_of(distance: float) -> float:
    """How far shapely's buffer may be out in mm.

    It drops points that lie within a hundredth of the distance of their neighbours' chord (from
    memory: GEOS, BufferInputLineSimplifier); the polylines add 2e-5 mm.
    """
    return 0.01 * abs(distance) + 1e-4


def box(width: float, height: float) -> Path:
    return Path((Vertex(0, 0), Vertex(width, 0), Vertex(width, height), Vertex(0, height)))


def region(path: Path) -> shapely.Polygon:
    return shapely.Polygon(path.polyline_within(FINE))


def slotted_disc(radius: float = 60.0, slots: int = 8, width: float = 3.1, bottom: float = 45.0):
    """A disc with slots open at its rim: rim arcs, straight walls, straight slot bottoms."""
    vertices = []
    half = math.asin(width / 2 / radius)
    step = 2 * math.pi / slots
    for i in range(slots):
        middle = i * step
        for at, out in ((-1, True), (-1, False), (1, False), (1, True)):
            r = radius * math.cos(half) if out else bottom
            x, y = r, at * width / 2
            c, s = math.cos(middle), math.sin(middle)
            rim = math.tan((step - 2 * half) / 4) if (at, out) == (1, True) else 0.0
            vertices.append(Vertex(c * x - s * y, s * x + c * y, rim))
    return Path(tuple(vertices))


def half_ring(outer: float = 100.0, inner: float = 80.0) -> Path:
    """Half of a ring, cut off flat at both ends."""
    return Path(
        (Vertex(0, -outer, 1.0), Vertex(0, outer), Vertex(0, inner, -1.0), Vertex(0, -inner))
    )


@pytest.mark.parametrize("turned", [False, True])
def test_rectangle_grows_whichever_way_it_runs(turned):
    path = box(100.0, 50.0).reversed() if turned else box(100.0, 50.0)
    grown = offset_path(path, 0.1)
    # (100 + 0.2)(50 + 0.2) in closed form; the sense is kept.
    assert abs(grown.area) == pytest.approx(5030.04, rel=1e-12)
    assert grown.area * path.area > 0
    assert offset_path(path, -0.1).bounds == pytest.approx((0.1, 0.1, 99.9, 49.9), abs=1e-12)


def test_circle_stays_two_true_arcs():
    grown = offset_path(circle(40.0), 0.25)
    assert [v.bulge for v in grown.vertices] == [1.0, 1.0]
    assert grown.segments[0].radius == pytest.approx(40.25, abs=1e-12)
    assert offset_path(circle(40.0, clockwise=True), -0.25).area == pytest.approx(
        -math.pi * 39.75**2, rel=1e-12
    )


@pytest.mark.parametrize("path", [box(100.0, 50.0), slotted_disc(), half_ring()])
@pytest.mark.parametrize("distance", [0.08, 0.5, -0.08, -0.5])
def test_against_shapely(path, distance):
    mine = region(offset_path(path, distance))
    theirs = region(path).buffer(distance, join_style="mitre", mitre_limit=4.0)
    slack = slack_of(distance)
    assert mine.hausdorff_distance(theirs) < slack
    assert mine.symmetric_difference(theirs).area < slack * mine.length


@pytest.mark.parametrize("path", [box(100.0, 50.0), slotted_disc(), half_ring(), circle(9.0)])
def test_there_and_back(path):
    for distance in (0.1, -0.1):
        there = offset_path(path, distance)
        assert same_path(offset_path(there, -distance), path, tolerance=1e-9)


def test_walls_of_a_slot_move_by_the_distance():
    # A slot 3.1 mm wide whose outline grows by 0.1 is 2.9 mm wide in the path to cut.
    grown = offset_path(slotted_disc(width=3.1), 0.1)
    shortest = min(s.chord for s in grown.segments)
    assert shortest == pytest.approx(2.9, abs=1e-9)


def test_sharp_corner_is_rounded_and_comes_back():
    # Mitres would reach 0.2 / sin 10° = 1.15 mm at the tip of 20° and 0.2 / sin 35° = 0.35 mm at
    # the corner of 70°, over 1.5 times 0.2 mm; at the square one it is 0.2 √2 = 0.28 mm.
    tip = Path((Vertex(0, 0), Vertex(50, 0), Vertex(50, 50 * math.tan(math.radians(20)))))
    grown = offset_path(tip, 0.2)
    rounds = [s for s in grown.segments if s.bulge]
    assert len(rounds) == 2
    for found, corner, turn in zip(
        rounds, (tip.vertices[2], tip.vertices[0]), (110, 160), strict=True
    ):
        assert found.radius == pytest.approx(0.2, abs=1e-12)
        assert found.centre == pytest.approx((corner.x, corner.y), abs=1e-12)
        assert math.degrees(found.angle) == pytest.approx(turn, abs=1e-9)
    # Its arc has a radius of exactly the distance, and shrinks to the old corner.
    assert same_path(offset_path(grown, -0.2), tip, tolerance=1e-9)


@pytest.mark.parametrize("degrees", [10, 60, 83, 84, 90, 135])
def test_no_path_goes_farther_from_a_corner_than_laws_of_spacing_count(degrees):
    """Half of it is the farthest a path goes, over the width of the cut: 0.75."""
    lean = math.radians(degrees)
    wedge = Path((Vertex(0, 0), Vertex(60, 0), Vertex(50 * math.cos(lean), 50 * math.sin(lean))))
    grown = offset_path(wedge, 2.0)
    mitre = 2.0 / math.sin(lean / 2)
    farthest = region(grown).hausdorff_distance(region(wedge)) / (2 * 2.0)
    # chords of arcs lie within 1e-3 of the region
    assert farthest <= 0.75 + 1e-3
    near = min(math.hypot(v.x, v.y) for v in grown.vertices)
    # rounding
    assert near == pytest.approx(mitre if mitre <= 3.0 else 2.0, abs=1e-9)


def test_smooth_joints_stay_smooth():
    # A stadium: two straight sides of 40 mm and two half circles of 10 mm.
    stadium = Path((Vertex(0, 0), Vertex(40, 0, 1.0), Vertex(40, 20), Vertex(0, 20, 1.0)))
    grown = offset_path(stadium, 0.3)
    expected = Path(
        (Vertex(0, -0.3), Vertex(40, -0.3, 1.0), Vertex(40, 20.3), Vertex(0, 20.3, 1.0))
    )
    assert same_path(grown, expected, tolerance=1e-12)


def test_outline_grows_and_holes_shrink():
    hole = circle(5.0, clockwise=True).moved(x=50.0, y=25.0)
    outline = offset_outline(Outline(box(100.0, 50.0), (hole,)), 0.1)
    assert outline.area == pytest.approx(5030.04 - math.pi * 4.9**2, rel=1e-12)
    back = offset_outline(outline, -0.1)
    assert back.area == pytest.approx(5000.0 - math.pi * 25.0, rel=1e-12)


NECK = Path(
    (
        Vertex(0, 0),
        Vertex(20, 0),
        Vertex(20, 9),
        Vertex(10.1, 9.95),
        Vertex(20, 10.9),
        Vertex(20, 20),
        Vertex(0, 20),
        Vertex(9.9, 10.5),
        Vertex(0, 1),
    )
)
"""Two blocks joined by a neck 0.58 mm wide between two notches."""


@pytest.mark.parametrize(
    "path, distance",
    [
        (slotted_disc(width=0.15), 0.08),  # the slots close
        (circle(0.05, clockwise=True), -0.08),  # a pinhole closes
        (box(100.0, 0.1), -0.08),  # a sliver vanishes
        (Path((Vertex(0, 0), Vertex(10, 0), Vertex(10, 5)), closed=False), 0.1),
        (Path((Vertex(0, 0), Vertex(10, 0))), 0.1),  # encloses nothing
        (NECK, -0.5),  # the notches meet
        (box(10.0, 10.0), math.nan),
    ],
)
def test_too_fine_is_refused(path, distance):
    with pytest.raises(GeometryError) as caught:
        offset_path(path, distance)
    assert "cannot be moved by" in caught.value.message
    assert caught.value.hint


def test_keyhole_that_closes_is_refused():
    # A round room of radius 5 behind a gap of 0.2 mm: no edge vanishes, but the walls cross.
    half = 0.1
    x = math.sqrt(25.0 - half**2)
    bulge = -math.tan((2 * math.pi - 2 * math.asin(half / 5.0)) / 4)
    keyhole = Path(
        (
            Vertex(-20, -20),
            Vertex(30, -20),
            Vertex(30, -half),
            Vertex(x, -half, bulge),
            Vertex(x, half),
            Vertex(30, half),
            Vertex(30, 20),
            Vertex(-20, 20),
        )
    )
    assert offset_path(keyhole, 0.05).area > keyhole.area
    with pytest.raises(GeometryError):
        offset_path(keyhole, 0.15)


def test_hole_that_would_break_through_is_refused():
    hole = circle(4.0, clockwise=True).moved(x=50.0, y=4.1)
    outline = Outline(box(100.0, 50.0), (hole,))
    assert offset_outline(outline, 0.1).area > outline.area
    with pytest.raises(GeometryError):
        offset_outline(outline, -0.1)


@st.composite
def stars(draw):
    """Closed paths round the origin, corners at 20 to 60 mm, lines and shallow arcs between."""
    count = draw(st.integers(3, 12))
    vertices = []
    for i in range(count):
        radius = draw(st.floats(20.0, 60.0))
        angle = 2 * math.pi * (i + draw(st.floats(-0.2, 0.2))) / count
        bulge = draw(st.one_of(st.just(0.0), st.floats(-0.1, -1e-4), st.floats(1e-4, 0.1)))
        vertices.append(Vertex(radius * math.cos(angle), radius * math.sin(angle), bulge))
    return Path(tuple(vertices))


@settings(deadline=None)
@given(stars(), st.sampled_from([0.05, 0.2, -0.05, -0.2]), st.booleans())
def test_any_star_against_shapely(path, distance, turned):
    drawn = path.reversed() if turned else path
    old = region(path)
    if not old.is_valid:
        return
    new = region(offset_path(drawn, distance))
    assert new.is_valid
    # Between the buffer with round corners and the one with mitres as long as can be, which
    # differ only at corners.
    rounded = old.buffer(distance, quad_segs=64)
    mitred = old.buffer(distance, join_style="mitre", mitre_limit=50.0)
    if distance < 0:
        rounded, mitred = mitred, rounded
    slack = slack_of(distance)
    assert rounded.buffer(-slack).difference(new).area < 1e-9
    assert new.difference(mitred.buffer(slack)).area < 1e-9
    # No edge lies nearer to the old region's edge than the distance, nor farther than a mitre.
    edge, was = new.boundary, old.boundary
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(edge, 1.0)))
    gaps = shapely.distance(points, was)
    assert gaps.min() > abs(distance) - slack
    assert gaps.max() < 2.0 * abs(distance) + slack
