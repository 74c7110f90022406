"""Derivations and worksheets: every printed sum comes out, in text and in LaTeX.

The oracles here are Python's own arithmetic on the printed text, the reader of LaTeX in
`latex_reader.py` beside this, and rounding by the standard library's decimals: none shares code
with framekit.
"""

from __future__ import annotations

import json
import math
import random
import re
import subprocess
import sys
from pathlib import Path

import pytest
from explain.latex_reader import read
from explain.printed_frames import (
    BUOY,
    FRAMES,
    STEP_KEYS,
    agrees,
    every_frame,
    formulas_of,
    sound,
    worked_out,
)

from framekit.cli.main import main
from framekit.constraints.namespaces import FLOATS
from framekit.errors import UnknownNameError
from framekit.explain.build import derive, make_worksheet
from framekit.explain.derivation_pages import derivation_markdown, derivation_text
from framekit.explain.json_values import derivation_values
from framekit.explain.reference import laws_page, target
from framekit.explain.rounding import ROUNDED, PrintedNumber, Rounding, places, printed
from framekit.explain.worksheet_pages import worksheet_markdown
from framekit.solution.generated import AS_MADE, DESIGN
from framekit.solution.law_terms import EXPLAINED, LAW_TERMS
from framekit.solution.laws.witness import choices, witness_points
from framekit.solution.quantities import QUANTITIES
from framekit.solution.symbols import latex_symbol

ROOT = Path(__file__).parents[2]


@every_frame
@pytest.mark.parametrize("rounding", [Rounding(), ROUNDED, Rounding(0, 3, 2), Rounding(9, 12, 9)])
def test_every_printed_sum_comes_out(frame, rounding):
    """Twelve digits at most: the difference of two near doubles has no more."""
    for step in derive(frame, *frame.quantities, rounding=rounding):
        if step.substituted:
            assert agrees(worked_out(step.substituted), step), step
            assert agrees(read(step.latex.substituted), step), step


@every_frame
def test_results_are_rounded_and_not_carried(frame):
    """What is shown is within half a unit of its last place of the value."""
    for step in derive(frame, *frame.quantities):
        figure = PrintedNumber(step.value, step.unit, exact=step.origin != "derived")
        half = 0.5 * 10.0 ** -places(figure, Rounding())
        # 1e-12 of the value: the noise of floating point at a half
        error = abs(float(step.result.replace("−", "-")) - step.value)
        assert error <= half + 1e-12 * abs(step.value)


def test_numbers_have_no_more_digits_than_the_sum_needs():
    by_name = {step.name: step for step in derive(BUOY, "disc-2.ligament")}
    assert by_name["disc-2.ligament"].substituted == "110.9864 − 98.99 − 0.1"
    assert by_name["model.polar_radius"].substituted == "150·(1 − 0.05)"


def test_halves_round_away_from_zero_as_at_school():
    assert printed(PrintedNumber(1.525, "mm"), ROUNDED) == "1.53"
    assert printed(PrintedNumber(-1.525, "mm"), ROUNDED) == "-1.53"
    assert printed(PrintedNumber(-1e-9, "mm"), Rounding()) == "-0.0000".lstrip("-")


def test_the_example_reads_as_a_teacher_writes_it():
    """c and r_f of a 300 mm model, by hand: c = 150·0.95; √(1 − (95.8607/142.5)²)·150."""
    text = derivation_text(derive(BUOY, "disc-2.skin_radius"))
    assert "c      = a·(1 − f) = 150·(1 − 0.05) = 142.5000 mm" in text
    assert f"{150 * math.sqrt(1 - (95.8607 / 142.5) ** 2):.3f}" in text
    lines = text.splitlines()
    first = lines[0]
    assert first.startswith("φ[2]   = 40°   ") and first.endswith("given, spec line 25")
    assert "the body's equatorial radius: a diameter is two radii; from spec line 10 [" in text
    assert "unrounded values are carried" in text
    equals = {line.index(" = ") for line in lines if re.match(r"\w+(\[\d\])? += ", line)}
    assert len(equals) == 1


