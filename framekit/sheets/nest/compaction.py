"""Squeezing a layout: all parts of one sheet move and turn a little at once, again and again.

Each round is a linear programme after Li and Milenkovic, "Compaction and separation algorithms
for non-convex polygons" (1995), here with small turns as well: for each pair of convex pieces
near each other the line that parts them best must go on parting them. Turns are linearised, so
the last rounds only move; what comes out is still to be verified on the exact outlines.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from framekit.sheets.nest.shapes import Points, SearchShape, turned
from framekit.sheets.nest.simplex import least_cost

Floats = NDArray[np.float64]

GAP = 2e-4
"""What the programme keeps between parts, in mm, for the rounding of coordinates."""
DECIMALS = 4
"""Places kept of mm and degrees."""
_SIDEWAYS = 0.002
_PULL = 0.02


@dataclass(frozen=True)
class Spot:
    """A shape's place: its number, the reference point in mm on the sheet, the turn in degrees."""

    shape: int
    x: float
    y: float
    angle: float


@dataclass(frozen=True)
class Frame:
    """The room on a sheet: parts stay in margin ≤ x and margin ≤ y ≤ top; all mm."""

    margin: float
    top: float


def used_right(spots: list[Spot], shapes: list[SearchShape]) -> float:
    """The rightmost x in mm of the exact outlines; 0 for none."""
    return max((s.x + shapes[s.shape].extent(s.angle)[2] for s in spots), default=0.0)


def compact(spots: list[Spot], shapes: list[SearchShape], frame: Frame, rounds: int) -> list[Spot]:
    """The spots squeezed to the left in at most `rounds` rounds; the last two only move.

    Legal for the shapes' pieces up to rounding when the spots were; otherwise the caller's check
    will show it.
    """
    best, reach = spots, 6.0
    best_right = used_right(spots, shapes)
    now = spots
    for k in range(rounds):
        moved = _round(now, shapes, frame, reach, turning=True)
        if moved is None:
            reach /= 2
            if reach < 0.3:
                break
            continue
        gain = used_right(now, shapes) - used_right(moved, shapes)
        now = moved
        if gain < 0.3:
            reach *= 0.6
        if reach < 0.3 and k > 2:
            break
    for _ in range(3):
        settled = _round(now, shapes, frame, 1.5, turning=False)
        if settled is None:
            break
        now = settled
    else:
        if used_right(now, shapes) < best_right:
            best = now
    return best


def _round(
    spots: list[Spot], shapes: list[SearchShape], frame: Frame, reach: float, turning: bool
) -> list[Spot] | None:
    """The spots after one linear programme in which no point moves much more than `reach` mm."""
    n = len(spots)
    size = 3 * n + 1
    radii = np.array([shapes[s.shape].radius for s in spots])
    right = used_right(spots, shapes)
    rows, limits = _walls(spots, shapes, frame, reach, right, radii)
    pair_rows, pair_limits = _pairs(spots, shapes, reach, radii)
    cost = np.full(size, _SIDEWAYS)
    cost[0 : 3 * n : 3] = _PULL
    cost[2 : 3 * n : 3] = _SIDEWAYS / 10
    cost[-1] = 1.0
    box = np.full(size, reach)
    still = np.array([not turning or shapes[s.shape].round for s in spots])
    box[2 : 3 * n : 3] = np.where(still, 0.0, reach)
    point = least_cost(
        cost, np.concatenate([rows, pair_rows]), np.concatenate([limits, pair_limits]), box
    )
    if point is None:
        return None
    step = point[:-1].reshape(n, 3)
    return [
        replace(
            s,
            x=round(s.x + float(dx), DECIMALS),
            y=round(s.y + float(dy), DECIMALS),
            angle=round(s.angle + math.degrees(float(da) / float(radius)), DECIMALS) % 360.0,
        )
        for s, (dx, dy, da), radius in zip(spots, step, radii, strict=True)
    ]


def _walls(
    spots: list[Spot],
    shapes: list[SearchShape],
    frame: Frame,
    reach: float,
    right: float,
    radii: Floats,
) -> tuple[Floats, Floats]:
    """Inequalities that keep the outlines on the sheet and left of the moving right edge."""
    n = len(spots)
    rows, limits = [], []
    sides = ((-1.0, 0.0, -frame.margin), (1.0, 0.0, right), (0.0, -1.0, -frame.margin))
    for i, spot in enumerate(spots):
        arms = turned(shapes[spot.shape].exact, spot.angle)
        for nx, ny, limit in (*sides, (0.0, 1.0, frame.top)):
            room = limit - (arms[:, 0] + spot.x) * nx - (arms[:, 1] + spot.y) * ny
            near = np.flatnonzero(room < 2.5 * reach)
            if len(near) > 6:
                near = near[np.argsort(room[near], kind="stable")][
                    np.linspace(0, len(near) - 1, 6).astype(int)
                ]
            for k in near:
                row = np.zeros(3 * n + 1)
                row[3 * i], row[3 * i + 1] = nx, ny
                row[3 * i + 2] = (arms[k, 0] * ny - arms[k, 1] * nx) / radii[i]
                if nx > 0:
                    row[-1] = -1.0
                rows.append(row)
                limits.append(room[k] - GAP)
    return np.array(rows).reshape(-1, 3 * n + 1), np.array(limits)


