"""Proof that a formula is a skin over a range of heights: finite, and above zero but at its ends.

The range is cut into boxes, and each is proved by interval arithmetic or cut in two
(Moore, Kearfott and Cloud, Introduction to Interval Analysis, SIAM 2009, chapters 3 and 6). Where
the first form is undecided, the slopes' interval gives a tighter one, the mean value form.

A skin may meet the axis at an end, where an interval never decides. So the proof leaves a millionth
of the range at both ends; there, what a root takes is held at zero or above, and the radius has to
be finite and above less than a millionth of the greatest radius below zero.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from math import inf
from types import SimpleNamespace
from typing import Any, NoReturn

from framekit.constraints.formula.parse import Formula
from framekit.constraints.formula.tree import size
from framekit.constraints.intervals import Interval
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.errors import Fault, SpecError

MOST_BOXES = 4000
MOST_STEPS = 50_000
"""Operations of all boxes in all: a formula of many pieces gets fewer boxes."""
SAMPLES = 257
EDGE = 1e-6
"""Share of the range at each end that is looked at by itself."""
FINEST = 1e-9
"""Share of the range under which a box is not cut any more."""
NOTHING = 1e-300
"""A root's argument may be this far below zero: rounding outward takes an exact zero there."""


class _DoubtError(Exception):
    """A box that is partly or wholly outside a function's domain."""


def _inside(function: Callable[[Any], Any], low: float, high: float) -> Callable[[Any], Any]:
    """The function of intervals that lie wholly in its domain."""

    def on(x: Any) -> Any:
        if isinstance(x, Interval) and not (low <= x.low and x.high <= high):
            raise _DoubtError
        return function(x)

    return on


def _over(a: Any, b: Any) -> Any:
    if isinstance(b, Interval) and not (b.low > 0 or b.high < 0):
        raise _DoubtError
    return a / b


def _power(x: Any, power: float) -> Any:
    if not isinstance(x, Interval):
        return math.pow(x, power)
    if power % 1 and not x.low >= -NOTHING:
        raise _DoubtError
    if power < 0 and not (x.low > 0 or x.high < 0):
        raise _DoubtError
    return x**power


def _tan(x: Any) -> Any:
    y = INTERVALS.tan(x)
    if isinstance(y, Interval) and not -inf < y.low <= y.high < inf:
        raise _DoubtError
    return y


STRICT: Any = SimpleNamespace(
    **{
        **vars(INTERVALS),
        "sqrt": _inside(INTERVALS.sqrt, -NOTHING, inf),
        "log": _inside(INTERVALS.log, 5e-324, inf),
        "asin": _inside(INTERVALS.asin, -1.0, 1.0),
        "acos": _inside(INTERVALS.acos, -1.0, 1.0),
        "tan": _tan,
        "over": _over,
        "power": _power,
    }
)
"""The functions on intervals, where leaving the domain raises `_DoubtError`."""


def check_radius(formula: Formula, low: float, high: float) -> tuple[float, float]:
    """Bounds of the radius in mm that a formula gives at heights from `low` to `high` in mm.

    The formula has one name, the height, or none. Proved: it is finite and above zero between the
    ends, but for the last millionth of the range at each end, where it is above zero less a
    millionth of its greatest value.

    Raises:
        SpecError: the range is empty, or the formula is not finite or not above zero somewhere,
            or that cannot be shown with 4000 boxes; the sentence says where.

    >>> from framekit.constraints.formula.parse import parse_formula
    >>> low, high = check_radius(parse_formula("sqrt(90**2 - z**2)", ["z"]), -90.0, 90.0)
    >>> round(high, 3)
    90.0
    """
    if not (math.isfinite(low) and math.isfinite(high) and high - low > 1e-6):
        raise SpecError(
            Fault(
                "formula-range",
                f"the range from {low:g} to {high:g} mm is empty or not finite",
                hint="Write 'from' below 'to', in mm.",
            )
        )
    if len(formula.names) > 1:
        raise SpecError(
            Fault(
                "formula-range",
                f"the formula has the names {', '.join(formula.names)}",
                hint="A skin's formula may have one only, the height.",
            )
        )
    name = formula.names or ("z",)
    greatest = _sampled(formula.over(name, 0.0), low, high)
    edge = (high - low) * EDGE
    proof = _Proof(formula, name, (high - low) * FINEST)
    ends = [
        _end(formula.over(name, 0.0), low, low + edge, greatest),
        _end(formula.over(name, 0.0), high - edge, high, greatest),
    ]
    middle = proof.run(low + edge, high - edge)
    return min(middle[0], ends[0][0], ends[1][0]), max(middle[1], ends[0][1], ends[1][1])


