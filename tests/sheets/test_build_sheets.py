"""From parts to sheets: order, times, labels, and layouts that come back."""

from __future__ import annotations

import json
import math

import pytest
from shapely import LineString, Polygon

from framekit.geometry.path import Outline, Path, Vertex, circle, rectangle
from framekit.parts.build import make_parts
from framekit.parts.model import Part
from framekit.sheets.build import nest_parts
from framekit.sheets.estimate import DEFAULT_PACE, Pace, pace_of, tally
from framekit.sheets.layout import StockLayout, job_hash, layout_text, read_layouts
from framekit.sheets.model import Placement
from framekit.sheets.protocol import NestItem, NestJob, NestResult, Place
from framekit.sheets.route.tour import plan_runs
from framekit.sheets.stock.assignment import StockAssignment
from framekit.sheets.stock.jobs import StockJob, make_jobs
from framekit.sheets.stock.supply import Board
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values
from framekit.spec.sections import Speeds

SPEC = {
    "framekit": 1,
    "id": "small",
    "body": {"shape": "sphere", "diameter": 120},
    "ribs": {"count": 4, "width": 18},
    "discs": [{"at": {"height": 0}, "bore": "auto"}, {"at": {"fraction": 0.5, "both": True}}],
    "sheet": {"thickness": 3, "size": [400, 300]},
    "cutter": {"kerf": 0.16},
}


def parts_of(**changes):
    return make_parts(solve(spec_from_values({**SPEC, **changes})))


def part(part_id, outline):
    pose = ((1.0, 0, 0, 0), (0, 1.0, 0, 0), (0, 0, 1.0, 0), (0, 0, 0, 1.0))
    return Part(
        id=part_id, kind="disc", frame="f", title=part_id, thickness=3, material="m",
        outline=outline, marks=(), crossings=(), pose=pose, mass=1.0, origin=None,
    )  # fmt: skip


def test_what_lies_in_a_hole_is_cut_before_its_ring():
    ring = part("ring", Outline(circle(50), (circle(40, clockwise=True),)))
    inner = part("inner", Outline(circle(30), (circle(20, clockwise=True),)))
    core = part("core", Outline(circle(10)))
    apart = part("apart", Outline(circle(5)))
    placed = [
        Placement(ring, 60, 60, 0),
        Placement(inner, 60, 60, 0),
        Placement(core, 60, 60, 0),
        Placement(apart, 10, 10, 0),
    ]
    runs = plan_runs(placed)
    order = [placed[r.placement].part.id for r in runs if r.operation == "outside"]
    assert order.index("core") < order.index("inner") < order.index("ring")
    assert order[0] == "apart"
    # The slug of a hole takes along what lies in it, so the hole waits too.
    cut = [(placed[r.placement].part.id, r.operation) for r in runs]
    assert cut.index(("inner", "outside")) < cut.index(("ring", "inside"))
    assert cut.index(("ring", "inside")) < cut.index(("ring", "outside"))


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


def test_every_speed_of_the_spec_changes_the_time():
    assert pace_of(Speeds()) == DEFAULT_PACE
    base = nest_parts(parts_of()).sheets.sheets[0].seconds
    for speed in ({"cut": 20}, {"mark": 5}, {"travel": 20}, {"pierce": 3}):
        changed = parts_of(cutter={"kerf": 0.16, "speed": speed})
        assert nest_parts(changed).sheets.sheets[0].seconds != base


def test_margin_spacing_and_bed_change_the_layout():
    base = nest_parts(parts_of())
    for cutter in ({"margin": 15}, {"spacing": 9}, {"bed": [380, 290]}):
        changed = nest_parts(parts_of(cutter={"kerf": 0.16, **cutter}))
        assert changed.layout != base.layout
    tight = nest_parts(parts_of(cutter={"kerf": 0.16, "margin": 15}))
    for placement in tight.sheets.sheets[0].placements:
        left, low, right, high = placement.outline.outer.bounds
        # 1e-3 mm: the polyline's chords lie inside the true arcs by up to 0.005 mm
        assert min(left, low) >= 15 - 0.006 and right <= 385.006 and high <= 285.006


def test_labels_name_frame_and_part_and_stay_on_it():
    for placement in nest_parts(parts_of()).sheets.sheets[0].placements:
        outline = placement.part.outline
        polygon = Polygon(outline.outer.polyline, [h.polyline for h in outline.holes])
        assert placement.label
        for stroke in placement.label:
            line = LineString(stroke.polyline)
            assert polygon.contains(line)
            for crossing in placement.part.crossings:
                assert not Polygon(crossing.polyline).intersects(line)


