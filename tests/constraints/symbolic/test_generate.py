"""Modules of laws from sympy equations: forms by hand, and what is no law is refused."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
import sympy

from framekit.constraints.namespaces import FLOATS
from framekit.constraints.symbolic.equation import Bend, Equation, quantity
from framekit.constraints.symbolic.generate import Table, render

f, u, v = quantity("lens.focus"), quantity("lens.object"), quantity("lens.image")
LENS = Equation("thin-lens", f, 1 / (1 / u + 1 / v), "the thin lens", "Hecht, Optics, section 5.2")
SPHERE = Equation("sphere", v, sympy.sqrt(u**2 - f**2), "Pythagoras", "Euclid I.47")
POINT = {"lens.focus": 20.0, "lens.object": 30.0, "lens.image": 60.0}


def laws(*tables):
    module = SimpleNamespace()
    exec(render("Made for a test.", *tables), vars(module))
    return module


def test_an_equation_is_read_every_way():
    """By hand: 1/20 = 1/30 + 1/60."""
    (law,) = laws(Table("OPTICS", [LENS], lambda equation: [POINT])).OPTICS
    assert [form.output for form in law.forms] == ["lens.focus", "lens.image", "lens.object"]
    for form in law.forms:
        value = form.function(FLOATS, *(POINT[name] for name in form.inputs))
        # 1e-14: a few roundings
        assert value == pytest.approx(POINT[form.output], rel=1e-14)


def test_the_witness_picks_the_root():
    """Of ±√(v² + f²) the witness 13 = √(12² + 5²), or -13, settles which it is."""
    for sign in (1.0, -1.0):
        point = {"lens.focus": 5.0, "lens.object": 13.0 * sign, "lens.image": 12.0}
        (law,) = laws(Table("T", [SPHERE], lambda equation, point=point: [point])).T
        (form,) = (form for form in law.forms if form.output == "lens.object")
        values = [{"lens.image": 12.0, "lens.focus": 5.0}[name] for name in form.inputs]
        # 1e-14: a few roundings
        assert form.function(FLOATS, *values) == pytest.approx(13.0 * sign, rel=1e-14)


def test_without_witnesses_and_for_kept_names_nothing_is_solved():
    (law,) = laws(Table("T", [LENS])).T
    assert [form.output for form in law.forms] == ["lens.focus"]
    (law,) = laws(Table("T", [LENS], lambda equation: [POINT], kept=["lens.image"])).T
    assert [form.output for form in law.forms] == ["lens.focus", "lens.object"]


def test_a_wrong_witness_and_a_bend_that_is_none_are_refused():
    wrong = {**POINT, "lens.image": 61.0}
    with pytest.raises(ValueError, match="thin-lens does not give its witness back"):
        render("", Table("T", [LENS], lambda equation: [wrong]))
    bent = Equation("larger", f, sympy.Max(u, v), "the larger", "ours", both_ways=False)
    (law,) = laws(Table("T", [bent], bends={"larger": [Bend("the object", u)]})).T
    assert law.forms[0].branches[0].function(FLOATS, 60.0, 30.0) == 30.0
    with pytest.raises(ValueError, match="larger has no branch 'neither'"):
        render("", Table("T", [bent], bends={"larger": [Bend("neither", u * v)]}))
