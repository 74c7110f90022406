"""Solving: worked examples, other directions, defaults, disagreement and holes."""

from __future__ import annotations

import math
import re
import subprocess
import sys

import mpmath
import pytest

from framekit.errors import SolveError, UnknownNameError
from framekit.explain.build import derive
from framekit.explain.derivation_pages import derivation_text
from framekit.solution.build import solve
from framekit.spec.build import parse_spec, spec_from_values

BASE = {
    "framekit": 1,
    "body": {"shape": "spheroid", "equatorial_diameter": "1.20 m", "flattening": 0.05},
    "scale": "1:4",
    "ribs": {"count": 8, "width": {"equator": 22, "pole": 12}},
    "discs": [
        {"at": {"height": 0}},
        {"at": {"latitude": 40, "kind": "geocentric", "both": True}},
    ],
    "sheet": {"thickness": "3.05 ± 0.10", "size": [600, 400]},
    "cutter": {"kerf": "0.16 ± 0.03"},
}


def solved(**changes):
    return solve(spec_from_values({**BASE, **changes})).frames[0]


def test_the_worked_example_of_the_trade():
    """A 190 mm sphere, ribs 23 mm wide, joined at mid-rib, takes a 167 mm disc at the equator
    (common practice, no source)."""
    frame = solved(
        body={"shape": "sphere", "diameter": 190},
        scale="1:1",
        ribs={"count": 8, "width": 23},
        discs=[{"at": {"height": 0}}],
        joint={"style": "housed"},
    )
    assert frame.value("disc-1.radius") == 83.5


def test_every_dimension_against_a_hand_sum_at_40_digits():
    """Oracle: the geometry written out again with mpmath, 40 digits, for disc 2."""
    frame = solved()
    with mpmath.workdps(40):
        mp = mpmath.mpf
        a, c, t = mp(150), mp(150) * (1 - mp("0.05")), mp("3.05")
        half = mpmath.pi / 8
        e = t / 2 / mpmath.tan(half) + mp("0.5")
        direction = mpmath.radians(40)
        r_mid = 1 / mpmath.sqrt(1 / a**2 + mpmath.tan(direction) ** 2 / c**2)
        z = r_mid * mpmath.tan(direction)
        r_far = a * mpmath.sqrt(1 - ((z + t / 2) / c) ** 2)
        r_in = (a - 22) * mpmath.sqrt(1 - (z / (c - 12)) ** 2)
        r_joint = (r_in + r_mid) / 2
        w = t + mp("0.05")
        expected = {
            "rib.pole_gap": e,
            "rib.height": 2 * c * mpmath.sqrt(1 - (e / a) ** 2),
            "disc-2.height": z,
            "disc-2.skin_radius": r_far,
            "disc-2.rib_inner_radius": r_in,
            "disc-2.joint_radius": r_joint,
            "disc-2.radius": r_far,
            "disc-2.notch_depth": r_joint - r_in,
            "disc-2.slot_depth": r_far - r_joint,
            "disc-2.slot_web": 2 * (r_joint * mpmath.sin(half) - w / 2 * mpmath.cos(half)),
            "disc-2.ligament": r_far - r_joint - mp("0.1"),
            "disc-3.height": -z,
            "joint.slot_width": w,
            "joint.slot_width_drawn": w - mp("0.16"),
        }
        for name, value in expected.items():
            # 1e-10 mm: double precision at 150 mm
            assert abs(frame.value(name) - value) < 1e-10, name


@pytest.mark.parametrize(
    "body",
    [
        {"shape": "spheroid", "equatorial_radius": 600, "polar_radius": 570},
        {"shape": "spheroid", "polar_diameter": 1140, "flattening": 0.05},
        {"shape": "spheroid", "mean_radius": 590, "mean_kind": "arithmetic", "flattening": 0.05},
        {
            "shape": "spheroid",
            "mean_diameter": 1200 * 0.95 ** (1 / 3),
            "mean_kind": "volumetric",
            "flattening": 0.05,
        },
    ],
    ids=lambda body: "-".join(body),
)
def test_the_same_body_given_in_other_ways(body):
    frame = solved(body=body)
    # 1e-9 relative: the mean is given with twelve digits
    assert frame.value("model.equatorial_radius") == pytest.approx(150, rel=1e-9)
    assert frame.value("body.flattening") == pytest.approx(0.05, rel=1e-9)


