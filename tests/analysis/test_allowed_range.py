"""Allowed ranges: hand sums for what is made, and the frame solved again for the design."""

from __future__ import annotations

import copy
import json
import math

import numpy as np
import pytest

from framekit.analysis.allowed_range import allowed_range, rangeable_inputs
from framekit.analysis.feasibility import Feasibility
from framekit.analysis.model import AllowedRange, NoRange
from framekit.cli.main import main
from framekit.cli.report import inward
from framekit.errors import SolveError, UnknownNameError
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values

SPEC = {
    "framekit": 1,
    "body": {"shape": "spheroid", "equatorial_diameter": 300, "flattening": 0.05},
    "ribs": {"count": 8, "width": {"equator": 24, "pole": 14}},
    "discs": [{"at": {"height": 0}, "bore": "auto"}, {"at": {"fraction": 0.5, "both": True}}],
    "joint": {"clearance": "0.05 ± 0.01"},
    "sheet": {"thickness": "3.05 ± 0.03", "size": [600, 400]},
    "cutter": {"kerf": "0.16 ± 0.02"},
}
YAML = """framekit: 1
body: {shape: sphere, diameter: 200}
ribs: {count: 6, width: 20}
discs: [{at: {height: 0}}, {at: {height: 40, both: true}}]
sheet: {thickness: 3, size: [600, 400]}
cutter: {kerf: 0.16}
"""


def changed(**changes):
    """The spec with sections replaced, or, where both are mappings, keys in them."""
    values = copy.deepcopy(SPEC)
    for section, new in changes.items():
        old = values.get(section)
        values[section] = {**old, **new} if isinstance(old, dict) else new
    return values


def solved(**changes):
    return solve(spec_from_values(changed(**changes))).frames[0]


@pytest.mark.parametrize(
    ("name", "others", "low", "high"),
    [
        # The slot comes out 3.10 mm wide: no play at 3.10 mm, 0.25 mm of it at 2.85 mm.
        ("sheet.thickness", "nominal", 2.85, 3.10),
        # A kerf of 0.14 mm and a clearance of 0.04 mm close it by 0.03 mm, and open it as much.
        ("sheet.thickness", "anywhere", 2.88, 3.07),
        # 0.05 mm of play can be lost, and 0.20 mm gained.
        ("cutter.kerf", "nominal", 0.11, 0.36),
        ("cutter.kerf", "anywhere", 0.15, 0.32),
        ("joint.clearance", "nominal", 0.0, 0.25),
        ("joint.clearance", "anywhere", 0.05, 0.20),
    ],
)
def test_what_is_made_against_a_hand_sum(name, others, low, high):
    found = allowed_range(solved(), name, others)
    assert isinstance(found, AllowedRange) and found.as_made and not found.failing
    # 1e-8 mm: the checks allow for a rounding of 1e-9 mm
    assert (found.low, found.high) == pytest.approx((low, high), abs=1e-8)
    play = {"slot-slack", "slot-gap"}
    assert {found.low_limit.code, found.high_limit.code} == play


