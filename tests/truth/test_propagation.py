"""Propagation of uncertainty against the GUM's own examples and two other libraries.

Sources: JCGM 100:2008 (the GUM), examples H.1 (end gauge, read in a stored copy) and H.2
(resistance and reactance; data and results from memory), tables G.2 and E.1; the packages
`uncertainties` 3.2 and `GTC` 1.5, which differentiate by code of their own; scipy for Student's t.
"""

from __future__ import annotations

import math
import warnings
from types import SimpleNamespace
from typing import Any

import GTC
import numpy as np
import pytest
import scipy.stats
import uncertainties
from uncertainties import umath

from framekit.constraints.law import Form
from framekit.constraints.propagation import (
    Uncertain,
    freedom_of_doubt,
    from_limits,
    propagate,
)
from framekit.constraints.t_quantile import two_sided
from framekit.constraints.uncertainty import Toleranced, worst_case
from framekit.errors import SolveError
from framekit.solution.book import MADE_FORMS

# H.1: lengths in nm, temperatures in °C.
END_GAUGE = [
    Uncertain("standard", 50_000_623.0, 25.0, 18),
    Uncertain("difference", 215.0, 5.8, 24),
    Uncertain("comparator, random", 0.0, 3.9, 5),
    Uncertain("comparator, systematic", 0.0, 6.7, 8),
    from_limits("expansion of the standard", 11.5e-6, 2e-6),
    from_limits("difference of expansions", 0.0, 1e-6, freedom=freedom_of_doubt(0.1)),
    from_limits("difference of temperatures", 0.0, 0.05, freedom=freedom_of_doubt(0.5)),
    Uncertain("mean temperature", -0.1, 0.2),
    from_limits("swing of temperature", 0.0, 0.5, "arcsine"),
]


def end_gauge(m: Any, standard, d, d1, d2, alpha, d_alpha, d_theta, theta, swing):
    total = theta + swing
    return standard + d + d1 + d2 - standard * (d_alpha * total + alpha * d_theta)


def test_h1_end_gauge() -> None:
    result = propagate(end_gauge, END_GAUGE, second_order=True)
    # 0.5 nm: the GUM prints 50.000 838 mm.
    assert result.value == pytest.approx(50_000_838, abs=0.5)
    assert round(result.uncertainty) == 32
    assert result.freedom is not None
    assert math.floor(result.freedom) == 16
    expanded = result.expanded(0.99)
    assert expanded.freedom == 16
    # 2.92 in table G.2, two decimals.
    assert expanded.factor == pytest.approx(2.92, abs=0.005)
    assert round(expanded.factor * round(result.uncertainty)) == 93
    # 92.5 nm from the unrounded u, one decimal.
    assert expanded.half_width == pytest.approx(92.5, abs=0.05)
    # 33.8 nm, one decimal (from memory); the GUM prints 34 nm.
    assert result.second_order == pytest.approx(33.8, abs=0.05)
    assert round(result.second_order) == 34
    # Table H.1: 25, 5.8 with 3.9 and 6.7 makes 9.7, 2.9, 16.6 nm.
    parts = {c.name: c.uncertainty for c in result.contributions}
    assert parts["standard"] == pytest.approx(25.0, abs=0.05)
    assert parts["difference of expansions"] == pytest.approx(2.9, abs=0.05)
    assert parts["difference of temperatures"] == pytest.approx(16.6, abs=0.05)
    assert result.contributions[0].name == "standard"
    # 1e-12: rounding.
    assert sum(c.share for c in result.contributions) == pytest.approx(1.0, abs=1e-12)


def test_h1_with_the_freedom_as_it_is() -> None:
    result = propagate(end_gauge, END_GAUGE)
    assert result.second_order is None
    assert result.freedom is not None
    # 16.7 in the GUM, one decimal, from its rounded figures: 0.1.
    assert result.freedom == pytest.approx(16.7, abs=0.1)
    exact = result.expanded(0.99, whole=False)
    assert exact.freedom == result.freedom
    assert exact.factor == pytest.approx(scipy.stats.t.ppf(0.995, result.freedom), rel=1e-9)


