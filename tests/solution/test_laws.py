"""The generated laws are what sympy gives, in every direction, and scale as their units say."""

from __future__ import annotations

import re

import mpmath
import pytest

from framekit.constraints.namespaces import FLOATS
from framekit.solution.generated import AS_MADE, DESIGN
from framekit.solution.laws.generate import (
    design_equations,
    generated_module,
    made_equations,
    target,
)
from framekit.solution.laws.witness import choices, witness_points
from framekit.solution.quantities import QUANTITIES

POINTS = witness_points()


def test_the_generated_module_is_up_to_date():
    assert generated_module() == target().read_text(encoding="utf-8")


@pytest.mark.parametrize("law", DESIGN, ids=lambda law: law.name)
def test_every_direction_of_a_law_agrees_with_the_others(law):
    """One direction's result put into another gives the start back."""
    for point in POINTS:
        values = {name: choices(law.name, point).get(name, 1.0) for name in law.quantities}
        values[law.forms[0].output] = law.forms[0].function(
            FLOATS, *(values[n] for n in law.forms[0].inputs)
        )
        for form in law.forms[1:]:
            back = form.function(FLOATS, *(values[n] for n in form.inputs))
            # 1e-9: double precision through a square root and a difference of near values
            assert back == pytest.approx(values[form.output], rel=1e-9, abs=1e-9)


CHOSEN = ("disc.bore_radius", "disc.bore_wall", "disc.height", "disc.side", "rib.proud")
"""What a law chooses or the witnesses do not know."""


@pytest.mark.parametrize(
    "law", [law for law in DESIGN if law.forms[0].output not in CHOSEN], ids=lambda law: law.name
)
def test_a_law_gives_the_witnesses_own_value(law):
    """Oracle: the forward formulas of the witnesses, written by hand and never by the solver."""
    form = law.forms[0]
    for point in POINTS:
        values = choices(law.name, point)
        found = form.function(FLOATS, *(values[n] for n in form.inputs))
        # 1e-9: double precision through a square root and a difference of near values
        assert found == pytest.approx(values[form.output], rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("written", "generated"),
    list(
        zip(
            [*design_equations(), *made_equations()],
            [*DESIGN, *AS_MADE],
            strict=True,
        )
    ),
    ids=lambda x: getattr(x, "name", ""),
)
def test_the_generated_function_equals_the_sympy_law_at_40_digits(written, generated):
    """Oracle: mpmath's evaluation of the sympy expression, 40 digits."""
    form = generated.forms[0]
    base = {
        "made.thickness": 3.1,
        "made.kerf": 0.19,
        "made.clearance": 0.06,
        "limit.least_gap": 0.0,
        "limit.most_gap": 0.25,
        "limit.least_ligament": 4.5,
        "limit.least_web": 3.0,
        "limit.least_wall": 4.5,
        "limit.skin_allowance": 0.25,
        "limit.spacing": 2.0,
        "limit.margin": 5.0,
        "limit.layers": 2.0,
        "limit.lead_in": 0.8,
        "limit.lead_turn": 0.6,
        "made.disc_kerf": 0.22,
        "disc_sheet.kerf": 0.2,
        "rib.width_least": 12.0,
        "disc.held_depth": 0.1,
        "next.height": 90.0,
        "flange.height": 4.0,
        "disc.latitude": 37.0,
    }
    for point in POINTS:
        values = {**base, **choices(written.name, point)}
        numbers = {s: values[s.name] for s in written.right.free_symbols}
        exact = written.right.subs(numbers).evalf(40)
        ours = form.function(FLOATS, *(values[n] for n in form.inputs))
        # 1e-10 mm: fifteen digits less what differences of near values cost
        assert abs(mpmath.mpf(str(exact)) - ours) < 1e-10


DIMENSION = {"mm": 1, "deg": 0, "1": 0}


@pytest.mark.parametrize("law", DESIGN, ids=lambda law: law.name)
def test_lengths_scale_and_the_rest_stays(law):
    """A law in consistent units: all lengths times λ scale a length by λ and leave a ratio."""
    for form in law.forms:
        values = choices(law.name, POINTS[0]) | {"disc.latitude": 37.0, "rib.proud": 0.01}
        if any(n not in values for n in form.inputs):
            continue
        scale = 1.7

        def power(name):
            unit = "mm" if name.startswith("original.") else QUANTITIES[name].unit
            return DIMENSION[unit]

        plain = form.function(FLOATS, *(values[n] for n in form.inputs))
        scaled = form.function(FLOATS, *(values[n] * scale ** power(n) for n in form.inputs))
        # 1e-9: rounding through square roots of differences
        assert scaled == pytest.approx(plain * scale ** power(form.output), rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("law", (*DESIGN, *AS_MADE), ids=lambda law: law.name)
def test_a_law_says_what_it_means_and_shows_every_input(law):
    assert law.words.strip() and law.source.strip()
    for form in law.forms:
        places = {str(n) for n in range(len(form.inputs))}
        assert set(re.findall(r"\{(\d+)\}", form.template)) == places
        assert set(re.findall(r"<(\d+)>", form.latex)) == places
        assert {form.output, *form.inputs} <= set(law.quantities)
