"""A seeded walk over orders and turns: many quick layouts of one sheet, the best are kept."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

from framekit.sheets.grid import Angles, Grid, Layout, Order

SEED = 20111


@dataclass(frozen=True)
class Walk:
    """Different good layouts of one walk, best first."""

    layouts: tuple[Layout, ...]


def walk_length(
    grid: Grid,
    order: Order,
    limit: float,
    passes: int,
    keep: int,
    heard: Callable[[int, float], None],
) -> list[Layout]:
    """The shortest layouts of the whole order found in `passes` tries, best first.

    None goes past x = `limit` mm. `heard` gets the pass and the best right end in mm so far.
    """
    rng = random.Random(SEED)
    now, bound = list(order), limit
    found: list[Layout] = []
    for done in range(passes):
        trial = _changed(now, grid.angles, rng) if found or done else now
        slack = SLACK if rng.random() < 0.3 else 0.01
        layout = grid.lay(trial, min(bound + slack, limit), must=True)
        if layout is None:
            if not found:
                now = trial
            continue
        now, bound = trial, layout.right
        found.append(layout)
        heard(done, min(f.right for f in found))
    return _different(sorted(found, key=lambda f: f.right), keep)


SLACK = 3.0


def _changed(order: Order, angles: list[Angles], rng: random.Random) -> Order:
    """The order after one to three swaps or changes of turns."""
    order = list(order)
    for _ in range(rng.choice((1, 1, 2, 3))):
        if rng.random() < 0.4 and len(order) > 1:
            i, j = rng.sample(range(len(order)), 2)
            order[i], order[j] = order[j], order[i]
        else:
            i = rng.randrange(len(order))
            every = angles[order[i][0]]
            order[i] = order[i][0], every if rng.random() < 0.3 else (rng.choice(every),)
    return order


def _different(layouts: list[Layout], keep: int) -> list[Layout]:
    chosen: list[Layout] = []
    seen: set[tuple[object, ...]] = set()
    for layout in layouts:
        cells = tuple(sorted(layout.cells, key=lambda c: (c.column, c.row)))
        if cells not in seen:
            seen.add(cells)
            chosen.append(layout)
        if len(chosen) == keep:
            break
    return chosen
