"""From parts to sheets: settings that count, labels, copies and lengths."""

from __future__ import annotations

import math

import pytest
from shapely import LineString, Polygon

from framekit.parts.build import make_parts
from framekit.sheets.build import nest_parts
from framekit.sheets.estimate import DEFAULT_PACE, pace_of
from framekit.sheets.stock.jobs import make_jobs
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


def test_used_length_and_cut_length_by_hand():
    sheet = nest_parts(parts_of()).sheets.sheets[0]
    right = max(p.outline.outer.bounds[2] for p in sheet.placements)
    # 1e-9 mm: one sum
    assert sheet.used_length == pytest.approx(right + 5, abs=1e-9)
    total = math.fsum(p.part.outline.length for p in sheet.placements)
    assert sheet.cut_length == pytest.approx(total, abs=1e-9)
