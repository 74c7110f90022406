"""The order of all runs on a sheet, so that the head travels little between them.

Marks come first, then cuts. Both start from the nearest path each time and are mended by 2-opt
exchanges and moves of single paths, as for an open tour of a travelling salesman (Croes, "A method
for solving traveling-salesman problems", Operations Research 6 (1958) 791; moving one stop is the
simplest case of Or's exchange, 1976; both from memory). Where each closed path starts is then best
for that order, found by dynamic programming (Bellman, 1957), and the two are done in turns.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from framekit.geometry.path import Path, Point
from framekit.sheets.model import Placement, Run
from framekit.sheets.route.cuts import CutStep, cut_steps

Array = NDArray[np.float64]

ORIGIN: Point = (0.0, 0.0)
"""Where the head starts: the sheet's lower left corner."""
GAIN = 1e-6
"""mm; a change that saves less is none."""
WORK = 1.2e7
"""Exchanges looked at for one sheet's marks or cuts; a sheet of many runs is mended less."""
ROUNDS = 6


class _Stroke(NamedTuple):
    """A mark on the sheet: which one, and its path."""

    placement: int
    number: int
    path: Path


def plan_runs(placements: Sequence[Placement]) -> tuple[Run, ...]:
    """The runs of a sheet in order: all marks, then all cuts, with their starts on the sheet."""
    strokes = [
        _Stroke(n, k, mark)
        for n, placement in enumerate(placements)
        for k, mark in enumerate(placement.marks)
    ]
    marks, end = _marks(strokes)
    return (*marks, *_cuts(cut_steps(placements), end))


def _marks(strokes: Sequence[_Stroke]) -> tuple[list[Run], Point]:
    """The marks in order, each from either end, and where the last one ends."""
    if not strokes:
        return [], ORIGIN
    heads = np.array([s.path.vertices[0][:2] for s in strokes])
    tails = np.array(
        [s.path.vertices[0 if s.path.closed else -1][:2] for s in strokes], dtype=np.float64
    )
    order, turned = _nearest_strokes(heads, tails)
    order, turned = _mended_strokes(order, turned, heads, tails)
    runs = []
    end = ORIGIN
    for i, back in zip(order, turned, strict=True):
        start, end = (tails[i], heads[i]) if back else (heads[i], tails[i])
        point = (float(start[0]), float(start[1]))
        # A closed mark ends where it starts, whichever way it is run.
        backward = bool(back) and not strokes[i].path.closed
        runs.append(Run(strokes[i].placement, "mark", strokes[i].number, point, backward))
    return runs, (float(end[0]), float(end[1]))


def _nearest_strokes(heads: Array, tails: Array) -> tuple[list[int], list[bool]]:
    left = np.ones(len(heads), dtype=np.bool_)
    at = np.array(ORIGIN)
    order, turned = [], []
    for _ in range(len(heads)):
        near = np.stack([np.hypot(*(heads - at).T), np.hypot(*(tails - at).T)])
        near = np.where(left, np.round(near, 6), math.inf)
        side, i = divmod(int(near.argmin()), len(heads))
        order.append(i)
        turned.append(side == 1)
        left[i] = False
        at = heads[i] if side == 1 else tails[i]
    return order, turned


def _mended_strokes(
    order: list[int], turned: list[bool], heads: Array, tails: Array
) -> tuple[list[int], list[bool]]:
    """The order after 2-opt: a stretch of strokes is run backward, each stroke too."""
    n = len(order)
    back = np.array(turned)
    first = np.where(back[:, None], tails[order], heads[order])
    last = np.where(back[:, None], heads[order], tails[order])
    places = np.array(order)
    for _ in range(int(WORK / n**2)):
        gains = _reversal_gains(first, last, ORIGIN)
        i, j = divmod(int(gains.argmax()), n)
        if gains[i, j] <= GAIN:
            break
        span = slice(i, j + 1)
        first[span], last[span] = last[span][::-1].copy(), first[span][::-1].copy()
        places[span], back[span] = places[span][::-1].copy(), ~back[span][::-1]
    return places.tolist(), back.tolist()


def _reversal_gains(first: Array, last: Array, start: Point) -> Array:
    """The mm saved by running stops i to j backward, shape (n, n), no gain where j < i."""
    before = np.vstack([np.array(start), last[:-1]])
    now = np.hypot(*(first - before).T)
    leave = np.append(now[1:], 0.0)
    to_last = np.hypot(before[:, None, 0] - last[None, :, 0], before[:, None, 1] - last[None, :, 1])
    onward = np.zeros((len(first), len(first)))
    if len(first) > 1:
        onward[:, :-1] = np.hypot(
            first[:, None, 0] - first[None, 1:, 0], first[:, None, 1] - first[None, 1:, 1]
        )
    gains = now[:, None] + leave[None, :] - to_last - onward
    return np.asarray(np.round(np.triu(gains), 9))