def test_units_are_the_authors_and_meet_openly():
    by_name = {step.name: step for step in derive(BUOY, "model.equatorial_radius")}
    radius, model = by_name["body.equatorial_radius"], by_name["model.equatorial_radius"]
    assert (radius.substituted, radius.result, radius.unit) == ("1.2/2", "0.6", "m")
    assert (model.substituted, model.result) == ("0.6 m/4", "150.0000")
    assert model.conversion == "1 m = 1000 mm"
    assert model.latex.substituted == r"\frac{0.6\ \mathrm{m}}{4}"


def test_every_quantity_has_a_symbol_of_its_own():
    names = [*QUANTITIES, *LAW_TERMS, *EXPLAINED]
    symbols = [latex_symbol(name) for name in names]
    assert len(set(symbols)) == len(names)
    numbered = {latex_symbol(n.replace(".", f"-{i}.", 1)) for n in names for i in range(1, 13)
                if n.startswith(("disc.", "flange."))}  # fmt: skip
    assert not numbered & set(symbols)
    assert latex_symbol("disc.latitude") == r"\varphi"
    assert latex_symbol("disc-12.joint_radius") == "r_{J,12}"
    assert latex_symbol("made.kerf") == "k'"


def test_a_choice_says_what_held_and_what_did_not():
    steps = {s.name: s for s in derive(FRAMES["id: hard"], *FRAMES["id: hard"].quantities)}
    near_pole = steps["disc-4.rib_inner_radius"]
    assert near_pole.choice.taken.words == "the pole gap"
    assert near_pole.choice.others[0].words == "the inner ellipse"
    assert near_pole.choice.taken.value > near_pole.choice.others[0].value
    bore = steps["disc-4.bore_radius"]
    assert bore.choice.taken.words == "no bore" and bore.result == "0.0000"
    assert steps["disc-1.rib_inner_radius"].choice.taken.words == "the inner ellipse"
    assert steps["disc-1.bore_radius"].choice.taken.words == "what the wall leaves"
    assert steps["disc-3.side"].choice.taken.words == "south of the equator"
    assert "here the pole gap (" in derivation_text([near_pole])
    assert "Here the pole gap (" in derivation_markdown([near_pole])


def test_every_law_that_chooses_has_words_for_its_branches():
    """A formula that is a greatest value or a case distinction as a whole."""
    for law in DESIGN:
        template = law.forms[0].template
        if template.startswith("max(") or (template.startswith("(") and ", else " in template):
            assert law.forms[0].branches, law.name


def values_for(law, point):
    """A consistent point, and something plausible for what the witness points lack."""
    spare = random.Random(law.name)
    known = choices(law.name, point)
    return {n: known.get(n, spare.uniform(1.0, 4.0)) for n in law.quantities}


@pytest.mark.parametrize("law", [*DESIGN, *AS_MADE], ids=lambda law: law.name)
def test_latex_means_what_the_law_computes(law):
    for point in witness_points():
        values = values_for(law, point)
        for form in law.forms:
            numbers = [values[n] for n in form.inputs]
            try:
                wanted = form.function(FLOATS, *numbers)
            except (ValueError, ZeroDivisionError):
                continue
            degrees = {
                f"<{i}>": x * math.pi / 180
                if (QUANTITIES.get(n) or LAW_TERMS[n]).unit == "deg"
                else x
                for i, (n, x) in enumerate(zip(form.inputs, numbers, strict=True))
            }
            # 1e-9: the same sum in another order, with differences of near values
            assert read(form.latex, degrees) == pytest.approx(wanted, rel=1e-9, abs=1e-9)
            texts = [
                f"({x!r}°)" if (QUANTITIES.get(n) or LAW_TERMS[n]).unit == "deg" else f"({x!r})"
                for n, x in zip(form.inputs, numbers, strict=True)
            ]
            plain = worked_out(form.template.format(*texts))
            assert plain == pytest.approx(wanted, rel=1e-9, abs=1e-9)  # as above
            for branch in form.branches:
                if branch.function(FLOATS, *numbers) == wanted:
                    assert read(branch.latex, degrees) == pytest.approx(wanted, rel=1e-9, abs=1e-9)


