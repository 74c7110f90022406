"""Whether margins hold, proved, over a whole interval of an input that other values follow.

Over an interval each margin is an interval with bounds of its slope by the input. Where a slope's
sign is certain the margin is least at an end, and its value there decides; where it is not, the
interval must do (Moore, Kearfott and Cloud, Introduction to Interval Analysis, SIAM 2009,
chapter 6).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from itertools import product
from typing import Any

from framekit.constraints.choices import OpenChoice, RecordingFloats, RecordingIntervals
from framekit.constraints.intervals import Bounds, Interval
from framekit.constraints.loop_enclosure import Centre, enclose_loop, enclose_loop_between
from framekit.constraints.namespaces import FLOATS, INTERVALS
from framekit.constraints.program import Program
from framekit.constraints.uncertainty import Toleranced

Values = dict[str, Any]
Margin = Callable[[Any, Mapping[str, Any]], Any]
"""What must not be below zero: a function of a namespace such as `FLOATS` and of all values."""


class Family:
    """Every value by name as one input takes other values, and others lie within tolerances.

    The names `varied` take the input's value, `program` gives what follows, and `after(m, values)`
    what follows that. Margins see the `others` moved within their tolerances about their
    quantities. Values at the ends of intervals are kept, as they are asked for again.
    """

    def __init__(
        self,
        base: Mapping[str, float],
        varied: tuple[str, ...],
        program: Program,
        others: tuple[Toleranced, ...] = (),
        after: Callable[[Any, Values], Mapping[str, Any]] | None = None,
    ) -> None:
        """Keep what follows what; `base` has every value at the design."""
        self.base = dict(base)
        self.varied = varied
        self.program = program
        self.others = others
        self._after = after
        self._at: dict[float, Values] = {}
        self._single: list[Bounds] = []

    def values(self, m: Any, x: Any) -> Values:
        """Every value by name where the input is `x`; `m` and what it raises as `Program.run`."""
        found: Values = dict(self.base)
        found.update(dict.fromkeys(self.varied, x))
        if self.program.instructions:
            found.update(self.program.run(m, found))
            if self._after is not None:
                found.update(self._after(m, found))
        return found

    def at(self, x: float) -> Values:
        """Every value by name where the input is the number `x`, kept from then on."""
        if x not in self._at:
            self._at[x] = self.values(FLOATS, x)
        return self._at[x]

    def corners(self, values: Values) -> Iterator[None]:
        """Move the others, in `values`, to each corner of their tolerances in turn."""
        for corner in product(*((-item.tolerance, item.tolerance) for item in self.others)):
            self.move(values, corner)
            yield

    def move(self, values: Values, moves: tuple[Any, ...]) -> None:
        """Put the others, in `values`, off their quantities by so much."""
        for item, move in zip(self.others, moves, strict=True):
            values[item.made] = move + values[item.quantity]

    def over(self, low: float, high: float) -> Stretch:
        """Return the values over an interval of the input, the others in all of their tolerances.

        Raises ValueError, ZeroDivisionError or OverflowError where they are not sure to exist.
        """
        size = 1 + len(self.others)
        ends = (self.at(low), self.at(high))
        namespace = RecordingIntervals(self._searching(low, high, ends))
        values = self.values(namespace, Interval(low, high, _slope(0, size)))
        self._single.append((low, high))
        spans = enumerate(self.others, 1)
        self.move(
            values,
            tuple(Interval(-item.tolerance, item.tolerance, _slope(n, size)) for n, item in spans),
        )
        return Stretch(self, values, ends, high - low, namespace.open)

    def _searching(
        self, low: float, high: float, ends: tuple[Values, Values]
    ) -> Callable[..., Any] | None:
        """What does the searches over an interval; raises ValueError where they are not sure.

        Where all of it lies in one that has been looked at, no other roots are looked for again.
        """
        if not self.program.searches:
            return None
        middle, size = (low + high) / 2, 1 + len(self.others)
        narrow = RecordingIntervals(partial(enclose_loop_between, *ends))
        at_middle = self.values(narrow, Interval(middle, middle, _slope(0, size)))
        reach = (max(middle - low, high - middle) * (1 + 1e-15), *[0.0] * len(self.others))
        alone = any(least <= low and high <= most for least, most in self._single)
        return partial(enclose_loop, Centre(at_middle, reach, alone))


@dataclass(frozen=True)
class Stretch:
    """The values of a family over an interval of its input, and those at the two ends.

    `open` are the choices that were open over it, by the identity of their hull.
    """

    family: Family
    values: Values
    ends: tuple[Values, Values]
    width: float
    open: Mapping[int, OpenChoice]

    def exceeds(
        self, margins: Callable[[Any, Mapping[str, Any]], Mapping[str, Any]], floor: float
    ) -> bool:
        """Whether each of some margins by name is proved to be above the floor all over."""
        at_ends = [margins(FLOATS, end) for end in self.ends]
        return all(
            low_of(margin) > floor
            or (
                isinstance(margin, Interval)
                and _least(margin.slopes[0], at_ends[0][name], at_ends[1][name], self.width) > floor
            )
            for name, margin in margins(INTERVALS, self.values).items()
        )

    def holds(self, margin: Margin, floor: float) -> bool:
        """Whether a margin is proved to be nowhere below the floor."""
        noted = RecordingIntervals()
        found = margin(noted, self.values)
        if id(found) in noted.open:
            found = self._taken(margin, noted.open[id(found)])
        if low_of(found) >= floor:
            return True
        if not isinstance(found, Interval):
            return False
        moves: list[Any] = []
        for item, slope in zip(self.family.others, found.slopes[1:], strict=True):
            whole = Interval(-item.tolerance, item.tolerance, ())
            side = 0 if slope[0] >= 0 else 1 if slope[1] <= 0 else None
            moves.append(whole if side is None else (-item.tolerance, item.tolerance)[side])
        at_ends = []
        for end in self.ends:
            corner = dict(end)
            self.family.move(corner, tuple(moves))
            at_ends.append(low_of(margin(INTERVALS, corner)))
        return _least(found.slopes[0], at_ends[0], at_ends[1], self.width) >= floor

    def _taken(self, margin: Margin, choice: OpenChoice) -> Any:
        """The side of a margin's open choice that its test takes over the whole interval.

        The hull of both where the test does not keep its sign, or depends on the others.
        """
        at_ends = []
        for end in self.ends:
            asked = RecordingFloats()
            margin(asked, end)
            if len(asked.tests) != 1:
                return choice.hull
            at_ends.append(asked.tests[0])
        if any(slope != (0.0, 0.0) for slope in choice.test.slopes[1:]):
            return choice.hull
        down, up = choice.test.slopes[0]
        if _least((down, up), at_ends[0], at_ends[1], self.width) >= 0:
            return choice.first
        if _least((-up, -down), -at_ends[0], -at_ends[1], self.width) > 0:
            return choice.second
        return choice.hull


def low_of(x: Any) -> float:
    """The least a value can be: the low end of an interval, or the number itself."""
    return float(x.low if isinstance(x, Interval) else x)


def high_of(x: Any) -> float:
    """The most a value can be: the high end of an interval, or the number itself."""
    return float(x.high if isinstance(x, Interval) else x)


def _slope(place: int, size: int) -> tuple[Bounds, ...]:
    return tuple((1.0, 1.0) if n == place else (0.0, 0.0) for n in range(size))


def _least(slope: Bounds, at_low: float, at_high: float, width: float) -> float:
    """The least a function can be over an interval, from its slopes and its values at the ends.

    It falls from the low end no faster than the least slope, and toward the high end it rises no
    faster than the greatest; where these two lines meet is the bound (Neumaier, Interval Methods
    for Systems of Equations, Cambridge 1990, section 2.4).
    """
    down, up = slope
    if down >= 0:
        return at_low
    if up <= 0:
        return at_high
    if math.isinf(down) or math.isinf(up):
        return -math.inf
    return (up * at_low - down * at_high + down * up * width) / (up - down)
