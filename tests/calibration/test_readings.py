"""Readings of a coupon: sums by hand, what is refused, and the words printed.

The sums are worked by hand here from the definitions of the fit: a strip is its path less the
kerf, a slot its path and the kerf, the clearance the slot less the sheet. Their uncertainties are
in tests/truth/test_measured_fit.py.
"""

from __future__ import annotations

import math
import re

import pytest

from framekit.calibration.build import fit_of, plan_coupon
from framekit.calibration.model import Readings
from framekit.calibration.words import fit_text, measure_text, yaml_lines
from framekit.errors import SolveError
from framekit.solution.build import solve
from framekit.spec.build import parse_spec
from framekit.spec.measure import parse_length
from framekit.spec.yaml_text import read_yaml

SPEC = """framekit: 1
id: small
body: {shape: sphere, diameter: 120 mm}
ribs: {count: 4, width: 18}
discs: [{at: {height: 0}}]
sheet: {thickness: 3.00 ± 0.06, size: [400, 300]}
cutter: {kerf: 0.16 ± 0.02}
"""
KNIFE = SPEC.replace("{kerf: 0.16 ± 0.02}", "{process: knife}").replace(
    "thickness: 3.00 ± 0.06", "material: cardboard, thickness: 1.4 ± 0.06"
)
ROUTER = SPEC.replace("{kerf: 0.16 ± 0.02}", "{process: router, tool_diameter: 2.95}")


def frame_of(text=SPEC):
    return solve(parse_spec(text)).frames[0]


def fit(text=SPEC, **given):
    frame = frame_of(text)
    return fit_of(frame, plan_coupon(frame), Readings(**given))


def test_the_usual_ladder() -> None:
    plan = plan_coupon(frame_of())
    # 3.00 mm and birch plywood's snug 0.05 mm.
    assert plan.middle == 3.05
    assert plan.slots == (2.85, 2.9, 2.95, 3.0, 3.05, 3.1, 3.15, 3.2, 3.25)
    assert (plan.strips, plan.strip_width, plan.left_out) == (10, 12.0, ())


def test_step_and_counts_change_the_ladder() -> None:
    plan = plan_coupon(frame_of(), step=0.025, slots=5, strips=24)
    assert plan.slots == (3.0, 3.025, 3.05, 3.075, 3.1)
    assert plan.label(3.025) == "3.025"
    # 24 strips are no more than 144 mm together.
    assert (plan.strips, plan.strip_width) == (24, 6.0)


def test_a_router_leaves_out_slots_its_tool_does_not_enter() -> None:
    plan = plan_coupon(frame_of(ROUTER))
    assert plan.left_out == (2.85, 2.9, 2.95)
    assert plan.slots[0] == 3.0


def test_a_knife_has_no_strips() -> None:
    assert plan_coupon(frame_of(KNIFE)).strips == 0


@pytest.mark.parametrize(
    "wrong",
    [
        {"step": 0.0},
        {"step": math.nan},
        {"step": -0.05},
        {"step": 0.0333},
        {"step": 5.0},
        {"slots": 8},
        {"slots": 1},
        {"slots": 999},
        {"strips": 1},
        {"strips": 41},
    ],
)
def test_bad_numbers_of_a_coupon(wrong) -> None:
    with pytest.raises(SolveError) as caught:
        plan_coupon(frame_of(), **wrong)
    assert caught.value.hint


def test_no_slot_at_all() -> None:
    with pytest.raises(SolveError, match="makes no slot"):
        plan_coupon(frame_of(ROUTER.replace("2.95", "3.5")))


def test_the_three_sums() -> None:
    found = fit(slot=3.1, strips=(119.3,), caliper=(3.02, 3.05, 3.02))
    assert found.thickness and found.kerf and found.clearance
    # 1e-12 mm: rounding of doubles. (3.02 + 3.05 + 3.02)/3; (121.6 − 119.3)/10;
    # 3.10 − 0.16 + 0.23 − 3.03.
    assert found.thickness.value == pytest.approx(3.03, abs=1e-12)
    assert found.kerf.value == pytest.approx(0.23, abs=1e-12)
    assert found.clearance.value == pytest.approx(0.14, abs=1e-12)


