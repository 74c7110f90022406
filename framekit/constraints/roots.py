"""Every root of a function of one number in a range: sampled for signs, then bracketed."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any, Literal, NamedTuple

from framekit.constraints.law import NO_VALUE
from framekit.constraints.namespaces import FLOATS

SAMPLES = 160
"""Points over the range; of roots nearer to each other than two of them a pair is seen, no more."""
GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
"""Share of an interval that a golden section keeps."""
DIPS = 36
"""Golden sections with which a dip toward zero is followed, to 3e-8 of the interval."""
MOST_STEPS = 100
"""Steps after which a bracketed root is taken as it is."""
HIT = 1e-12
"""Share of the scale within which a point counts as a root itself."""
FITS = 1e-6
"""Share of the scale within which a bracketed change of sign is a root, and no jump."""
SAME = 1e-5
"""Share of the distance between points within which two roots are one."""
ROUNDING = 4e-16
"""Relative width of a bracket that is narrow enough."""


Spacing = Literal["linear", "log"]


class Span(NamedTuple):
    """A range that is searched, its points spread evenly, or evenly in their logarithm.

    `low` and `high` are numbers, or what the namespace of functions works on.
    """

    low: Any
    high: Any
    even: Spacing = "linear"

    def at(self, m: Any, share: Any) -> Any:
        """The value at a share of the way, 0 to 1; both ends of a linear range are kept inside."""
        if self.even == "log":
            return self.low * m.exp(m.log(self.high / self.low) * share)
        width = self.high - self.low
        inset = 1e-9 * width
        return self.low + inset + (width - 2 * inset) * share

    def points(self) -> list[float]:
        """The points of a range of plain numbers, in order."""
        return [self.at(FLOATS, i / (SAMPLES - 1)) for i in range(SAMPLES)]


def bracket(
    holds: Callable[[float], bool], low: float, high: float, halvings: int = 60
) -> tuple[float, float]:
    """Return the last place from `low` on where it `holds` and the first where it does not.

    >>> low, high = bracket(lambda x: x * x < 2.0, 0.0, 2.0)
    >>> low <= 2.0**0.5 <= high, high - low < 1e-15
    (True, True)
    """
    for _ in range(halvings):
        middle = (low + high) / 2
        if holds(middle):
            low = middle
        else:
            high = middle
    return low, high


def bisect(holds: Callable[[float], bool], low: float, high: float, halvings: int = 60) -> float:
    """Return the place between `low`, where it `holds`, and `high` from which it does not.

    >>> round(bisect(lambda x: x * x < 2.0, 0.0, 2.0), 12)
    1.414213562373
    """
    low, high = bracket(holds, low, high, halvings)
    return (low + high) / 2


def sign_changes(function: Callable[[float], float], points: Sequence[float]) -> tuple[float, ...]:
    """Return where a function changes its sign between neighbouring points, in their order.

    >>> [round(x, 12) for x in sign_changes(lambda x: x * x - 2.0, [-2.0, 0.0, 2.0])]
    [-1.414213562373, 1.414213562373]
    """

    def above(x: float) -> bool:
        return bool(function(x) > 0)

    def below(x: float) -> bool:
        return not above(x)

    pieces = zip(pairwise(points), pairwise(map(above, points)), strict=True)
    return tuple(
        bisect(above if first else below, start, stop)
        for (start, stop), (first, last) in pieces
        if first != last
    )


def find_roots(
    function: Callable[[float], float], points: Sequence[float], scale: float
) -> tuple[float, ...]:
    """The roots between neighbouring points where the function changes sign or dips, in order.

    `points` rise; `function` may raise ValueError, ZeroDivisionError or OverflowError where it
    has no value. A point where it is within `HIT` of `scale` counts as a root itself.

    >>> [round(root, 12) for root in find_roots(lambda x: x * x - 2.0, [0.0, 1.0, 2.0], 1.0)]
    [1.414213562373]
    """
    found: list[float] = []
    values = [_value(function, x) for x in points]
    gaps = [math.inf, *(high - low for low, high in pairwise(points))]

    def add(root: float | None, gap: float) -> None:
        if root is not None and not (found and root - found[-1] <= SAME * gap):
            found.append(root)

    def bracketed(a: float, fa: float, b: float, fb: float) -> float | None:
        root = _chandrupatla(function, a, fa, b, fb)
        fits = root is not None and abs(_value(function, root) or 0.0) <= FITS * scale
        return root if fits else None

    for i, (x, y) in enumerate(zip(points, values, strict=True)):
        if y is None:
            continue
        if abs(y) <= HIT * scale:
            add(x, gaps[i])
            continue
        before = values[i - 1] if i else None
        after = values[i + 1] if i + 1 < len(points) else None
        if before is not None and abs(before) > HIT * scale and (before < 0) != (y < 0):
            add(bracketed(points[i - 1], before, x, y), gaps[i])
        elif turns(before, y, after):
            low = i if before is None else i - 1
            high = i if after is None else i + 1
            dip = _dip(function, points[low], points[high], y)
            if dip is not None:
                (a, fa), (middle, at_middle), (b, fb) = dip
                add(bracketed(a, fa, middle, at_middle), gaps[i])
                add(bracketed(middle, at_middle, b, fb), math.ulp(b))
    return tuple(found)


def turns(before: float | None, y: float, after: float | None) -> bool:
    """Whether a function may cross zero twice beside a point, unseen by its neighbours.

    It does not change sign, is nearest to zero at the point, and no farther from zero than it
    moves to a neighbour. A neighbour is None where there is none.
    """
    beside = [other for other in (before, after) if other is not None]
    return (
        bool(beside)
        and all((other < 0) == (y < 0) and abs(other) >= abs(y) for other in beside)
        and abs(y) <= max(abs(other - y) for other in beside)
    )


def _dip(
    function: Callable[[float], float], a: float, b: float, y: float
) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]] | None:
    """Three points between a and b with the outer values of y's sign and the middle one not.

    By golden sections toward zero; None where none of them crosses.
    """
    sign = -1.0 if y < 0 else 1.0
    ends = [_value(function, a), _value(function, b)]
    inner = [b - GOLDEN * (b - a), a + GOLDEN * (b - a)]
    at = [_value(function, x) for x in inner]
    for _ in range(DIPS):
        fa, first, second, fb = ends[0], at[0], at[1], ends[1]
        if fa is None or first is None or second is None or fb is None:
            return None
        if sign * first <= 0:
            return (a, fa), (inner[0], first), (b, fb)
        if sign * second <= 0:
            return (a, fa), (inner[1], second), (b, fb)
        if sign * first < sign * second:
            b, ends[1] = inner[1], second
            inner, at = [b - GOLDEN * (b - a), inner[0]], [None, first]
            at[0] = _value(function, inner[0])
        else:
            a, ends[0] = inner[0], first
            inner, at = [inner[1], a + GOLDEN * (b - a)], [second, None]
            at[1] = _value(function, inner[1])
    return None


def _value(function: Callable[[float], float], x: float) -> float | None:
    try:
        y = function(x)
    except NO_VALUE:
        return None
    return y if math.isfinite(y) else None


def _chandrupatla(
    function: Callable[[float], float], a: float, fa: float, b: float, fb: float
) -> float | None:
    """The root in a bracket (Chandrupatla, Advances in Engineering Software 28, 1997)."""
    c, fc, share = a, fa, 0.5
    for _ in range(MOST_STEPS):
        x = a + share * (b - a)
        y = _value(function, x)
        if y is None:
            return None
        if (y < 0) == (fa < 0):
            c, fc = a, fa
        else:
            c, fc, b, fb = b, fb, a, fa
        a, fa = x, y
        best, at_best = (a, fa) if abs(fa) < abs(fb) else (b, fb)
        room = abs(b - a)
        limit = ROUNDING * abs(best) + 1e-300
        if at_best == 0.0 or room <= 2 * limit:
            return best
        share = 0.5
        xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
        if 1 - math.sqrt(1 - xi) < phi < math.sqrt(xi) and fc != fa and fb != fc:
            share = fa / (fb - fa) * fc / (fb - fc)
            share += (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
            share = min(1 - limit / room, max(limit / room, share))
    return best
