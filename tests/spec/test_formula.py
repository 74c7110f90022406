"""Formulas and points of a skin: what is refused, what is computed, what is proved.

Oracles: mpmath at 40 digits (its own functions, and `mpmath.diff` for slopes),
`scipy.interpolate.PchipInterpolator` for curves through points (Fritsch and Butland, 1984). None
shares code with what is tested.
"""

from __future__ import annotations

import math
import os
import random
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import mpmath
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from framekit.bodies.validity import check_radius
from framekit.constraints.curve_arrays import curve_on_arrays
from framekit.constraints.formula.derivative import derivative
from framekit.constraints.formula.parse import Formula, parse_formula
from framekit.constraints.intervals import Interval
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.constraints.series import SERIES, along
from framekit.errors import SpecError
from framekit.geometry.profile_curve import HeightCurve, points_curve

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


def refusal(call: Any) -> str:
    """The sentence of the refusal, which has to come within 2 seconds."""
    start = time.perf_counter()
    with pytest.raises(SpecError) as caught:
        call()
    assert time.perf_counter() - start < 2
    fault = caught.value.faults[0]
    assert len(fault.message) > 15 and fault.hint
    assert len(str(fault)) < 500
    return str(fault)


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
DIGITS = {
    **{
        n: getattr(mpmath, n) for n in ("sqrt", "cbrt", "sin", "cos", "tan", "asin", "acos", "atan")
    },
    "exp": mpmath.exp,
    "log": mpmath.log,
    "abs": abs,
    "min": min,
    "max": max,
    "pi": mpmath.pi,
}


def exact(text: str, z: Any) -> Any:
    """The test's own texts, by mpmath."""
    return eval(text, {"__builtins__": {}}, {**DIGITS, "z": z})


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
def test_bands_hold_samples_and_slopes(text: str) -> None:
    formula = parse_formula(text, ["z"])
    rng = random.Random(1)
    with mpmath.workdps(40):
        for z in places(text):
            width = rng.choice([1e-6, 0.01, 1.0])
            band = formula.function(INTERVALS, Interval(z, z + width, ((1.0, 1.0),)))
            for share in (0, 0.3, 0.77):
                x = z + width * share
                assert band.low <= exact(text, mpmath.mpf(x)) <= band.high


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


# The proof over a range


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
    start = time.perf_counter()
    try:
        low, _ = check_radius(formula, 0, high)
    except SpecError as error:
        assert error.hint
    else:
        assert low > -1e-5
    assert time.perf_counter() - start < 2


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
    start = time.perf_counter()
    least, most = check_radius(formula, low, high)
    assert time.perf_counter() - start < 2
    radius = formula.over(["z"], 0.0)
    values = [radius(FLOATS, low + (high - low) * i / 1000) for i in range(1001)]
    assert least <= min(values) and max(values) <= most
    # The least lies under no more than a twentieth of the greatest, so it says something.
    assert least >= min(values) - 0.05 * max(values)


# The derivative and its folder

COLD = """
import sys
from framekit.constraints.formula.parse import parse_formula
from framekit.constraints.formula.derivative import derivative
print(derivative(parse_formula("40 + 12*cos(pi*z/90)", ["z"]), "z").text())
print("sympy" in sys.modules)
"""


def run_cold(folder: Path) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-c", COLD],
        env={**os.environ, "FRAMEKIT_CACHE": str(folder)},
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return done.stdout.split("\n")[:2]


def test_a_warm_process_never_imports_sympy(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "cache"
    first, second = run_cold(folder), run_cold(folder)
    assert first[0] == second[0] == "-2*pi*sin(pi*z/90)/15"
    assert (first[1], second[1]) == ("True", "False")
    assert [p.suffix for p in folder.iterdir()] == [".txt"]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe",
        b"2*z",
        b"__import__('os')",
        b"12*cos(pi*z/90)",
        b"z" * 300_000,
        b"1/0",
        b"-3*z -",
    ],
)
def test_a_foreign_file_in_the_folder_is_not_trusted(
    content: bytes, tmp_path: Path, monkeypatch: Any
) -> None:
    monkeypatch.setenv("FRAMEKIT_CACHE", str(tmp_path))
    formula = parse_formula("40 + 12*cos(pi*z/90)", ["z"])
    derivative.cache_clear()
    right = derivative(formula, "z")
    (file,) = tmp_path.iterdir()
    file.write_bytes(content)
    derivative.cache_clear()
    assert derivative(formula, "z") == right
    assert file.read_text() == right.text()


