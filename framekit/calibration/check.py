"""Readings and a kerf that a coupon cannot have given are refused."""

from __future__ import annotations

import math

from framekit.calibration.model import CouponPlan, Readings
from framekit.errors import Fault, SolveError
from framekit.solution.model import FrameSolution

EARLIER = 0.5
"""mm by which the slots of a coupon drawn for an older spec may lie outside today's."""


def check_readings(frame: FrameSolution, plan: CouponPlan, readings: Readings) -> None:
    """Raise SolveError for readings that this coupon cannot give."""
    where = frame.spec.where("sheet")
    faults = []
    if readings.slot is None and not readings.strips and not readings.caliper:
        faults.append(
            Fault("no-reading", "nothing was read", where, "Give slot, strips or caliper.")
        )
    if readings.slot is not None and not _is_of_coupon(plan, readings, readings.slot):
        labels = ", ".join(plan.label(slot) for slot in plan.slots)
        faults.append(
            Fault(
                "reading-slot",
                f"no slot of this coupon is {readings.slot:g} mm; they are {labels}",
                where,
                "Read the value engraved below the slot; give --step and --slots as the coupon was "
                "made with, and if the spec changed since, the kerf engraved on it: engraved=0.16.",
            )
        )
    if readings.strips and not plan.strips:
        faults.append(
            Fault(
                "reading-strips",
                "a knife takes nothing away, so its coupon has no strips",
                where,
                "Leave the strips out.",
            )
        )
    drawn = frame.value("sheet.thickness")
    for sheet in readings.caliper:
        if not 0.5 * drawn <= sheet <= 1.5 * drawn:
            faults.append(
                Fault(
                    "reading-caliper",
                    f"a sheet of {sheet:g} mm is far from the {drawn:g} mm of the spec",
                    where,
                    "Look for a slip of the pen; decimals are written with a point. If it is "
                    "another sheet, change sheet.thickness first.",
                )
            )
    if faults:
        raise SolveError(*faults)


def _is_of_coupon(plan: CouponPlan, readings: Readings, slot: float) -> bool:
    """Whether a coupon has the slot; of one drawn for an older spec, whether it well may."""
    if readings.engraved is not None:
        return plan.slots[0] - EARLIER <= slot <= plan.slots[-1] + EARLIER
    return any(math.isclose(slot, known, abs_tol=1e-6) for known in plan.slots)


def check_kerf(frame: FrameSolution, plan: CouponPlan, kerf: float) -> None:
    """Raise SolveError for a kerf that no cut of this machine has."""
    if 0 < kerf <= 2 * plan.allowance + 1.0:
        return
    whole = plan.strips * plan.strip_path
    raise SolveError(
        Fault(
            "reading-strips",
            f"the stack gives a kerf of {kerf:.3f} mm, and the paths of the "
            f"{plan.strips} strips are {whole:.2f} mm wide together",
            frame.spec.where("cutter"),
            f"Stack all {plan.strips} strips side by side, edges clean, and measure across; give "
            "--strips as the coupon was made with.",
        )
    )