def _refuse(words: str, z: float, hint: str) -> NoReturn:
    raise SpecError(Fault("formula-value", f"at the height {z:.10g} mm {words}", hint=hint))


_NARROW = "Change the formula, or give a range that leaves this height out."


def _sampled(radius: Callable[..., Any], low: float, high: float) -> float:
    """The greatest radius at evenly spaced heights; refuses what is plainly wrong at one."""
    greatest = 0.0
    for i in range(SAMPLES):
        z = low + (high - low) * i / (SAMPLES - 1) if i < SAMPLES - 1 else high
        at_end = i in (0, SAMPLES - 1)
        try:
            r = float(radius(FLOATS, z))
        except (ValueError, ArithmeticError):
            _refuse("the formula has no finite value", z, _NARROW)
        if not math.isfinite(r):
            _refuse("the formula has no finite value", z, _NARROW)
        if r <= 0 and not at_end:
            _refuse(f"the radius is {r:.6g} mm, which is not above zero", z, _NARROW)
        greatest = max(greatest, r)
    return greatest


def _end(
    radius: Callable[..., Any], low: float, high: float, greatest: float
) -> tuple[float, float]:
    """Bounds of the radius next to an end, in up to 64 boxes."""
    stack, found, count = [(low, high)], [], 0
    while stack:
        box = stack.pop()
        count += 1
        try:
            interval = radius(INTERVALS, Interval(*box, ((1.0, 1.0),)))
            least, most = (
                (interval.low, interval.high)
                if isinstance(interval, Interval)
                else (interval, interval)
            )
        except (ValueError, ArithmeticError):
            least, most = -inf, inf
        if -EDGE * greatest <= least and most < inf:
            found.append((float(least), float(most)))
            continue
        middle = (box[0] + box[1]) / 2
        if count > 64 or not box[0] < middle < box[1]:
            _refuse("the radius cannot be shown to be finite and not below zero", middle, _NARROW)
        stack += [(middle, box[1]), (box[0], middle)]
    return min(f[0] for f in found), max(f[1] for f in found)


class _Proof:
    """The proof for all but the ends."""

    def __init__(self, formula: Formula, names: tuple[str, ...], finest: float) -> None:
        self.radius = formula.checked_over(names)
        self.finest = finest
        self.most = min(MOST_BOXES, max(200, MOST_STEPS // size(formula.tree)))

    def run(self, low: float, high: float) -> tuple[float, float]:
        """Bounds of the radius; refuses where one box cannot be proved."""
        stack, count = [(low, high)], 0
        least, most = inf, -inf
        while stack:
            start, end = stack.pop()
            count += 1
            found = self.bounds(start, end)
            if found is not None and found[0] > 0:
                least, most = min(least, found[0]), max(most, found[1])
                continue
            middle = (start + end) / 2
            if found is not None and found[1] <= 0:
                _refuse("the radius is not above zero", middle, _NARROW)
            if count >= self.most or end - start < self.finest:
                what = "has a value" if found is None else "stays above zero"
                _refuse(
                    f"it cannot be shown that the radius {what}",
                    middle,
                    "There may be a pole, a root of a negative number or a dip there: change the "
                    "formula, or give points.",
                )
            stack += [(middle, end), (start, middle)]
        return least, most

    def bounds(self, start: float, end: float) -> tuple[float, float] | None:
        """Finite bounds of the radius over a box, None where there are none yet."""
        try:
            interval = self.radius(STRICT, Interval(start, end, ((1.0, 1.0),)))
            if not isinstance(interval, Interval):
                return (float(interval), float(interval))
            low, high = interval.low, interval.high
            if low <= 0 < high or math.isnan(low):
                tight = self.tighter(start, end, interval.slopes[0])
                low, high = max(low, tight[0]), min(high, tight[1])
        except (_DoubtError, ValueError, ArithmeticError):
            return None
        return (low, high) if -inf < low <= high < inf else None

    def tighter(self, start: float, end: float, slope: tuple[float, float]) -> tuple[float, float]:
        """Bounds by the slopes: from an end where the radius rises or falls, else mean value."""
        if slope[0] >= 0:
            return self.point(start)[0], self.point(end)[1]
        if slope[1] <= 0:
            return self.point(end)[0], self.point(start)[1]
        low, high = self.point((start + end) / 2)
        # A rounding more than half the width, and one more of each product.
        half = (end - start) * 0.500001
        reach = max(-slope[0], slope[1]) * half
        return low - reach, high + reach

    def point(self, z: float) -> tuple[float, float]:
        """Bounds of the radius at one height."""
        interval = self.radius(STRICT, Interval(z, z, ((0.0, 0.0),)))
        return (
            (interval.low, interval.high)
            if isinstance(interval, Interval)
            else (float(interval), float(interval))
        )
