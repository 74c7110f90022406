"""A measured fit against the GUM worked by two other libraries, and against a known machine.

Sources: JCGM 100:2008 (the GUM), 4.2 (readings), 4.3.7 and F.2.2.1 (a display's resolution),
G.4.1 and G.6.4 (expanded uncertainty); the packages `uncertainties` 3.2 and `GTC` 1.5, which
differentiate by code of their own; scipy for Student's t. The machine of the coverage tests is
made up here: its sheets, kerf and caliper are drawn from a seeded generator, and its readings are
rounded to the caliper's 0.01 mm as a display does.
"""

from __future__ import annotations

import math
import statistics

import GTC
import numpy as np
import pytest
import scipy.stats
import uncertainties

from framekit.calibration.build import fit_of, plan_coupon
from framekit.calibration.model import Readings
from framekit.solution.build import solve
from framekit.spec.build import parse_spec

SPEC = """framekit: 1
body: {shape: sphere, diameter: 120 mm}
ribs: {count: 4, width: 18}
discs: [{at: {height: 0}}]
joint: {clearance: 0.05 ± 0.05}
sheet: {thickness: 3.00 ± 0.10, size: [400, 300]}
cutter: {kerf: 0.16 ± 0.05}
"""
CALIPER = (3.02, 3.05, 3.01, 3.04)
STRIPS = (119.4, 119.43, 119.42)
SLOT = 3.1
RESOLUTION, ERROR = 0.01, 0.02
N, WIDTH, KERF, STEP = 10, 12.0, 0.16, 0.05

FRAME = solve(parse_spec(SPEC)).frames[0]
PLAN = plan_coupon(FRAME)


def measured(**given):
    return fit_of(
        FRAME, PLAN, Readings(**{"slot": SLOT, "strips": STRIPS, "caliper": CALIPER, **given})
    )


def mean_of(readings):
    return statistics.mean(readings), statistics.stdev(readings) / math.sqrt(len(readings))


def test_against_uncertainties() -> None:
    """Thickness, kerf and clearance, with one error of the caliper in all of them."""
    sheet = uncertainties.ufloat(*mean_of(CALIPER)) + uncertainties.ufloat(
        0, RESOLUTION / math.sqrt(12)
    )
    stack = uncertainties.ufloat(*mean_of(STRIPS)) + uncertainties.ufloat(
        0, RESOLUTION / math.sqrt(12)
    )
    error = uncertainties.ufloat(0, ERROR / math.sqrt(3))
    slot = uncertainties.ufloat(SLOT, STEP / math.sqrt(12))
    t = sheet - error
    k = WIDTH + KERF - (stack - error) / N
    g = slot - KERF + k - t
    fit = measured()
    for found, true in zip(fit.estimates, (t, k, g), strict=True):
        # 1e-12 mm: rounding of doubles.
        assert found.value == pytest.approx(true.nominal_value, abs=1e-12)
        assert found.uncertainty == pytest.approx(true.std_dev, rel=1e-9)
    wanted = uncertainties.ufloat(0.05, 0.05 / math.sqrt(3))
    asked = t + wanted - (slot - KERF)
    assert fit.cross_check is not None
    assert fit.cross_check.slot == pytest.approx(asked.nominal_value, abs=1e-12)
    assert fit.cross_check.difference == pytest.approx((k - asked).nominal_value, abs=1e-12)
    # The limit is the difference's u times Student's factor, which is 1.96 to 2.6 from 5 degrees
    # of freedom up; 1e-9: rounding.
    factor = fit.cross_check.limit / (k - asked).std_dev
    assert 1.9599 < factor < 2.6
    assert fit.cross_check.agrees == (abs((k - asked).nominal_value) <= fit.cross_check.limit)