@every_frame
def test_markdown_has_sound_formulas_and_tables(frame):
    for page in (
        derivation_markdown(derive(frame, *frame.quantities)),
        worksheet_markdown(make_worksheet(frame)),
    ):
        assert len(formulas_of(page)) > 40
        for latex in formulas_of(page):
            assert sound(latex), latex
        assert page.count("$$") % 2 == 0
        for row in re.findall(r"^\|.*$", page, re.MULTILINE):
            cells = len(re.findall(r"(?<!\\)\|", row)) - 1
            assert cells in (3, 4), row


def test_the_check_of_formulas_sees_faults():
    for fault in (r"\frac{1}{2", r"\left(1", "<0> + 1", r"a\,b", "}{", "2·a"):
        assert not sound(fault)
    for fault in (r"\frac{1}{2", r"\left(1", "<0>", "2 +", r"\unknown{1}", "1 2"):
        with pytest.raises((ValueError, IndexError, KeyError)):
            read(fault)


def test_foreign_text_is_no_markup():
    page = worksheet_markdown(make_worksheet(FRAMES["id: hard"]))
    assert page.startswith("# A \\*hard\\* one \\| 100 \\$: worksheet\n")


def test_json_is_the_documented_list_of_steps(capsys):
    code = main(["explain", str(ROOT / "specs/saturn-class.yaml"), "disc-2.bore_radius",
                 "--format", "json"])  # fmt: skip
    steps = json.loads(capsys.readouterr().out)
    assert code == 0 and steps[-1]["name"] == "disc-2.bore_radius"
    kinds = {"text": str, "number": float, "whole number": int, "mapping": dict,
             "list of text": list, "list of whole numbers": list}  # fmt: skip
    for step in steps:
        assert set(step) == set(STEP_KEYS)
        for key, (kind, _) in STEP_KEYS.items():
            wanted = kinds[kind.removesuffix(" or null")]
            assert isinstance(step[key], wanted) or (kind.endswith("null") and step[key] is None)
        assert all(isinstance(name, str) for name in step["inputs"])
        assert all(isinstance(line, int) for line in step["lines"])
    seen = set()
    for step in steps:
        assert set(step["inputs"]) <= seen
        seen.add(step["name"])
    inner = next(s for s in steps if s["name"] == "disc-2.rib_inner_radius")
    choice = inner["choice"]
    assert {*choice, *choice["taken"]} == STEP_KEYS["choice"][1]
    assert inner["choice"]["taken"]["words"] == "the inner ellipse"
    assert [s["line"] for s in steps if s["name"] == "disc-2.latitude"] == [22]


def test_several_quantities_share_their_steps(capsys):
    spec = str(ROOT / "specs/harbour-buoy.yaml")
    assert main(["explain", spec, "model.height", "disc-2.radius", "model.height"]) == 0
    out = capsys.readouterr().out
    assert len(re.findall(r"^c +=", out, re.MULTILINE)) == 1
    assert "H      = 2·c" in out and "R[2]   = r_f[2] − b[2]" in out


@pytest.mark.parametrize("words", [[], ["model.height", "--all"]])
def test_names_or_all_are_wanted_and_not_both(capsys, words):
    assert main(["explain", str(ROOT / "specs/harbour-buoy.yaml"), *words]) == 2
    assert "--all for a worksheet" in capsys.readouterr().err