def _cuts(cuts: Sequence[CutStep], start: Point) -> list[Run]:
    """The cuts in order with their starts; what must come before comes before."""
    if not cuts:
        return []
    options = [np.array(cut.starts, dtype=np.float64) for cut in cuts]
    order = _nearest_cuts(cuts, options, start)
    points, length = _best_starts(order, options, start)
    for _ in range(ROUNDS):
        trial = _mended_cuts(order, points, cuts, start)
        found, shorter = _best_starts(trial, options, start)
        if shorter > length - GAIN:
            break
        order, points, length = trial, found, shorter
    return [
        Run(
            cuts[i].placement,
            cuts[i].operation,
            cuts[i].path,
            (float(points[i][0]), float(points[i][1])),
        )
        for i in order
    ]


def _nearest_cuts(cuts: Sequence[CutStep], options: Sequence[Array], start: Point) -> list[int]:
    left = set(range(len(cuts)))
    at = np.array(start)
    order: list[int] = []
    while left:
        free = [i for i in sorted(left) if not cuts[i].before & left]
        nearest = [(round(float(np.hypot(*(options[i] - at).T).min()), 6), i) for i in free]
        _, i = min(nearest)
        order.append(i)
        left.remove(i)
        at = options[i][int(np.hypot(*(options[i] - at).T).argmin())]
    return order


def _best_starts(
    order: Sequence[int], options: Sequence[Array], start: Point
) -> tuple[dict[int, Array], float]:
    """The start of each cut that makes the travel in this order least, and that travel in mm."""
    at, cost = np.array([start]), np.zeros(1)
    came: list[NDArray[np.int64]] = []
    for i in order:
        there = options[i]
        whole = cost[:, None] + np.hypot(
            at[:, None, 0] - there[None, :, 0], at[:, None, 1] - there[None, :, 1]
        )
        came.append(np.round(whole, 9).argmin(axis=0))
        cost, at = whole.min(axis=0), there
    chosen: dict[int, Array] = {}
    k = int(np.round(cost, 9).argmin())
    length = float(cost[k])
    for i, back in zip(reversed(order), reversed(came), strict=True):
        chosen[i] = options[i][k]
        k = int(back[k])
    return chosen, length


def _mended_cuts(
    order: Sequence[int], points: dict[int, Array], cuts: Sequence[CutStep], start: Point
) -> list[int]:
    """The order after reversals of stretches and moves of single cuts, at fixed starts."""
    n = len(order)
    places = list(order)
    for _ in range(int(WORK / n**2)):
        stops = np.array([points[i] for i in places])
        reverse = np.where(_may_reverse(places, cuts), _reversal_gains(stops, stops, start), 0.0)
        move = np.where(_may_move(places, cuts), _move_gains(stops, start), 0.0)
        i, j = divmod(int(reverse.argmax()), n)
        k, to = divmod(int(move.argmax()), n + 1)
        if max(reverse[i, j], move[k, to]) <= GAIN:
            break
        if reverse[i, j] >= move[k, to]:
            places[i : j + 1] = places[i : j + 1][::-1]
            continue
        taken = places.pop(k)
        places.insert(to if to <= k else to - 1, taken)
    return places


def _bounds(
    places: Sequence[int], cuts: Sequence[CutStep]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The first and the last position that each stop may have while the others stay, shape (n,)."""
    n = len(places)
    at = {cut: position for position, cut in enumerate(places)}
    first, last = np.zeros(n, dtype=np.int64), np.full(n, n, dtype=np.int64)
    for position, cut in enumerate(places):
        for earlier in cuts[cut].before:
            first[position] = max(first[position], at[earlier] + 1)
            last[at[earlier]] = min(last[at[earlier]], position)
    return first, last


def _may_reverse(places: Sequence[int], cuts: Sequence[CutStep]) -> NDArray[np.bool_]:
    """Whether no stop must come before another in stops i to j, shape (n, n)."""
    reach = np.maximum.accumulate(_bounds(places, cuts)[0])
    return np.asarray(np.arange(len(places))[:, None] >= reach[None, :])


def _may_move(places: Sequence[int], cuts: Sequence[CutStep]) -> NDArray[np.bool_]:
    """Whether stop k may stand before what is now stop `to`, shape (n, n + 1)."""
    first, last = _bounds(places, cuts)
    to = np.arange(len(places) + 1)[None, :]
    return np.asarray((to >= first[:, None]) & (to <= last[:, None]))


def _move_gains(stops: Array, start: Point) -> Array:
    """The mm saved by moving stop k to before stop `to`, shape (n, n + 1)."""
    n = len(stops)
    before = np.vstack([np.array(start), stops[:-1]])
    legs = np.hypot(*(stops - before).T)
    after = np.append(legs[1:], 0.0)
    bridge = np.zeros(n)
    if n > 1:
        bridge[:-1] = np.hypot(*(stops[1:] - before[:-1]).T)
    saved = legs + after - bridge
    apart = np.hypot(stops[:, None, 0] - stops[None, :, 0], stops[:, None, 1] - stops[None, :, 1])
    to_before = np.hypot(
        stops[:, None, 0] - before[None, :, 0], stops[:, None, 1] - before[None, :, 1]
    )
    cost = np.zeros((n, n + 1))
    cost[:, :n] = to_before + apart - legs[None, :]
    cost[:, n] = apart[:, n - 1]
    gains = saved[:, None] - cost
    # Before itself or before the next one is where it stands.
    k = np.arange(n)
    gains[k, k] = 0.0
    gains[k, k + 1] = 0.0
    return np.asarray(np.round(gains, 9))
