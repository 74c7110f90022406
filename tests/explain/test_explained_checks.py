"""A check's margin explained: its sum, its terms, its range and ranking as printed.

The oracles are Python's arithmetic and the reader of LaTeX on what is printed, as for quantities,
decimals of the standard library for rounding outward, and numbers by hand.
"""

from __future__ import annotations

import json
import math
import re
from decimal import Decimal
from pathlib import Path

import pytest
from explain.latex_reader import read
from explain.printed_frames import (
    FRAMES,
    SECTION,
    STEP_KEYS,
    agrees,
    formulas_of,
    sound,
    worked_out,
)
from solution.test_shares import NEAR_POLE

from framekit.cli.main import main
from framekit.constraints.uncertainty import Share
from framekit.errors import UnknownNameError
from framekit.explain.build import derive
from framekit.explain.derivation_pages import derivation_markdown, derivation_text
from framekit.explain.json_values import derivation_values
from framekit.explain.ranking import ranking
from framekit.explain.rounding import Rounding, rounded_outward
from framekit.solution.build import solve
from framekit.solution.law_terms import LAW_TERMS
from framekit.spec.build import parse_spec

ROOT = Path(__file__).parents[2]
SPEC = str(ROOT / "specs/harbour-buoy.yaml")
BUOY = FRAMES["harbour-buoy"]
NEAR = solve(parse_spec(NEAR_POLE)).frames[0]
every_frame = pytest.mark.parametrize("frame", [*FRAMES.values(), NEAR], ids=[*FRAMES, "near"])

ANYWHERE = 1e-9
"""mm a proved bound may lie beyond the printed one: what floating point leaves of a decimal."""


@every_frame
@pytest.mark.parametrize("rounding", [Rounding(), Rounding(2, 7, 4)])
def test_every_margin_has_a_sum_that_comes_out(frame, rounding):
    names = [check.name for check in frame.checks]
    steps = {step.name: step for step in derive(frame, *names, rounding=rounding)}
    for check in frame.checks:
        step = steps[check.name]
        # 1e-9 mm: a margin of zero may have rounded otherwise
        assert step.value == pytest.approx(check.margin, abs=1e-9)
        assert (step.substituted == "") == (check.code == "fits-stock"), check.name
    for step in steps.values():
        if step.substituted:
            assert agrees(worked_out(step.substituted), step), step
            assert agrees(read(step.latex.substituted), step), step


@every_frame
def test_the_steps_come_after_what_they_need_and_every_term_has_words(frame):
    for check in frame.checks:
        *_, last = steps = derive(frame, check.name)
        seen: set[str] = set()
        for step in steps:
            assert set(step.inputs) <= seen, step.name
            seen.add(step.name)
            if step.name.startswith(("made.", "limit.")):
                assert step.words.startswith(LAW_TERMS[step.name].words)
                assert step.source or step.lines
        assert last.name == check.name and last.requested and last.check == check
        assert [step.name for step in steps if step.requested] == [check.name]


def test_a_ligament_by_hand():
    """The buoy: 1.5 thicknesses of 3.05 mm; the notch ends 0.1 mm past the joint at 138 mm."""
    steps = {step.name: step for step in derive(BUOY, "ligament of disc-1")}
    limit = steps["limit.least_ligament"]
    assert limit.substituted == "1.5·3.05" and limit.result == "4.5750"
    margin = 150 * math.sqrt(1 - (1.525 / 142.5) ** 2) - 138 - 0.1 - 1.5 * 3.05
    last = steps["ligament of disc-1"]
    assert last.result == f"{margin:.4f}" and last.symbol == "m"
    assert steps["made.kerf"].formula == "k"
    assert "0.1400 to 0.1800 mm" in steps["made.kerf"].words
    assert last.law == "ligament" and limit.law == ""
    text = derivation_text(tuple(steps.values()))
    assert "ligament of disc-1: pass. " in text
    # Both edges move by half a kerf's ± 0.02 mm, one of them along the skin, which leans a little.
    lean = math.sqrt(1 + (1.525 * 150**2 / (142.5**2 * 149.9914)) ** 2)
    reach = 0.01 * (1 + lean)
    low, high = re.search(r"as made ([\d.]+) to ([\d.]+) mm \(proved\)", text).groups()
    # 2e-4 mm: rounding outward, and the margin's own rounding here
    assert float(low) == pytest.approx(margin - reach, abs=2e-4)
    assert float(high) == pytest.approx(margin + reach, abs=2e-4)