@pytest.mark.parametrize(
    ("name", "section", "key"),
    [
        ("rib.width_equator", "ribs", lambda x: {"width": {"equator": x, "pole": 14}}),
        ("rib.width_pole", "ribs", lambda x: {"width": {"equator": 24, "pole": x}}),
        ("rib.pole_allowance", "ribs", lambda x: {"pole_allowance": x}),
        ("joint.engagement", "joint", lambda x: {"engagement": x}),
        ("joint.end_clearance", "joint", lambda x: {"end_clearance": x}),
        ("body.flattening", "body", lambda x: {"flattening": x}),
        ("body.equatorial_diameter", "body", lambda x: {"equatorial_diameter": x}),
        ("scale.denominator", "scale", lambda x: f"1:{x!r}"),
        ("disc-1.height", "discs", lambda x: [{"at": {"height": x}}, SPEC["discs"][1]]),
        (
            "disc-2.fraction",
            "discs",
            lambda x: [SPEC["discs"][0], {"at": {"fraction": x, "both": True}}],
        ),
        (
            "disc-2.setback",
            "discs",
            lambda x: [SPEC["discs"][0], {**SPEC["discs"][1], "setback": x}],
        ),
    ],
)
def test_the_design_inside_passes_and_just_outside_fails(name, section, key):
    """Oracle: the frame solved again with the value written into the spec."""
    found = allowed_range(solved(), name)
    assert isinstance(found, AllowedRange) and found.low <= found.nominal <= found.high

    def fails(x):
        try:
            return bool(solved(**{section: key(x)}).failed)
        except SolveError:
            return True

    near = 1e-6 * max(abs(found.low), abs(found.high))
    for x in np.linspace(found.low + near, found.high - near, 40):
        assert not fails(float(x)), (x, found)
    for end, limit, sign in ((found.low, found.low_limit, -1), (found.high, found.high_limit, 1)):
        if limit.kind == "spec":
            assert end == 0
        else:
            assert fails(end + sign * near), (end, found)


def test_with_others_anywhere_a_range_of_the_design_passes_undecided_nowhere():
    frame = solved(joint={"clearance": 0.15}, cutter={"kerf": "0.16 ± 0.03"})
    nominal, anywhere = (allowed_range(frame, "rib.width_equator", o) for o in OTHERS)
    assert nominal.low < anywhere.low <= anywhere.high <= nominal.high
    near = 1e-6
    for x, verdict in ((anywhere.low + near, "pass"), (anywhere.low - near, "undecided")):
        again = solved(
            joint={"clearance": 0.15},
            cutter={"kerf": "0.16 ± 0.03"},
            ribs={"width": {"equator": x, "pole": 14}},
        )
        assert {c.verdict for c in again.checks} == {"pass", verdict}


OTHERS = ("nominal", "anywhere")


def test_the_scale_of_a_wanted_size_by_hand():
    """The disc at the equator must fit 390 mm: its radius is the skin's at half a thickness."""
    frame = solved(model={"equatorial_diameter": 300}, body={"equatorial_diameter": 1200})
    found = allowed_range(frame, "scale.denominator")
    size = allowed_range(frame, "model.equatorial_diameter")
    # 1e-9: one division
    assert found.low * size.high == pytest.approx(1200, rel=1e-9)
    assert found.high * size.low == pytest.approx(1200, rel=1e-9)
    a = math.sqrt(195**2 + (1.525 / 0.95) ** 2)
    # 1e-8: where bracketing stops
    assert size.high == pytest.approx(2 * a, rel=1e-8)
    assert found.low_limit == size.high_limit and found.low_limit.code == "fits-stock"
    assert found.unit == "1" and found.nominal == pytest.approx(4.0, rel=1e-12)


def test_a_rib_wider_than_the_body_is_a_limit_in_words():
    """With a disc at the equator alone, the rib may fill the whole body to the pole gap."""
    frame = solved(discs=[{"at": {"height": 0}}])
    found = allowed_range(frame, "rib.width_pole")
    assert found.high_limit.kind == "frame"
    assert "rib's width at the pole" in found.high_limit.words
    # 1e-8: the polar radius 150·0.95, where bracketing stops
    assert found.high == pytest.approx(142.5, rel=1e-8)


def test_a_range_elsewhere_is_found_when_the_spec_fails():
    frame = solved(joint={"clearance": "-0.02 ± 0.01"})
    assert frame.failed
    found = allowed_range(frame, "sheet.thickness")
    # The slot is 3.03 mm; 1e-8 mm as above.
    assert (found.low, found.high) == pytest.approx((2.78, 3.03), abs=1e-8)
    assert found.nominal > found.high and found.failing[0].code == "slot-gap"


def test_no_range_names_what_fails_whatever_the_input():
    frame = solved(ribs={"width": {"equator": 5, "pole": 4}})
    found = allowed_range(frame, "sheet.thickness")
    assert isinstance(found, NoRange)
    assert {limit.code for limit in found.failing} <= {c.code for c in frame.failed}
    assert any(limit.code == "ligament" for limit in found.failing)


