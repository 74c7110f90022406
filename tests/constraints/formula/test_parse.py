"""Formulas from strangers: what is refused and what is computed.

Oracle: mpmath at 40 digits (its own functions, and `mpmath.diff` for slopes), which shares no code
with what is tested.
"""

from __future__ import annotations

import random
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import mpmath
import pytest
from constraints.formula.digits import exact
from constraints.refusals import refusal
from hypothesis import given, settings
from hypothesis import strategies as st

from framekit.constraints.formula.derivative import derivative
from framekit.constraints.formula.parse import parse_formula
from framekit.constraints.intervals import Interval
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.constraints.series import along
from framekit.errors import SpecError

DEEP = "sin(" * 45 + "z" + ")" * 45

HOSTILE = [
    "",
    "   ",
    "__import__('os').system('true')",
    "__import__(os)",
    "exec(z)",
    "eval(z)",
    "open(z)",
    "z.__class__",
    "z.real",
    "(1).real",
    "sin.__globals__",
    "().__class__.__bases__",
    "model.top_radius",
    "9**9**9",
    "9**9**9**9",
    "z**9**9",
    "9" * 400,
    "1e13",
    "1e999",
    "-1e400",
    "((z**60)**60)**60",
    "z**65",
    "z**z",
    "2**z",
    "z**(1/0)",
    "1/0",
    "z/0",
    "z/(1-1)",
    "z/sin(0)",
    "log(0)",
    "log(-1)*z",
    "sqrt(-1)",
    "asin(2)",
    "(-8)**(1/3)",
    "exp(1000)",
    "exp(exp(exp(9)))",
    "exp(3+4*300)+z",
    "1j",
    "3+2j*z",
    "0x10",
    "0b11*z",
    "1_000",
    "lambda z: z",
    "[z for z in z]",
    "(z for z in z)",
    "{z}",
    "f'{z}'",
    "'z'",
    '"z"',
    "b'z'",
    "(z := 3)",
    "z = 3",
    "z == 3",
    "z < 3",
    "z and 3",
    "z or 3",
    "not z",
    "z if z else 3",
    "True",
    "None",
    "...",
    "min(z)",
    "min()",
    "sin()",
    "sin(z, 3)",
    "sin(x=z)",
    "min(*z)",
    "max(**z)",
    "step(z, 1, 2)",
    "sin",
    "sin z",
    "z(3)",
    "pi(3)",
    "(sin)(z)(z)",
    "2z",
    "z 3",
    "x + 1",
    "Z",
    "z, z",
    "z // 2",
    "z % 2",
    "z ^ 2",
    "z @ z",
    "z << 2",
    "~z",
    "z | 2",
    "z[0]",
    "z; z",
    "z # note",
    "z\\\n+1",
    "z\x00",
    "z\u200b",
    "ｚ + 1",
    "ｓｉｎ(z)",
    "𝐳",
    "z²",
    "π*z",
    "z − 3",
    "await z",
    "yield z",
    "print(z)",
    "((z)",
    "z))",
    "z) + (z",
    "+",
    "z +",
    DEEP,
    "(" * 240 + "z" + ")" * 240,
    "-" * 490 + "z",
    "(" * 300,
    "z+" * 240 + "z",
    "+".join(["z"] * 150),
    "1+" * 100_000 + "z",
    "z" * 1_000_000,
]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_formula_is_refused_in_a_sentence(text: str) -> None:
    refusal(lambda: parse_formula(text, ["z"]))


@pytest.mark.parametrize("value", [None, 5, 2.5, True, ["z"], b"z", {"z": 1}])
def test_what_is_no_text_is_refused(value: Any) -> None:
    refusal(lambda: parse_formula(value, ["z"]))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("40 + foo", "column 6: 'foo'"),
        ("  40 + foo", "column 8: 'foo'"),
        ("z ^ 2", "Write ** for a power"),
        ("40 + 12*cosh(z)", "column 9: 'cosh' is not a function"),
        ("z**99", "column 4: '99' is a power beyond ±64"),
        ("5 + z/(2-2)", "column 5: 'z/(2-2)' divides by zero"),
    ],
)
def test_a_refusal_names_the_piece_and_its_column(text: str, says: str) -> None:
    assert says in refusal(lambda: parse_formula(text, ["z"]))


def test_dotted_names_are_taken_where_listed() -> None:
    formula = parse_formula(
        "z/model.top_radius + step(z, 1, 2)", ["z", "model.top_radius"], internal=True
    )
    assert formula.names == ("z", "model.top_radius")
    assert formula.on(FLOATS, **{"z": 3.0, "model.top_radius": 2.0}) == 2.5
    refusal(lambda: parse_formula("model.__class__", ["z", "model.top_radius"], internal=True))