def test_against_gtc_with_degrees_of_freedom() -> None:
    sheet = GTC.ureal(*mean_of(CALIPER), df=len(CALIPER) - 1)
    show_t = GTC.ureal(0, RESOLUTION / math.sqrt(12))
    show_w = GTC.ureal(0, RESOLUTION / math.sqrt(12))
    stack = GTC.ureal(*mean_of(STRIPS), df=len(STRIPS) - 1)
    error = GTC.ureal(0, ERROR / math.sqrt(3))
    slot = GTC.ureal(SLOT, STEP / math.sqrt(12))
    t = sheet + show_t - error
    k = WIDTH + KERF - (stack + show_w - error) / N
    g = slot - KERF + k - t
    for found, true in zip(measured().estimates, (t, k, g), strict=True):
        assert found.value == pytest.approx(GTC.value(true), abs=1e-12)
        assert found.uncertainty == pytest.approx(GTC.uncertainty(true), rel=1e-9)
        freedom = GTC.dof(true)
        # The GUM truncates the degrees of freedom (G.6.4).
        whole = math.floor(freedom) if math.isfinite(freedom) else math.inf
        assert found.freedom == whole
        factor = scipy.stats.t.ppf(0.975, whole)
        # 1e-9: two algorithms for Student's t.
        assert found.half_width == pytest.approx(factor * GTC.uncertainty(true), rel=1e-9)


def test_resolution_alone_is_its_width_over_root_twelve() -> None:
    """GUM F.2.2.1: u = 0.29 δx for a display of resolution δx."""
    found = measured(caliper=(3.02,) * 3, caliper_error=0.0).thickness
    assert found is not None
    # 0.29 has two digits.
    assert found.uncertainty / RESOLUTION == pytest.approx(0.29, abs=0.005)


def test_the_tolerance_holds_the_next_sheet() -> None:
    """Prediction of one more: variance s² (1 + 1/n), n − 1 degrees of freedom (any text on
    regression and prediction; from memory), here with no other part of any size."""
    found = measured(resolution=1e-9, caliper_error=0.0).thickness
    assert found is not None
    s = statistics.stdev(CALIPER)
    width = scipy.stats.t.ppf(0.975, 3) * s * math.sqrt(1 + 1 / 4)
    assert found.tolerance == pytest.approx(width, rel=1e-6)
    assert (found.spread, found.kept) == ("normal", False)


CASES = 200
LOW, HIGH = 0.904, 1.0
"""Of 200 cases at 95 %, three standard deviations of the count, √(0.95 · 0.05/200) = 0.0154, below;
more than 95 % is no fault, since uniform limits and rounding leave less than their normal share."""


def machine(seed: int, wobble: float):
    """A made-up machine and sheet, and what a caliper with an error of its own shows of them."""
    made = np.random.default_rng(seed)
    t, k, wanted = made.uniform(2.95, 3.1), made.uniform(0.1, 0.22), made.uniform(0.0, 0.08)
    error = made.uniform(-ERROR, ERROR)
    sheets = made.normal(t, wobble, 5)
    stacks = N * (WIDTH + KERF - k) + made.normal(0.0, wobble, 4)
    best = t + wanted - k + KERF  # the engraved value of a slot with just that clearance
    ladder = np.array(PLAN.slots)
    assert ladder[0] - STEP / 2 <= best <= ladder[-1] + STEP / 2
    readings = Readings(
        float(ladder[np.abs(ladder - best).argmin()]),
        tuple(np.round(stacks + error, 2).tolist()),
        tuple(np.round(sheets + error, 2).tolist()),
    )
    return (t, k, wanted), made.normal(t, wobble), readings


@pytest.mark.parametrize("wobble", [0.004, 0.02, 0.06])
def test_a_known_machine_is_found_again(wobble: float) -> None:
    inside = np.zeros(4)
    for seed in range(CASES):
        truth, another, readings = machine(seed, wobble)
        fit = fit_of(FRAME, PLAN, readings)
        for place, (found, true) in enumerate(zip(fit.estimates, truth, strict=True)):
            inside[place] += abs(found.value - true) <= found.half_width
        assert fit.thickness is not None
        inside[3] += abs(another - fit.thickness.value) <= fit.thickness.tolerance
    share = inside / CASES
    assert (share >= LOW).all() and (share <= HIGH).all(), share
    if wobble == 0.06:
        # Readings' own spread rules here, so the level is met from both sides: 3 deviations above.
        assert share[0] <= 0.996 and share[1] <= 0.996, share
