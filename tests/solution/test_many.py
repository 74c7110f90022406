"""Sweeps: every row is what a solve of its own gives."""

from __future__ import annotations

import numpy as np
import pytest

from framekit import solve_many
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values

SPEC = {
    "framekit": 1,
    "body": {"shape": "spheroid", "equatorial_diameter": 300, "flattening": 0.05},
    "ribs": {"count": 8, "width": {"equator": 24, "pole": 14}},
    "discs": [{"at": {"height": 0}, "bore": "auto"}, {"at": {"fraction": 0.5, "both": True}}],
    "joint": {"clearance": 0.05},
    "sheet": {"thickness": 3.05, "size": [600, 400]},
    "cutter": {"kerf": 0.16},
}


def test_rows_equal_solves_of_their_own():
    rng = np.random.default_rng(3)
    t, w = rng.uniform(2, 5, 40), rng.uniform(10, 40, 40)
    sweep = solve_many(
        solve(spec_from_values(SPEC)), {"sheet.thickness": t, "rib.width_equator": w}
    )
    for row in range(40):
        spec = {
            **SPEC,
            "sheet": {"thickness": float(t[row]), "size": [600, 400]},
            "ribs": {"count": 8, "width": {"equator": float(w[row]), "pole": 14}},
        }
        frame = solve(spec_from_values(spec)).frames[0]
        for name in ("disc-2.radius", "disc-1.bore_radius", "disc-3.ligament", "rib.pole_gap"):
            # 1e-9: numpy and math differ in the last digit of a root
            value = np.broadcast_to(sweep.quantities[name], 40)[row]
            assert value == pytest.approx(frame.value(name), rel=1e-9)
        assert bool(sweep.passed[row]) == (not frame.failed)


def test_rows_without_a_frame_never_pass():
    sweep = solve_many(
        solve(spec_from_values(SPEC)), {"rib.width_equator": np.array([20.0, 400.0])}
    )
    assert list(sweep.passed) == [True, False]
