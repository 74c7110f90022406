"""Every root of a function of one number in a range: sampled for signs, then bracketed."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

SAMPLES = 160
"""Points over the range; roots nearer than two of them to each other are not told apart."""
_MOST_STEPS = 100


def find_roots(
    function: Callable[[float], float], points: Sequence[float], scale: float
) -> tuple[float, ...]:
    """The roots between neighbouring points where the function changes sign, in order.

    `points` rise; `function` may raise ValueError, ZeroDivisionError or OverflowError where it
    has no value. A point where it is within 1e-12 of `scale` counts as a root itself.

    >>> [round(root, 12) for root in find_roots(lambda x: x * x - 2.0, [0.0, 1.0, 2.0], 1.0)]
    [1.414213562373]
    """
    found: list[float] = []
    before: tuple[float, float] | None = None
    for x in points:
        y = _value(function, x)
        if y is None:
            before = None
            continue
        if abs(y) <= 1e-12 * scale:
            found.append(x)
            before = None
            continue
        if before is not None and (before[1] < 0) != (y < 0):
            root = _chandrupatla(function, before[0], before[1], x, y)
            if root is not None and abs(_value(function, root) or 0.0) <= 1e-6 * scale:
                found.append(root)
        before = (x, y)
    return tuple(found)


def _value(function: Callable[[float], float], x: float) -> float | None:
    try:
        y = function(x)
    except (ValueError, ZeroDivisionError, OverflowError):
        return None
    return y if math.isfinite(y) else None


def _chandrupatla(
    function: Callable[[float], float], a: float, fa: float, b: float, fb: float
) -> float | None:
    """The root in a bracket (Chandrupatla, Advances in Engineering Software 28, 1997)."""
    c, fc, share = a, fa, 0.5
    for _ in range(_MOST_STEPS):
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
        limit = 4e-16 * abs(best) + 1e-300
        if at_best == 0.0 or room <= 2 * limit:
            return best
        share = 0.5
        xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
        if 1 - math.sqrt(1 - xi) < phi < math.sqrt(xi) and fc != fa and fb != fc:
            share = fa / (fb - fa) * fc / (fb - fc)
            share += (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
            share = min(1 - limit / room, max(limit / room, share))
    return best


def linear_points(low: float, high: float, count: int = SAMPLES) -> list[float]:
    """Points from low to high, evenly spread, both ends kept just inside."""
    width = high - low
    inset = 1e-9 * width
    return [low + inset + (width - 2 * inset) * i / (count - 1) for i in range(count)]


def log_points(low: float, high: float, count: int = SAMPLES) -> list[float]:
    """Points from low to high, both above zero, evenly spread in their logarithm."""
    ratio = math.log(high / low)
    return [low * math.exp(ratio * i / (count - 1)) for i in range(count)]