def test_the_drawn_slot_is_the_one_that_fitted() -> None:
    """Drawn width = thickness + clearance − kerf, so errors of thickness and kerf cancel."""
    for caliper, stack in (((3.02, 3.05, 3.02), 119.3), ((2.95, 2.95, 2.95), 120.2)):
        found = fit(slot=3.1, strips=(stack,), caliper=caliper)
        t, k, g = (e.value for e in found.estimates)
        assert t + g - k == pytest.approx(3.1 - 0.16, abs=1e-12)


def test_without_strips_the_spec_says_the_kerf() -> None:
    found = fit(slot=3.1, caliper=(3.02, 3.05, 3.02))
    assert found.kerf is None and found.cross_check is None and found.clearance
    assert found.clearance.value == pytest.approx(3.1 - 3.03, abs=1e-12)
    assert "kerf not read: as in the spec" in fit_text(found)


def test_a_knife_needs_only_slot_and_caliper() -> None:
    found = fit(KNIFE, slot=1.4, caliper=(1.41, 1.40, 1.42))
    assert found.clearance and found.clearance.value == pytest.approx(-0.01, abs=1e-12)
    with pytest.raises(SolveError, match="knife"):
        fit(KNIFE, strips=(120.0,))


@pytest.mark.parametrize("caliper", [(3.02,), (3.02, 3.04)])
def test_few_readings_leave_the_tolerance_to_the_spec(caliper) -> None:
    found = fit(caliper=caliper).thickness
    assert found and (found.tolerance, found.spread, found.kept) == (0.06, "limits", True)
    text = fit_text(fit(caliper=caliper))
    assert "3 sheets or more" in text and ("at 95 %" in text) == (len(caliper) > 1)


def test_the_kept_tolerance_is_wide_enough_for_what_was_read() -> None:
    found = fit(caliper=(3.1,), caliper_error=0.07).thickness
    # Half a step of the display and the caliper's 0.07 mm.
    assert found and found.tolerance == pytest.approx(0.005 + 0.07, abs=1e-12)
    assert found.spread == "limits"
    found = fit(caliper=(2.8, 3.2)).thickness
    # Two readings leave one degree of freedom, where Student's factor is 12.706 (GUM table G.2);
    # s = 0.4/√2 and the mean's is s/√2. The other parts add less than 1 %.
    assert found and found.tolerance == pytest.approx(12.706 * 0.2, rel=0.01)
    assert found.tolerance == found.half_width and found.spread == "normal"


def test_one_stack_asks_for_more() -> None:
    assert "3 times or more" in fit_text(fit(strips=(119.6,)))
    assert "3 times or more" in fit_text(fit(strips=(119.6, 119.61)))
    assert "3 times or more" not in fit_text(fit(strips=(119.6, 119.61, 119.6)))


def test_more_strips_and_more_readings_make_it_finer() -> None:
    few = fit(strips=(119.6,)).kerf
    frame = frame_of()
    plan = plan_coupon(frame, strips=20)
    many = fit_of(frame, plan, Readings(strips=(20 * plan.strip_path - 20 * 0.2,))).kerf
    assert few and many
    assert many.uncertainty == pytest.approx(few.uncertainty / 2, rel=1e-9)
    worse = fit(strips=(119.6,), caliper_error=0.05, resolution=0.1).kerf
    assert worse and worse.uncertainty > few.uncertainty


