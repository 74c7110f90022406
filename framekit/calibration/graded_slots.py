"""What a coupon is to show: a ladder of slots about the expected width, and strips for the kerf."""

from __future__ import annotations

import math
from dataclasses import dataclass

from framekit.errors import Fault, SolveError
from framekit.solution.model import FrameSolution

STEP = 0.05
"""Usual step of the ladder in mm."""
SLOTS = 9
STRIPS = 10

MOST_SLOTS = 41
MOST_STRIPS = 40

LONGEST_STACK = 144.0
"""Widest stack of strips in mm: the usual caliper takes 150 mm."""
WIDEST_STRIP = 12.0

LEAST_CUT = 0.02
"""mm by which a slot must be wider than the cut for its path to have two sides."""


@dataclass(frozen=True)
class CouponPlan:
    """Finished widths in mm of slots and strips, as they come out if the kerf is the spec's.

    `allowance` is the kerf in mm that the file or the machine allows for: the cut runs half of it
    outside the finished edge. So a slot's path is `allowance` narrower and a strip's wider than
    the finished width. `left_out` are slots too narrow for the cutter. `strips` is 0 for a knife.
    """

    slots: tuple[float, ...]
    middle: float
    step: float
    decimals: int
    strips: int
    strip_width: float
    allowance: float
    left_out: tuple[float, ...] = ()

    @property
    def strip_path(self) -> float:
        """The width in mm between a strip's two cuts, from middle to middle."""
        return self.strip_width + self.allowance

    def slot_path(self, slot: float) -> float:
        """The width in mm between the two cuts of a slot of that finished width."""
        return slot - self.allowance

    def shown(self, slot: float) -> str:
        """A slot's width as it is engraved.

        >>> CouponPlan((3.1,), 3.1, 0.05, 2, 0, 12.0, 0.16).shown(3.1)
        '3.10'
        """
        return f"{slot:.{self.decimals}f}"


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
    faults = _bad_numbers(step, slots, strips)
    if faults:
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
    faults = []
    if not 0.005 <= step <= 1.0 or not math.isclose(step * 1000, round(step * 1000), abs_tol=1e-6):
        faults.append(
            Fault(
                "coupon-step",
                f"the step between slots is {step:g} mm",
                hint="Write 0.005 to 1 mm in whole thousandths, such as 0.05.",
            )
        )
    if not 3 <= slots <= MOST_SLOTS or slots % 2 == 0:
        faults.append(
            Fault(
                "coupon-slots",
                f"the ladder has {slots} slots",
                hint=f"Write an odd number, 3 to {MOST_SLOTS}: the expected width is the middle.",
            )
        )
    if not 2 <= strips <= MOST_STRIPS:
        faults.append(
            Fault(
                "coupon-strips",
                f"the coupon has {strips} strips",
                hint=f"Write 2 to {MOST_STRIPS}; 10 are usual.",
            )
        )
    return faults
