"""What was measured → thickness, kerf and clearance, each with its uncertainty.

The laws of the fit are read backward: a strip is as wide as its path less the kerf, a slot as
wide as its path and the kerf, and the clearance is the slot less the sheet. Uncertainties are
those of JCGM 100:2008 (the GUM): readings by statistics (4.2), the caliper's resolution and error
as uniform limits (4.3.7, F.2.2.1), combined by slopes (5.1.2) and expanded to 95 % by Student's t
with the effective degrees of freedom (G.4.1, G.6.4).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from framekit.calibration.check import (
    CALIPER_ERROR,
    RESOLUTION,
    Readings,
    refuse_wrong,
    refuse_wrong_kerf,
)
from framekit.calibration.graded_slots import CouponPlan
from framekit.constraints.propagation import Propagated, Uncertain, from_limits, propagate
from framekit.solution.model import FrameSolution
from framekit.spec.measure import Spread
from framekit.spec.model import FrameSpec

LEVEL = 0.95
"""The level of confidence of every ±."""

ENOUGH = 3
"""Readings from which their own spread says how sheets differ; fewer leave it to the spec."""

Kind = Literal["thickness", "kerf", "clearance"]


@dataclass(frozen=True)
class Estimate:
    """A quantity as measured, mm: `value` with standard uncertainty and ± at 95 %.

    `inputs` went into it, `result` is how they combined; `factor` and `freedom` belong to the
    half-width. `tolerance` and `spread` are what the spec should say: for a thickness they hold
    the next sheet, not only the mean. `kept` tells that they are the spec's own, since too few
    readings were taken to say otherwise.
    """

    kind: Kind
    value: float
    uncertainty: float
    half_width: float
    factor: float
    freedom: float
    inputs: tuple[Uncertain, ...]
    result: Propagated
    tolerance: float
    spread: Spread
    kept: bool = False

    @property
    def written(self) -> tuple[float, float]:
        """Value and tolerance to a thousandth of a mm, the tolerance up so that it still holds."""
        value = round(self.value, 3)
        off = abs(self.value - value)
        return value, math.ceil((self.tolerance + off) * 1000 - 1e-9) / 1000


@dataclass(frozen=True)
class CrossCheck:
    """The kerf that the slot asks for, if it fits as the spec wants, against that of the strips.

    `slot` is that kerf in mm with its ± at 95 %; `difference` is the strips' kerf less it, `limit`
    the ± of the difference. `expected` is the clearance in mm that the spec wants.
    """

    slot: float
    slot_half_width: float
    difference: float
    limit: float
    expected: Uncertain

    @property
    def agrees(self) -> bool:
        """Whether the two differ by no more than the uncertainty of the difference."""
        return abs(self.difference) <= self.limit


@dataclass(frozen=True)
class Fit:
    """What the readings of a coupon come to; None for what was not read."""

    plan: CouponPlan
    readings: Readings
    thickness: Estimate | None
    kerf: Estimate | None
    clearance: Estimate | None
    cross_check: CrossCheck | None

    @property
    def estimates(self) -> tuple[Estimate, ...]:
        """Those that were found: thickness, kerf, clearance."""
        found = (self.thickness, self.kerf, self.clearance)
        return tuple(estimate for estimate in found if estimate is not None)


def fit_of(frame: FrameSolution, plan: CouponPlan, readings: Readings) -> Fit:
    """Thickness, kerf and clearance from the readings of a frame's coupon.

    Raises SolveError where nothing was read, or a reading cannot be one of this coupon.
    """
    refuse_wrong(frame, plan, readings)
    thickness = (
        measured_thickness(
            readings.caliper,
            _spec_value(frame, "sheet.thickness"),
            _spread_of(frame.spec),
            resolution=readings.resolution,
            caliper_error=readings.caliper_error,
        )
        if readings.caliper
        else None
    )
    kerf = _kerf(plan, readings) if readings.strips else None
    if kerf is not None:
        refuse_wrong_kerf(frame, plan, kerf.value)
    clearance = _clearance(frame, plan, readings) if readings.slot is not None else None
    check = _cross_check(frame, plan, readings) if clearance is not None and kerf else None
    return Fit(plan, readings, thickness, kerf, clearance, check)


def measured_thickness(
    readings: Sequence[float],
    written: Uncertain,
    written_tolerance: tuple[float, Spread],
    *,
    resolution: float = RESOLUTION,
    caliper_error: float = CALIPER_ERROR,
) -> Estimate:
    """The thickness in mm from readings of several sheets or places, at least one.

    The uncertainty is the mean's; the tolerance holds the next sheet in 95 of 100 cases, of
    variance s²(1 + 1/n). With fewer than three readings the spec's own tolerance is kept, and made
    wide enough to hold them.
    """
    count = len(readings)
    mean = math.fsum(readings) / count
    deviation = _deviation(readings)
    limits = _limits(resolution, caliper_error)
    sheets = (
        Uncertain("sheets", mean, deviation / math.sqrt(count), count - 1)
        if count > 1
        else Uncertain("sheets", mean, written.uncertainty)
    )
    inputs = (sheets, *limits)
    result = propagate(lambda _, t, r, e: t + r - e, inputs)
    ends = result.expanded(LEVEL)
    if count >= ENOUGH:
        one = Uncertain("one sheet", mean, deviation * math.sqrt(1 + 1 / count), count - 1)
        tolerance = propagate(lambda _, t, r, e: t + r - e, (one, *limits)).expanded(LEVEL)
        width, spread = tolerance.half_width, "normal"
    else:
        needed = max(abs(t - mean) for t in readings) + resolution / 2 + caliper_error
        width, spread = written_tolerance
        if needed > width:
            width, spread = needed, "limits"
        if count > 1 and ends.half_width > width:  # the next sheet is no better known than the mean
            width, spread = ends.half_width, "normal"
    return Estimate(
        "thickness",
        result.value,
        result.uncertainty,
        ends.half_width,
        ends.factor,
        ends.freedom,
        inputs,
        result,
        width,
        "normal" if spread == "normal" else "limits",
        count < ENOUGH,
    )


def _kerf(plan: CouponPlan, readings: Readings) -> Estimate:
    path, count = plan.strip_path, plan.strips
    limits = _limits(readings.resolution, readings.caliper_error)
    inputs = (_mean("stack", readings.strips), *limits)
    result = propagate(lambda _, w, r, e: path - (w + r - e) / count, inputs)
    return _estimate("kerf", inputs, result)


def _clearance(frame: FrameSolution, plan: CouponPlan, readings: Readings) -> Estimate:
    """The clearance of the slot that just fits: its path and the kerf, less the sheet."""
    inputs = (_slot(plan, readings), *_shared(frame, plan, readings))
    kerf_of = _kerf_by(plan, readings)
    read = bool(readings.caliper)

    def law(_: Any, slot: Any, cut: Any, r_w: Any, t: Any, r_t: Any, e: Any) -> Any:
        sheet = t + r_t - e if read else t
        return slot - plan.allowance + kerf_of(cut, r_w, e) - sheet

    return _estimate("clearance", inputs, propagate(law, inputs))


def _cross_check(frame: FrameSolution, plan: CouponPlan, readings: Readings) -> CrossCheck:
    expected = _expected(frame)
    shared = _shared(frame, plan, readings)
    inputs = (_slot(plan, readings), *shared, expected)
    kerf_of = _kerf_by(plan, readings)
    read = bool(readings.caliper)

    def asked(_: Any, *x: Any) -> Any:
        slot, _, _, t, r_t, e, wanted = x
        sheet = t + r_t - e if read else t
        return sheet + wanted - (slot - plan.allowance)

    def apart(m: Any, *x: Any) -> Any:
        cut, r_w, e = x[1], x[2], x[5]
        return kerf_of(cut, r_w, e) - asked(m, *x)

    slot, difference = propagate(asked, inputs), propagate(apart, inputs)
    return CrossCheck(
        slot.value,
        slot.expanded(LEVEL).half_width,
        difference.value,
        difference.expanded(LEVEL).half_width,
        expected,
    )


def _kerf_by(plan: CouponPlan, readings: Readings) -> Callable[[Any, Any, Any], Any]:
    """The kerf as a function of what stands for it: the stack, or the spec's own."""
    path, count = plan.strip_path, plan.strips
    if readings.strips:
        return lambda stack, r, e: path - (stack + r - e) / count
    return lambda kerf, r, e: kerf