def test_an_input_that_no_check_depends_on_ends_where_the_frame_does():
    """The points of a profile give the model's shape, and its size goes by the body's radius."""
    body = {"shape": "profile", "points": [[45, 0], [62, 40], [70, 80], [40, 190]]}
    width = {"equator": 20, "bottom": 22, "top": 18}
    values = changed(ribs={"width": width}, discs=[{"at": {"height": 75}}])
    frame = solve(spec_from_values({**values, "body": body})).frames[0]
    found = allowed_range(frame, "body.equatorial_radius")
    # By hand: 22 mm of rib, and 3.05/2 over the tangent of 22.5° and 0.5 mm to the axis.
    gap = 3.05 / 2 / math.tan(math.radians(22.5)) + 0.5
    # 1e-8: where bracketing stops
    assert found.low == pytest.approx(gap + 22, rel=1e-8)
    assert found.low_limit.code == "rib-too-wide"


def test_nothing_is_proved_that_is_not_so():
    """A proof over an interval with a failing value in it must fail."""
    frame = solved()
    for name, low, high in (
        ("rib.width_equator", 9.0, 24.0),
        ("made.thickness", 3.0, 3.2),
        ("scale.denominator", 0.5, 1.0),
        ("scale.denominator", 1.0, 1e3),
        ("disc-2.fraction", -0.9, 0.5),
    ):
        feasibility = Feasibility(frame, name)
        assert not feasibility.proved(low, high)
    assert Feasibility(frame, "made.thickness").proved(2.86, 3.09)
    assert Feasibility(frame, "scale.denominator").proved(1.0, 1.01)


def test_inputs_that_cannot_vary_are_refused_in_words():
    frame = solved()
    with pytest.raises(UnknownNameError, match=r"Its inputs are sheet\.thickness, cutter\.kerf"):
        allowed_range(frame, "sheet.colour")
    with pytest.raises(UnknownNameError, match="no input that could take any value in between"):
        allowed_range(frame, "rib.count")
    with pytest.raises(UnknownNameError, match="follows from others"):
        allowed_range(frame, "disc-1.radius")
    with pytest.raises(UnknownNameError, match="disc it mirrors"):
        allowed_range(frame, "disc-3.setback")
    held = solved(scale="1:1", model={"equatorial_diameter": 300})
    with pytest.raises(SolveError, match="other values of the spec say the same"):
        allowed_range(held, "scale.denominator")


def housed(x=120.0, **changes):
    discs = [{"at": {"height": 0}}, {"radius": x, "side": "north"}]
    return solved(**{"discs": discs, "joint": {"style": "housed"}, **changes})


def slotted(x=10.5, **changes):
    discs = [{"at": {"height": 0}}, {"slot_depth": x, "side": "north"}]
    return solved(**{"discs": discs, **changes})


@pytest.mark.parametrize(
    ("make", "name", "change"),
    [
        (housed, "disc-2.radius", lambda x: {"x": x}),
        (housed, "scale.denominator", lambda x: {"scale": f"1:{x!r}"}),
        (housed, "rib.width_equator", lambda x: {"ribs": {"width": {"equator": x, "pole": 14}}}),
        (housed, "joint.engagement", lambda x: {"joint": {"style": "housed", "engagement": x}}),
        (slotted, "disc-2.slot_depth", lambda x: {"x": x}),
        (slotted, "rib.width_equator", lambda x: {"ribs": {"width": {"equator": x, "pole": 14}}}),
    ],
)
def test_a_range_of_what_a_search_follows(make, name, change):
    """Oracle: the frame solved again with the value written into the spec."""
    found = allowed_range(make(), name)
    assert isinstance(found, AllowedRange) and found.low <= found.nominal <= found.high

    def fails(x):
        try:
            return bool(make(**change(x)).failed)
        except SolveError:
            return True

    near = 1e-6 * max(abs(found.low), abs(found.high))
    for x in np.linspace(found.low + near, found.high - near, 40):
        assert not fails(float(x)), (x, found)
    for end, limit, sign in ((found.low, found.low_limit, -1), (found.high, found.high_limit, 1)):
        assert limit.kind in ("check", "frame")
        assert fails(end + sign * near), (end, found)