@pytest.mark.parametrize(
    ("model", "denominator"),
    [
        ({"equatorial_diameter": 300}, 4.0),
        ({"height": 285}, 4.0),
        ({"polar_radius": "14.25 cm"}, 4.0),
    ],
)
def test_a_wanted_model_size_gives_the_scale(model, denominator):
    frame = solved(scale=None, model=model)
    # 1e-12 relative: one division
    assert frame.value("scale.denominator") == pytest.approx(denominator, rel=1e-12)
    assert frame.quantities["scale.denominator"].origin == "derived"


def test_defaults_fill_holes_and_say_so():
    frame = solved(scale=None, body={"shape": "sphere", "diameter": 250})
    assert frame.quantities["scale.denominator"].origin == "default"
    assert frame.quantities["joint.clearance"].origin == "default"
    assert frame.quantities["disc-1.setback"].origin == "default"


def test_a_consistent_surplus_is_a_cross_check():
    frame = solved(model={"equatorial_diameter": 300})
    assert frame.value("model.equatorial_radius") == 150


def test_values_that_disagree_are_named_with_their_lines_and_by_how_much():
    text = """framekit: 1
body: {shape: spheroid, equatorial_diameter: 300, polar_diameter: 280, flattening: 0.05}
ribs: {count: 8}
discs: [{at: {height: 0}}]
sheet: {thickness: 3, size: [600, 400]}
"""
    with pytest.raises(SolveError) as caught:
        solve(parse_spec(text, "odd.yaml"))
    message = str(caught.value)
    assert "disagree" in message and "odd.yaml:2" in message
    assert "equatorial_diameter" in message and "flattening" in message
    assert caught.value.code == "values-disagree"


def test_what_is_missing_is_named_with_its_keys():
    with pytest.raises(SolveError) as caught:
        solved(sheet={"size": [600, 400]})
    assert "sheet.thickness" in str(caught.value)
    with pytest.raises(SolveError) as caught:
        solved(body={"shape": "spheroid", "equatorial_diameter": 300})
    assert "Give one of: body.polar_radius" in str(caught.value).replace("body.radius, ", "")


def test_a_circle_is_solved_by_a_search():
    """(2a + c)/3 = 590 and c = 570 give a = 600 by hand; neither law alone does."""
    frame = solved(
        body={
            "shape": "spheroid",
            "mean_radius": 590,
            "mean_kind": "arithmetic",
            "polar_radius": 570,
        }
    )
    # 1e-9: a bracketed search to the last digits
    assert frame.value("body.equatorial_radius") == pytest.approx(600, rel=1e-9)
    assert frame.value("body.flattening") == pytest.approx(0.05, rel=1e-9)


@pytest.mark.parametrize("style", ["cross-lap", "housed"])
@pytest.mark.parametrize("side", ["north", "south", "both"])
def test_a_wanted_radius_gives_the_height(style, side):
    placed = solved(discs=[{"at": {"height": 60}}], joint={"style": style})
    wanted = placed.value("disc-1.radius")
    frame = solved(discs=[{"radius": wanted, "side": side}], joint={"style": style})
    height = -60 if side == "south" else 60
    # 1e-6 mm: a radius is flat in the height near the equator
    assert frame.value("disc-1.height") == pytest.approx(height, abs=1e-6)
    assert frame.disc_count == (2 if side == "both" else 1)
    if side == "both":
        assert frame.value("disc-2.height") == pytest.approx(-60, abs=1e-6)


def test_a_wanted_radius_without_a_side_asks_for_it():
    with pytest.raises(SolveError) as caught:
        solved(discs=[{"radius": 110}])
    assert "discs[0].side" in caught.value.hint
    with pytest.raises(SolveError) as caught:
        solved(discs=[{"radius": 110}], joint={"style": "housed"})
    assert "discs[0].side" in caught.value.hint


def test_a_wanted_slot_depth_that_fits_twice_lists_both_heights():
    with pytest.raises(SolveError) as caught:
        solved(
            ribs={"count": 8, "width": {"equator": 22, "pole": 40}},
            discs=[{"slot_depth": 14, "side": "north"}],
        )
    assert caught.value.code == "several-solutions"
    roots = [float(r) for r in re.findall(r"(\d+\.\d+) mm", caught.value.message)]
    assert len(roots) == 2
    for root in roots:
        again = solved(
            ribs={"count": 8, "width": {"equator": 22, "pole": 40}},
            discs=[{"at": {"height": root}}],
        )
        # 1e-3 mm: the message gives heights to 1e-4 mm
        assert again.value("disc-1.slot_depth") == pytest.approx(14, abs=1e-3)


