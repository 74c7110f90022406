"""A frame solved for many values at once: arrays in, arrays of quantities and margins out.

This is the one module of the stage that stands on numpy, so nothing that a check needs imports it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from framekit.analysis.bands import find_bands
from framekit.analysis.build import solve_spec
from framekit.analysis.inputs import (
    domain_margins,
    frame_values,
    images_of,
    input_named,
    program_of,
    refuse_unknown,
    variable_inputs,
)
from framekit.analysis.model import Bands, Sweep
from framekit.bodies.model import Skin
from framekit.constraints.arrays import ARRAYS as ARRAYS
from framekit.constraints.arrays import run_rows
from framekit.constraints.loop_rows import solve_rows
from framekit.constraints.loops import Loop
from framekit.constraints.program import make_program
from framekit.errors import Fault, SolveError
from framekit.solution.checks import ROUNDING
from framekit.solution.fitting import RIB_REACHES, TURNS, disc_room, rib_room, room_of, round_parts
from framekit.solution.limits import limit_values
from framekit.solution.longitudes import least_angle, longitudes_of
from framekit.solution.margins_in_force import margin_uses
from framekit.solution.model import FrameSolution, MarginUse, Solution
from framekit.spec.model import FrameSpec, Spec
from framekit.spec.sections import MOST_RIBS

Rows = NDArray[np.float64]
Key = tuple[str, str]

BORE_LAWS = ("bore-wall", "feature-bore")
"""Margins that a disc has only where it has a bore."""


def solve_many(
    spec: Spec | Solution | FrameSolution,
    inputs: Mapping[str, ArrayLike],
) -> Sweep:
    """The solutions of a frame with some inputs replaced by arrays of values.

    `inputs` are arrays of one length, or single numbers, by the name of an input that the spec
    gives or that has a default, in mm, degrees or plain. `sheet.thickness`, `cutter.kerf` and
    `joint.clearance` are those of the design: the file is drawn anew for each, and what is made
    is as drawn. `made.thickness`, `made.kerf` and `made.clearance` are the real ones: the file
    stays and the sheet or the cut differs. `rib.count` is the spec's `ribs.count`: whole numbers
    of places spread evenly round the circle. Where a sector is cut away fewer ribs stand, and the
    result's `rib.count` is of those; a row in which fewer than two are left has no frame.
    What is found by a search is searched for in every row; where it finds no value, or several,
    the row has no frame.

    Each row has a verdict, and each margin its proved low and high over the tolerances of the spec;
    what is swept as made is what it is, without a tolerance.

    Raises ValueError where lengths differ or values are not finite, UnknownNameError for a name
    that is no input, and SolveError where an input cannot vary or as `solve` does.
    """
    frame = _frame_of(spec)
    swept, rows = _arrays(frame, inputs)
    values: dict[str, Any] = {n: np.float64(x) for n, x in frame_values(frame).items()}
    values.update(swept)
    design = [name for name in swept if not name.startswith("made.")]
    noted: list[str] = []

    def solve_loop(loop: Loop, outside: Mapping[str, Any]) -> Any:
        found = solve_rows(loop, outside)
        if np.isnan(found).any():
            noted.append("loop")
        return found

    searching = SimpleNamespace(**vars(ARRAYS), solve_loop=solve_loop)
    with np.errstate(
        invalid="call",
        divide="call",
        over="call",
        under="ignore",
        call=lambda kind, _: noted.append(kind),
    ):
        values.update(run_rows(program_of(frame, design), searching, values))
        for item in frame.toleranced:
            if item.made not in swept:
                values[item.made] = values[item.quantity]
        values.update(limit_values(ARRAYS, frame.structure, values))
        valid = _valid(frame, values, rows)
        uses = _uses(frame, values, rows)
        margins = _margins(frame, uses, values, rows)
    if noted:
        for name in frame.quantities:
            valid &= np.isfinite(values[name])
        for margin in margins.values():
            valid &= ~np.isnan(margin)
    quantities = {name: values[name] for name in frame.quantities}
    drawn = dict(margins)

    def bands() -> Bands:
        there = [(use, _where(use, where, values, rows)) for use, where in uses]
        return find_bands(frame, there, values, drawn, swept, valid)

    return _sweep(swept, quantities, margins, valid, bands)


def _frame_of(spec: Spec | Solution | FrameSolution) -> FrameSolution:
    if isinstance(spec, FrameSolution):
        return spec
    solution = solve_spec(spec) if isinstance(spec, Spec) else spec
    if len(solution.frames) != 1:
        raise ValueError("the spec has several frames: give one of `solution.frames`")
    return solution.frames[0]


def _arrays(frame: FrameSolution, inputs: Mapping[str, ArrayLike]) -> tuple[dict[str, Any], int]:
    """The inputs as arrays or floats under the names the laws use, and the number of rows."""
    known = (*variable_inputs(frame), *(item.made for item in frame.toleranced), "rib.count")
    swept: dict[str, Any] = {}
    rows = None
    for text, given in inputs.items():
        name = input_named(frame, text)
        refuse_unknown(frame, name, known)
        value = np.asarray(given, dtype=np.float64)
        if value.ndim > 1 or value.size == 0:
            raise ValueError(f"{name} has the shape {value.shape}; give one row of numbers")
        if not np.isfinite(value).all():
            raise ValueError(f"{name} holds a number that is not finite")
        if value.ndim == 1:
            if rows not in (None, value.size):
                raise ValueError(f"{name} has {value.size} values and another input {rows}")
            rows = value.size
        for same in (name, *images_of(frame, name)):
            swept[same] = value if value.ndim else np.float64(value)
    if "rib.count" in swept:
        swept["rib.count"], swept["rib.angle"] = _standing(frame, swept["rib.count"])
    return swept, rows or 1


def _standing(frame: FrameSolution, places: Any) -> tuple[Any, Any]:
    """How many ribs stand in each row and the least angle between them, NaN where too few do."""
    if frame.spec.ribs.longitudes is not None:
        raise SolveError(
            Fault(
                "held-by-others",
                "rib.count cannot vary: the spec lists each rib's longitude",
                frame.spec.where("ribs", "longitudes"),
                "Write 'count' instead of 'longitudes'.",
            )
        )
    if np.any((places != np.round(places)) | (places < 2) | (places > MOST_RIBS)):
        raise ValueError(f"rib.count takes whole numbers from 2 to {MOST_RIBS}")
    kinds, of = np.unique(places, return_inverse=True)
    found = np.array([_ribs_of(frame.spec, int(count)) for count in kinds]).T
    counts, angles = found[:, of.reshape(np.shape(places))]
    return counts, angles


def _ribs_of(spec: FrameSpec, places: int) -> tuple[float, float]:
    """How many ribs of so many places stand, and the least angle between them in degrees."""
    ribs = spec.ribs.model_copy(update={"count": places})
    try:
        longitudes = longitudes_of(replace(spec, ribs=ribs))
    except SolveError:
        return math.nan, math.nan
    return float(len(longitudes)), least_angle(longitudes)


def _valid(frame: FrameSolution, values: Mapping[str, Any], rows: int) -> NDArray[np.bool_]:
    """Where every row's frame exists, shape (rows,)."""
    valid: NDArray[np.bool_] = np.ones(rows, dtype=np.bool_)
    valid &= ~np.isnan(values["rib.count"])
    for margin in domain_margins(ARRAYS, frame.structure, values, frame.quantities).values():
        if isinstance(margin, np.ndarray) or not margin > 0:
            valid &= margin > 0
    return valid


