"""A trace run on numpy arrays, element by element."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import SimpleNamespace
from typing import Any

import numpy as np

from framekit.constraints.curve_arrays import curve_on_arrays
from framekit.constraints.loops import Loop
from framekit.constraints.tracing import Trace
from framekit.geometry.profile_curve import HeightCurve

Solver = Callable[[Loop, Sequence[Any]], Any]


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
    taken = first if test >= 0 else second
    return taken.copy() if isinstance(taken, np.ndarray) else taken


def _curve_slope(curve: HeightCurve, x: Any) -> Any:
    heights, (_, c1, c2, c3) = np.array(curve.heights), np.array(curve.pieces).T
    z = np.clip(x, heights[0], heights[-1])
    i = np.clip(np.searchsorted(heights, z, side="right") - 1, 0, heights.size - 2)
    t = z - heights[i]
    return c1[i] + t * (2 * c2[i] + t * 3 * c3[i])


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
        except (ValueError, ZeroDivisionError, OverflowError):
            continue
        found[..., columns] = curve_on_arrays(curve, heights[..., columns])
    return found


ARRAYS: Any = SimpleNamespace(
    sqrt=np.sqrt,
    cbrt=np.cbrt,
    square=np.square,
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


def run(steps: Trace, given: Mapping[str, Any], solver: Solver | None = None) -> dict[str, Any]:
    """The named values of a trace; arrays that nothing needs any more are written over.

    Arrays have shape (rows,), or (points, rows) where they are made so. `solver` gives what a
    search finds, from its loop and the values outside it.
    """
    slots: list[Any] = [None] * len(steps.operations)
    for i, (name, sources, parameter) in enumerate(steps.operations):
        done = steps.done[i]
        parts = [slots[s] for s in sources]
        spare = _spare([slots[s] for s in done], parts)
        match name:
            case "input":
                value = given[parameter]
            case "constant":
                value = np.float64(parameter)
            case "scale":
                value = np.multiply(parts[0], parameter, out=spare)
            case "times":
                value = np.multiply(parts[0], parts[1], out=spare)
            case "over":
                value = np.divide(parts[0], parts[1], out=spare)
            case "power":
                value = np.power(parts[0], parameter)
            case "square" | "sqrt" | "abs" | "sin" | "cos" | "tan":
                value = getattr(ARRAYS, name)(parts[0], out=spare)
            case "sum":
                signs, constant = parameter
                value = _sum(parts, signs, constant, spare)
            case "curve" | "curve_slope":
                value = getattr(ARRAYS, name)(parameter, parts[0])
            case "made_curve":
                value = _made_curve(parameter, tuple(parts[:-1]), parts[-1])
            case "loop" if solver is not None:
                value = solver(parameter, parts)
            case _:
                value = getattr(ARRAYS, name)(*parts)
        slots[i] = value
        for slot in done:
            slots[slot] = None
    return {name: slots[slot] for name, slot in steps.slots.items()}


def _spare(free: Sequence[Any], parts: Sequence[Any]) -> Any:
    """One of the free arrays that has the shape of what the parts give, None if none has."""
    arrays = [x for x in free if isinstance(x, np.ndarray)]
    if not arrays:
        return None
    most = max((x.shape for x in parts if isinstance(x, np.ndarray)), key=len)
    return next((x for x in arrays if x.shape == most), None)


def _sum(parts: Sequence[Any], signs: Sequence[int], constant: float, spare: Any) -> Any:
    """The parts added or taken away, plain numbers first; `spare` may be written over."""
    total: Any = np.float64(constant)
    arrays: list[tuple[int, Any]] = []
    for sign, part in zip(signs, parts, strict=True):
        if isinstance(part, np.ndarray):
            arrays.append((sign, part))
        else:
            total = total + part if sign > 0 else total - part
    if not arrays:
        return total
    # What is written over must be read first.
    arrays.sort(key=lambda pair: (pair[1] is not spare, -pair[0]))
    (sign, first), *rest = arrays
    if total == 0 and sign > 0 and rest:
        (sign, second), *rest = rest
        result = (np.add if sign > 0 else np.subtract)(first, second, out=spare)
    elif sign > 0:
        result = np.add(first, total, out=spare)
    else:
        result = np.subtract(total, first, out=spare)
    for sign, part in rest:
        (np.add if sign > 0 else np.subtract)(result, part, out=result)
    return result