def test_the_next_disc_is_told_in_words():
    (*_, last) = derive(BUOY, "disc-spacing of disc-1 and disc-2")
    assert "z[2] is the mid-height of the next disc above" in last.words
    assert "next.height" not in last.inputs and "disc-2.height" in last.inputs


def test_the_least_width_and_the_held_depth_have_steps():
    width = {s.name: s for s in derive(BUOY, "smallest-feature of ribs")}["rib.width_least"]
    assert (width.substituted, width.result) == ("min(24, 14)", "14.0000")
    held = {s.name: s for s in derive(BUOY, "bore-wall of disc-1")}["disc-1.held_depth"]
    assert held.formula == "g_e" and held.result == "0.1000"


def test_what_has_no_law_says_so():
    *given, last = derive(BUOY, "fits-stock of disc-1")
    assert last.formula == "" and "no law" in last.words
    assert given[-1].name == "disc-1.radius"
    # 400 mm less a margin of 5 mm at each edge, less the disc's diameter
    assert last.value == pytest.approx(390 - 2 * given[-1].value, abs=1e-9)  # rounding
    for page in (derivation_text([*given, last]), derivation_markdown([*given, last])):
        assert "must go on the sheet: 600 × 400 mm less 5 mm" in page
        assert "no tolerance is in it" in page and "(proved)" not in page


# Ranges and rankings as printed


@every_frame
def test_printed_ranges_hold_and_are_tight(frame):
    names = [*frame.quantities, *(check.name for check in frame.checks)]
    found = 0
    for step in derive(frame, *names):
        source = step.check or frame.quantities.get(step.name)
        # A band no wider than rounding, with no share of any input, is no range.
        still = source and source.sigma == 0 and source.high - source.low <= ANYWHERE
        if source is None or still:
            assert step.as_made is None
            continue
        found += 1
        low, high, sigma = step.as_made.printed
        unit = Decimal(1).scaleb(-len(low.partition(".")[2]))
        assert len(low.partition(".")[2]) >= 4
        for printed, bound, sign in ((low, source.low, 1), (high, source.high, -1)):
            beyond = (Decimal(printed) - Decimal(bound)) * sign
            assert -unit < beyond <= Decimal(ANYWHERE), step.name
        # Two digits of the width and of sigma show, so what varies is never printed as fixed.
        assert Decimal(high) - Decimal(low) >= 10 * unit
        assert float(sigma) == pytest.approx(source.sigma, rel=0.05)  # half of two digits' last
    assert found > 10


def test_rounding_outward_is_that_of_decimals():
    assert rounded_outward(-0.12341, 0.12341, 4) == ("-0.1235", "0.1235")
    assert rounded_outward(0.3 - 0.2, 0.1 + 0.2, 4) == ("0.1000", "0.3000")
    assert rounded_outward(-1e-12, 1e-12, 4) == ("0.0000", "0.0000")
    assert rounded_outward(-2e-9, 2e-9, 4) == ("-0.0001", "0.0001")


def test_the_law_of_what_is_made_gives_the_range():
    """Its formula, worked out at the corners of the tolerances, reaches the printed ends."""
    (*_, step) = derive(BUOY, "joint.gap")
    formula = step.as_made.formula
    assert formula == "w + g′ + k′ − k − g − t′"
    values = {"w": 3.1, "g′": 0.05, "k": 0.16, "g": 0.05}
    found = []
    for t, k in ((3.08, 0.14), (3.02, 0.18)):
        names = values | {"t′": t, "k′": k}
        found.append(worked_out(" ".join(str(names.get(w, w)) for w in formula.split())))
    # 1e-12: rounding
    assert found == pytest.approx([float(x) for x in step.as_made.printed[:2]], abs=1e-12)


