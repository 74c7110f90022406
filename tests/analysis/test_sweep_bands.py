"""The bands and verdicts of a sweep's rows: what each row's spec gives, solved by itself."""

from __future__ import annotations

import numpy as np
import pytest
from analysis.single_rows import frame_of, row_of

from framekit import solve_many

BASE = {
    "framekit": 1,
    "body": {"shape": "sphere", "diameter": 240},
    "ribs": {"count": 8, "width": 26},
    "discs": [{"at": {"height": 5}, "bore": "auto"}, {"at": {"height": 60, "both": True}}],
    "sheet": {"thickness": "3.05 ± 0.03", "size": [600, 400]},
    "cutter": {"kerf": "0.16 ± 0.02"},
    "joint": {"clearance": 0.05},
}
SPECS = {
    "cross-lap": BASE,
    "cut away": {**BASE, "ribs": {**BASE["ribs"], "cut_away": [20, 130]}},
    "alternate": {**BASE, "ribs": {**BASE["ribs"], "alternate": {"width": 22}}},
    "housed": {**BASE, "joint": {"style": "housed", "clearance": 0.05}},
    "two sheets": {**BASE, "disc_sheet": {"thickness": "4.1 ± 0.1", "size": [600, 400]}},
    "router": {**BASE, "cutter": {"kerf": "1.5 ± 0.05", "process": "router"}},
    "tenon": {
        **BASE,
        "body": {"shape": "cylinder", "diameter": 160, "height": 150},
        "discs": [{"at": {"end": "bottom"}}, {"at": {"height": 80}}],
        "joint": {"style": "tenon", "clearance": 0.05},
    },
    "flange": {
        **BASE,
        "joint": {"style": "housed", "clearance": 0.05},
        # A default seat is two thicknesses of the solved frame's sheet, and stays so in a sweep.
        "flanges": [{"at": 0, "inner_radius": 130, "outer_radius": 170, "seat_depth": 6}],
        "discs": [{"at": {"height": 50, "both": True}}],
    },
}
KEYS = {
    "rib.count": ("ribs", "count"),
    "rib.width_equator": ("ribs", "width"),
    "sheet.thickness": ("sheet", "thickness"),
    "joint.clearance": ("joint", "clearance"),
}


@pytest.mark.parametrize("name", SPECS)
def test_bands_and_verdicts_are_those_of_single_frames(name):
    spec = SPECS[name]
    spec = {**spec, "ribs": {**spec["ribs"], "width": {"equator": 26, "pole": 20}}}
    keys = {**KEYS, "rib.width_equator": ("ribs", "width", "equator")}
    random = np.random.default_rng(5)
    inputs = {
        "rib.count": random.integers(2, 24, 12),
        "rib.width_equator": random.uniform(12, 40, 12),
        "sheet.thickness": random.uniform(2.5, 3.6, 12),
        "joint.clearance": np.tile([-0.3, 0.03, 0.06, 0.08], 3),
    }
    sweep = solve_many(frame_of(spec), inputs)
    bands = sweep.bands
    assert set(bands.low) == set(bands.high) == set(sweep.margins)
    for row in range(sweep.rows):
        changes = {n: x[row].item() for n, x in inputs.items()}
        changes["sheet.thickness"] = f"{changes['sheet.thickness']!r} ± 0.03"
        frame = row_of(spec, keys, changes)
        if frame is None:
            assert bands.verdicts[row] == "no frame"
            assert all(np.isnan(low[row]) for low in bands.low.values())
            continue
        verdicts = [c.verdict for c in frame.checks]
        worst = next(v for v in ("fail", "undecided", "pass") if v in verdicts)
        assert bands.verdicts[row] == worst
        found = {(c.code, c.about): c for c in frame.checks}
        for key, low in bands.low.items():
            if key not in found:
                assert low[row] == bands.high[key][row] == np.inf
                continue
            # 1e-7 mm: the same enclosure, from quantities that differ in their last digits
            assert low[row] == pytest.approx(found[key].low, abs=1e-7), key
            assert bands.high[key][row] == pytest.approx(found[key].high, abs=1e-7), key
            assert low[row] <= sweep.margins[key][row] + 1e-9 <= bands.high[key][row] + 2e-9


def test_the_joints_band_by_hand():
    """Oracle: the gap is clearance + (real kerf − 0.16) − (real sheet − 3.05), so ± 0.05 mm."""
    inputs = {"joint.clearance": [0.03, 0.05, 0.08, -0.1]}
    bands = solve_many(frame_of(BASE), inputs).bands
    low, high = bands.low["slot-gap", "joint"], bands.high["slot-gap", "joint"]
    # 1e-9 mm: sums of four lengths of some mm, rounded outward
    assert low == pytest.approx([-0.02, 0.0, 0.03, -0.15], abs=1e-9)
    assert high == pytest.approx([0.08, 0.10, 0.13, -0.05], abs=1e-9)
    assert bands.verdicts[0] == "undecided" and bands.verdicts[3] == "fail"
    assert bands.verdicts[2] == "pass"


def test_what_is_swept_as_made_has_no_tolerance():
    """Oracle: with sheet and kerf known the gap is one number, 0.05 − (sheet − 3.05)."""
    inputs = {"made.thickness": [3.0, 3.1], "made.kerf": 0.16}
    bands = solve_many(frame_of(BASE), inputs).bands
    for end in (bands.low, bands.high):
        # 1e-9 mm: sums of four lengths of some mm
        assert end["slot-gap", "joint"] == pytest.approx([0.10, 0.0], abs=1e-9)


def test_bands_are_found_once_when_asked_for_and_cannot_be_written_to():
    sweep = solve_many(frame_of(BASE), {})
    assert "bands" not in vars(sweep)
    bands = sweep.bands
    assert sweep.bands is bands and sweep.verdicts is bands.verdicts
    assert bands.verdicts.shape == (1,)
    for array in (bands.verdicts, sweep.passed, bands.low["slot-gap", "joint"]):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = array[0]
