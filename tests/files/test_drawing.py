"""What is drawn: kerf on the right side of every edge, and operations in the order of cutting."""

import math

import pytest

from framekit.errors import GeometryError
from framekit.files.drawing import draw_sheets
from framekit.files.settings import cut_settings
from framekit.geometry.path import Outline, Path, Vertex, circle
from framekit.sheets.model import Placement
from framekit.spec.defaults import STROKES


def draw(sheets):
    return draw_sheets(sheets, cut_settings(sheets))


def test_marks_then_holes_then_the_outline(two_parts):
    (sheet,) = draw(two_parts)
    assert [p.id for p in sheet.parts] == ["disc-1", "disc-1", "rib-1"]
    assert [[o.name for o in p.operations] for p in sheet.parts] == [
        ["mark"],
        ["inside", "outside"],
        ["outside"],
    ]
    assert sheet.count == 2


def test_label_is_a_mark(sample):
    stroke = Path((Vertex(0, 0), Vertex(3, 0)), closed=False)
    part = sample.part("disc-1", Outline(circle(30.0)))
    sheets = sample.sheets(Placement(part, 50.0, 60.0, 90.0, (stroke,)))
    mark = draw(sheets)[0].parts[0].operations[0]
    assert mark.name == "mark"
    assert mark.path.vertices == ((50.0, 60.0, 0.0), (50.0, 63.0, 0.0))


def test_file_makes_up_for_the_kerf(two_parts):
    # By hand: radius 50 grows and radius 20 shrinks by half of 0.16 mm.
    hole, rim = draw(two_parts)[0].parts[1].operations
    assert rim.path.area == pytest.approx(math.pi * 50.08**2, rel=1e-12)
    assert hole.path.area == pytest.approx(-math.pi * 19.92**2, rel=1e-12)


def test_marks_do_not_move(two_parts):
    mark = draw(two_parts)[0].parts[0].operations[0].path
    assert mark.length == pytest.approx(26.0, abs=1e-12)


@pytest.mark.parametrize("settings", [{"compensate": "machine"}, {"kerf": 0.0}])
def test_finished_outline_where_nothing_is_to_be_made_up(sample, settings):
    outline = Outline(circle(50.0), (circle(20.0, clockwise=True),))
    sheets = sample.sheets(Placement(sample.part("disc-1", outline), 80.0, 90.0, 0.0), **settings)
    hole, rim = draw(sheets)[0].parts[0].operations
    assert (rim.path, hole.path) == (
        outline.outer.moved(x=80.0, y=90.0),
        outline.holes[0].moved(x=80.0, y=90.0),
    )


def test_too_fine_a_feature_names_the_part_and_its_line(sample):
    pinhole = circle(0.05, clockwise=True)
    part = sample.part("disc-7", Outline(circle(50.0), (pinhole,)))
    with pytest.raises(GeometryError) as caught:
        draw(sample.sheets(Placement(part, 80.0, 90.0, 0.0)))
    assert "disc-7" in caught.value.message and "0.16 mm" in caught.value.message
    assert caught.value.where.line == 12


def test_colours_are_the_specs_or_ours(sample, two_parts):
    assert dict(cut_settings(two_parts).strokes) == dict(STROKES)
    part = Placement(sample.part("disc-1", Outline(circle(50.0))), 80.0, 90.0, 0.0)
    given = cut_settings(sample.sheets(part, strokes=("#112233", None, None)))
    assert given.strokes["mark"] == "#112233"
    assert given.strokes["inside"] == STROKES["inside"]