def _uses(
    frame: FrameSolution, values: Mapping[str, Any], rows: int
) -> list[tuple[MarginUse, NDArray[np.bool_] | None]]:
    """The margins that any row has, each with its rows, None for all of them."""
    uses: dict[tuple[str, str, str], tuple[MarginUse, Any]] = {}
    for where, sample in _patterns(frame, values, rows):
        for use in margin_uses(frame.structure, sample):
            key = (use.code, use.about, use.law)
            known = uses.get(key)
            both = where if known is None or where is None else known[1] | where
            uses[key] = (use, both)
    return list(uses.values())


def _where(
    use: MarginUse, where: NDArray[np.bool_] | None, values: Mapping[str, Any], rows: int
) -> NDArray[np.bool_]:
    """The rows that have a margin, shape (rows,)."""
    found: NDArray[np.bool_] = np.ones(rows, dtype=np.bool_) if where is None else where
    if use.law in BORE_LAWS:
        found = found & (values[use.about + ".bore_radius"] > 0)
    return found


def _margins(
    frame: FrameSolution,
    uses: list[tuple[MarginUse, NDArray[np.bool_] | None]],
    values: dict[str, Any],
    rows: int,
) -> dict[Key, Any]:
    """The margins by code and about, the least where several laws give one; shape (rows,) or ()."""
    found: dict[Key, Any] = {}
    names = dict.fromkeys(name for use, _ in uses for name in use.names)
    steps = [(_result(use), use.form, use.names) for use, _ in uses]
    results = run_rows(make_program(tuple(names), (), steps), ARRAYS, values)
    for use, where in uses:
        margin = results[_result(use)]
        if use.law in BORE_LAWS:
            bore = values[use.about + ".bore_radius"]
            margin = np.where(bore > 0, margin, np.inf)
        if where is not None:
            margin = np.where(where, margin, np.inf)
        _keep(found, (use.code, use.about), margin)
    ribs = _ribs_fit(frame.structure.skin, values, room_of(frame.spec), rows)
    _keep(found, ("fits-stock", "ribs"), ribs)
    room = room_of(frame.spec, discs=True)
    for about, name in round_parts(frame.structure):
        _keep(found, ("fits-stock", about), disc_room(values[name], room))
    return found


