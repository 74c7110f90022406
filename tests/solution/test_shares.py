"""Sigma and shares of a frame's quantities and checks, against the `uncertainties` library.

The oracle's formulas are written here by hand, from the geometry of the joint (a slot comes out
wider by the extra kerf, a sheet is as thick as it is), and `uncertainties` differentiates and
combines them to first order. Where the law bends, numpy samples the hand-written formula. No code
of framekit is shared.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest
from jsonschema import Draft202012Validator
from uncertainties import ufloat, umath

from framekit.cli.main import main
from framekit.solution.build import solve
from framekit.spec.build import load_spec, parse_spec

ROOT = Path(__file__).parents[2]
BUOY = solve(load_spec(ROOT / "specs/harbour-buoy.yaml")).frames[0]

MIXED = """
framekit: 1
id: mixed
body: {shape: sphere, diameter: 180 mm}
ribs: {count: 6, width: 24}
discs:
  - {at: {height: 0}, bore: auto}
  - {at: {height: 41}}
joint: {clearance: 0.06}
sheet:
  material: birch-plywood
  thickness: {value: 3.02 mm, tolerance: 0.04 mm, spread: normal}
  size: [400, 300]
cutter: {kerf: 0.18 ± 0.03}
"""
"""A normal thickness (sigma is half the tolerance) and a uniform kerf (over the root of three)."""

NEAR_POLE = """
framekit: 1
id: near
body: {shape: sphere, diameter: 120 mm}
ribs: {count: 4, width: 18}
discs:
  - {at: {height: 0}}
  - {at: {height: 58.2}}
sheet: {material: birch-plywood, thickness: 3 ± 0.2, size: [400, 300]}
cutter: {kerf: 0.16 ± 0.01}
"""
"""A disc whose far face is 0.3 mm under the pole of a 60 mm radius: the skin bends there."""


def check_of(frame, name):
    return next(check for check in frame.checks if check.name == name)


def mixed():
    """The frame and its toleranced inputs as `uncertainties` has them, by framekit's names."""
    frame = solve(parse_spec(MIXED)).frames[0]
    return frame, {
        "sheet.thickness": ufloat(3.02, 0.04 / 2),
        "cutter.kerf": ufloat(0.18, 0.03 / math.sqrt(3)),
    }


def formulas(inputs):
    """Some results by hand, in mm: a sphere of radius 90, six ribs 24 wide, half engaged."""
    t, k = inputs["sheet.thickness"], inputs["cutter.kerf"]
    k_0, t_0, g = 0.18, 3.02, 0.06
    slot = t_0 + g + (k - k_0)
    half = math.radians(60) / 2
    gap = 0.5 + t_0 * math.cos(half) / (2 * math.sin(half))
    far = 41 + t / 2
    skin = umath.sqrt(90**2 - far**2)
    rim = math.sqrt(90**2 - (41 + t_0 / 2) ** 2) - (k - k_0) / 2
    return {
        "joint.gap": slot - t,
        "slot-gap of joint": slot - t,
        "slot-slack of joint": 0.25 - (slot - t),
        "disc-2.skin_radius": skin,
        "inside-skin of disc-2": skin - rim + 0.25,
        "pole-clearance of ribs": 2 * (gap + (k - k_0) / 2) * math.sin(half) - t * math.cos(half),
        "rib.pole_gap": gap + (k - k_0) / 2,
        "rib.proud": umath.sqrt(90**2 + t**2 / 4) - 90,
    }