def test_thickness_from_a_slot_and_kerf_from_two_widths():
    frame = solved(
        joint={"slot_width": 3.1, "slot_width_drawn": 2.94, "clearance": 0.05},
        sheet={"size": [600, 400]},
        cutter={},
    )
    # 1e-12: one subtraction
    assert frame.value("sheet.thickness") == pytest.approx(3.05, abs=1e-12)
    assert frame.value("cutter.kerf") == pytest.approx(0.16, abs=1e-12)


def test_rib_widths_from_the_inner_radius():
    frame = solved(ribs={"count": 8, "inner_radius": {"equator": 128, "pole": 130.5}})
    assert frame.value("rib.width_equator") == 22
    assert frame.value("rib.width_pole") == 12


def test_unknown_names_are_refused_with_near_misses():
    with pytest.raises(UnknownNameError, match="saturn"):
        solved(body={"catalogue": "satrun"})
    with pytest.raises(UnknownNameError, match="left out on purpose"):
        solved(sheet={"thickness": 3, "size": [600, 400], "material": "pvc"})
    with pytest.raises(UnknownNameError, match=r"disc-1\.radius"):
        derive(solved(), "disc-1.radus")


def test_the_band_of_what_is_made_holds_every_sampled_sheet_and_kerf():
    """Oracle: the slot, gap and skin written out by hand over a grid of real sheets and kerfs."""
    frame = solved()
    a, c = frame.value("model.equatorial_radius"), frame.value("model.polar_radius")
    z, drawn = frame.value("disc-2.height"), frame.value("joint.slot_width_drawn")
    radius = frame.value("disc-2.radius")
    gaps, skins, radii = [], [], []
    for i in range(21):
        for j in range(21):
            t, k = 2.95 + 0.01 * i, 0.13 + 0.003 * j
            gaps.append(drawn + k - t)
            skins.append(a * math.sqrt(1 - ((z + t / 2) / c) ** 2))
            radii.append(radius - (k - 0.16) / 2)
    for name, values in (
        ("joint.gap", gaps),
        ("disc-2.skin_radius", skins),
        ("disc-2.radius", radii),
    ):
        quantity = frame.quantities[name]
        # 1e-9 mm: the grid has the box's corners, where these functions have their extremes
        assert quantity.low == pytest.approx(min(values), abs=1e-9)
        assert quantity.high == pytest.approx(max(values), abs=1e-9)


def test_drawn_numbers_do_not_vary_with_the_sheet():
    frame = solved()
    for name in ("joint.slot_width_drawn", "model.equatorial_radius", "disc-1.rib_inner_radius"):
        quantity = frame.quantities[name]
        assert quantity.low == quantity.value == quantity.high


def test_verdicts_follow_the_band():
    by_verdict = {c.code: c for c in solved().checks}
    gap = by_verdict["slot-gap"]
    assert (gap.verdict, gap.limited_by) == ("undecided", "sheet.thickness")
    # 0.05 less 0.10 of sheet and 0.03 of kerf; 1e-9: sums of decimals in binary
    assert gap.low == pytest.approx(-0.08, abs=1e-9)
    assert by_verdict["ligament"].verdict == "pass"
    tight = solved(joint={"clearance": -0.3})
    assert {c.code for c in tight.failed} == {"slot-gap"}


def test_machine_compensation_draws_the_finished_slot():
    frame = solved(cutter={"kerf": 0.16, "compensate": "machine"})
    assert frame.value("joint.slot_width_drawn") == frame.value("joint.slot_width")


def test_a_router_runs_past_by_its_radius():
    frame = solved(cutter={"process": "router", "tool_diameter": 2})
    # 1e-12: one sum
    assert frame.value("joint.end_clearance") == pytest.approx(1.1, abs=1e-12)


def test_a_rib_that_fits_only_askew_is_said_to_be_turned():
    askew = solved(
        discs=[{"at": {"fraction": 0.6, "both": True}}],
        sheet={"thickness": 3, "size": [270, 236]},
    )
    fits = {c.about: c for c in askew.checks if c.code == "fits-stock"}
    assert fits["ribs"].verdict == "pass" and "turned by" in fits["ribs"].text


def test_a_derivation_reads_like_a_sum():
    text = derivation_text(derive(solved(), "disc-1.radius"))
    assert "a      = A/S = 0.6 m/4 = 150.0000 mm" in text
    assert "unrounded values are carried" in text


def test_checking_imports_neither_sympy_nor_numpy():
    code = (
        "import sys\n"
        "from framekit.cli.main import main\n"
        "assert main(['check', 'specs/harbour-buoy.yaml']) == 0\n"
        "print([m for m in ('sympy', 'numpy', 'shapely', 'ezdxf', 'rich') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.splitlines()[-1] == "[]"
