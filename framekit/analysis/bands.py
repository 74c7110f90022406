"""The margins of a sweep's rows over the tolerances, proved as for a single frame."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from framekit.analysis.model import Bands
from framekit.constraints.arrays import ARRAYS
from framekit.constraints.uncertainty import Toleranced, worst_case
from framekit.solution.checks import untold_inputs, verdict_of
from framekit.solution.model import FrameSolution, MarginUse
from framekit.solution.relations import as_meant

Key = tuple[str, str]
Rows = NDArray[np.float64]


def find_bands(
    frame: FrameSolution,
    uses: Iterable[tuple[MarginUse, NDArray[np.bool_]]],
    values: Mapping[str, Any],
    margins: Mapping[Key, Any],
    known: Collection[str],
    valid: NDArray[np.bool_],
) -> Bands:
    """Return the bands of margins whose laws hold in the rows beside them.

    `values` has the laws' inputs by name, `margins` each check's as drawn, in mm. What is made and
    in `known` is what the rows say, without a tolerance.
    """
    drawn = {key: np.broadcast_to(margin, valid.shape) for key, margin in margins.items()}
    low = {key: np.full(valid.shape, np.inf) for key in drawn}
    high = {key: np.full(valid.shape, np.inf) for key in drawn}
    with_law: set[Key] = set()
    untold = np.zeros(valid.shape, dtype=bool)
    exact = tuple(
        item._replace(tolerance=0.0, sigma=0.0, told=True) if item.made in known else item
        for item in frame.toleranced
    )
    for use, where in uses:
        key = (use.code, use.about)
        with_law.add(key)
        rows = np.flatnonzero(where & valid)
        inputs = as_meant(exact, use.renamed)
        untold[rows] |= bool(untold_inputs(use, inputs))
        least, most = _band(use, inputs, values, rows, valid.size)
        low[key][rows] = np.minimum(low[key][rows], least)
        high[key][rows] = np.minimum(high[key][rows], most)
    for key in drawn.keys() - with_law:  # what is laid on a sheet has no law and no tolerance
        low[key][:] = high[key][:] = drawn[key]
    for found in (*low.values(), *high.values()):
        found[~valid] = np.nan
    verdicts = _verdicts(drawn, low, untold, valid)
    for array in (*low.values(), *high.values(), verdicts):
        array.flags.writeable = False
    return Bands(low, high, verdicts)


def _band(
    use: MarginUse,
    toleranced: tuple[Toleranced, ...],
    values: Mapping[str, Any],
    rows: NDArray[np.intp],
    count: int,
) -> tuple[Rows, Rows]:
    """The low and high of a margin in some of the rows; rows of the same inputs are found once."""
    if not any(i.tolerance > 0 and i.made in use.form.inputs for i in toleranced):
        columns = [np.broadcast_to(values[name], (count,))[rows] for name in use.names]
        with np.errstate(all="ignore"):
            exact = np.broadcast_to(use.form.function(ARRAYS, *columns), rows.shape)
        return exact, exact
    inputs = [np.broadcast_to(values[name], (count,))[rows].tolist() for name in use.names]
    seen: dict[tuple[float, ...], tuple[float, float]] = {}
    found = np.empty((rows.size, 2))
    for row, numbers in enumerate(zip(*inputs, strict=True)):
        if numbers not in seen:
            here = dict(zip(use.form.inputs, numbers, strict=True))
            made = tuple(i._replace(value=here[i.made]) for i in toleranced if i.made in here)
            spread = worst_case(use.form, here, made)
            seen[numbers] = (spread.low, spread.high)
        found[row] = seen[numbers]
    return found[:, 0], found[:, 1]


def _verdicts(
    drawn: Mapping[Key, Rows],
    low: Mapping[Key, Rows],
    untold: NDArray[np.bool_],
    valid: NDArray[np.bool_],
) -> NDArray[np.str_]:
    """A row's verdict is that of the worst of its margins; `untold` as in `verdict_of`."""
    least = np.min(list(drawn.values()), axis=0)
    lowest = np.min(list(low.values()), axis=0)
    return np.array(
        [
            verdict_of(float(margin), float(end), bool(open_)) if there else "no frame"
            for margin, end, open_, there in zip(least, lowest, untold, valid, strict=True)
        ]
    )