def test_a_range_ends_where_a_search_finds_a_second_place():
    """At depth d the second disc's slots end at r_J = r_f − d, so that its place is a zero of

    F(z) = r_i(z) − 2 r_J(z) + r(z), q being 1/2; from d* on, where the greatest F on the inner
    ribs is zero, the same depth is found there too.
    """
    found = allowed_range(slotted(ribs={"width": {"equator": 24, "pole": 40}}), "disc-2.slot_depth")
    z = np.linspace(0, 100, 2_000_001)
    outer = 150 * np.sqrt(1 - (z / 142.5) ** 2)
    far = 150 * np.sqrt(1 - ((z + 1.525) / 142.5) ** 2)
    inner = 126 * np.sqrt(1 - (z / 102.5) ** 2)
    least = np.min(far - (inner + outer) / 2)
    assert (found.high_limit.kind, found.high_limit.code) == ("frame", "several-solutions")
    # 1e-7 mm: the grid of 5e-5 mm misses the least by its curvature times the step squared
    assert found.high == pytest.approx(least, abs=1e-7)


def test_every_input_that_is_offered_has_an_answer():
    frame = solved()
    for name in rangeable_inputs(frame):
        found = allowed_range(frame, name)
        assert isinstance(found, AllowedRange), name
        assert found.low < found.high and found.unit == frame.quantities[name].unit
        assert "proof" not in {found.low_limit.kind, found.high_limit.kind}


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        (2.8500011, 3.0999989, ("2.86", "3.09")),
        (2.85, 3.1, ("2.85", "3.10")),
        (3.04121, 3.05889, ("3.0413", "3.0588")),
        (-0.05, 0.2, ("-0.05", "0.20")),
        (273937887.4, 1535325400.9, ("273937888", "1535325400")),
    ],
)
def test_ends_are_rounded_inward(low, high, shown):
    assert inward(low, high) == shown


def test_the_command_says_the_range_and_what_limits_it(tmp_path, capsys):
    path = tmp_path / "x.yaml"
    path.write_text(YAML)
    assert main(["allowed", str(path), "sheet.thickness"]) == 0
    out = capsys.readouterr().out
    assert "sheet.thickness: 2.80 to 3.05 mm (the file stays as drawn; others nominal)" in out
    assert "below: slot-slack of joint" in out and "above: slot-gap of joint" in out
    assert main(["allowed", str(path), "rib.count"]) == 2
    assert "no input that could take any value in between" in capsys.readouterr().err
    assert main(["allowed", str(path), "rib.width_equator", "--json"]) == 0
    allowed = json.loads(capsys.readouterr().out)["frames"][0]["allowed"]
    assert set(allowed) == {"sheet.thickness", "rib.width_equator"}
    assert allowed["sheet.thickness"]["high_limit"] == "slot-gap of joint"


def test_the_command_says_what_fails_when_there_is_no_range(tmp_path, capsys):
    path = tmp_path / "x.yaml"
    path.write_text(YAML.replace("width: 20", "width: 5"))
    assert main(["allowed", str(path), "sheet.thickness"]) == 1
    out = capsys.readouterr().out
    assert "No sheet.thickness was found" in out and "at 3 mm fails ligament of disc-1" in out
    assert main(["allowed", str(path), "rib.width_equator"]) == 0
    assert "5 mm, as written, fails ligament" in capsys.readouterr().out


def test_check_prints_the_limits_for_a_caliper(tmp_path, capsys):
    path = tmp_path / "x.yaml"
    path.write_text(YAML)
    assert main(["check", str(path)]) == 0
    line = (
        "Sheets of 2.80 to 3.05 mm work with this file; thinner: slot-slack of joint; thicker: "
        "slot-gap of joint."
    )
    assert line in capsys.readouterr().out