@pytest.mark.parametrize("name", formulas(mixed()[1]))
def test_sigma_shares_and_slopes_are_those_of_uncertainties(name):
    frame, inputs = mixed()
    wanted = formulas(inputs)[name]
    found = check_of(frame, name) if " of " in name else frame.quantities[name]
    assert not found.curved
    # 1e-9: both add up the same few products; framekit's slopes are exact but for rounding.
    value = found.margin if " of " in name else found.value
    assert value == pytest.approx(wanted.n, abs=1e-9)
    assert found.sigma == pytest.approx(wanted.s, rel=1e-9)
    parts = wanted.error_components()
    shares = {}
    slopes = {}
    for key, variable in inputs.items():
        part = parts.get(variable, 0.0)
        if part:
            shares[key] = part**2 / wanted.s**2
            slopes[key] = wanted.derivatives[variable]
    # 1e-9: as above.
    assert {s.input: s.share for s in found.shares} == pytest.approx(shares, rel=1e-9)
    assert {s.input: s.slope for s in found.shares} == pytest.approx(slopes, rel=1e-9)
    ranked = sorted(shares, key=lambda key: -shares[key])
    assert [s.input for s in found.shares] == ranked
    assert sum(s.share for s in found.shares) == pytest.approx(1.0, abs=1e-12)  # three roundings


def test_a_bend_near_the_pole_is_sampled_and_says_so():
    frame = solve(parse_spec(NEAR_POLE)).frames[0]
    skin = frame.quantities["disc-2.skin_radius"]
    assert skin.curved
    assert [(s.input, s.share) for s in skin.shares] == [("sheet.thickness", 1.0)]
    t = np.random.default_rng(1).uniform(2.8, 3.2, 400_000)
    sample = np.sqrt(60**2 - (58.2 + t / 2) ** 2)
    # 0.5 % of the range is what sampling promises; the sample's own error is 0.2 % of its sigma.
    assert skin.sigma == pytest.approx(sample.std(), abs=0.005 * np.ptp(sample))
    assert skin.low <= sample.min() and sample.max() <= skin.high
    margin = check_of(frame, "inside-skin of disc-2")
    assert margin.curved
    assert [s.input for s in margin.shares] == ["sheet.thickness", "cutter.kerf"]
    assert not frame.quantities["disc-1.radius"].curved


def test_what_nothing_moves_has_no_shares():
    still = BUOY.quantities["model.height"]
    assert (still.sigma, still.shares, still.curved) == (0.0, (), False)
    stock = check_of(BUOY, "fits-stock of disc-1")
    assert (stock.sigma, stock.shares, stock.curved, stock.use) == (0.0, (), False, None)


def test_the_document_has_what_the_solution_has_and_the_schema_allows_it(capsys):
    assert main(["check", str(ROOT / "specs/harbour-buoy.yaml"), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert main(["schema", "result"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert list(Draft202012Validator(schema).iter_errors(document)) == []
    for row in ("QuantityRow", "CheckRow"):
        assert {"sigma", "shares", "curved"} <= set(schema["$defs"][row]["required"])
    frame = document["frames"][0]
    for name, quantity in BUOY.quantities.items():
        row = frame["quantities"][name]
        assert [tuple(share.values()) for share in row["shares"]] == list(quantity.shares)
        assert row["curved"] == quantity.curved
    made = len(BUOY.checks)  # those of the rib and of two unlike discs come after
    assert [row["code"] for row in frame["checks"][made:]] == ["cutter-path"] * 3
    for check, row in zip(BUOY.checks, frame["checks"][:made], strict=True):
        assert row["sigma"] == check.sigma and row["curved"] == check.curved
        assert [tuple(share.values()) for share in row["shares"]] == list(check.shares)
    # The thickness is 3.05 ± 0.03, the kerf 0.16 ± 0.02, both uniform: shares 9/13 and 4/13.
    gap = frame["quantities"]["joint.gap"]
    assert [share["input"] for share in gap["shares"]] == ["sheet.thickness", "cutter.kerf"]
    # 1e-9: rounding
    assert [s["share"] for s in gap["shares"]] == pytest.approx([9 / 13, 4 / 13], rel=1e-9)
    assert [s["slope"] for s in gap["shares"]] == pytest.approx([-1.0, 1.0], rel=1e-9)