def test_h1_by_gtc() -> None:
    inputs = [
        GTC.ureal(i.value, i.uncertainty, i.freedom if math.isfinite(i.freedom) else math.inf)
        for i in END_GAUGE
    ]
    other = end_gauge(None, *inputs)
    result = propagate(end_gauge, END_GAUGE)
    # 1e-9: the agreement asked for; both carry doubles.
    assert result.value == pytest.approx(other.x, rel=1e-12)
    assert result.uncertainty == pytest.approx(other.u, rel=1e-9)
    assert result.freedom == pytest.approx(other.df, rel=1e-9)


# H.2, five simultaneous readings (GUM table H.2, from memory): V, mA → A, rad.
VOLTS = [5.007, 4.994, 5.005, 4.990, 4.999]
AMPERES = [0.019663, 0.019639, 0.019640, 0.019685, 0.019678]
PHASES = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]
READINGS = np.array([VOLTS, AMPERES, PHASES])
H2_LAWS = {
    "R": lambda m, v, i, phi: v / i * m.cos(phi),
    "X": lambda m, v, i, phi: v / i * m.sin(phi),
    "Z": lambda m, v, i, phi: v / i,
}
H2_RESULTS = {"R": (127.73, 0.07), "X": (219.85, 0.30), "Z": (254.26, 0.24)}


def h2_inputs() -> tuple[list[Uncertain], dict[tuple[str, str], float]]:
    names = ("V", "I", "phi")
    means = READINGS.mean(axis=1)
    errors = READINGS.std(axis=1, ddof=1) / math.sqrt(5)
    r = np.corrcoef(READINGS)
    inputs = [
        Uncertain(n, float(v), float(u)) for n, v, u in zip(names, means, errors, strict=True)
    ]
    pairs = {(names[a], names[b]): float(r[a, b]) for a, b in ((0, 1), (0, 2), (1, 2))}
    return inputs, pairs


@pytest.mark.parametrize("name", H2_LAWS)
def test_h2_correlated_inputs(name) -> None:
    inputs, pairs = h2_inputs()
    # Table H.2 has r = -0.36, 0.86, -0.65, two decimals.
    assert list(pairs.values()) == pytest.approx([-0.36, 0.86, -0.65], abs=0.005)
    result = propagate(H2_LAWS[name], inputs, pairs)
    value, u = H2_RESULTS[name]
    # Printed with two decimals.
    assert result.value == pytest.approx(value, abs=0.005)
    assert result.uncertainty == pytest.approx(u, abs=0.005)
    # 1e-12: rounding.
    assert sum(c.share for c in result.contributions) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("name", H2_LAWS)
def test_h2_by_uncertainties_and_gtc(name) -> None:
    inputs, pairs = h2_inputs()
    result = propagate(H2_LAWS[name], inputs, pairs)
    u = [i.uncertainty for i in inputs]
    matrix = np.diag(np.square(u))
    for (a, b), r in zip(((0, 1), (0, 2), (1, 2)), pairs.values(), strict=True):
        matrix[a, b] = matrix[b, a] = r * u[a] * u[b]
    other = H2_LAWS[name](
        umath, *uncertainties.correlated_values([i.value for i in inputs], matrix)
    )
    # 1e-9: the agreement asked for; `uncertainties` turns the matrix by its eigenvectors.
    assert result.uncertainty == pytest.approx(other.std_dev, rel=1e-9)
    third = [GTC.ureal(i.value, i.uncertainty, independent=False) for i in inputs]
    for (a, b), r in zip(((0, 1), (0, 2), (1, 2)), pairs.values(), strict=True):
        GTC.set_correlation(r, third[a], third[b])
    gtc = H2_LAWS[name](SimpleNamespace(sin=GTC.sin, cos=GTC.cos), *third)
    assert result.uncertainty == pytest.approx(gtc.u, rel=1e-9)