def test_a_folder_that_cannot_be_written_is_no_fault(tmp_path: Path, monkeypatch: Any) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("")
    for folder in (str(blocked), str(blocked / "below"), ""):
        monkeypatch.setenv("FRAMEKIT_CACHE", folder)
        derivative.cache_clear()
        assert derivative(parse_formula("z**2", ["z"]), "z").text() == "2*z"
    assert blocked.read_text() == ""


@pytest.mark.parametrize(
    "text",
    [
        "sin(" * 38 + "z" + ")" * 38,
        "z/(1+" * 19 + "z" + ")" * 19,
        "z*(1+" * 19 + "z" + ")" * 19,
        "max(" * 30 + "z" + ", 1-z)" * 30,
        "abs(" * 38 + "z - 1" + ")" * 38,
        "((z**4)**16)**16",
        "(2*z)**64*(3*z + 1)**64*1e12*1e12",
        "*".join(["(z+1)"] * 40),
        "cbrt(" * 38 + "z" + ")" * 38,
        "exp(" * 38 + "-z" + ")" * 38,
        "sqrt(z**2 + 1 - " * 14 + "z" + ")" * 14,
    ],
)
def test_hard_derivatives_come_in_time(text: str, monkeypatch: Any) -> None:
    monkeypatch.setenv("FRAMEKIT_CACHE", "")
    formula = parse_formula(text, ["z"])
    derivative(parse_formula("sin(z)/3", ["z"]), "z")  # imports sympy
    start = time.perf_counter()
    slope = derivative(formula, "z")
    assert time.perf_counter() - start < 2
    assert isinstance(slope, Formula)


# Points

BAD_POINTS: list[Any] = [
    [],
    [[3, 4]],
    "points",
    None,
    5,
    [3, 4, 5],
    [[1, 2], [3]],
    [[1, 2], [3, 4, 5]],
    [[1, 2], "34"],
    [[1, 2], ["3", 4]],
    [[1, 2], [True, 4]],
    [[1, 2], [None, 4]],
    [[1, 2], [3 + 4j, 4]],
    [[1, 2], [math.nan, 4]],
    [[1, 2], [math.inf, 4]],
    [[1, 2], [3, -math.inf]],
    [[1, 2], [3, math.nan]],
    [[1, 2], [10**400, 4]],
    [[1, 2], [1e13, 4]],
    [[1, 2], [-1, 4]],
    [[1, 0], [0, 4], [2, 8]],
    [[0, 0], [0, 4]],
    [[0, 0], [0, 4], [0, 8]],
    [[1, 2], [3, 2]],
    [[1, 2], [3, 2 + 1e-9]],
    [[1, 0], [2, 5], [3, 4], [2, 9]],
    [[1, 9], [2, 5], [3, 6], [2, 0]],
    [[10, 0], [20, 30], [5, 10], [20, 40], [10, 50]],
    [[10, 0], [20, 10], [20, 10], [10, 20]],
    [[1, i] for i in range(2001)],
    [[1 + i % 7, i] for i in range(1_000_000)],
]


@pytest.mark.parametrize("points", BAD_POINTS, ids=range(len(BAD_POINTS)))
def test_bad_points_are_refused_in_a_sentence(points: Any) -> None:
    refusal(lambda: points_curve(points, True))


def test_a_fold_names_its_point() -> None:
    says = refusal(lambda: points_curve([[1, 0], [2, 5], [3, 4], [2, 9]]))
    assert "point 3" in says and "radius must follow from the height" in says


def random_points(rng: random.Random, count: int) -> list[list[float]]:
    heights = sorted(rng.sample(range(-500, 500), count))
    return [[float(rng.choice([0.5, 7, 7, 20, rng.uniform(1, 90)])), float(z)] for z in heights]


@pytest.mark.parametrize("seed", range(30))
def test_smooth_curves_are_those_of_scipy(seed: int) -> None:
    rng = random.Random(seed)
    points = random_points(rng, rng.choice([2, 3, 4, 12, 60]))
    curve = points_curve(points if seed % 2 else points[::-1])
    other = PchipInterpolator([z for _, z in points], [r for r, _ in points])
    low, high = curve.heights[0], curve.heights[-1]
    z = np.linspace(low, high, 701)
    # 1e-12 and 1e-10: roundings of radii up to 90 mm, and of their differences over a few mm.
    np.testing.assert_allclose([curve.at(x) for x in z], other(z), rtol=1e-12, atol=1e-12)
    np.testing.assert_allclose([curve.slope(x) for x in z], other(z, 1), rtol=1e-10, atol=1e-10)
    np.testing.assert_allclose(curve_on_arrays(curve, z), other(z), rtol=1e-12, atol=1e-12)
    inner = z[(z > low) & (z < high)]
    inner = inner[~np.isin(inner, curve.heights)]
    second = [2 * SERIES.curve(curve, along(lambda m, x: x, [x], [1.0])).c2 for x in inner]
    np.testing.assert_allclose(second, other(inner, 2), rtol=1e-9, atol=1e-9)


