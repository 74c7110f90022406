"""Sweeps: every row is what a solve of its own gives."""

from __future__ import annotations

import numpy as np
import pytest
from analysis.single_rows import frame_of, row_of

from framekit import solve_many
from framekit.errors import SolveError, UnknownNameError
from framekit.spec.build import spec_from_values

SPEC = {
    "framekit": 1,
    "body": {"shape": "spheroid", "equatorial_diameter": 300, "flattening": 0.05},
    "scale": "1:1",
    "ribs": {"count": 8, "width": {"equator": 24, "pole": 14}, "pole_allowance": 0.5},
    "discs": [
        {"at": {"height": 5}, "bore": "auto"},
        {"at": {"latitude": 33, "kind": "geodetic", "both": True}, "bore": 9, "setback": 0.2},
    ],
    "joint": {"clearance": 0.05, "engagement": 0.5, "end_clearance": 0.1},
    "sheet": {"thickness": "3.05 ± 0.03", "size": [600, 400]},
    "cutter": {"kerf": "0.16 ± 0.02"},
}
KEYS = {
    "body.equatorial_diameter": ("body", "equatorial_diameter"),
    "body.flattening": ("body", "flattening"),
    "rib.count": ("ribs", "count"),
    "rib.width_equator": ("ribs", "width", "equator"),
    "rib.width_pole": ("ribs", "width", "pole"),
    "rib.pole_allowance": ("ribs", "pole_allowance"),
    "joint.clearance": ("joint", "clearance"),
    "joint.engagement": ("joint", "engagement"),
    "joint.end_clearance": ("joint", "end_clearance"),
    "sheet.thickness": ("sheet", "thickness"),
    "cutter.kerf": ("cutter", "kerf"),
    "disc-1.height": ("discs", 0, "at", "height"),
    "disc-2.latitude": ("discs", 1, "at", "latitude"),
    "disc-2.setback": ("discs", 1, "setback"),
    "disc-2.bore_radius": ("discs", 1, "bore"),
    "scale.denominator": ("scale",),
}
SPANS = {
    "body.equatorial_diameter": (150, 600),
    "body.flattening": (-0.3, 0.3),
    "rib.width_equator": (8, 80),
    "rib.width_pole": (5, 60),
    "rib.pole_allowance": (0, 10),
    "joint.clearance": (-0.05, 0.3),
    "joint.engagement": (0.2, 0.8),
    "joint.end_clearance": (0, 1),
    "sheet.thickness": (1.5, 7),
    "cutter.kerf": (0, 0.5),
    "disc-1.height": (-120, 120),
    "disc-2.latitude": (2, 80),
    "disc-2.setback": (0, 3),
    "disc-2.bore_radius": (1, 60),
    "scale.denominator": (0.5, 2),
}


def assert_rows_equal_solves(inputs):
    sweep = solve_many(frame_of(SPEC), inputs)
    whole = {name: np.broadcast_to(x, sweep.rows) for name, x in sweep.quantities.items()}
    for row in range(sweep.rows):
        frame = row_of(SPEC, KEYS, {name: np.asarray(x)[row].item() for name, x in inputs.items()})
        assert sweep.valid[row] == (frame is not None)
        if frame is None:
            assert not sweep.as_drawn[row]
            assert np.isnan(sweep.margins["ligament", "disc-1"][row])
            continue
        assert set(frame.quantities) == set(whole)
        for name, values in whole.items():
            # 1e-9: numpy and math differ in the last digits, kept small by the laws' forms
            assert values[row] == pytest.approx(frame.value(name), rel=1e-9, abs=1e-9), name
        found = {(c.code, c.about): c.margin for c in frame.checks}
        ours = {key: margin[row] for key, margin in sweep.margins.items()}
        assert {key for key, margin in ours.items() if np.isfinite(margin)} == set(found)
        for key, margin in found.items():
            # 1e-8 mm: differences of lengths of some hundred mm
            assert ours[key] == pytest.approx(margin, abs=1e-8), key
        assert sweep.as_drawn[row] == (not frame.failed)
    return sweep


@pytest.mark.parametrize("name", SPANS)
def test_one_input_swept_alone(name):
    assert_rows_equal_solves({name: np.linspace(*SPANS[name], 12)})


def test_all_inputs_swept_together():
    random = np.random.default_rng(3)
    inputs = {name: random.uniform(low, high, 150) for name, (low, high) in SPANS.items()}
    inputs["rib.count"] = random.integers(2, 30, 150)
    sweep = assert_rows_equal_solves(inputs)
    assert 20 < sweep.valid.sum() < 150


def test_discs_that_change_places_have_spacings_where_they_are_neighbours():
    sweep = assert_rows_equal_solves({"disc-1.height": np.array([-120.0, 0.0, 120.0])})
    spacings = {about: m for (code, about), m in sweep.margins.items() if code == "disc-spacing"}
    assert list(np.isfinite(spacings["disc-3 and disc-2"])) == [True, False, True]
    assert list(np.isfinite(spacings["disc-3 and disc-1"])) == [False, True, False]
    assert list(np.isfinite(spacings["disc-2 and disc-1"])) == [False, False, True]


def test_ribs_that_fit_only_when_turned():
    sweep = assert_rows_equal_solves({"body.equatorial_diameter": np.linspace(380, 700, 33)})
    fits = sweep.margins["fits-stock", "ribs"]
    assert (fits >= 0).any() and (fits < 0).any()


