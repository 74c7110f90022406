"""Labels stay on the part: every stroke a millimetre from every edge, by shapely."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from framekit.geometry.path import Outline, Path, Vertex, circle
from framekit.sheets.labels import CAP_HEIGHTS, find_room, place_label


def ring_half(outer, inner):
    """Half of a ring about the origin, right of the axis, cut off flat; radii in mm."""
    return Outline(
        Path((Vertex(0, -outer, 1.0), Vertex(0, outer), Vertex(0, inner, -1.0), Vertex(0, -inner)))
    )


def box(width, height):
    return Path((Vertex(0, 0), Vertex(width, 0), Vertex(width, height), Vertex(0, height)))


def notched_disc(radius, slots, bottom, half=1.5):
    """A disc with slots 3 mm wide from its rim down to `bottom` mm from the axis."""
    at_rim = math.asin(half / radius)
    rim = math.tan((2 * math.pi / slots - 2 * at_rim) / 4)
    vertices = []
    for i in range(slots):
        turn = 2 * math.pi * i / slots
        for x, y, bulge in (
            (radius * math.cos(at_rim), -half, 0.0),
            (bottom, -half, 0.0),
            (bottom, half, 0.0),
            (radius * math.cos(at_rim), half, rim),
        ):
            c, s = math.cos(turn), math.sin(turn)
            vertices.append(Vertex(c * x - s * y, s * x + c * y, bulge))
    return Path(tuple(vertices))


def clearance(strokes, outline):
    """The least distance in mm from the strokes to the part's edges; negative outside the part."""
    part = shapely.Polygon(
        outline.outer.polyline_within(1e-4), [h.polyline_within(1e-4) for h in outline.holes]
    )
    lines = shapely.MultiLineString([s.polyline for s in strokes])
    if not part.contains(lines):
        return -1.0
    return lines.distance(part.boundary)


def height_of(strokes):
    """The extent in mm of a label across its reading direction, for labels of capitals."""
    lines = shapely.MultiLineString([s.polyline for s in strokes])
    sides = shapely.get_coordinates(lines.minimum_rotated_rectangle)
    return min(math.dist(sides[0], sides[1]), math.dist(sides[1], sides[2]))


PARTS = {
    "rib": ring_half(110.0, 88.0),
    "thin rib": ring_half(60.0, 51.0),
    "disc": Outline(notched_disc(60.0, 8, 45.0), (circle(30.0, clockwise=True),)),
    "solid disc": Outline(notched_disc(40.0, 12, 30.0)),
    "hub": Outline(notched_disc(14.0, 4, 8.0)),
    "bar": Outline(box(120.0, 9.0)),
    "clockwise": Outline(box(40.0, 20.0).reversed()),
}


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("text", ["R1", "DISC-12", "gyj"])
def test_strokes_are_a_millimetre_from_every_edge(part, text):
    strokes = place_label(text, PARTS[part])
    assert strokes
    assert clearance(strokes, PARTS[part]) >= 1.0


@pytest.mark.parametrize("part", PARTS)
def test_size_follows_the_room(part):
    strokes = place_label("HEH", PARTS[part])
    assert any(abs(height_of(strokes) - height) < 1e-6 for height in CAP_HEIGHTS)
    assert 2.0 <= height_of(strokes) <= 6.0 + 1e-9


def test_upright_where_there_is_room_turned_where_there_is_not():
    upright = place_label("H", Outline(box(30.0, 30.0)))
    assert {v.x for s in upright[:1] for v in s.vertices} == {upright[0].vertices[0].x}
    tall = place_label("HEHEHE", Outline(box(8.0, 60.0)))
    xs = [v.x for s in tall for v in s.vertices]
    ys = [v.y for s in tall for v in s.vertices]
    assert max(ys) - min(ys) > 3 * (max(xs) - min(xs))


def test_no_room_no_label():
    assert place_label("RIB-1", Outline(circle(2.0))) == ()
    assert place_label("RIB-1", Outline(circle(30.0), (circle(26.5, clockwise=True),))) == ()
    assert place_label("", Outline(box(50.0, 50.0))) == ()
    # Capitals of 2 mm need 4 mm and a little: 3.9 mm has no room, 4.2 mm has.
    assert place_label("H", Outline(box(60.0, 3.9))) == ()
    assert place_label("H", Outline(box(60.0, 4.2)))


def test_keeps_clear_of_marks_and_joints():
    plate = Outline(box(60.0, 20.0))
    mark = Path((Vertex(0, 10), Vertex(45, 10)), closed=False)
    joint = box(20.0, 20.0).moved(x=40.0)
    strokes = place_label("A1", plate, (mark, joint))
    lines = shapely.MultiLineString([s.polyline for s in strokes])
    assert lines.distance(shapely.LineString(mark.polyline)) >= 1.0
    assert lines.distance(shapely.Polygon(joint.polyline)) >= 1.0
    assert place_label("A1", plate, (box(60.0, 20.0),)) == ()


def test_rooms_are_shared_by_equal_parts():
    rooms = {}
    one = place_label("RIB-1", PARTS["rib"], rooms=rooms)
    other = place_label("RIB-2", ring_half(110.0, 88.0), rooms=rooms)
    assert len(rooms) == 1 and one != other
    assert one == place_label("RIB-1", PARTS["rib"])
    place_label("RIB-3", PARTS["rib"], (box(1.0, 1.0),), rooms)
    assert len(rooms) == 2


@given(
    st.floats(5.0, 150.0),
    st.floats(2.0, 40.0),
    st.floats(0.0, 360.0),
    st.text("ABg1-", min_size=1, max_size=9),
)
def test_any_half_ring(inner, width, rotation, text):
    outline = ring_half(inner + width, inner).moved(rotation, 3.0, -7.0)
    strokes = place_label(text, outline)
    if strokes:
        assert clearance(strokes, outline) >= 1.0
    elif width > 6.5 and inner > 20.0:
        # Up to nine letters of 2 mm are at most 25 mm long; over a radius of 20 mm and more a
        # chord of that length sags too much only on narrow bands.
        assert len(text) > 3


def test_equal_outlines_are_searched_once(monkeypatch):
    searched = []

    def counted(*words):
        searched.append(words)
        return find_room(*words)

    monkeypatch.setattr("framekit.sheets.labels.find_room", counted)
    rooms = {}
    for i in range(20):
        assert place_label(f"RIB-{i}", PARTS["rib"], rooms=rooms)
    assert len(searched) == 1