def test_the_cross_check_agrees_and_disagrees() -> None:
    good = fit(slot=3.05, strips=(120.0,), caliper=(3.0, 3.01, 2.99)).cross_check
    assert good and good.agrees
    # Birch plywood's fits go from press, 0 mm, over snug, 0.05 mm, to slip, 0.10 mm.
    assert good.expected.value == 0.05
    assert good.expected.uncertainty == pytest.approx(0.05 / math.sqrt(3), rel=1e-9)
    off = fit(slot=3.25, strips=(119.2,), caliper=(3.0, 3.01, 2.99))
    check = off.cross_check
    assert check and not check.agrees
    # The slot asks for 3.00 + 0.05 − (3.25 − 0.16) = −0.04 mm, the strips say 0.24 mm.
    assert check.slot == pytest.approx(-0.04, abs=1e-12)
    assert check.difference == pytest.approx(0.28, abs=1e-12)
    text = fit_text(off)
    beyond = re.search(r"by ([\d.]+) mm\. THEY DISAGREE", text)
    assert beyond and float(beyond[1]) == pytest.approx(0.28 - check.limit, abs=5e-4)


def test_a_clearance_given_in_the_spec_is_what_the_slot_is_held_against() -> None:
    text = f"{SPEC}joint: {{clearance: 0.10 ± 0.02}}\n"
    check = fit(text, slot=3.1, strips=(120.0,), caliper=(3.0, 3.01, 2.99)).cross_check
    assert check and check.expected.value == 0.1
    # Uniform limits: GUM 4.3.7.
    assert check.expected.uncertainty == pytest.approx(0.02 / math.sqrt(3), rel=1e-12)


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ({}, "no-reading"),
        ({"slot": 3.07}, "reading-slot"),
        ({"slot": 31.0}, "reading-slot"),
        ({"caliper": (302.0,)}, "reading-caliper"),
        ({"caliper": (3.02, 0.3)}, "reading-caliper"),
        ({"strips": (125.0,)}, "reading-strips"),
        ({"strips": (12.0,)}, "reading-strips"),
    ],
)
def test_readings_that_cannot_be(given, code) -> None:
    with pytest.raises(SolveError) as caught:
        fit(**given)
    assert caught.value.code == code and caught.value.hint


def test_what_is_written_holds_what_was_found() -> None:
    found = fit(slot=3.1, strips=(119.34,), caliper=(3.02, 3.05, 3.04))
    for estimate in found.estimates:
        written = parse_length(read_yaml(measure_text(estimate), None).values)
        # Rounding to a thousandth moves the value; the tolerance makes up for it.
        assert abs(written.value - estimate.value) <= 0.0005 + 1e-12
        assert written.value - written.tolerance <= estimate.value - estimate.tolerance + 1e-9
        assert written.value + written.tolerance >= estimate.value + estimate.tolerance - 1e-9
        assert written.spread == estimate.spread


def test_lines_to_paste_are_yaml() -> None:
    lines = yaml_lines([("shared.sheet.thickness", "3.0 ± 0.1"), ("shared.sheet.material", "x")])
    assert read_yaml("\n".join(lines), None).values == {
        "shared": {"sheet": {"thickness": "3.0 ± 0.1", "material": "x"}}
    }


def test_the_printed_sums_are_right() -> None:
    """Every sum `… = number` in the text is worked again from its own figures."""
    text = fit_text(fit(slot=3.1, strips=(119.34, 119.36), caliper=(3.02, 3.05, 3.04)))
    count = 0
    for line in text.splitlines():
        for left, right in re.findall(r"[=:] ([√()\d. +−×/²]+) = (\d+\.\d+)", line):
            sums = left.replace("−", "-").replace("×", "*").replace("²", "**2")
            sums = sums.replace("√(", "sq(").replace("√3", "sq(3)")
            if not re.search(r"[-+*/]", sums):
                continue
            count += 1
            # 2e-4: figures in a sum are rounded to 0.0001 mm, and up to ten of them stand there.
            worked = eval(sums, {"sq": math.sqrt})
            assert worked == pytest.approx(float(right), abs=2e-4), line
    assert count >= 6