# Laws with every function both libraries have; all inputs independent.
LAWS = [
    lambda m, x, y: m.sqrt(x * x + y * y) / (1 + m.exp(-x)),
    lambda m, x, y: m.sin(x) * m.cos(y) + m.tan(x / 4),
    lambda m, x, y: m.asin(x / 9) + m.acos(y / 9) * m.atan(x - y),
    lambda m, x, y: m.log(x) ** 3 - (x / y) ** 1.5 + 2**3 / y**2,
    lambda m, x, y: -x + 3 - (y - x) * 5 / (2 - 7 * y),
]


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("point", [(1.3, 2.7), (4.1, 0.8), (2.2, 2.1)])
def test_any_function_agrees_with_uncertainties_and_gtc(law, point) -> None:
    inputs = [Uncertain("x", point[0], 0.07, 4), Uncertain("y", point[1], 0.03, 9)]
    result = propagate(law, inputs)
    other = law(umath, *(uncertainties.ufloat(i.value, i.uncertainty) for i in inputs))
    # 1e-9: the agreement asked for.
    assert result.value == pytest.approx(other.nominal_value, rel=1e-12)
    assert result.uncertainty == pytest.approx(other.std_dev, rel=1e-9)
    third = law(GTC, *(GTC.ureal(i.value, i.uncertainty, i.freedom) for i in inputs))
    assert result.uncertainty == pytest.approx(third.u, rel=1e-9)
    assert result.freedom == pytest.approx(third.df, rel=1e-9)


# A sound frame's values, mm and degrees, for the laws of what is made.
FRAME = {
    "model.equatorial_radius": 150.0,
    "model.polar_radius": 142.5,
    "disc.height": 88.0,
    "disc.far_height": 89.525,
    "disc.skin_radius": 116.7,
    "disc.joint_radius": 106.0,
    "disc.radius": 116.7,
    "disc.ligament": 10.6,
    "disc.slot_depth": 10.7,
    "disc.bore_radius": 60.0,
    "disc.held_depth": 0.1,
    "disc.rib_inner_radius": 95.0,
    "disc.tongue_width": 9.0,
    "flange.height": 4.0,
    "flange.outer_radius": 240.0,
    "flange.slot_radius": 150.1,
    "flange.seat_depth": 6.0,
    "flange.seat_radius": 144.0,
    "rib.inner_equatorial_radius": 126.0,
    "rib.inner_polar_radius": 128.5,
    "rib.pole_gap": 3.9,
    "rib.height": 284.9,
    "rib.angle": 45.0,
    "rib.width_least": 14.0,
    "sheet.thickness": 3.05,
    "cutter.kerf": 0.16,
    "joint.clearance": 0.05,
    "joint.end_clearance": 0.1,
    "joint.slot_width": 3.1,
    "next.height": 120.0,
    "limit.least_gap": 0.0,
    "limit.most_gap": 0.15,
    "limit.least_ligament": 4.6,
    "limit.least_web": 4.6,
    "limit.least_wall": 6.1,
    "limit.skin_allowance": 0.25,
    "limit.spacing": 2.0,
    "limit.margin": 5.0,
    "limit.layers": 2.0,
    "limit.lead_in": 0.8,
    "limit.lead_turn": 0.6,
    "disc_sheet.kerf": 0.2,
}
MADE = tuple(
    Toleranced(made, quantity, FRAME[quantity], tolerance, tolerance / math.sqrt(3))
    for made, quantity, tolerance in (
        ("made.thickness", "sheet.thickness", 0.03),
        ("made.kerf", "cutter.kerf", 0.02),
        ("made.clearance", "joint.clearance", 0.01),
        ("made.disc_kerf", "disc_sheet.kerf", 0.015),
    )
)
UNCERTAIN_MATHS = SimpleNamespace(
    sqrt=umath.sqrt,
    square=lambda x: x * x,
    power=lambda x, power: x**power,
    sin=umath.sin,
    cos=umath.cos,
    abs=abs,
    max=max,
    choose=lambda test, first, second: first if test >= 0 else second,
    pi=math.pi,
)


