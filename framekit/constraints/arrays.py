"""Laws on numpy arrays, element by element, and a program run on many rows at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from framekit.constraints.law import NO_VALUE
from framekit.constraints.program import Program
from framekit.geometry.profile_curve import HeightCurve

BLOCK_ROWS = 131072
"""Rows run at once: an array of them takes 1 MB, so that memory stays bounded."""


def _greatest(*values: Any) -> Any:
    result = values[0]
    for value in values[1:]:
        result = np.maximum(result, value)
    return result


def _least(*values: Any) -> Any:
    result = values[0]
    for value in values[1:]:
        result = np.minimum(result, value)
    return result


def _choose(test: Any, first: Any, second: Any) -> Any:
    if isinstance(test, np.ndarray):
        return np.where(test >= 0, first, second)
    return first if test >= 0 else second


def _power(x: Any, power: int) -> Any:
    """A whole power; multiplying is far quicker than numpy's own."""
    if power % 2:
        return x if power == 1 else x * _power(x, power - 1)
    return np.square(x if power == 2 else _power(x, power // 2))


@lru_cache(maxsize=16)
def _table(curve: HeightCurve) -> tuple[Any, Any]:
    """The heights, shape (points,), and the pieces' coefficients, shape (4, points − 1)."""
    return np.array(curve.heights), np.array(curve.pieces).T


def _piece(curve: HeightCurve, x: Any) -> tuple[Any, Any, Any]:
    """The heights kept on the curve, how far each lies over its piece's lower end, and the piece's
    coefficients."""
    heights, coefficients = _table(curve)
    z = np.clip(x, heights[0], heights[-1])
    i = np.clip(np.searchsorted(heights, z, side="right") - 1, 0, heights.size - 2)
    return z, z - heights[i], coefficients[:, i]


def curve_on_arrays(curve: HeightCurve, x: Any) -> Any:
    """Return the radii in mm at heights `x` in mm, an array of any shape or one number.

    NaN gives NaN.
    """
    z, t, (c0, c1, c2, c3) = _piece(curve, x)
    inside = c0 + t * (c1 + t * (c2 + t * c3))
    return np.where(z >= curve.heights[-1], curve.radii[-1], inside)[()]


def _curve_slope(curve: HeightCurve, x: Any) -> Any:
    _, t, (_, c1, c2, c3) = _piece(curve, x)
    return c1 + t * (2 * c2 + t * 3 * c3)


def _made_curve(make: Callable[..., HeightCurve], sizes: tuple[Any, ...], x: Any) -> Any:
    """The radii on the curve that each row's sizes make, NaN where they make none."""
    if not any(isinstance(size, np.ndarray) for size in sizes):
        return curve_on_arrays(make(*map(float, sizes)), x)
    table = np.stack(np.broadcast_arrays(*sizes), axis=-1)
    kinds, of = np.unique(table, axis=0, return_inverse=True)
    rows = table.shape[0]
    heights = np.broadcast_to(x, (*np.shape(x)[:-1], rows))
    found = np.full(heights.shape, np.nan)
    for kind, row_sizes in enumerate(kinds):
        columns = np.flatnonzero(of.reshape(-1) == kind)
        try:
            curve = make(*map(float, row_sizes))
        except NO_VALUE:
            continue
        found[..., columns] = curve_on_arrays(curve, heights[..., columns])
    return found


ARRAYS: Any = SimpleNamespace(
    sqrt=np.sqrt,
    cbrt=np.cbrt,
    square=np.square,
    power=_power,
    sin=np.sin,
    cos=np.cos,
    tan=np.tan,
    asin=np.arcsin,
    acos=np.arccos,
    atan=np.arctan,
    exp=np.exp,
    log=np.log,
    abs=np.abs,
    max=_greatest,
    min=_least,
    choose=_choose,
    curve=curve_on_arrays,
    curve_slope=_curve_slope,
    made_curve=_made_curve,
    pi=np.pi,
)
"""The functions on arrays, element by element; NaN outside a function's domain."""


def run_rows(program: Program, m: Any, given: Mapping[str, Any]) -> dict[str, Any]:
    """Return every value by name of a program whose inputs are arrays of shape (rows,) or numbers.

    `m` is `ARRAYS`, with a function `solve_loop` where the program searches; see `loop_rows`. It is
    run on blocks of rows, so that what lies between inputs and results stays small.
    """
    inputs = [_array(given[name]) for name in program.names[: program.inputs]]
    rows = max((x.size for x in inputs if x.ndim), default=1)
    found: list[Any] = [*inputs, *([None] * (len(program.names) - program.inputs))]
    for start in range(0, rows, BLOCK_ROWS):
        block = slice(start, start + BLOCK_ROWS)
        slots = [x[block] if x.ndim else x for x in inputs] + found[program.inputs :]
        for function, target, sources in program.instructions:
            value = slots[target] = _array(function(m, *[slots[i] for i in sources]))
            if rows <= BLOCK_ROWS or not value.ndim:
                found[target] = value
                continue
            if start == 0:
                found[target] = np.empty(rows)
            # What follows reads the copy, so that the value's own memory is free at once.
            found[target][block] = value
            slots[target] = found[target][block]
    return dict(zip(program.names, found, strict=True))


def _array(x: Any) -> Any:
    """The array itself, or a number as one of numpy's."""
    return x if isinstance(x, np.ndarray) else np.float64(x)
