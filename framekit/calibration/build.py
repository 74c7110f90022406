"""The coupon's plan, and thickness, kerf and clearance from its readings, each with uncertainty.

The laws of the fit are read backward: a strip is as wide as its path less the kerf, a slot as
wide as its path and the kerf, and the clearance is the slot less the sheet. Uncertainties are
those of JCGM 100:2008 (the GUM): readings by statistics (4.2), the caliper's resolution and error
as uniform limits (4.3.7, F.2.2.1), combined by slopes (5.1.2) and expanded to 95 % by Student's t
with the effective degrees of freedom (G.4.1, G.6.4).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from framekit.calibration.check import check_kerf, check_readings
from framekit.calibration.model import (
    CALIPER_ERROR,
    ENOUGH,
    LEVEL,
    RESOLUTION,
    CouponPlan,
    CrossCheck,
    Estimate,
    Fit,
    Kind,
    Readings,
)
from framekit.constraints.propagation import Uncertain, from_limits, propagate
from framekit.errors import Fault, SolveError
from framekit.solution.model import FrameSolution
from framekit.spec.measure import Measure

STEP = 0.05
"""Usual step between slots in mm."""
SLOTS = 9
STRIPS = 10

MOST_SLOTS = 41
MOST_STRIPS = 40

LONGEST_STACK = 144.0
"""Widest stack of strips in mm: the usual caliper takes 150 mm."""
WIDEST_STRIP = 12.0

LEAST_CUT = 0.02
"""mm by which a slot must be wider than the cut for its path to have two sides."""


def plan_coupon(
    frame: FrameSolution,
    step: float = STEP,
    slots: int = SLOTS,
    strips: int = STRIPS,
    engraved: float | None = None,
) -> CouponPlan:
    """The coupon of a frame's sheet and machine; `step` in mm.

    The middle slot has the frame's finished slot width, rounded to the digits engraved.
    `engraved` is the kerf in mm on a coupon that was cut before the spec's changed. Raises
    SolveError for a step or a number out of bounds, or where the cutter is too wide for all slots.
    """
    if faults := _bad_numbers(step, slots, strips):
        raise SolveError(*faults)
    kerf = frame.value("cutter.kerf") if engraved is None else engraved
    decimals = 2 if math.isclose(step * 100, round(step * 100), abs_tol=1e-9) else 3
    middle = round(frame.value("joint.slot_width"), decimals)
    half = slots // 2
    wanted = [round(middle + step * (n - half), decimals) for n in range(slots)]
    kept = tuple(w for w in wanted if w - kerf >= LEAST_CUT and w > 0)
    if not kept:
        raise SolveError(
            Fault(
                "coupon-slots",
                f"a cut {kerf:.2f} mm wide makes no slot of {wanted[-1]:.2f} mm or narrower",
                frame.spec.where("cutter"),
                "Use a narrower tool: a slot must be wider than the cut.",
            )
        )
    if frame.spec.cutter.process == "knife":
        strips = 0  # it takes nothing away, so a stack would tell nothing
    width = WIDEST_STRIP if strips * WIDEST_STRIP <= LONGEST_STACK else LONGEST_STACK / strips
    return CouponPlan(
        slots=kept,
        middle=middle,
        step=step,
        decimals=decimals,
        strips=strips,
        strip_width=math.floor(width * 10 + 1e-9) / 10,
        allowance=kerf,
        left_out=tuple(w for w in wanted if w not in kept),
    )


def _bad_numbers(step: float, slots: int, strips: int) -> list[Fault]:
    thousandths = step * 1000
    rules = (
        (
            5 <= thousandths <= 1000 and abs(thousandths - round(thousandths)) <= 1e-6,
            "coupon-step",
            f"the step between slots is {step:g} mm",
            "Write 0.005 to 1 mm in whole thousandths, such as 0.05.",
        ),
        (
            3 <= slots <= MOST_SLOTS and slots % 2,
            "coupon-slots",
            f"the ladder has {slots} slots",
            f"Write an odd number, 3 to {MOST_SLOTS}: the expected width is the middle.",
        ),
        (
            2 <= strips <= MOST_STRIPS,
            "coupon-strips",
            f"the coupon has {strips} strips",
            f"Write 2 to {MOST_STRIPS}; 10 are usual.",
        ),
    )
    return [Fault(code, message, hint=hint) for good, code, message, hint in rules if not good]


def fit_of(frame: FrameSolution, plan: CouponPlan, readings: Readings) -> Fit:
    """Return thickness, kerf and clearance from the readings of a frame's coupon.

    Raises SolveError where nothing was read, or a reading cannot be one of this coupon.
    """
    check_readings(frame, plan, readings)
    limits = (readings.resolution, readings.caliper_error)
    thickness = kerf = clearance = check = None
    if readings.caliper:
        thickness = measured_thickness(readings.caliper, frame.spec.sheet.thickness, *limits)
    if readings.strips:
        kerf = _estimate(
            "kerf",
            (_mean("stack", readings.strips), *_limits(*limits)),
            lambda w, r, e: plan.strip_path - (w + r - e) / plan.strips,
        )
        check_kerf(frame, plan, kerf.value)
    if readings.slot is not None:
        clearance, check = _of_slot(frame, plan, readings, readings.slot)
    return Fit(plan, readings, thickness, kerf, clearance, check if kerf else None)


def measured_thickness(
    readings: Sequence[float],
    written: Measure | None,
    resolution: float = RESOLUTION,
    caliper_error: float = CALIPER_ERROR,
) -> Estimate:
    """Return the thickness in mm from readings of several sheets or places, at least one.

    The uncertainty is the mean's; the tolerance holds the next sheet in 95 of 100 cases, of
    variance s²(1 + 1/n). With fewer than three readings the tolerance `written` in the spec is
    kept, and made wide enough to hold them.
    """
    written = written or Measure(0.0)
    limits = _limits(resolution, caliper_error)
    sheets = _sheets(readings, written.sigma)
    count, mean = len(readings), sheets.value
    found = _estimate("thickness", (sheets, *limits), _under_caliper)
    if count >= ENOUGH:
        spread = _deviation(readings) * math.sqrt(1 + 1 / count)
        one = Uncertain("one sheet", mean, spread, count - 1)
        following = _estimate("thickness", (one, *limits), _under_caliper)
        return replace(found, tolerance=following.half_width)
    needed = max(abs(t - mean) for t in readings) + resolution / 2 + caliper_error
    width = max(written.tolerance, needed)
    if count > 1 and found.half_width > width:  # the next sheet is no better known than the mean
        return replace(found, kept=True)
    own = written.spread if needed <= written.tolerance else "limits"
    return replace(found, tolerance=width, spread=own, kept=True)


def _under_caliper(t: Any, resolution: Any, error: Any) -> Any:
    return t + resolution - error


def _of_slot(
    frame: FrameSolution, plan: CouponPlan, readings: Readings, slot: float
) -> tuple[Estimate, CrossCheck]:
    """Return the clearance of the slot that just fits, and the kerf that the slot asks for.

    What was not read is as the spec has it. The caliper's error is one and the same in stack and
    sheets. Half a step narrower or wider would have been told apart.
    """
    half, sheets = readings.resolution / 2, readings.caliper
    by_spec = _spec_value(frame, "sheet.thickness")
    inputs = (
        from_limits("slot", slot, plan.step / 2),
        _mean("stack", readings.strips) if readings.strips else _spec_value(frame, "cutter.kerf"),
        from_limits("reading the stack", 0.0, half if readings.strips else 0.0),
        _sheets(sheets, by_spec.uncertainty) if sheets else by_spec,
        from_limits("reading the sheets", 0.0, half if sheets else 0.0),
        from_limits("caliper", 0.0, readings.caliper_error),
    )

    def kerf(x: Sequence[Any]) -> Any:
        return plan.strip_path - (x[1] + x[2] - x[5]) / plan.strips if readings.strips else x[1]

    def sheet(x: Sequence[Any]) -> Any:
        return x[3] + x[4] - x[5] if sheets else x[3]

    def wanted(*x: Any) -> Any:
        return sheet(x) + x[6] - (x[0] - plan.allowance)

    expected = _expected(frame)
    of_slot = _estimate("kerf", (*inputs, expected), wanted)
    apart = _estimate("kerf", (*inputs, expected), lambda *x: kerf(x) - wanted(*x))
    return (
        _estimate("clearance", inputs, lambda *x: x[0] - plan.allowance + kerf(x) - sheet(x)),
        CrossCheck(of_slot.value, of_slot.half_width, apart.value, apart.half_width, expected),
    )


def _expected(frame: FrameSolution) -> Uncertain:
    """Return the clearance the spec wants with its tolerance; a material's, from press to slip."""
    made = _spec_value(frame, "joint.clearance")._replace(name="clearance wanted")
    if frame.quantities["joint.clearance"].origin not in ("default", "catalogue"):
        return made
    row = frame.material
    fits = (row.press.value, row.snug.value, row.slip.value)
    return from_limits(made.name, made.value, (max(fits) - min(fits)) / 2)


