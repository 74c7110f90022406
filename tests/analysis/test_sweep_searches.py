"""Sweeps of specs that need a search: every row is what a solve of its own gives."""

from __future__ import annotations

import numpy as np
import pytest
from analysis.single_rows import frame_of, row_of

from framekit import solve_many

BASE = {
    "framekit": 1,
    "body": {"shape": "spheroid", "equatorial_diameter": 300, "flattening": 0.05},
    "scale": "1:1",
    "ribs": {"count": 8, "width": {"equator": 24, "pole": 14}},
    "joint": {"style": "housed", "engagement": 0.5},
    "sheet": {"thickness": "3.05 ± 0.03", "size": [600, 400]},
    "cutter": {"kerf": "0.16 ± 0.02"},
}
LEVEL = {"at": {"height": 0}, "bore": "auto"}
MEANS = {"shape": "spheroid", "mean_radius": 150, "polar_radius": 140, "mean_kind": "arithmetic"}
SPECS = {
    "housed": {**BASE, "discs": [LEVEL, {"radius": 120, "side": "north"}]},
    "slots": {
        **BASE,
        "discs": [LEVEL, {"slot_depth": 10.5, "side": "south", "bore": "auto"}],
        "joint": {"engagement": 0.5},
    },
    "means": {**BASE, "body": MEANS, "discs": [LEVEL, {"at": {"fraction": 0.4, "both": True}}]},
    "both": {
        **BASE,
        "body": {**MEANS, "mean_kind": "volumetric"},
        "discs": [{"radius": 110, "side": "north"}, {"radius": 90, "side": "south"}],
    },
}
KEYS = {
    "sheet.thickness": ("sheet", "thickness"),
    "cutter.kerf": ("cutter", "kerf"),
    "scale.denominator": ("scale",),
    "rib.width_equator": ("ribs", "width", "equator"),
    "rib.width_pole": ("ribs", "width", "pole"),
    "rib.count": ("ribs", "count"),
    "joint.engagement": ("joint", "engagement"),
    "body.equatorial_diameter": ("body", "equatorial_diameter"),
    "body.flattening": ("body", "flattening"),
    "body.mean_radius": ("body", "mean_radius"),
    "body.polar_radius": ("body", "polar_radius"),
    "disc-1.radius": ("discs", 0, "radius"),
    "disc-2.radius": ("discs", 1, "radius"),
    "disc-2.slot_depth": ("discs", 1, "slot_depth"),
}
COMMON = {
    "sheet.thickness": (1.5, 7),
    "cutter.kerf": (0, 0.5),
    "scale.denominator": (0.8, 1.4),
    "rib.width_equator": (8, 80),
    "rib.width_pole": (5, 60),
    "joint.engagement": (0.2, 0.8),
}
SPANS = {
    "housed": {"body.flattening": (-0.3, 0.3), "disc-2.radius": (20, 140)},
    "slots": {"body.equatorial_diameter": (280, 330), "disc-2.slot_depth": (3, 30)},
    "means": {"body.mean_radius": (120, 200), "body.polar_radius": (100, 180)},
    "both": {"body.mean_radius": (130, 170), "disc-1.radius": (60, 125)},
}


@pytest.mark.parametrize("kind", SPECS)
def test_rows_equal_solves(kind):
    spec, rows = SPECS[kind], 125
    random = np.random.default_rng(11)
    spans = {**COMMON, **SPANS[kind]}
    inputs = {name: random.uniform(low, high, rows) for name, (low, high) in spans.items()}
    inputs["rib.count"] = random.integers(3, 16, rows)
    sweep = solve_many(frame_of(spec), inputs)
    whole = {name: np.broadcast_to(x, rows) for name, x in sweep.quantities.items()}
    for row in range(rows):
        frame = row_of(spec, KEYS, {name: x[row].item() for name, x in inputs.items()})
        assert sweep.valid[row] == (frame is not None), row
        if frame is None:
            assert not sweep.as_drawn[row]
            assert np.isnan(sweep.margins["ligament", "disc-2"][row])
            continue
        for name, values in whole.items():
            # 1e-9: roots agree to the last digits, and what follows them is no steeper than 1e6
            assert values[row] == pytest.approx(frame.value(name), rel=1e-9, abs=1e-9), name
        found = {(c.code, c.about): c.margin for c in frame.checks}
        ours = {key: margin[row] for key, margin in sweep.margins.items()}
        assert {key for key, margin in ours.items() if np.isfinite(margin)} == set(found)
        for key, margin in found.items():
            # 1e-7 mm: differences of lengths of some hundred mm
            assert ours[key] == pytest.approx(margin, abs=1e-7), key
        assert sweep.as_drawn[row] == (not frame.failed)
    assert 10 < sweep.valid.sum() < rows or kind == "means"


def test_only_what_follows_is_searched_again():
    sweep = solve_many(frame_of(SPECS["housed"]), {"made.thickness": np.linspace(3, 3.1, 5)})
    assert isinstance(sweep.quantities["disc-2.height"], float)
    sweep = solve_many(frame_of(SPECS["housed"]), {"rib.width_equator": 25.0})
    assert sweep.rows == 1 and isinstance(sweep.quantities["disc-2.height"], float)
    sweep = solve_many(frame_of(SPECS["housed"]), {"disc-2.radius": 1000.0})
    assert list(sweep.valid) == [False]


def test_a_sweep_in_which_no_row_has_a_frame():
    sweep = solve_many(frame_of(SPECS["housed"]), {"disc-2.radius": np.linspace(900, 999, 4)})
    assert not sweep.valid.any() and np.isnan(sweep.quantities["disc-2.height"]).all()
