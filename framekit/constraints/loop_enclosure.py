"""A search over a whole box of its inputs: one interval that is proved to hold the only root.

Existence and uniqueness within the interval are shown by the interval Newton test, its slopes come
from the implicit function theorem (Moore, Kearfott and Cloud, Introduction to Interval Analysis,
SIAM 2009, chapter 8). That the rest of the range searched has no root is shown piece by piece.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import reduce
from math import inf, nextafter
from typing import Any, NamedTuple

from framekit.constraints.intervals import (
    EVERYTHING,
    ZERO,
    Bounds,
    DoubtError,
    Interval,
    as_interval,
    plus,
    times,
)
from framekit.constraints.law import NO_VALUE
from framekit.constraints.loops import Loop, sides, solve_loop, span_of
from framekit.constraints.namespaces import INTERVALS

NEWTON_STEPS = 12
"""Tests of a candidate interval, each a little wider than what the one before gave."""
SPARE = 0.1
"""Share of its width by which a candidate is made wider."""
MOST_PIECES = 1024
"""Pieces of the range looked at before a box is given up as too large."""


class Centre(NamedTuple):
    """The middle of a box: every value there, and how far the box reaches by each input.

    The values by name are intervals that hold nothing but their rounding, or plain floats. By an
    input whose reach is not known, given as zero, nothing may have a slope. `alone` says that
    other roots have been ruled out in the box before.
    """

    values: Mapping[str, Any]
    reach: tuple[float, ...]
    alone: bool = False


def enclose_loop(centre: Centre, loop: Loop, values: Mapping[str, Any]) -> Any:
    """The interval of the unknown's one value, given everything outside the block.

    `values` by name are intervals over the same inputs, or plain floats; where all are floats the
    result is one. For every value of the inputs in the box the law left over holds at one place in
    the range searched, and that lies in the interval. Raises DoubtError, a ValueError, where
    this is not proved: then a smaller box may do.
    """
    like = next((x for x in values.values() if isinstance(x, Interval)), None)
    if like is None:
        return solve_loop(loop, values)
    span = span_of(loop, INTERVALS, values)
    ends = [as_interval(span.at(INTERVALS, share), like) for share in (0.0, 1.0)]
    block = _Block(loop, values, centre)
    low, high = block.root(_middle(centre.values[loop.unknown]))
    if not ends[0].high < low <= high < ends[1].low:
        raise DoubtError("the root is not sure to lie in the range")
    if not centre.alone:
        block.exclude((ends[0].low, low), (low, high), span.even == "log")
        block.exclude((high, ends[1].high), (low, high), span.even == "log")
    return Interval(low, high, block.slopes((low, high)))


def enclose_loop_between(
    first: Mapping[str, float],
    second: Mapping[str, float],
    loop: Loop,
    values: Mapping[str, Any],
) -> Any:
    """The interval of a root where the inputs are single values; others are not ruled out.

    It is the one between those at `first` and `second`, the values at the ends of the box. `values`
    and what is raised are as for `enclose_loop`.
    """
    like = next((x for x in values.values() if isinstance(x, Interval)), None)
    if like is None:
        return solve_loop(loop, values)
    block = _Block(loop, values, Centre(values, tuple([0.0 for _ in like.slopes])))
    low, high = block.root((first[loop.unknown] + second[loop.unknown]) / 2)
    low, high = block.root((low + high) / 2)
    return Interval(low, high, tuple([EVERYTHING for _ in like.slopes]))


def enclose_loop_in_box(loop: Loop, values: Mapping[str, Any]) -> Any:
    """The interval of the unknown's one value where nothing is known of the middle of the box.

    `values` and what is raised are as for `enclose_loop`. Each interval among them may take any of
    its values whatever the others take, which holds more than what they depend on together.
    """
    spans = {name: x for name, x in values.items() if isinstance(x, Interval)}
    middles = {name: _middle(x) for name, x in values.items()}
    root = solve_loop(loop, middles)
    if not spans:
        return root
    box, centre, reach = dict(values), dict(values), []
    for n, (name, x) in enumerate(spans.items()):
        slopes = tuple([(1.0, 1.0) if i == n else ZERO for i in range(len(spans))])
        box[name] = Interval(x.low, x.high, slopes)
        centre[name] = Interval(middles[name], middles[name], slopes)
        reach.append(max(x.high - middles[name], middles[name] - x.low) * (1 + 1e-15))
    found = enclose_loop(Centre({**centre, loop.unknown: root}, tuple(reach)), loop, box)
    return Interval(found.low, found.high, _chained(found.slopes, list(spans.values())))


def _chained(outer: Sequence[Bounds], inner: Sequence[Interval]) -> tuple[Bounds, ...]:
    """The slopes of a function of values by what moves these, from its slopes by the values."""
    inputs = zip(*(x.slopes for x in inner), strict=True)
    return tuple(
        [
            reduce(plus, [times(a, b) for a, b in zip(outer, by_input, strict=True)])
            for by_input in inputs
        ]
    )


class _Block:
    """The law left over as a function of the unknown, over the box."""

    def __init__(self, loop: Loop, values: Mapping[str, Any], centre: Centre) -> None:
        self.loop = loop
        self.values = {n: _with_slope(x, x) for n, x in values.items()}
        at_centre = centre.values
        self.centre = {n: _with_slope(at_centre[n], x) for n, x in values.items()}
        self.reach = [Interval(-reach, reach, ()) for reach in centre.reach]
        self.still = tuple([(0.0, 0.0) for _ in centre.reach])

    def misfit(self, low: float, high: float, at_centre: bool = False) -> Interval:
        """By how much the law is off from low to high; the last slope is by the unknown."""
        x = Interval(low, high, (*self.still, (1.0, 1.0)))
        values = self.centre if at_centre else self.values
        first, second = sides(self.loop, INTERVALS, values, x)
        return as_interval(first - second, x)

    def tightened(self, misfit: Interval, low: float, high: float) -> tuple[Bounds, Bounds]:
        """What the law can be off from low to high, also by its slopes from the middle of the box.

        The mean value form (Moore, Kearfott and Cloud 2009, section 6.4). The second is the same
        without what the way from low to high adds.
        """
        middle = (low + high) / 2
        off: Any = self.misfit(middle, middle, at_centre=True)
        off = Interval(off.low, off.high, ())
        half = max(high - middle, middle - low)
        *slopes, by_root = misfit.slopes
        for slope, reach in zip(slopes, self.reach, strict=True):
            if slope != (0.0, 0.0):
                off = off + Interval(*slope, ()) * reach
        still = (off.low, off.high)
        off = off + Interval(*by_root, ()) * Interval(-half, half, ())
        return (max(off.low, misfit.low), min(off.high, misfit.high)), still

    def root(self, start: float) -> Bounds:
        """An interval round `start` with a root for each value in the box; raises DoubtError."""
        off, _ = self.tightened(self.misfit(start, start), start, start)
        low = high = start
        for _ in range(NEWTON_STEPS):
            slope = self.misfit(low, high).slopes[-1]
            if not _one_way(slope):
                break
            step = Interval(*off, ()) / Interval(*slope, ())
            near, far = nextafter(start - step.high, -inf), nextafter(start - step.low, inf)
            if low < near and far < high:
                return near, far
            spare = SPARE * (far - near) + 1e-15 * abs(start) + 1e-300
            low, high = near - spare, far + spare
        raise DoubtError("no root is sure in so large a box")

    def slopes(self, root: Bounds) -> tuple[Bounds, ...]:
        """The slopes of the root by each input: minus that of the law over that by the root."""
        *by_inputs, by_root = self.misfit(*root).slopes
        found = [-(Interval(*slope, ()) / Interval(*by_root, ())) for slope in by_inputs]
        return tuple(
            [
                slope if slope == (0.0, 0.0) else (interval.low, interval.high)
                for slope, interval in zip(by_inputs, found, strict=True)
            ]
        )

    def exclude(self, piece: Bounds, root: Bounds, by_ratio: bool) -> None:
        """Show that a piece of the range beside the root has no other; raises DoubtError."""
        pending = [piece]
        for _ in range(MOST_PIECES):
            if not pending:
                return
            low, high = pending.pop()
            if self._without_root(low, high, root):
                continue
            middle = math.sqrt(low * high) if by_ratio else (low + high) / 2
            if not low < middle < high:
                break
            pending += [(low, middle), (middle, high)]
        raise DoubtError("another root is not ruled out in so large a box")

    def _without_root(self, low: float, high: float, root: Bounds) -> bool:
        """Whether the law is off all over, or moves one way from the root on.

        Raises DoubtError where smaller pieces would not help.
        """
        if low >= high:
            return True
        try:
            misfit = self.misfit(low, high)
        except NO_VALUE:
            return True  # it has no value anywhere in there
        if misfit.low > 0 or misfit.high < 0:
            return True
        if low == root[1] or high == root[0]:
            both = self.misfit(min(low, root[0]), max(high, root[1]))
            return _one_way(both.slopes[-1])
        if not all(math.isfinite(end) for slope in misfit.slopes for end in slope):
            return False
        try:
            off, still = self.tightened(misfit, low, high)
        except NO_VALUE:
            return False
        if off[0] > 0 or off[1] < 0:
            return True
        if still[0] <= 0 <= still[1] and off[1] - off[0] < 2 * (still[1] - still[0]):
            raise DoubtError("however small the piece, the box is too large")
        return False


def _with_slope(x: Any, like: Any) -> Any:
    """The value with one slope more, none by the unknown; an interval where the other is one."""
    if not isinstance(like, Interval):
        return x
    x = as_interval(x, like)
    return Interval(x.low, x.high, (*x.slopes, (0.0, 0.0)))


def _one_way(slope: Bounds) -> bool:
    """Whether a function of this slope rises or falls throughout, and has a value everywhere."""
    return (slope[0] > 0 or slope[1] < 0) and math.isfinite(slope[0]) and math.isfinite(slope[1])


def _middle(x: Any) -> float:
    return float((x.low + x.high) / 2 if isinstance(x, Interval) else x)