def _padded(pieces: tuple[Points, ...]) -> Floats:
    """The pieces as one (p, v, 2) array; short ones repeat their last corner."""
    most = max(len(piece) for piece in pieces)
    return np.stack([np.concatenate([q, np.repeat(q[-1:], most - len(q), axis=0)]) for q in pieces])


def _pairs(
    spots: list[Spot], shapes: list[SearchShape], reach: float, radii: Floats
) -> tuple[Floats, Floats]:
    """Inequalities that keep each pair of neighbouring pieces on two sides of a line."""
    near = 2.5 * reach
    width = 3 * len(spots) + 1
    places = np.array([(s.x, s.y) for s in spots])
    all_rows, all_limits = [np.zeros((0, width))], [np.zeros(0)]
    for ones, twos, first, second in _neighbours(spots, shapes, near):
        normal, gap, points = _parting(first, second)
        for k in range(gap.shape[1]):
            chosen = np.flatnonzero(gap[:, k] < near)
            lines = np.arange(len(chosen))
            rows = np.zeros((len(chosen), width))
            n = normal[chosen]
            for part, sign in ((ones[chosen], 1.0), (twos[chosen], -1.0)):
                arm = points[chosen, k] - places[part]
                rows[lines, 3 * part] = sign * n[:, 0]
                rows[lines, 3 * part + 1] = sign * n[:, 1]
                twist = arm[:, 0] * n[:, 1] - arm[:, 1] * n[:, 0]
                rows[lines, 3 * part + 2] = sign * twist / radii[part]
            all_rows.append(rows)
            all_limits.append(gap[chosen, k] - GAP)
    return np.concatenate(all_rows), np.concatenate(all_limits)


_Group = tuple[NDArray[np.int64], NDArray[np.int64], Floats, Floats]


def _neighbours(spots: list[Spot], shapes: list[SearchShape], near: float) -> list[_Group]:
    """Pairs of pieces of two parts whose boxes are less than `near` mm apart.

    Grouped by the pieces' number of corners: the parts' numbers (k,), the pieces (k, v, 2).
    """
    padded = {number: _padded(shapes[number].pieces) for number in {s.shape for s in spots}}
    bodies = []
    for spot in spots:
        corners = padded[spot.shape]
        flat = turned(corners.reshape(-1, 2), spot.angle) + np.array([spot.x, spot.y])
        bodies.append(flat.reshape(corners.shape))
    low = [body.min(axis=1) for body in bodies]
    high = [body.max(axis=1) for body in bodies]
    lows = np.array([each.min(axis=0) for each in low])
    highs = np.array([each.max(axis=0) for each in high])
    apart = np.maximum(lows[None] - highs[:, None], lows[:, None] - highs[None]).max(axis=2)
    groups: dict[tuple[int, int], list[_Group]] = {}
    for i, j in np.argwhere(np.triu(apart < near, 1)):
        between = np.maximum(low[j][None] - high[i][:, None], low[i][:, None] - high[j][None])
        p, q = np.nonzero(between.max(axis=2) < near)
        key = bodies[i].shape[1], bodies[j].shape[1]
        groups.setdefault(key, []).append(
            (np.full(len(p), i), np.full(len(p), j), bodies[i][p], bodies[j][q])
        )
    return [
        (
            np.concatenate([g[0] for g in group]),
            np.concatenate([g[1] for g in group]),
            np.concatenate([g[2] for g in group]),
            np.concatenate([g[3] for g in group]),
        )
        for group in groups.values()
    ]


def _parting(one: Floats, two: Floats) -> tuple[Floats, Floats, Floats]:
    """The best parting edge of each of k pairs of pieces, (k, v, 2) and (k, w, 2).

    Gives the unit normal from one to two (k, 2), and for the two nearest corners their distances
    (k, 2) in mm, negative when they overlap, and their places (k, 2, 2).
    """
    n1, g1, c1 = _edges(one, two)
    n2, g2, c2 = _edges(two, one)
    first = (g1[:, 0] >= g2[:, 0])[:, None]
    normal = np.where(first, n1, -n2)
    return normal, np.where(first, g1, g2), np.where(first[..., None], c1, c2)


def _edges(one: Floats, two: Floats) -> tuple[Floats, Floats, Floats]:
    """The edge of `one` that is farthest from all of `two`: its normal, gaps and corners."""
    run = np.roll(one, -1, axis=1) - one
    length = np.hypot(run[..., 0], run[..., 1])
    safe = np.where(length > 1e-9, length, 1.0)
    normals = np.stack([run[..., 1], -run[..., 0]], axis=-1) / safe[..., None]
    offset = (normals * one).sum(axis=2)
    gaps = np.einsum("kec,kvc->kev", normals, two) - offset[..., None]
    least = np.where(length > 1e-9, gaps.min(axis=2), -np.inf)
    edge = least.argmax(axis=1)
    rows = np.arange(len(one))
    distance = gaps[rows, edge]
    order = _two_least(distance)
    return (
        normals[rows, edge],
        np.take_along_axis(distance, order, axis=1),
        np.take_along_axis(two, order[..., None], axis=1),
    )


def _two_least(values: Floats) -> NDArray[np.int64]:
    """The columns of the two least values in each row of a (k, v) array, (k, 2)."""
    rows = np.arange(len(values))
    least = values.argmin(axis=1)
    others = values.copy()
    others[rows, least] = np.inf
    return np.stack([least, others.argmin(axis=1)], axis=1)