@pytest.mark.parametrize("smooth", [True, False])
@pytest.mark.parametrize("seed", range(15))
def test_extremes_and_bands_hold_samples_tightly(seed: int, smooth: bool) -> None:
    rng = random.Random(seed)
    curve = points_curve(random_points(rng, 9), smooth)
    for _ in range(20):
        low, high = sorted(
            rng.uniform(curve.heights[0] - 9, curve.heights[-1] + 9) for _ in range(2)
        )
        z = np.append(np.linspace(low, high, 4001), [h for h in curve.heights if low < h < high])
        values = curve_on_arrays(curve, z)
        least, most = curve.extremes(low, high)
        # 1e-9: rounding; the ends and the points are among the samples.
        assert least == pytest.approx(values.min(), abs=1e-9)
        assert most == pytest.approx(values.max(), abs=1e-9)
        band = INTERVALS.curve(curve, Interval(low, high, ((1.0, 1.0),)))
        assert band.low <= values.min() and values.max() <= band.high
        assert band.low >= least - 1e-9 and band.high <= most + 1e-9
        slopes = [curve.slope(x) for x in z if curve.heights[0] <= x <= curve.heights[-1]]
        flat, steep = curve.slope_extremes(low, high)
        if slopes:
            assert flat - 1e-12 <= min(slopes) and max(slopes) <= steep + 1e-12
            assert band.slopes[0][0] <= min(slopes) and max(slopes) <= band.slopes[0][1]


def test_straight_pieces_corners_and_turns() -> None:
    curve = points_curve([[10, 0], [30, 10], [20, 20], [20, 30], [40, 40]], smooth=False)
    assert curve.at(5) == 20 and curve.slope(5) == 2 and curve.at(15) == 25
    assert curve.corners() == (10, 20, 30)
    assert curve.minima() == (25,) and curve.maxima() == (10,)
    assert curve.slope_extremes(9, 11) == (-1, 2)
    assert (curve.at(-9), curve.at(99)) == (10, 40)
    half = curve.scaled(0.5)
    assert half.at(2.5) == 10 and half.slope(2.5) == 2
    assert FLOATS.curve(curve, 5.0) == 20
    for factor in (0, -1, math.inf, math.nan):
        with pytest.raises(ValueError, match="scaled"):
            curve.scaled(factor)


def test_a_smooth_curve_scales_and_hashes() -> None:
    curve = points_curve([[0, 0], [30, 10], [20, 20], [0, 45]])
    twice = curve.scaled(2)
    assert isinstance(curve, HeightCurve) and hash(curve) != hash(twice)
    for z in (0.0, 3.0, 14.0, 44.9, 45.0):
        assert twice.at(2 * z) == pytest.approx(2 * curve.at(z), rel=1e-14)  # a few roundings
        assert twice.slope(2 * z) == pytest.approx(curve.slope(z), rel=1e-13, abs=1e-14)
    assert curve.corners() == ()


@given(
    st.lists(
        st.lists(st.floats() | st.integers() | st.none() | st.text(max_size=2), max_size=3),
        max_size=6,
    )
)
@settings(deadline=None)
def test_any_points_are_read_or_refused(points: Any) -> None:
    try:
        curve = points_curve(points)
    except SpecError as error:
        assert error.hint
    else:
        middle = (curve.heights[0] + curve.heights[-1]) / 2
        assert 0 < curve.at(middle) <= max(curve.radii) * (1 + 1e-12)  # a few roundings


def test_curve_on_arrays_keeps_nan_and_shape() -> None:
    curve = points_curve([[10, 0], [30, 10]])
    assert np.isnan(curve_on_arrays(curve, np.array([np.nan, 1.0]))).tolist() == [True, False]
    assert curve_on_arrays(curve, np.float64(5.0)) == 20
    assert curve_on_arrays(curve, np.zeros((2, 3))).shape == (2, 3)


def test_a_formula_runs_on_series_and_any_namespace() -> None:
    formula = parse_formula("z**2", ["z"])
    assert formula.function(SimpleNamespace(square=lambda x: x * x), 3.0) == 9.0
    assert along(formula.function, [3.0], [1.0]).c1 == 6.0