def test_a_real_sheet_under_an_unchanged_file():
    """Oracle: the drawn slot is 3.05 + 0.05 − 0.16 mm and opens by the real kerf."""
    sheet, kerf = np.linspace(2.7, 3.3, 7), np.linspace(0.1, 0.3, 7)
    sweep = solve_many(frame_of(SPEC), {"made.thickness": sheet, "made.kerf": kerf})
    # 1e-12 mm: four lengths of some mm added
    assert sweep.margins["slot-gap", "joint"] == pytest.approx(2.94 + kerf - sheet, abs=1e-12)
    assert sweep.quantities["joint.slot_width_drawn"] == pytest.approx(2.94, abs=1e-12)
    assert sweep.quantities["sheet.thickness"] == 3.05
    again = solve_many(frame_of(SPEC), {"sheet.thickness": sheet})
    assert again.margins["slot-gap", "joint"] == pytest.approx(0.05, abs=1e-12)


def test_rows_without_a_frame_never_pass_and_numpy_stays_quiet():
    # Warnings are errors in these tests.
    sweep = solve_many(
        frame_of(SPEC), {"rib.width_equator": np.array([20.0, 400.0]), "sheet.thickness": 3.0}
    )
    assert list(sweep.valid) == list(sweep.as_drawn) == [True, False]
    assert np.isnan(sweep.quantities["disc-1.joint_radius"][1])
    assert sweep.quantities["rib.width_equator"][1] == 400.0


def test_single_numbers_make_one_row_and_nothing_at_all_is_the_frame_itself():
    frame = frame_of(SPEC)
    for sweep in (solve_many(frame, {"sheet.thickness": 3.05}), solve_many(frame, {})):
        assert sweep.rows == 1 and list(sweep.as_drawn) == [not frame.failed]
        assert sweep.quantities["disc-1.radius"] == frame.value("disc-1.radius")


def test_what_comes_back_cannot_be_written_to_and_what_goes_in_is_left_alone():
    given = np.array([3.0, 3.1])
    sweep = solve_many(spec_from_values(SPEC), {"sheet.thickness": given})
    for array in (sweep.quantities["sheet.thickness"], sweep.margins["slot-gap", "joint"]):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1.0
    given[0] = 2.9
    assert sweep.as_drawn.shape == (2,)


@pytest.mark.parametrize(
    ("inputs", "error", "words"),
    [
        ({"sheet.thickness": [3, 3.1], "cutter.kerf": [0.1, 0.2, 0.3]}, ValueError, "3 values"),
        ({"sheet.thickness": [[3, 3.1]]}, ValueError, "shape"),
        ({"sheet.thickness": []}, ValueError, "shape"),
        ({"sheet.thickness": [3, np.nan]}, ValueError, "finite"),
        ({"rib.count": [4, 4.5]}, ValueError, "whole"),
        ({"sheet.tickness": [3]}, UnknownNameError, r"Did you mean sheet\.thickness"),
        ({"disc-1.radius": [90]}, UnknownNameError, "follows from others"),
        ({"rib.angle": [30]}, UnknownNameError, "no input that could"),
    ],
)
def test_inputs_that_make_no_sense_are_refused(inputs, error, words):
    with pytest.raises(error, match=words):
        solve_many(frame_of(SPEC), inputs)


def test_an_input_that_others_hold_is_refused():
    held = frame_of({**SPEC, "model": {"equatorial_diameter": 300}})
    with pytest.raises(SolveError, match="other values of the spec say the same"):
        solve_many(held, {"scale.denominator": [1.0, 2.0]})
    listed = frame_of({**SPEC, "ribs": {"longitudes": [0, 90, 180, 270]}})
    with pytest.raises(SolveError, match="longitude"):
        solve_many(listed, {"rib.count": [4, 5]})


@pytest.mark.parametrize(
    ("sector", "alternate"),
    [((0, 90), False), ((20, 245), False), ((300, 45), True), ((100, 340), False)],
)
def test_rib_counts_are_places_round_the_circle_of_which_a_sector_may_be_cut(sector, alternate):
    """Oracle: each row's count of ribs and least angle by hand, and the spec solved by itself."""
    ribs = {**SPEC["ribs"], "cut_away": list(sector)}
    if alternate:
        ribs["alternate"] = {"width": 20}
    spec = {**SPEC, "ribs": ribs}
    places = np.array([2, 3, 4, 5, 8, 9, 12, 24])
    sweep = solve_many(frame_of(spec), {"rib.count": places})
    margins = sweep.margins["web", "disc-1"]
    for row, count in enumerate(places.tolist()):
        turns = [360 * i / count for i in range(count)]
        # Ribs on the sector's two edges stand.
        wide = (sector[1] - sector[0]) % 360
        stand = [a for a in turns if not 1e-6 < (a - sector[0]) % 360 < wide - 1e-6]
        frame = row_of(spec, KEYS, {"rib.count": count})
        assert sweep.valid[row] == (frame is not None)
        if len(stand) < 2:
            assert not sweep.valid[row] and np.isnan(margins[row])
        if frame is None:
            continue
        gaps = [b - a for a, b in zip(stand, [*stand[1:], stand[0] + 360], strict=True)]
        assert sweep.quantities["rib.count"][row] == len(stand) == frame.value("rib.count")
        # 1e-9 degrees: sums of angles of some hundred
        assert sweep.quantities["rib.angle"][row] == pytest.approx(min(gaps), abs=1e-9)
        found = {(c.code, c.about): c.margin for c in frame.checks}
        for key, margin in found.items():
            # 1e-8 mm: differences of lengths of some hundred mm
            assert sweep.margins[key][row] == pytest.approx(margin, abs=1e-8), key
        assert sweep.as_drawn[row] == (not frame.failed)


def test_rib_counts_beyond_what_a_spec_takes_are_refused():
    with pytest.raises(ValueError, match="from 2 to 180"):
        solve_many(frame_of(SPEC), {"rib.count": [180, 181]})