# Good formulas, and the range in which each is tried.
GOOD = {
    "40 + 12*cos(pi*z/90)": (0, 180),
    "sqrt(90**2 - z**2)": (-80, 80),
    "80*(1 - (abs(z)/90)**2.5)**(1/2.5)": (1, 80),
    "cbrt(z) + z**3/1e5 - z**-2": (1, 90),
    "tan(z/100)*exp(-z/30) + log(1 + z)": (0, 90),
    "asin(z/100) + acos(z/101) + atan(z)": (-90, 90),
    "-z**2 + (-z)**3 - -z + +5": (-9, 9),
    "1/(1 + z/(2 + z/(3 + z)))": (0, 90),
    "2**-3**2*z - z/4/5 - (z - (3 - z))": (0, 9),
    "min(z, 20, 60 - z) + max(z/3, 10)": (0.5, 60),
    "z**0 + z**1 + 1.5e-3*z**1.5 + .5*z**0.5": (1, 90),
    "sin(z)**4 + sin(sin(cos(z)))": (0, 9),
}


def places(text: str) -> list[float]:
    low, high = GOOD[text]
    rng = random.Random(text)
    return [rng.uniform(low, high) for _ in range(40)]


@pytest.mark.parametrize("text", GOOD)
def test_values_and_derivatives_are_those_of_mpmath(
    text: str, tmp_path: Path, monkeypatch: Any
) -> None:
    monkeypatch.setenv("FRAMEKIT_CACHE", str(tmp_path))
    formula = parse_formula(text, ["z"])
    slope = derivative(formula, "z")
    with mpmath.workdps(40):
        for z in places(text):
            # 1e-12: a few dozen roundings of 1e-16, some of them of larger terms.
            assert formula.function(FLOATS, z) == pytest.approx(
                float(exact(text, mpmath.mpf(z))), rel=1e-12, abs=1e-12
            )
            true = float(mpmath.diff(lambda x: exact(text, x), mpmath.mpf(z)))
            assert slope.over(["z"])(FLOATS, z) == pytest.approx(true, rel=1e-10, abs=1e-12)
            assert along(formula.function, [z], [1.0]).c1 == pytest.approx(
                true, rel=1e-10, abs=1e-12
            )


@pytest.mark.parametrize("text", GOOD)
def test_intervals_hold_samples_and_slopes(text: str) -> None:
    formula = parse_formula(text, ["z"])
    rng = random.Random(1)
    with mpmath.workdps(40):
        for z in places(text):
            width = rng.choice([1e-6, 0.01, 1.0])
            interval = formula.function(INTERVALS, Interval(z, z + width, ((1.0, 1.0),)))
            ((flat, steep),) = interval.slopes
            for share in (0, 0.3, 0.77):
                x = mpmath.mpf(z + width * share)
                assert interval.low <= exact(text, x) <= interval.high
                # 1e-20: what `mpmath.diff` leaves of 40 digits.
                slope = mpmath.diff(lambda at: exact(text, at), x)
                assert flat - abs(slope) / 1e20 <= slope <= steep + abs(slope) / 1e20


@pytest.mark.parametrize(
    "text", [*GOOD, "40", "z - (-3)", "-(-z)", "(-z)**2", "(z**2)**3", "z/(3*z)"]
)
def test_canonical_text_reads_back_as_the_same(text: str) -> None:
    formula = parse_formula(text, ["z"])
    again = parse_formula(formula.text(), ["z"])
    assert again == formula and hash(again) == hash(formula)
    assert again.text() == formula.text()


def test_templates_are_as_people_write() -> None:
    formula = parse_formula("40 + 12*cos(pi*z/90)**2 - abs(z)/cbrt(z)", ["z"])
    assert formula.template == "40 + 12·cos(π·{0}/90)² − |{0}|/∛({0})"
    assert formula.template.format("5")
    assert r"\frac{\pi \cdot <0>}{90}" in formula.latex


@given(st.text(alphabet="z0123456789.+-*/() ,episnco_a[]'\"lambd:=^é", max_size=60))
@settings(deadline=None, max_examples=400)
def test_random_text_is_read_or_refused(text: str) -> None:
    try:
        parse_formula(text, ["z"])
    except SpecError as error:
        assert error.hint


@given(st.text(max_size=40))
@settings(deadline=None)
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        parse_formula(text, ["z"])
    except SpecError as error:
        assert error.hint


def test_a_formula_runs_on_series_and_any_namespace() -> None:
    formula = parse_formula("z**2", ["z"])
    assert formula.function(SimpleNamespace(square=lambda x: x * x), 3.0) == 9.0
    assert along(formula.function, [3.0], [1.0]).c1 == 6.0
