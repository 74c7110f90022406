"""Which formulas are proved to be skins: poles, zeros and steep pieces between the samples."""

from __future__ import annotations

import math

import pytest
from constraints.refusals import refusal, spent
from hypothesis import given, settings
from hypothesis import strategies as st

from framekit.bodies.validity import check_radius
from framekit.constraints.formula.parse import parse_formula
from framekit.constraints.namespaces import FLOATS
from framekit.errors import SpecError

PIECES = st.recursive(
    st.sampled_from(["z", "pi", "1", "0.5", "3.25", "40"]),
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from("+-*/"), inner).map(lambda t: f"({t[0]}{t[1]}{t[2]})"),
        inner.map(lambda t: f"-{t}"),
        st.tuples(inner, st.sampled_from(["2", "3", "-1", "0.5"])).map(
            lambda t: f"({t[0]})**{t[1]}"
        ),
        st.tuples(st.sampled_from(["sin", "cos", "exp", "sqrt", "abs", "atan", "cbrt"]), inner).map(
            lambda t: f"{t[0]}({t[1]})"
        ),
    ),
    max_leaves=12,
)


@given(PIECES)
@settings(deadline=None, max_examples=150)
def test_random_formulas_round_trip_and_prove_or_refuse(text: str) -> None:
    try:
        formula = parse_formula(text, ["z"])
    except SpecError:
        return
    assert parse_formula(formula.text(), ["z"]) == formula
    try:
        low, high = check_radius(formula, 0.5, 3.0)
    except SpecError:
        return
    for i in range(51):
        z = 0.5 + 2.5 * i / 50
        value = formula.over(["z"], 0.0)(FLOATS, z)
        # 1e-12: rounding of the floats themselves.
        assert low - 1e-12 * abs(low) <= value <= high + 1e-12 * abs(high)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("1/(z-3.3333)", 0, 90),
        ("50 + 1/(z-3.3333)**2", 0, 90),
        ("50 + 1e-30/(z-3.3333)", 0, 90),
        ("50 + tan(z/10)/1e9", 0, 90),
        ("50 + sqrt(z-10)", 0, 90),
        ("50 + sqrt((z-3.3333)**2 - 1e-9)", 0, 90),
        ("50 + log((z-3.3333)**2)/1e3", 0, 90),
        ("exp(exp(exp(z)))", 0, 90),
        ("(z-3.3333)**2", 0, 90),
        ("(z-3.3333)**2 - 1e-12", 0, 90),
        ("abs(z-3.3333) - 1e-9", 0, 90),
        ("10*cos(z)", 0, 90),
        ("z", -1, 90),
        ("-z", 0, 90),
        ("0*z", 0, 90),
        ("1/z", 0, 90),
        ("1/(90-1e-9-z)**2", 0, 90),
        ("1/(z-z)", 0, 90),
        ("z/z", -1, 2),
        ("asin(z)", 0, 2),
        ("40", 5, 5),
        ("40", 5, 4),
        ("40", 0, math.inf),
        ("40", math.nan, 5),
        ("(z-5)**0.5 + 3", 0, 9),
    ],
)
def test_a_formula_that_is_no_skin_is_refused(text: str, low: float, high: float) -> None:
    refusal(lambda: check_radius(parse_formula(text, ["z"]), low, high))


@pytest.mark.parametrize(
    ("text", "high"),
    [
        ("1 + " + "*".join(["sin(z*7.3)"] * 31), 9e9),
        ("2 + " + "*".join(["sin(z*7.3)*cos(z)"] * 16), 9e9),
        ("*".join(["exp(sin(999*z))"] * 30) + " - 1e-14", 9e3),
        ("+".join(["sin(z*z)"] * 39) + " + 39.0000001", 9e3),
        ("1.00000001 + sin(z)*" + "*".join(["(2 - cos(z)*cos(z))"] * 12) + "/4096", 300),
        ("sqrt(" * 30 + "z*z - z + 1.1" + ")" * 30 + " - 0.9", 9e3),
        ("+".join(["(z - 3)**2 - (z*z - 6*z + 9)"] * 12) + " + 1e-9", 900),
    ],
)
def test_a_hard_formula_is_proved_or_refused_in_time(text: str, high: float) -> None:
    formula = parse_formula(text, ["z"])
    with spent(2):
        try:
            low, _ = check_radius(formula, 0, high)
        except SpecError as error:
            assert error.hint
        else:
            assert low > -1e-5


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("40 + 12*cos(pi*z/90)", 0, 180),
        ("40 + 40*cos(pi*z/90)", 0, 90),
        ("sqrt(90**2 - z**2)", -90, 90),
        ("sqrt(1108.89 - z**2)", -33.3, 33.3),
        ("80*(1 - (abs(z)/90)**2.5)**(1/2.5)", -90, 90),
        ("90 - z", 0, 90),
        ("z**(1/3)", 0, 90),
        ("1.0001 + sin(1000*z)", 0, 90),
        ("1e-9 + (z - 3.3333)**2", 0, 90),
        ("30*sin(pi*z/90)", 0, 90),
        ("z**2 - 10*z + 25.01", 0, 10),
        ("40", 0, 90),
    ],
)
def test_a_skin_is_proved_and_its_bounds_hold_samples(text: str, low: float, high: float) -> None:
    formula = parse_formula(text, ["z"])
    with spent(2):
        least, most = check_radius(formula, low, high)
    radius = formula.over(["z"], 0.0)
    values = [radius(FLOATS, low + (high - low) * i / 1000) for i in range(1001)]
    assert least <= min(values) and max(values) <= most
    # The least lies under no more than a twentieth of the greatest, so it says something.
    assert least >= min(values) - 0.05 * max(values)
