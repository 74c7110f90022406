"""Bridges: gaps where the part is smooth, pieces that are true arcs, lengths that follow."""

from __future__ import annotations

import math

import pytest
import shapely

from framekit.errors import NestError, SpecError
from framekit.geometry.gaps import foot_of, opened, point_along, stretch
from framekit.geometry.path import Outline, Path, Vertex, circle
from framekit.parts.build import make_parts
from framekit.sheets.build import nest_parts
from framekit.sheets.route.bridges import CLEAR, smooth_runs
from framekit.sheets.route.runs import all_paths
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values

SQUARE = Path((Vertex(0, 0), Vertex(40, 0), Vertex(40, 40), Vertex(0, 40)))


SPEC = {
    "framekit": 1,
    "id": "small",
    "body": {"shape": "sphere", "diameter": 120},
    "ribs": {"count": 4, "width": 18},
    "discs": [{"at": {"height": 0}, "bore": "auto"}, {"at": {"fraction": 0.5, "both": True}}],
    "sheet": {"thickness": 3, "size": [400, 300]},
}


def sheets_of(bridges=None, **changes):
    cutter = {"kerf": 0.2, **({} if bridges is None else {"bridges": bridges})}
    values = {**SPEC, "cutter": cutter, **changes}
    return nest_parts(make_parts(solve(spec_from_values(values)))).sheets


def test_a_stretch_of_a_circle_is_a_true_arc():
    # By hand: a quarter of a circle of radius 10 from 45°, bulge tan(90°/4 / …) = tan(22.5°).
    quarter = 10 * math.pi / 2
    arc = stretch(circle(10), quarter / 2, quarter * 1.5)
    # 1e-9: a few sines
    assert arc.length == pytest.approx(quarter, abs=1e-9)
    for x, y in arc.polyline_within(1e-3):
        assert math.hypot(x, y) == pytest.approx(10, abs=1e-9)
    assert arc.vertices[0][:2] == pytest.approx((math.sqrt(50), math.sqrt(50)), abs=1e-9)


def test_gaps_go_where_they_are_asked_for_and_the_rest_stays():
    pieces = opened(SQUARE, [(20, 0), (20, 40)], 2.0)
    assert len(pieces) == 2 and not any(piece.closed for piece in pieces)
    # 160 mm round less two gaps of 2 mm; 1e-9: sums
    assert sum(piece.length for piece in pieces) == pytest.approx(156, abs=1e-9)
    assert pieces[0].vertices[0][:2] == pytest.approx((21, 0), abs=1e-9)
    assert pieces[0].vertices[-1][:2] == pytest.approx((21, 40), abs=1e-9)
    assert foot_of(SQUARE, (50, 17)).along == pytest.approx(57, abs=1e-9)
    assert point_along(SQUARE, 170) == pytest.approx((10, 0), abs=1e-9)


def test_runs_end_at_corners_and_tight_arcs():
    assert smooth_runs(SQUARE, 5.0) == [(0, 40), (40, 80), (80, 120), (120, 160)]
    whole = smooth_runs(circle(20), 5.0)
    assert whole == [(0.0, pytest.approx(40 * math.pi, abs=1e-9))]
    assert smooth_runs(circle(4), 5.0) == []


@pytest.mark.parametrize("count", [1, 3])
def test_every_cut_keeps_its_bridges_and_they_are_clear(count):
    sheets = sheets_of({"count": count, "width": 0.6})
    sheet = sheets.sheets[0]
    gap = 0.8  # 0.6 mm and a kerf of 0.2 mm
    assert sheet.gap == pytest.approx(gap, abs=1e-12)
    for placement in sheet.placements:
        part = placement.part
        paths = (*part.outline.holes, part.outline.outer)
        assert len(placement.bridges) == len(paths)
        for path, points in zip(paths, placement.bridges, strict=True):
            assert len(points) == count
            line = shapely.LinearRing(path.polyline)
            corners = [
                two.start
                for one, two in zip(
                    (path.segments[-1], *path.segments), path.segments, strict=False
                )
                if math.dist(one.direction(at_end=True), two.direction()) > 0.2
            ]
            for point in points:
                assert line.distance(shapely.Point(point)) < 0.01  # the chords' error
                assert all(math.dist(point, c) > gap / 2 + CLEAR - 0.05 for c in corners)
                for crossing in part.crossings:
                    away = shapely.Polygon(crossing.polyline).distance(shapely.Point(point))
                    assert away > gap / 2 + CLEAR - 1e-6


def test_lengths_pierces_and_time_follow_by_hand():
    plain, bridged = sheets_of().sheets[0], sheets_of({"count": 3, "width": 0.6}).sheets[0]
    cuts = sum(len(p.bridges) for p in bridged.placements)
    assert plain.pierces == cuts and bridged.pierces == 3 * cuts
    # Each bridge leaves 0.6 + 0.2 mm of the path; 1e-6: sums of some hundred arcs
    assert plain.cut_length - bridged.cut_length == pytest.approx(0.8 * 3 * cuts, abs=1e-6)
    expected = (
        bridged.cut_length / 10 + bridged.mark_length / 100 + bridged.travel / 200
        + 0.3 * bridged.pierces
    )  # fmt: skip
    assert bridged.seconds == pytest.approx(expected, abs=1e-9)  # one sum
    paths = all_paths(bridged.placements, bridged.runs, bridged.gap)
    assert not any(path.closed for path, mark in paths if not mark)


def test_small_holes_have_none():
    sheets = sheets_of({"count": 2}, discs=[{"at": {"height": 0}, "bore": 8}])
    discs = [p for s in sheets.sheets for p in s.placements if p.part.kind == "disc"]
    assert all(p.bridges[0] == () and len(p.bridges[1]) == 2 for p in discs)


def test_a_bridge_longer_than_any_edge_is_a_sentence():
    with pytest.raises(NestError) as caught:
        sheets_of({"count": 2, "width": 150})
    assert "no edge for a bridge. A bridge of 150 mm" in caught.value.message
    assert "bridges.width" in caught.value.hint


def test_a_router_leaves_wider_ones():
    sheet = sheets_of({"count": 2}, cutter={"process": "router", "tool_diameter": 2,
                                            "bridges": {"count": 2}}).sheets[0]  # fmt: skip
    assert sheet.gap == pytest.approx(5.0, abs=1e-12)


def test_parts_are_whole_in_the_result():
    outlines = [p.part.outline for p in sheets_of({"count": 3}).sheets[0].placements]
    assert all(isinstance(o, Outline) and o.outer.closed for o in outlines)


CUTTERS = {
    "laser": {"process": "laser", "kerf": 0.2},
    "router": {"process": "router", "tool_diameter": 3},
    "knife": {"process": "knife"},
}


@pytest.mark.parametrize("bridges", [None, {"count": 1}])
@pytest.mark.parametrize("who", ["file", "machine"])
@pytest.mark.parametrize("process", CUTTERS)
def test_no_open_path_is_left_to_a_machine_to_move(process, who, bridges):
    """An open path has no inside, so nobody can move it off a part; a knife needs no moving."""
    cutter = {**CUTTERS[process], "compensate": who}
    if bridges is not None:
        cutter["bridges"] = bridges
    text = {**SPEC, "cutter": cutter}
    if bridges is not None and who == "machine" and process != "knife":
        with pytest.raises(SpecError, match="an open path has no inside") as refused:
            spec_from_values(text)
        assert "compensate: file" in refused.value.hint
    else:
        assert spec_from_values(text).frames[0].cutter.compensate == who