def test_equal_parts_are_copies_of_one_item():
    parts = parts_of()
    (stock,) = make_jobs(parts)
    # Four ribs, the disc on the equator, and the two that mirror each other.
    assert [i.copies for i in stock.job.items] == [len(group) for group in stock.groups]
    assert [[p.id for p in group] for group in stock.groups] == [
        ["rib-1", "rib-2", "rib-3", "rib-4"],
        ["disc-1"],
        ["disc-2", "disc-3"],
    ]
    sheets = nest_parts(parts).sheets
    assert sorted(p.part.id for s in sheets.sheets for p in s.placements) == sorted(
        p.id for p in parts.all
    )


def test_several_sheets_when_one_is_not_enough():
    sheets = nest_parts(parts_of(sheet={"thickness": 3, "size": [150, 150]})).sheets.sheets
    assert len(sheets) > 1
    assert sum(len(s.placements) for s in sheets) == 7
    assert all(s.used_length <= 150.001 and s.used_width <= 150.001 for s in sheets)


SQUARE = NestItem("f/square", ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)), (), 2)


def stock_of(job, thickness=3.0):
    return StockJob("mdf", thickness, job, ((),), (Board(job.width, job.height),))


def test_a_layout_file_gives_the_layout_back(tmp_path):
    job = NestJob((SQUARE,), 100, 50, 2, 2)
    result = NestResult(((Place(0, 0, 2.0, 2.0, 0.0), Place(0, 1, 30.123456, 2.0, 90.0)),))
    path = tmp_path / "x.layout.json"
    wide = NestJob((SQUARE,), 200, 50, 2, 2)
    found = StockAssignment(result, (0,))
    three, six = stock_of(job, 3.0), stock_of(wide, 6.0)
    layouts = [StockLayout(three, found), StockLayout(six, found)]
    path.write_text(layout_text(layouts, "quick"), encoding="utf-8")
    assert read_layouts(path, [six, three], "quick") == (found, found)
    data = json.loads(path.read_text(encoding="utf-8"))
    assert data["framekit_layout"] == 2
    assert [stock["stock"] for stock in data["stocks"]] == ["mdf 3 mm", "mdf 6 mm"]
    other = NestJob((SQUARE,), 300, 50, 2, 2)
    assert read_layouts(path, [stock_of(other), three], "quick") == (None, found)
    assert read_layouts(path, [three], "other") == (None,)
    assert read_layouts(tmp_path / "none.json", [three], "quick") == (None,)


def test_the_hash_sees_everything_a_layout_depends_on():
    job = NestJob((SQUARE,), 100, 50, 2, 2)
    moved = tuple((x + 0.001, y) for x, y in SQUARE.outer)
    others = [
        NestJob((NestItem("f/square", moved, (), 2),), 100, 50, 2, 2),
        NestJob((NestItem("f/square", SQUARE.outer, (), 3),), 100, 50, 2, 2),
        NestJob((NestItem("f/square", SQUARE.outer, (SQUARE.outer,), 2),), 100, 50, 2, 2),
        NestJob((SQUARE,), 101, 50, 2, 2),
        NestJob((SQUARE,), 100, 51, 2, 2),
        NestJob((SQUARE,), 100, 50, 3, 2),
        NestJob((SQUARE,), 100, 50, 2, 3),
        NestJob((SQUARE,), 100, 50, 2, 2, "sheets"),
    ]
    hashes = {job_hash(j, "quick") for j in (job, *others)}
    assert len(hashes) == 9
    tiny = tuple((x + 1e-9, y) for x, y in SQUARE.outer)
    assert job_hash(NestJob((NestItem("f/square", tiny, (), 2),), 100, 50, 2, 2), "quick") == (
        job_hash(job, "quick")
    )


def test_used_length_and_cut_length_by_hand():
    sheet = nest_parts(parts_of()).sheets.sheets[0]
    right = max(p.outline.outer.bounds[2] for p in sheet.placements)
    # 1e-9 mm: one sum
    assert sheet.used_length == pytest.approx(right + 5, abs=1e-9)
    total = math.fsum(p.part.outline.length for p in sheet.placements)
    assert sheet.cut_length == pytest.approx(total, abs=1e-9)
