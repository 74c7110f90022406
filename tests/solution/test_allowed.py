"""Allowed ranges: just inside every check passes, just outside one fails."""

from __future__ import annotations

import random

import pytest

from framekit.cli.main import main
from framekit.errors import UnknownNameError
from framekit.solution.allowed import AllowedRange, allowed_range
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values


def spec(t="3.05 ± 0.03", kerf="0.16 ± 0.02", we=24, wp=14, diameter=300, clearance=0.05):
    return {
        "framekit": 1,
        "body": {"shape": "spheroid", "equatorial_diameter": diameter, "flattening": 0.05},
        "ribs": {"count": 8, "width": {"equator": we, "pole": wp}},
        "discs": [{"at": {"height": 0}}, {"at": {"fraction": 0.5, "both": True}}],
        "joint": {"clearance": clearance},
        "sheet": {"thickness": t, "size": [600, 400]},
        "cutter": {"kerf": kerf},
    }


def solved(**changes):
    return solve(spec_from_values(spec(**changes))).frames[0]


def test_the_thickness_range_against_a_hand_sum():
    """The drawn slot stays 3.10 mm as made: play 0 at a 3.10 mm sheet, 0.25 mm at 2.85 mm."""
    found = allowed_range(solved(), "sheet.thickness")
    assert isinstance(found, AllowedRange)
    # 1e-8 mm: a rounding allowance of 1e-9 mm in the checks
    assert (found.low, found.high) == pytest.approx((2.85, 3.10), abs=1e-8)
    assert found.low_limit.code == "slot-slack" and found.high_limit.code == "slot-gap"
    anywhere = allowed_range(solved(), "sheet.thickness", "anywhere")
    # the kerf's 0.02 mm comes off both ends
    assert (anywhere.low, anywhere.high) == pytest.approx((2.87, 3.08), abs=1e-8)


def test_the_kerf_range_against_a_hand_sum():
    """A kerf 0.05 mm smaller closes the play; one 0.20 mm larger opens it to 0.25 mm."""
    found = allowed_range(solved(), "cutter.kerf")
    assert (found.low, found.high) == pytest.approx((0.11, 0.36), abs=1e-8)


@pytest.mark.parametrize(("name", "key"), [("rib.width_equator", "we"), ("rib.width_pole", "wp")])
def test_design_inputs_inside_pass_and_outside_fail(name, key):
    """Oracle: the frame solved again with the value written into the spec."""
    random_ = random.Random(5)
    for _ in range(12):
        size = random_.uniform(180, 380)
        frame = solved(diameter=size, t=f"{random_.uniform(2, 4)} ± 0")
        found = allowed_range(frame, name)
        if not isinstance(found, AllowedRange):
            continue
        t = f"{frame.value('sheet.thickness')!r} ± 0"
        step = 1e-5 * (found.high - found.low)
        for value, good in (
            (found.low + step, True),
            (found.high - step, True),
            (found.low - step, False),
            (found.high + step, False),
        ):
            again = solved(diameter=size, t=t, **{key: value})
            assert (not again.failed) == good, (name, value, found)


def test_an_unknown_input_lists_the_known_ones(tmp_path, capsys):
    with pytest.raises(UnknownNameError, match=r"sheet\.thickness"):
        allowed_range(solved(), "sheet.colour")


def test_the_command_line_rounds_inward_and_says_what_limits(tmp_path, capsys):
    path = tmp_path / "x.yaml"
    path.write_text(
        "framekit: 1\nbody: {shape: sphere, diameter: 200}\nribs: {count: 6, width: 20}\n"
        "discs: [{at: {height: 0}}, {at: {height: 40, both: true}}]\n"
        "sheet: {thickness: 3, size: [600, 400]}\ncutter: {kerf: 0.16}\n"
    )
    assert main(["allowed", str(path), "sheet.thickness"]) == 0
    out = capsys.readouterr().out
    assert "sheet.thickness: 2.8 to 3.05 mm" in out
    assert "slot-slack" in out and "slot-gap" in out
    assert main(["allowed", str(path), "rib.count"]) == 2
    assert main(["allowed", str(path), "rib.width_equator", "--json"]) == 0
    assert '"allowed":{"rib.width_equator"' in capsys.readouterr().out
