"""Proved range of a plain function over a box of inputs.

Where the slopes keep their signs over the box, the extremes lie in two of its corners; elsewhere
the box is halved. What a slope of the wrong sign could add at most is added, so that the range
always holds every value (Moore, Kearfott and Cloud, Introduction to Interval Analysis, SIAM 2009,
sections 6.2 to 6.4). Functions bent by max, min or abs are looked at branch by branch.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from types import SimpleNamespace
from typing import Any, Literal, NamedTuple

from framekit.constraints.intervals import Bounds, DoubtError, Interval, as_interval, hull
from framekit.constraints.namespaces import FLOATS, INTERVALS

MOST_BOXES = 100
"""How many boxes are looked at; then the intervals themselves hold."""

SLACK = 0.001
"""Share of the range that a bound may lie outside what is reached, so that halving ends."""

ROUNDING = 1e-13
"""Relative size of what rounding leaves open, so that halving ends where a function is flat."""

MOST_BRANCHES = 16
"""How many ways through max, min and abs are followed one by one; then their hull holds."""

Shape = Literal["same", "constant", "straight", "rooted", "bent"]
Box = tuple[Bounds, ...]


class Enclosure(NamedTuple):
    """The proved range of a function, and whether one of max, min and abs turns over in it."""

    low: float
    high: float
    kinked: bool


@lru_cache(maxsize=1024)
def shape_of(function: Callable[..., Any], count: int, moving: tuple[int, ...]) -> Shape:
    """How `function(m, *count values)` depends on the inputs at the places `moving`.

    `same`: it hands the only one on untouched; `constant`: on none; `straight`: each only adds a
    multiple that the others have no part in; `rooted`: so too, but beside a root or the like of
    what does not move, which may blow rounding up; `bent`: any other way. It holds for all values.

    >>> shape_of(lambda m, a, b: 2 * a * m.sin(b), 2, (0,))
    'straight'
    """
    inputs = [_Degree(1 if n in moving else 0) for n in range(count)]
    functions = _Degrees()
    try:
        result = function(functions, *inputs)
    except TypeError:  # a plain `if` on a value, or a function of no namespace
        return "bent"
    if not isinstance(result, _Degree) or result.degree == 0:
        return "constant"
    if len(moving) == 1 and result is inputs[moving[0]]:
        return "same"
    if result.degree == 2:
        return "bent"
    return "rooted" if functions.rooted else "straight"


class _Degree:
    """What is left of a number when only its degree in the moving inputs matters; 2 is bent."""

    __slots__ = ("degree",)

    def __init__(self, degree: int) -> None:
        self.degree = degree

    def _add(self, other: Any) -> _Degree:
        return _Degree(max(self.degree, _degree(other)))

    __add__ = __radd__ = __sub__ = __rsub__ = _add

    def _mul(self, other: Any) -> _Degree:
        return _Degree(min(2, self.degree + _degree(other)))

    __mul__ = __rmul__ = _mul

    def __truediv__(self, other: Any) -> _Degree:
        return _Degree(2 if _degree(other) else self.degree)

    def __rtruediv__(self, other: Any) -> _Degree:
        return _Degree(2 if self.degree else _degree(other))

    def __neg__(self) -> _Degree:
        return _Degree(self.degree)

    def __pow__(self, power: float) -> _Degree:
        return _bending(self)


def _degree(x: Any) -> int:
    return x.degree if isinstance(x, _Degree) else 0


def _bending(*values: Any) -> _Degree:
    return _Degree(2 if any(_degree(x) for x in values) else 0)


class _Degrees:
    """Every function of a namespace bends what moves; `rooted` says that a steep one was used."""

    pi = math.pi

    def __init__(self) -> None:
        self.rooted = False

    def solve_loop(self, loop: Any, values: Mapping[str, Any]) -> _Degree:
        """What a search finds bends."""
        return _bending(*values.values())

    def __getattr__(self, name: str) -> Callable[..., _Degree]:
        self.rooted = self.rooted or name in ("sqrt", "cbrt", "asin", "acos", "log")
        return _bending


_PLAIN = {name: f for name, f in vars(INTERVALS).items() if name not in ("max", "min", "abs")}


class _Branches(SimpleNamespace):
    """The functions on intervals, but following one branch at each max, min or abs that is open.

    `script` says which branch the first open ones take; `taken` notes what each took. Open ones
    over the very same intervals take the same branch.
    """

    def __init__(self, script: tuple[int, ...]) -> None:
        super().__init__(**_PLAIN)
        self.script = script
        self.taken: dict[Any, int] = {}

    def _take(self, key: Any) -> int:
        if key not in self.taken:
            n = len(self.taken)
            self.taken[key] = self.script[n] if n < len(self.script) else 0
        return self.taken[key]

    def max(self, *values: Any) -> Any:
        """The greatest, on the branch the script takes."""
        best = values[0]
        for value in values[1:]:
            best = self._larger(best, value)
        return best

    def min(self, *values: Any) -> Any:
        """The least, on the branch the script takes."""
        return -self.max(*[-v for v in values])

    def abs(self, x: Any) -> Any:
        """The absolute value, on the branch the script takes."""
        if not isinstance(x, Interval):
            return abs(x)
        larger = self._larger(x, -x)
        return Interval(max(0.0, larger.low), larger.high, larger.slopes)

    def _larger(self, a: Any, b: Any) -> Any:
        if not isinstance(a, Interval) and not isinstance(b, Interval):
            return max(a, b)
        first = as_interval(a, b) if not isinstance(a, Interval) else a
        second = as_interval(b, first)
        if first.low >= second.high:
            return a
        if second.low >= first.high:
            return b
        key = (first.low, first.high, first.slopes, second.low, second.high, second.slopes)
        chosen = first if self._take(_named(key, first, second, self.taken)) == 0 else second
        return Interval(max(first.low, second.low), chosen.high, chosen.slopes)


def _named(key: Any, first: Interval, second: Interval, taken: dict[Any, int]) -> Any:
    """The key itself when it settles both operands: then equal keys mean equal numbers.

    Over straight operands equal ranges and slopes do; bent ones are told apart by their order.
    """
    for a, b in (*first.slopes, *second.slopes):
        if b - a > 1e-12 * max(abs(a), abs(b)):
            return len(taken)
    return key


def _enclose(
    function: Callable[..., Any], arguments: Sequence[Any], like: Interval
) -> tuple[Interval, bool]:
    """The function's interval, hulled over the branches, and whether there was more than one."""
    script: tuple[int, ...] = ()
    whole: Interval | None = None
    for _ in range(MOST_BRANCHES):
        branches = _Branches(script)
        interval = as_interval(function(branches, *arguments), like)
        whole = interval if whole is None else hull(whole, interval)
        taken = list(branches.taken.values())
        while taken and taken[-1] == 1:
            taken.pop()
        if not taken:
            return whole, bool(branches.taken)
        script = (*taken[:-1], 1)
    return as_interval(function(INTERVALS, *arguments), like), True


