"""The Taylor series of a search's root by what moves the values outside the loop."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from framekit.constraints.loops import Loop, sides, solve_loop
from framekit.constraints.series import SERIES, Series


def loop_series(loop: Loop, values: Mapping[str, Any]) -> Series:
    """Return the series of the unknown's one value; `values` by name are series or plain floats.

    Newton's method on series with the slope at the root: each step makes one more coefficient
    exact (Griewank and Walther, Evaluating Derivatives, SIAM 2008, chapter 13). Raises SolveError
    as `solve_loop`, and ZeroDivisionError at a double root, which has no slope.
    """
    plain = {name: x.c0 if isinstance(x, Series) else x for name, x in values.items()}
    at = solve_loop(loop, plain)
    steep = _misfit(loop, plain, Series(at, 1.0)).c1
    root = Series(at)
    for _ in range(3):
        off = _misfit(loop, values, root)
        root = root - Series(0.0, off.c1, off.c2, off.c3) / steep
    return root


def _misfit(loop: Loop, values: Mapping[str, Any], x: Series) -> Series:
    """By how much the law left over is off."""
    first, second = sides(loop, SERIES, values, x)
    off = first - second
    return off if isinstance(off, Series) else Series(float(off))