def _keep(found: dict[Key, Any], key: Key, margin: Any) -> None:
    found[key] = np.minimum(found[key], margin) if key in found else margin


def _result(use: MarginUse) -> str:
    return f"{use.law} of {use.about}"


def _patterns(
    frame: FrameSolution, values: Mapping[str, Any], rows: int
) -> Iterator[tuple[NDArray[np.bool_] | None, dict[str, float]]]:
    """Rows whose discs lie in one order, None for all rows, and the heights of one such row.

    The bore's radius in it is the greatest of all rows.
    """
    names = [f"{disc.name}.height" for disc in frame.structure.discs]
    heights = _heights(frame, [values[name] for name in names], rows)
    bores = {
        name: float(np.fmax.reduce(values[name], axis=None))
        for name in (f"{disc.name}.bore_radius" for disc in frame.structure.discs)
    }
    first = [float(h[0]) if isinstance(h, np.ndarray) else float(h) for h in heights]
    ranked = sorted(range(len(first)), key=lambda i: (first[i], i))
    steady = all(
        np.all(heights[low] < heights[high] if low > high else heights[low] <= heights[high])
        for low, high in pairwise(ranked)
    )
    if steady:
        yield None, dict(zip(names, first, strict=True)) | bores
        return
    table = np.stack([np.broadcast_to(h, (rows,)) for h in heights], axis=1)
    orders = np.argsort(table, axis=1, kind="stable")
    _, starts, kinds = np.unique(orders, axis=0, return_index=True, return_inverse=True)
    for kind, start in enumerate(starts):
        sample = dict(zip(names, table[start].tolist(), strict=True))
        yield kinds.reshape(-1) == kind, sample | bores


def _heights(frame: FrameSolution, heights: list[Any], rows: int) -> list[Any]:
    """Return the discs' heights, those of the frame itself in rows where one was not found."""
    lost = np.zeros(rows, dtype=np.bool_)
    for height in heights:
        lost |= np.isnan(height)
    if not lost.any():
        return heights
    own = (frame.value(f"{disc.name}.height") for disc in frame.structure.discs)
    return [np.where(lost, one, height) for one, height in zip(own, heights, strict=True)]


def _ribs_fit(skin: Skin, values: Mapping[str, Any], room: tuple[float, float], rows: int) -> Any:
    """What a rib leaves of the room in mm, turned where it fits neither lying nor standing."""
    best = np.maximum(*(rib_room(ARRAYS, skin, values, room, degrees) for degrees in (0, 90)))
    bad = np.flatnonzero(best < 0)
    if bad.size:
        known = ("model.equatorial_radius", "model.polar_radius", "rib.pole_gap", "rib.height")
        names = [n for n in (*known, *RIB_REACHES) if n in values]
        some = {n: np.broadcast_to(values[n], (rows,))[bad] for n in names} if best.ndim else values
        turned = np.max([rib_room(ARRAYS, skin, some, room, degrees) for degrees in TURNS], axis=0)
        if best.ndim:
            best[bad] = np.maximum(best[bad], turned)
        else:
            best = np.maximum(best, turned)
    return best


def _sweep(
    swept: Mapping[str, Any],
    quantities: dict[str, Any],
    margins: dict[Key, Any],
    valid: NDArray[np.bool_],
    bands: Callable[[], Bands],
) -> Sweep:
    rows = valid.size
    least = np.full(rows, np.inf)
    for margin in margins.values():
        np.minimum(least, margin, out=least)
    if not valid.all():
        for name, value in quantities.items():
            if isinstance(value, np.ndarray) and name not in swept:
                quantities[name] = np.where(valid, value, np.nan)
        margins = {key: np.where(valid, margin, np.nan) for key, margin in margins.items()}
    return Sweep(
        rows=rows,
        quantities={
            name: _locked(value, rows) if isinstance(value, np.ndarray) else float(value)
            for name, value in quantities.items()
        },
        margins={key: _locked(margin, rows) for key, margin in margins.items()},
        as_drawn=valid & (least >= -ROUNDING),
        valid=valid,
        find_bands=bands,
    )


def _locked(value: Any, rows: int) -> Rows:
    """A view of the array, or of a number repeated, shape (rows,), that cannot be written to."""
    view = np.broadcast_to(value, (rows,))
    view.flags.writeable = False
    return view
