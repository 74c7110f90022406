"""The range of an input over which all margins hold, proved, and what limits each end.

From a value at which they hold steps go outward until one fails; the place where it begins to fail
is bracketed; and the interval in between is proved, halved where the proof asks for it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from framekit.constraints.intervals import Bounds

Label = TypeVar("Label")
Given_co = TypeVar("Given_co", covariant=True)

FIRST_STEP = 1e-3
"""Of the input's size: the first step outward; each is twice the one before."""
NEAR = 1e-10
"""Of the input's size: how near to where a margin fails a range must end."""
SCAN = 1.01
"""Ratio of the values looked at when margins fail at the first, up to `FARTHEST` times it."""
FARTHEST = 4.0


class Judge(Protocol[Given_co]):
    """What tells whether margins hold: at a value, and proved over an interval."""

    def margins(self, x: float) -> list[tuple[float, Given_co]] | Given_co:
        """Return every margin at a value and whose it is, or why there are none."""
        ...

    def proved(self, low: float, high: float) -> bool:
        """Return whether every margin is proved to hold for each value from low to high."""
        ...


@dataclass(frozen=True)
class RangeSearch(Generic[Label]):
    """The way outward from a value of an input, and the proof of what lies in between.

    `size` is what steps are counted in and `span` the values the input can take at all; a margin
    holds down to `-rounding`. `edge` labels an end of the span, `unproved` a value beyond which
    nothing could be proved; the labels of margins are the judge's.
    """

    judge: Judge[Label]
    size: float
    span: Bounds
    rounding: float
    edge: Label
    unproved: Callable[[float], Label]

    def failing(self, x: float) -> tuple[Label, ...]:
        """The margins that fail at a value, or why there are none; none where all hold."""
        found = self.judge.margins(x)
        if not isinstance(found, list):
            return (found,)
        failing = (pair for pair in found if pair[0] < -self.rounding)
        worst = sorted(failing, key=lambda pair: pair[0])
        return tuple(dict.fromkeys(label for _, label in worst))

    def passes(self, x: float) -> bool:
        """Whether every margin holds at a value."""
        return not self.failing(x)

    def elsewhere(self, value: float) -> float | None:
        """The nearest value found to another at which every margin holds."""
        far = int(math.log(FARTHEST) / math.log(SCAN))
        for n in range(1, far):
            step = self.size * (SCAN**n - 1)
            for x in (value + step, max(value - step, value / SCAN**n)):
                if self.span[0] <= x <= self.span[1] and self.passes(x):
                    return x
        return None

    def end(self, start: float, sign: int) -> tuple[float, Label | None]:
        """The end of the proved range from a value that passes, downward or upward.

        And what limits it, None where nothing does as far as was looked.
        """
        good, bad = self._outward(start, sign)
        if bad is not None:
            return self._prove(start, *self._bracket(good, bad))
        return self._prove(start, good, self.edge if good in self.span else None)

    def _outward(self, start: float, sign: int) -> tuple[float, float | None]:
        """The last value that passes and the first that fails, None at the end of the span."""
        good, step = start, FIRST_STEP * self.size
        edge = self.span[0 if sign < 0 else 1]
        most = 1e6 * max(self.size, abs(start))
        while True:
            x = good + sign * step
            if self.span[0] > 0:
                x = max(x, good / 2)
            x = min(max(x, self.span[0]), self.span[1])
            if not self.passes(x):
                return good, x
            if x == edge or abs(x) > most:
                return x, None
            good, step = x, step * 2

    def _bracket(self, good: float, bad: float) -> tuple[float, Label]:
        """Where it begins to fail between a value that passes and one that does not."""
        near = NEAR * self.size
        at_good, at_bad = self.judge.margins(good), self.judge.margins(bad)
        count = 0
        while abs(bad - good) > near:
            x = (good + bad) / 2
            share = self._share(at_good, at_bad) if count % 3 < 2 else None
            if share is not None:
                # First just beyond where straight lines cross zero, then just before.
                aim = good + (bad - good) * share
                aim += (near if count % 3 == 0 else -near) / 4 * (1 if bad > good else -1)
                x = aim if min(good, bad) < aim < max(good, bad) else x
            count += 1
            found = self.judge.margins(x)
            if not isinstance(found, list) or any(y < -self.rounding for y, _ in found):
                bad, at_bad = x, found
            else:
                good, at_good = x, found
        return self._rounded(good), min(at_bad)[1] if isinstance(at_bad, list) else at_bad

    def _rounded(self, good: float) -> float:
        """The end as a short number where one passes within rounding of it."""
        for digits in range(2, 7):
            short = round(good, digits)
            near = 10 * NEAR * self.size + 2 * self.rounding
            if abs(short - good) <= near and self.passes(short):
                return short
        return good

    def _prove(self, start: float, end: float, limit: Label | None) -> tuple[float, Label | None]:
        """The proved end of the range from `start` toward `end`, and what limits it."""
        sign = 1 if end > start else -1
        proved, pending = start, [end]
        while pending:
            goal = pending[-1]
            if self.judge.proved(min(proved, goal), max(proved, goal)):
                proved = goal
                pending.pop()
                continue
            middle = (proved + goal) / 2
            if not self.passes(middle):
                new, limit = self._bracket(proved, middle)
                pending = [new] if (new - proved) * sign > 0 else []
            elif abs(goal - proved) <= NEAR * self.size:
                if abs(pending[0] - proved) > 100 * NEAR * self.size:
                    limit = self.unproved(proved)
                break
            else:
                pending.append(middle)
        return proved, limit

    def _share(
        self, at_good: list[tuple[float, Label]] | Label, at_bad: list[tuple[float, Label]] | Label
    ) -> float | None:
        """How far from the good toward the bad value a margin crosses zero, were all straight.

        None where the two values have not the same margins.
        """
        if not isinstance(at_good, list) or not isinstance(at_bad, list):
            return None
        if len(at_good) != len(at_bad):
            return None
        shares = [
            (one + self.rounding) / (one - two)
            for (one, _), (two, _) in zip(at_good, at_bad, strict=True)
            if two < -self.rounding <= one
        ]
        return max(0.0, min(shares)) if shares else None