@pytest.mark.parametrize("name", MADE_FORMS)
def test_every_law_of_what_is_made_agrees_with_uncertainties(name) -> None:
    form = MADE_FORMS[name]
    spread = worst_case(form, FRAME, MADE)
    made = {i.made: uncertainties.ufloat(i.value, i.sigma) for i in MADE}
    with warnings.catch_warnings():
        # `uncertainties` compares by the nominal value and may warn of it.
        warnings.simplefilter("ignore")
        other = form.function(UNCERTAIN_MATHS, *({**FRAME, **made}[n] for n in form.inputs))
    if isinstance(other, float):
        assert spread.sigma == 0.0
        return
    assert not spread.curved
    # 1e-9: the agreement asked for; 1e-12 mm: rounding of a slope that is zero.
    assert spread.sigma == pytest.approx(other.std_dev, rel=1e-9, abs=1e-12)
    parts = dict(other.derivatives.items())
    slopes = {s.input: s.slope for s in spread.shares}
    for item in MADE:
        wanted = parts.get(made[item.made], 0.0)
        assert slopes.get(item.quantity, 0.0) == pytest.approx(wanted, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("name", ["disc.skin_radius", "inside-skin", "engagement-rib"])
def test_frame_and_general_function_are_one(name) -> None:
    form: Form = MADE_FORMS[name]
    made = {i.made: i for i in MADE}
    inputs = [
        Uncertain(n, made[n].value, made[n].sigma) if n in made else Uncertain(n, FRAME[n], 0.0)
        for n in form.inputs
    ]
    # 1e-12: rounding.
    assert propagate(form.function, inputs).uncertainty == pytest.approx(
        worst_case(form, FRAME, MADE).sigma, rel=1e-12
    )


def test_second_order_is_exact_for_normal_products_and_squares() -> None:
    # Moments of normal variables: var(xy) = a²v² + b²u² + u²v²; var(x²) = 4a²u² + 2u⁴.
    a, u, b, v = 3.0, 0.4, 2.0, 0.3
    x, y = Uncertain("x", a, u), Uncertain("y", b, v)
    product = propagate(lambda m, x, y: x * y, [x, y], second_order=True)
    square = propagate(lambda m, x: m.square(x), [x], second_order=True)
    # 1e-12: rounding.
    assert product.second_order == pytest.approx(
        math.sqrt(a * a * v * v + b * b * u * u + u * u * v * v), rel=1e-12
    )
    assert square.second_order == pytest.approx(math.sqrt(4 * a * a * u * u + 2 * u**4), rel=1e-12)


def test_second_order_beats_first_against_a_sample() -> None:
    inputs = [Uncertain("x", 1.0, 0.15), Uncertain("y", 0.5, 0.2)]

    def law(m, x, y):
        return m.exp(x) * m.square(y) + m.sin(x * y)

    result = propagate(law, inputs, second_order=True)
    rng = np.random.default_rng(4)
    x, y = (rng.normal(i.value, i.uncertainty, 10**6) for i in inputs)
    sampled = float(np.std(law(np, x, y)))
    assert result.curved
    # 1 %: the terms left out; slopes alone are 4 % off.
    assert result.second_order == pytest.approx(sampled, rel=0.01)
    assert abs(result.uncertainty / sampled - 1) > 0.02


@pytest.mark.parametrize("level", [0.01, 0.5, 0.6827, 0.9, 0.95, 0.9545, 0.99, 0.9973, 0.9999])
@pytest.mark.parametrize(
    "freedom", [0.5, 1, 1.5, 2, 3, 4.2, 8, 16, 16.7, 50, 999.5, 1e4, 9.9e4, 1e5, 1e7, math.inf]
)
def test_students_quantiles_by_scipy(level, freedom) -> None:
    # 1e-9: at 1e5 degrees of freedom the logarithms of the gamma function lose seven digits.
    assert two_sided(level, freedom) == pytest.approx(
        scipy.stats.t.ppf(0.5 + level / 2, freedom), rel=1e-9
    )


@pytest.mark.parametrize(
    ("freedom", "at_95", "at_99"),
    # GUM table G.2 (from memory), two decimals.
    [(1, 12.71, 63.66), (2, 4.30, 9.92), (5, 2.57, 4.03), (16, 2.12, 2.92), (50, 2.01, 2.68)],
)
def test_students_quantiles_of_the_gums_table(freedom, at_95, at_99) -> None:
    assert two_sided(0.95, freedom) == pytest.approx(at_95, abs=0.0051)
    assert two_sided(0.99, freedom) == pytest.approx(at_99, abs=0.0051)


@pytest.mark.parametrize("distribution", ["uniform", "triangular", "arcsine"])
def test_standard_uncertainty_of_a_distribution_by_scipy(distribution) -> None:
    shapes = {
        "uniform": scipy.stats.uniform(-1, 2),
        "triangular": scipy.stats.triang(0.5, -1, 2),
        "arcsine": scipy.stats.arcsine(-1, 2),
    }
    # 1e-12: rounding.
    assert from_limits("x", 0.0, 1.0, distribution).uncertainty == pytest.approx(
        shapes[distribution].std(), rel=1e-12
    )


def test_a_normal_tolerance_is_two_standard_deviations() -> None:
    assert from_limits("x", 0.0, 1.0, "normal").uncertainty == 0.5


def test_freedom_of_doubt_is_table_e1() -> None:
    # GUM G.4.2: 25 % of doubt is 8 degrees of freedom; table E.1 has 52 % for n = 3, so ν = 2.
    assert freedom_of_doubt(0.25) == 8
    # 10 %: the approximation is for small doubts.
    assert freedom_of_doubt(0.52) == pytest.approx(2, rel=0.1)


def sum_of(m, x, y):
    return x + y


X, Y = Uncertain("x", 1.0, 0.1, 4), Uncertain("y", 2.0, 0.1)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: propagate(sum_of, [X, Y], {("x", "z"): 0.1}), "correlation"),
        (lambda: propagate(sum_of, [X, Y], {("x", "x"): 0.1}), "correlation"),
        (lambda: propagate(sum_of, [X, Y], {("x", "y"): 1.1}), "correlation"),
        (lambda: propagate(sum_of, [X, Y], {("x", "y"): 0.1, ("y", "x"): 0.1}), "correlation"),
        (lambda: propagate(sum_of, [X, Y], {("x", "y"): 0.1}, second_order=True), "correlated"),
        (lambda: propagate(sum_of, [X, Y], {("x", "y"): 0.1}).expanded(), "no-freedom"),
        (lambda: propagate(sum_of, [X, Y]).expanded(1.0), "level"),
        (lambda: propagate(lambda m, x: m.sqrt(x), [Uncertain("x", 0.0, 0.1)]), "no-slope"),
    ],
)
def test_what_cannot_be_propagated_is_an_error(call, code) -> None:
    with pytest.raises(SolveError) as caught:
        call()
    assert caught.value.code == code
    assert caught.value.hint


def test_no_inputs_and_no_uncertainty() -> None:
    still = propagate(lambda m: 7.0, [])
    assert (still.value, still.uncertainty, still.contributions) == (7.0, 0.0, ())
    sure = propagate(sum_of, [Uncertain("x", 1.0, 0.0), Uncertain("y", 2.0, 0.0)])
    assert (sure.uncertainty, sure.freedom) == (0.0, math.inf)
    opposed = propagate(
        lambda m, x, y: x - y,
        [Uncertain("x", 1.0, 0.1), Uncertain("y", 2.0, 0.1)],
        {("x", "y"): 1.0},
    )
    # 1e-9: the square root of a rounding.
    assert opposed.uncertainty == pytest.approx(0.0, abs=1e-9)