def _shared(
    frame: FrameSolution, plan: CouponPlan, readings: Readings
) -> tuple[Uncertain, Uncertain, Uncertain, Uncertain, Uncertain]:
    """What kerf and sheet rest on: stack, its resolution, sheets, theirs, the caliper's error.

    What was not read is as the spec has it. The caliper's error is one and the same in both.
    """
    half = readings.resolution / 2
    sheets = readings.caliper
    by_spec = _spec_value(frame, "sheet.thickness")
    thickness = by_spec
    if len(sheets) == 1:
        thickness = Uncertain("sheets", sheets[0], by_spec.uncertainty)
    elif sheets:
        thickness = _mean("sheets", sheets)
    return (
        _mean("stack", readings.strips) if readings.strips else _spec_value(frame, "cutter.kerf"),
        from_limits("reading the stack", 0.0, half if readings.strips else 0.0),
        thickness,
        from_limits("reading the sheets", 0.0, half if sheets else 0.0),
        from_limits("caliper", 0.0, readings.caliper_error),
    )


def _slot(plan: CouponPlan, readings: Readings) -> Uncertain:
    """The slot that just fits: half a step narrower or wider would have been told apart."""
    return from_limits("slot", readings.slot or 0.0, plan.step / 2)


def _expected(frame: FrameSolution) -> Uncertain:
    """The clearance that the spec wants, with its tolerance; by the material, press to slip."""
    quantity = frame.quantities["joint.clearance"]
    made = _spec_value(frame, "joint.clearance")
    if quantity.origin not in ("default", "catalogue"):
        return made._replace(name="clearance wanted")
    row = frame.material
    fits = (row.press.value, row.snug.value, row.slip.value)
    reach = max(abs(one - two) for one in fits for two in fits) / 2
    return from_limits("clearance wanted", made.value, reach)


