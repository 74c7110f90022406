"""What calibration hands on: a coupon's plan, its readings, what they come to, batches judged."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from framekit.constraints.propagation import Contribution, Uncertain
from framekit.solution.model import Verdict
from framekit.spec.measure import Spread

RESOLUTION = 0.01
"""mm; the last digit of a usual digital caliper."""
CALIPER_ERROR = 0.02
"""mm; what a usual digital caliper may be off at most (common practice, no source: its own
certificate counts)."""

LEVEL = 0.95
"""The level of confidence of every ±."""

ENOUGH = 3
"""Readings from which their own spread says how sheets differ; fewer leave it to the spec."""

Kind = Literal["thickness", "kerf", "clearance"]


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

    def label(self, slot: float) -> str:
        """Return a slot's width as it is engraved.

        >>> CouponPlan((3.1,), 3.1, 0.05, 2, 0, 12.0, 0.16).label(3.1)
        '3.10'
        """
        return f"{slot:.{self.decimals}f}"


@dataclass(frozen=True)
class Readings:
    """What was read from a coupon, mm: the slot that just fits, stacks of strips, sheets.

    `slot` is the engraved value. `resolution` is the caliper's last digit, `caliper_error` what
    it may be off at most. `engraved` is the kerf on the plate, None where it is the spec's still.
    """

    slot: float | None = None
    strips: tuple[float, ...] = ()
    caliper: tuple[float, ...] = ()
    resolution: float = RESOLUTION
    caliper_error: float = CALIPER_ERROR
    engraved: float | None = None


@dataclass(frozen=True)
class Estimate:
    """A quantity as measured, mm: `value` with standard uncertainty and ± at 95 %.

    `inputs` went into it and `contributions` rank what they add; `factor` and `freedom` belong to
    the half-width. `tolerance` and `spread` are what the spec should say: for a thickness they hold
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
    contributions: tuple[Contribution, ...]
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


@dataclass(frozen=True)
class BatchVerdict:
    """A batch against the drawn file: `low` to `high` mm is where its next sheet lies.

    `pass`: all of that is in the allowed range. `undecided`: every reading is, but not all of
    that. `fail`: a reading is outside. `text` says it in a sentence.
    """

    name: str
    count: int | None
    thickness: Estimate
    low: float
    high: float
    verdict: Verdict
    text: str
