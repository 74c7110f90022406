"""A small linear programme solver: boxed variables, a few dozen of them, many inequalities.

The dual simplex method for bounded variables (Lemke 1954; Chvátal, "Linear Programming", 1983,
chapters 8 and 10), on a dense dictionary. Starting at the corner of the box that is best for the
cost alone, it repairs one broken inequality at a time.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_BROKEN = 1e-9
_SMALL = 1e-10


def least_cost(cost: Floats, rows: Floats, limits: Floats, reach: Floats) -> Floats | None:
    """The (n,) point z of least cost·z with rows·z ≤ limits and -reach ≤ z ≤ reach.

    `rows` is (m, n), `limits` (m,), `cost` and `reach` (n,). None when no such point exists or
    rounding stops the search.
    """
    m, n = rows.shape
    low = np.concatenate([-reach, np.zeros(m)])
    high = np.concatenate([reach, np.full(m, np.inf)])
    table = rows.astype(np.float64).copy()  # basic = constant - table @ free
    price = cost.astype(np.float64).copy()
    free, basic = np.arange(n), np.arange(n, n + m)
    free_at_low = price >= 0
    free_value = np.where(free_at_low, -reach, reach)
    value = limits - table @ free_value
    for _ in range(60 * n):
        below, above = low[basic] - value, value - high[basic]
        worst = np.maximum(below, above)
        r = int(worst.argmax()) if m else -1
        if r < 0 or worst[r] <= _BROKEN:
            return _point(n, free, free_value, basic, value)
        rising = below[r] > 0
        pull = -table[r] if rising else table[r]
        able = np.where(free_at_low, pull > _SMALL, pull < -_SMALL)
        able &= high[free] > low[free]
        if not able.any():
            return None
        ratio = np.where(able, np.abs(price) / np.where(able, np.abs(pull), 1.0), np.inf)
        least = ratio.min()
        ties = ratio <= least + 1e-12
        q = int(np.where(ties, np.abs(pull), 0.0).argmax())
        _pivot(table, price, r, q, (free, free_value), (basic, value), low if rising else high)
        free_at_low[q] = rising
    return None


def _pivot(
    table: Floats,
    price: Floats,
    r: int,
    q: int,
    free: tuple[NDArray[np.int64], Floats],
    basic: tuple[NDArray[np.int64], Floats],
    bound: Floats,
) -> None:
    """Let the free variable in column q take the place of the basic one in row r, in place."""
    free_name, free_value = free
    basic_name, value = basic
    pivot = float(table[r, q])
    column, row = table[:, q].copy(), table[r] / pivot
    goal = float(bound[basic_name[r]])
    shift = (float(value[r]) - goal) / pivot
    value -= column * shift
    value[r] = free_value[q] + shift
    free_value[q] = goal
    basic_name[r], free_name[q] = free_name[q], basic_name[r]
    cost = float(price[q])
    column[r] = 0.0
    table -= column[:, None] * row
    table[:, q] = -column / pivot
    table[r] = row
    table[r, q] = 1.0 / pivot
    price -= cost * row
    price[q] = -cost / pivot


def _point(
    n: int,
    free: NDArray[np.int64],
    free_value: Floats,
    basic: NDArray[np.int64],
    value: Floats,
) -> Floats:
    point = np.zeros(n + len(basic))
    point[free], point[basic] = free_value, value
    return point[:n]