def _estimate(kind: Kind, inputs: Sequence[Uncertain], law: Callable[..., Any]) -> Estimate:
    """Return what a law gives from uncertain inputs, its half-width as tolerance."""
    result = propagate(lambda _, *x: law(*x), inputs)
    width, factor, freedom = result.expanded(LEVEL)
    return Estimate(
        kind,
        result.value,
        result.uncertainty,
        width,
        factor,
        freedom,
        tuple(inputs),
        result.contributions,
        width,
        "normal",
    )


def _mean(name: str, readings: Sequence[float]) -> Uncertain:
    """Return the mean with its standard uncertainty, 0 of one reading (GUM 4.2.3)."""
    count = len(readings)
    mean = math.fsum(readings) / count
    if count == 1:
        return Uncertain(name, mean, 0.0)
    return Uncertain(name, mean, _deviation(readings) / math.sqrt(count), count - 1)


def _sheets(readings: Sequence[float], sigma: float) -> Uncertain:
    """Return the sheets' mean; one reading has the standard deviation in the spec."""
    mean = _mean("sheets", readings)
    return mean if len(readings) > 1 else mean._replace(uncertainty=sigma)


def _deviation(readings: Sequence[float]) -> float:
    """Return the experimental standard deviation of two readings or more (GUM 4.2.2)."""
    mean = math.fsum(readings) / len(readings)
    return math.sqrt(math.fsum((x - mean) ** 2 for x in readings) / (len(readings) - 1))


def _limits(resolution: float, caliper_error: float) -> tuple[Uncertain, Uncertain]:
    return (
        from_limits("resolution", 0.0, resolution / 2),
        from_limits("caliper", 0.0, caliper_error),
    )


def _spec_value(frame: FrameSolution, name: str) -> Uncertain:
    """Return a toleranced input as the spec has it."""
    sigma = next((item.sigma for item in frame.toleranced if item.quantity == name), 0.0)
    return Uncertain(f"{name} of the spec", frame.value(name), sigma)