def enclose(
    function: Callable[..., Any],
    arguments: Sequence[float],
    box: Sequence[tuple[int, float, float]],
) -> Enclosure:
    """The range of `function(m, *arguments)` when the arguments at some places vary.

    `box` has for each its place, least and greatest value. The range holds every value taken in
    the box; it is exact to rounding where no slope changes its sign, else to about 0.2 %.
    Raises ValueError or ZeroDivisionError where a corner of the box has no value, and DoubtError, a
    ValueError, where the function can prove nothing even over small boxes.

    >>> square = enclose(lambda m, x: m.square(x), (1.0,), ((0, -1.0, 2.0),))
    >>> square.low <= 0.0 and 4.0 <= square.high, round(square.high - square.low, 2)
    (True, 4.0)
    """
    places = tuple(place for place, _, _ in box)
    boxes: list[Box] = [tuple((low, high) for _, low, high in box)]
    reached_low, reached_high = math.inf, -math.inf
    size = max(1.0, *[abs(value) for value in arguments])
    low, high, kinked, count = math.inf, -math.inf, False, 0
    while boxes:
        part = boxes.pop()
        count += 1
        try:
            interval, open_branch = _enclose(function, *_intervals(arguments, places, part))
        except DoubtError:
            if count + len(boxes) >= MOST_BOXES:
                raise
            shares = [
                (b - a) / (end - start) for (a, b), (_, start, end) in zip(part, box, strict=True)
            ]
            boxes += _halves(part, shares.index(max(shares)))
            continue
        if count == 1 and not any(s != (0.0, 0.0) for s in interval.slopes):
            same = float(function(FLOATS, *arguments))  # constant over the box
            return Enclosure(same, same, False)
        kinked = kinked or open_branch
        wrong = [_wrong(s) * (b - a) for s, (a, b) in zip(interval.slopes, part, strict=True)]
        penalty = sum(wrong)
        below, above = (
            _corner(function, arguments, places, part, interval, side) for side in (0, 1)
        )
        reached_low, reached_high = min(reached_low, below[1]), max(reached_high, above[0])
        least, most = below[0], above[1]
        if penalty > 0:
            # The interval rounds outward, but not what it is made of that does not vary.
            room = ROUNDING * (size + abs(interval.low) + abs(interval.high))
            least = max(interval.low - room, least - penalty)
            most = min(interval.high + room, most + penalty)
        if penalty > 0 and count + len(boxes) < MOST_BOXES:
            slack = SLACK * (reached_high - reached_low) + ROUNDING * size
            if least < reached_low - slack or most > reached_high + slack:
                boxes += _halves(part, wrong.index(max(wrong)))
                continue
        low, high = min(low, least), max(high, most)
    return Enclosure(low, high, kinked)