def test_a_quantity_ends_with_its_range_and_one_that_is_fixed_does_not():
    text = derivation_text(derive(BUOY, "joint.gap", "model.height"))
    # 3.1 − 3.05 mm, ± 0.03 mm of sheet and ± 0.02 mm of kerf; sigma √(0.03² + 0.02²)/√3
    sigma = math.sqrt((0.03**2 + 0.02**2) / 3)
    assert f": 0.0000 to 0.1000 mm (proved), sigma {sigma:.4f} mm." in text
    assert "Moved by: 69 % sheet.thickness, 31 % cutter.kerf." in text  # 9/13 and 4/13
    assert "rounded outward" in text and "sampling" not in text
    assert "model.height as made" not in text
    assert "as made" not in derivation_text(derive(BUOY, "model.height"))


@pytest.mark.parametrize("name", ["disc-2.skin_radius", "inside-skin of disc-2"])
def test_sampling_is_told(name):
    steps = derive(NEAR, name)
    for page in (derivation_text(steps), derivation_markdown(steps)):
        assert "sigma and shares come from sampling" in page
    assert derivation_values(steps)[-1]["as_made"]["curved"] is True


def test_a_ranking_is_in_whole_per_cent():
    shares = [Share("a", 1.0, 0.625), Share("b", 1.0, 0.371), Share("c", 1.0, 0.004)]
    assert ranking(shares) == "62 % a, 37 % b, under 1 % c"
    assert ranking([Share("a", 1.0, 1.0)]) == "100 % a"


@every_frame
def test_markdown_of_margins_has_sound_formulas(frame):
    page = derivation_markdown(derive(frame, *(check.name for check in frame.checks)))
    assert page.count("$$") % 2 == 0
    for latex in formulas_of(page):
        assert sound(latex), latex
    for check in frame.checks:
        assert f"**{check.name}**: {check.verdict}" in page
    given = page.partition("## What follows")[0]
    assert "margin of" not in given


def test_json_has_verdict_and_range(capsys):
    assert main(["explain", SPEC, "slot-gap", "model.height", "--format", "json"]) == 0
    steps = {step["name"]: step for step in json.loads(capsys.readouterr().out)}
    step = steps["slot-gap of joint"]
    assert set(step["check"]) == STEP_KEYS["check"][1]
    words = SECTION.partition("`as_made` has ")[2].partition("A step of a")[0]
    assert set(step["as_made"]) == set(re.findall(r"`(\w+)`", words)) - {"unit"}
    assert step["check"]["verdict"] == "pass" and step["check"]["about"] == "joint"
    assert (step["as_made"]["low_result"], step["as_made"]["high_result"]) == ("0.0000", "0.1000")
    shares = step["as_made"]["shares"]
    assert [share["input"] for share in shares] == ["sheet.thickness", "cutter.kerf"]
    # 9/13 and 4/13 for uniform ± 0.03 and ± 0.02; 1e-9: rounding
    assert [share["share"] for share in shares] == pytest.approx([9 / 13, 4 / 13], rel=1e-9)
    assert steps["model.height"]["as_made"] is None and steps["model.height"]["check"] is None


# Names


@pytest.mark.parametrize("name", ["slot-gap", "slot-gap of joint", " slot-gap  of joint "])
def test_a_code_alone_does_where_only_one_check_has_it(name):
    assert derive(BUOY, name)[-1].name == "slot-gap of joint"


def test_a_code_of_several_checks_lists_them():
    with pytest.raises(UnknownNameError) as caught:
        derive(BUOY, "ligament")
    for number in (1, 2, 3):
        assert f"'ligament of disc-{number}'" in str(caught.value)


@pytest.mark.parametrize(
    ("wrong", "near"),
    [
        ("ligamnt of disc-2", "'ligament of disc-2'"),
        ("disc-2.radios", "disc-2.radius"),
        ("slot-gab", "slot-gap"),
        ("qqqq", "framekit check SPEC --all"),
    ],
)
def test_unknown_names_list_near_quantities_and_checks(wrong, near):
    with pytest.raises(UnknownNameError, match="no quantity or check") as caught:
        derive(BUOY, wrong)
    assert near in str(caught.value)