def _estimate(kind: Kind, inputs: Sequence[Uncertain], result: Propagated) -> Estimate:
    ends = result.expanded(LEVEL)
    return Estimate(
        kind,
        result.value,
        result.uncertainty,
        ends.half_width,
        ends.factor,
        ends.freedom,
        tuple(inputs),
        result,
        ends.half_width,
        "normal",
    )


def _mean(name: str, readings: Sequence[float]) -> Uncertain:
    """The mean with its standard uncertainty, 0 of one reading (GUM 4.2.3)."""
    count = len(readings)
    mean = math.fsum(readings) / count
    if count == 1:
        return Uncertain(name, mean, 0.0)
    return Uncertain(name, mean, _deviation(readings) / math.sqrt(count), count - 1)


def _deviation(readings: Sequence[float]) -> float:
    """The experimental standard deviation (GUM 4.2.2), 0 of one reading."""
    if len(readings) < 2:
        return 0.0
    mean = math.fsum(readings) / len(readings)
    return math.sqrt(math.fsum((x - mean) ** 2 for x in readings) / (len(readings) - 1))


def _limits(resolution: float, caliper_error: float) -> tuple[Uncertain, Uncertain]:
    return from_limits("resolution", 0.0, resolution / 2), from_limits(
        "caliper", 0.0, caliper_error
    )


def _spec_value(frame: FrameSolution, name: str) -> Uncertain:
    """A toleranced input as the spec has it."""
    for item in frame.toleranced:
        if item.quantity == name:
            return Uncertain(f"{name} of the spec", item.value, item.sigma)
    return Uncertain(f"{name} of the spec", frame.value(name), 0.0)


def _spread_of(spec: FrameSpec) -> tuple[float, Spread]:
    """The tolerance of the sheet's thickness in the spec, and how it is meant."""
    written = spec.sheet.thickness
    return (0.0, "limits") if written is None else (written.tolerance, written.spread)