def rounded_out(function: Callable[..., Any], arguments: Sequence[float]) -> Bounds:
    """What `function(m, *arguments)` lies between when all rounding is outward.

    >>> low, high = rounded_out(lambda m, x: m.sqrt(x), (2.0,))
    >>> low < 2.0**0.5 < high
    True
    """
    point = [Interval(value, value, ()) for value in arguments]
    interval = as_interval(function(INTERVALS, *point), Interval(0.0, 0.0, ()))
    return (interval.low, interval.high)


def turns_over(
    function: Callable[..., Any],
    arguments: Sequence[float],
    box: Sequence[tuple[int, float, float]],
) -> bool:
    """Whether one of max, min and abs may turn over somewhere in the box.

    >>> turns_over(lambda m, x: m.abs(x), (1.0,), ((0, -0.5, 2.5),))
    True
    """
    places = tuple(place for place, _, _ in box)
    part = tuple((low, high) for _, low, high in box)
    return _enclose(function, *_intervals(arguments, places, part))[1]


def _wrong(slope: Bounds) -> float:
    """How far a slope reaches to the side of its lesser sign."""
    return min(max(0.0, -slope[0]), max(0.0, slope[1]))


def _intervals(
    arguments: Sequence[float], places: tuple[int, ...], box: Box
) -> tuple[list[Any], Interval]:
    intervals: list[Any] = list(arguments)
    like = Interval(0.0, 0.0, tuple((0.0, 0.0) for _ in places))
    for n, (place, (low, high)) in enumerate(zip(places, box, strict=True)):
        slopes = tuple((1.0, 1.0) if i == n else (0.0, 0.0) for i in range(len(places)))
        intervals[place] = Interval(low, high, slopes)
    return intervals, like


def _corner(
    function: Callable[..., Any],
    arguments: Sequence[float],
    places: tuple[int, ...],
    box: Box,
    interval: Interval,
    side: int,
) -> Bounds:
    """The function's value in the corner where it is least (side 0) or greatest (1)."""
    point = list(arguments)
    for place, (a, b), slope in zip(places, box, interval.slopes, strict=True):
        point[place] = (a, b)[side if slope[1] >= -slope[0] else 1 - side]
    return rounded_out(function, point)


def _halves(box: Box, n: int) -> list[Box]:
    a, b = box[n]
    middle = (a + b) / 2
    return [(*box[:n], half, *box[n + 1 :]) for half in ((a, middle), (middle, b))]