def test_an_unknown_name_lists_near_ones():
    with pytest.raises(UnknownNameError, match=r"disc-2\.radius"):
        derive(BUOY, "disc-2.radios")


def test_a_search_says_what_must_hold():
    """A housed disc of radius 90: the joint half-way between rib edge and skin, by hand."""
    steps = {s.name: s for s in derive(FRAMES["id: searched"], "disc-2.height")}
    height = steps["disc-2.height"]
    z = height.value
    inner = 128 / 130.5 * math.sqrt(130.5**2 - z**2)
    outer = 150 / 142.5 * math.sqrt(142.5**2 - z**2)
    # 1e-6 mm: the search's own tolerance
    assert (inner + outer) / 2 == pytest.approx(90, abs=1e-6)
    assert height.substituted == "" and " at which " in height.formula
    assert r"\text{the value at which } " in height.latex.formula
    assert "at which" in derivation_text([height])
    sheet = make_worksheet(FRAMES["id: searched"])
    assert "disc-2.height" in {note.name for note in sheet.notes}
    assert "found by trying values" in worksheet_markdown(sheet)


def test_a_law_of_a_skin_in_a_loop_is_told_as_a_search():
    """A slot 9.5 mm deep, from the rim to half-way between the rib's inner edge and the wall.

    By hand: the wall leans 40 mm in over 220 mm, and the width of the rib, 20 mm in the middle and
    13 mm at an end, counts where the wall's normal through the inner edge meets the wall.
    """
    steps = {s.name: s for s in derive(FRAMES["id: loop"], "disc-1.height", "disc-1.radius")}
    height = steps["disc-1.height"]
    assert height.formula.startswith("the z[1] at which r_i[1] = max(e, ")
    assert (height.substituted, height.is_searched) == ("", True)
    z, lean = height.value, math.hypot(1, 40 / 220)
    wall, rim = 100 - 40 * z / 220, 100 - 40 * (z + 3.05 / 2) / 220
    width = (wall - (2 * (rim - 9.5) - wall)) / lean
    u = 1 - (z + width * 40 / 220 / lean) / 110
    # 1e-6 mm: the search's own tolerance
    assert width == pytest.approx(20 - 7 * (3 * u**2 - 2 * u**3), abs=1e-6)
    assert steps["disc-1.radius"].value == pytest.approx(rim, abs=1e-6)


# The page of laws


def test_the_page_of_laws_is_up_to_date():
    written = target().read_text(encoding="utf-8")
    assert written == laws_page(), "run python -m framekit.explain.reference"


def test_the_page_of_laws_has_every_law_with_words_source_and_directions():
    page = laws_page()
    sections = dict(re.findall(r"^### (\S+)\n(.*?)(?=^##|\Z)", page, re.MULTILINE | re.DOTALL))
    assert set(sections) == {law.name for law in (*DESIGN, *AS_MADE)}
    for law in DESIGN:
        section = sections[law.name]
        assert law.words[1:] in section and law.source in section
        assert section.count("$$") == 2 * len(law.forms)
        assert all(f"`{name}` (" in section for name in law.quantities)
    assert all(sound(latex) for latex in formulas_of(page))


# A cold run


@pytest.mark.parametrize(
    "words",
    [
        ["disc-2.radius"],
        ["disc-2.radius", "--format", "markdown"],
        ["disc-2.radius", "--format", "json"],
        ["--all"],
    ],
)
def test_explaining_imports_no_heavy_library(words):
    code = (
        "import sys\n"
        "from framekit.cli.main import main\n"
        f"assert main(['explain', 'specs/harbour-buoy.yaml', *{words!r}]) == 0\n"
        "print([m for m in ('sympy', 'numpy', 'scipy', 'shapely', 'ezdxf') if m in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert run.stdout.splitlines()[-1] == "[]"


def test_values_for_json_are_plain():
    values = derivation_values(derive(BUOY, "disc-2.radius"))
    assert json.loads(json.dumps(values)) == values
