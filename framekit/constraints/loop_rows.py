"""A search done for many rows at once with numpy: every row as the scalar search would do it.

Each row's range is sampled for changes of sign on a grid (points, rows), in pieces that keep the
memory bounded, and all brackets found are refined together, each until it is narrow enough.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from framekit.constraints.arrays import ARRAYS
from framekit.constraints.loops import IDLE, IDLE_SHARE, Loop, sides, span_of
from framekit.constraints.roots import (
    DIPS,
    FITS,
    GOLDEN,
    HIT,
    MOST_STEPS,
    ROUNDING,
    SAME,
    SAMPLES,
)

Floats = NDArray[np.float64]
Places = NDArray[np.intp]
Misfit = Callable[[Floats, Places], Floats]

BLOCK_ROWS = 16384
"""Rows searched at once, so that a few arrays of them stay near the processor."""
GRID_ROWS = 256
"""Rows sampled at once: a grid of them takes 0.3 MB, so that the arrays stay near the processor."""
_SHARES = np.arange(SAMPLES)[:, np.newaxis] / (SAMPLES - 1)


class _Found(NamedTuple):
    """What sampling shows: an entry for each point that is a root, change of sign and turn.

    `row` counts within the block, `point` is that at the high end; a root itself has `low` equal
    to `high`, a turn has both ends of one sign. Roots nearer to each other than `SAME` of `gap`,
    which is the distance to the point before, are one. Shape (found,) each.
    """

    row: Places
    point: Places
    low: Floats
    at_low: Floats
    high: Floats
    at_high: Floats
    gap: Floats


def solve_rows(loop: Loop, values: Mapping[str, Any]) -> Any:
    """The unknown in each row, NaN where none, several or every value fits; shape (rows,).

    `values` are those outside the block by name, arrays of shape (rows,) or plain numbers; where
    all are plain the result is too.
    """
    arrays = [x for x in values.values() if isinstance(x, np.ndarray)]
    rows = max((x.size for x in arrays), default=1)
    found = np.empty(rows)
    with np.errstate(all="ignore"):
        for start in range(0, rows, BLOCK_ROWS):
            found[start : start + BLOCK_ROWS] = _solve_block(
                loop, _part(values, start, start + BLOCK_ROWS), min(BLOCK_ROWS, rows - start)
            )
    return found if arrays else np.float64(found[0])


def _part(values: Mapping[str, Any], start: int, stop: int) -> dict[str, Any]:
    return {
        n: x[start:stop] if isinstance(x, np.ndarray) else np.float64(x) for n, x in values.items()
    }


def _picked(values: Mapping[str, Any], rows: Places) -> dict[str, Any]:
    return {n: x[rows] if isinstance(x, np.ndarray) else x for n, x in values.items()}


def _sides(loop: Loop, values: Mapping[str, Any], x: Floats) -> tuple[Floats, Floats]:
    """Both sides of the law left over at `x`, in its shape: (points, rows) or (rows,)."""
    first, second = sides(loop, ARRAYS, values, x)
    return np.broadcast_to(first, x.shape), np.broadcast_to(second, x.shape)


def _solve_block(loop: Loop, values: Mapping[str, Any], rows: int) -> Floats:
    scale = np.broadcast_to(
        np.max([np.broadcast_to(np.abs(values[n]), (rows,)) for n in loop.outside], axis=0),
        (rows,),
    )
    idle = np.zeros(rows, dtype=np.bool_)
    pieces = []
    for start in range(0, rows, GRID_ROWS):
        stop = min(start + GRID_ROWS, rows)
        part = _part(values, start, stop)
        piece, idle[start:stop] = _sampled(loop, part, scale[start:stop], stop - start)
        pieces.append(piece._replace(row=piece.row + start))
    found = _Found(*(np.concatenate(column) for column in zip(*pieces, strict=True)))

    def misfit(x: Floats, row: Places) -> Floats:
        first, second = _sides(loop, _picked(values, row), x)
        return first - second

    found = _with_dips(misfit, found)
    single = found.low == found.high
    root = found.high.copy()
    open_ = np.flatnonzero(~single)
    root[open_] = _refined(misfit, found, open_)
    at_root = np.abs(misfit(root[open_], found.row[open_]))
    root[open_[~(at_root <= FITS * scale[found.row[open_]])]] = np.nan
    one = _single_roots(found, root, rows)
    one[idle] = np.nan
    return one


def _sampled(
    loop: Loop, values: Mapping[str, Any], scale: Floats, rows: int
) -> tuple[_Found, NDArray[np.bool_]]:
    """What the points of each row show, and the rows in which the law holds whatever the value."""
    span = span_of(loop, ARRAYS, values)
    x = np.empty((SAMPLES, rows))
    x[...] = span.at(ARRAYS, _SHARES)
    first, second = _sides(loop, values, x)
    y = first - second
    size = np.abs(y)
    known = np.isfinite(y)
    fits = size <= IDLE * (np.abs(first) + np.abs(second))
    total = np.count_nonzero(known, axis=0)
    idle = (total > 0) & (np.count_nonzero(fits & known, axis=0) >= IDLE_SHARE * total)
    hit = size <= HIT * scale
    plain = known & ~hit
    negative = y < 0
    change = plain[1:] & plain[:-1] & (negative[1:] != negative[:-1])
    hits, brackets = np.nonzero(hit), np.nonzero(change)
    dips, below, above = _turns(y, size, known, negative, hit)
    point = np.concatenate([hits[0], brackets[0] + 1, above])
    row = np.concatenate([hits[1], brackets[1], dips[1]])
    before = np.concatenate([hits[0], brackets[0], below])
    high = x[point, row]
    gap = np.where(point > 0, high - x[np.maximum(point - 1, 0), row], np.inf)
    return _Found(row, point, x[before, row], y[before, row], high, y[point, row], gap), idle


def _turns(
    y: Floats,
    size: Floats,
    known: NDArray[np.bool_],
    negative: NDArray[np.bool_],
    hit: NDArray[np.bool_],
) -> tuple[tuple[Places, Places], Places, Places]:
    """Where `roots.turns` is so: point and row, and the points below and above that it lies in."""
    step = np.abs(y[1:] - y[:-1])
    same = known[1:] & known[:-1] & (negative[1:] == negative[:-1])
    falls = same & (size[1:] <= size[:-1])
    rises = same & (size[:-1] <= size[1:])
    near = known & ~hit
    near[1:] &= falls | ~known[:-1]
    near[:-1] &= rises | ~known[1:]
    reach = np.zeros_like(y)
    np.copyto(reach[1:], step, where=falls)
    np.maximum(reach[:-1], step, out=reach[:-1], where=rises)
    point, row = np.nonzero(near & (size <= reach))
    last = y.shape[0] - 1
    below = np.where((point > 0) & known[point - 1, row], point - 1, point)
    above = np.minimum(point + 1, last)
    above = np.where(known[above, row], above, point)
    return (point, row), below, above


def _with_dips(misfit: Misfit, found: _Found) -> _Found:
    """What was found, with each possible dip replaced by the two changes of sign it has, if any."""
    dip = (found.low != found.high) & ((found.at_low < 0) == (found.at_high < 0))
    if not dip.any():
        return found
    rest = _Found(*(column[~dip] for column in found))
    row, point, a, fa, b, fb, gap = (column[dip] for column in found)
    sign = np.where(fa < 0, -1.0, 1.0)
    first, second = b - GOLDEN * (b - a), a + GOLDEN * (b - a)
    at_first, at_second = misfit(first, row), misfit(second, row)
    pairs = [rest]
    for _ in range(DIPS):
        left, right = sign * at_first <= 0, sign * at_second <= 0
        over = left | right
        if over.any():
            x, y = np.where(left, first, second)[over], np.where(left, at_first, at_second)[over]
            at = row[over], point[over]
            pairs.append(_Found(*at, a[over], fa[over], x, y, gap[over]))
            pairs.append(_Found(*at, x, y, b[over], fb[over], np.spacing(x)))
        go = ~over & np.isfinite(at_first) & np.isfinite(at_second)
        if not go.any():
            break
        row, point, sign, gap = row[go], point[go], sign[go], gap[go]
        a, fa, b, fb = a[go], fa[go], b[go], fb[go]
        first, second, at_first, at_second = (
            column[go] for column in (first, second, at_first, at_second)
        )
        lower = sign * at_first < sign * at_second
        a, fa = np.where(lower, a, first), np.where(lower, fa, at_first)
        b, fb = np.where(lower, second, b), np.where(lower, at_second, fb)
        kept, at_kept = np.where(lower, first, second), np.where(lower, at_first, at_second)
        fresh = np.where(lower, b - GOLDEN * (b - a), a + GOLDEN * (b - a))
        at_fresh = misfit(fresh, row)
        first, at_first = np.where(lower, fresh, kept), np.where(lower, at_fresh, at_kept)
        second, at_second = np.where(lower, kept, fresh), np.where(lower, at_kept, at_fresh)
    return _Found(*(np.concatenate(column) for column in zip(*pairs, strict=True)))


def _refined(misfit: Misfit, found: _Found, live: Places) -> Floats:
    """The roots in the brackets `live` of those found, NaN where a value is missing on the way.

    Chandrupatla, Advances in Engineering Software 28, 1997, on all brackets by turns; those that
    are done drop out.
    """
    root = np.full(found.row.size, np.nan)
    all_live = live
    a, fa, b, fb = found.low[live], found.at_low[live], found.high[live], found.at_high[live]
    share = np.full(live.size, 0.5)
    best = a
    for _ in range(MOST_STEPS):
        if not live.size:
            break
        x = a + share * (b - a)
        y = misfit(x, found.row[live])
        same = (y < 0) == (fa < 0)
        c, fc = np.where(same, a, b), np.where(same, fa, fb)
        b, fb = np.where(same, b, a), np.where(same, fb, fa)
        a, fa = x, y
        first = np.abs(fa) < np.abs(fb)
        best, at_best = np.where(first, a, b), np.where(first, fa, fb)
        room = np.abs(b - a)
        limit = ROUNDING * np.abs(best) + 1e-300
        known = np.isfinite(y)
        done = known & ((at_best == 0.0) | (room <= 2 * limit))
        root[live[done]] = best[done]
        go = known & ~done
        if not go.all():
            live, best = live[go], best[go]
            a, fa, b, fb, c, fc = (column[go] for column in (a, fa, b, fb, c, fc))
            room, limit = room[go], limit[go]
        share = _shares(a, fa, b, fb, c, fc, limit / room)
    root[live] = best
    return root[all_live]


def _shares(
    a: Floats, fa: Floats, b: Floats, fb: Floats, c: Floats, fc: Floats, least: Floats
) -> Floats:
    """How far from a to b the next point lies: by inverse quadratic interpolation, or half way."""
    xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
    smooth = (1 - np.sqrt(1 - xi) < phi) & (phi < np.sqrt(xi)) & (fc != fa)
    share = fa / (fb - fa) * fc / (fb - fc)
    share += (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return np.where(smooth, np.minimum(1 - least, np.maximum(least, share)), 0.5)


def _single_roots(found: _Found, root: Floats, rows: int) -> Floats:
    """The root of each row that has one and no other, NaN elsewhere; shape (rows,)."""
    kept = np.flatnonzero(~np.isnan(root))
    kept = kept[np.lexsort((root[kept], found.row[kept]))]
    row, x = found.row[kept], root[kept]
    again = np.zeros(kept.size, dtype=np.bool_)
    again[1:] = (row[1:] == row[:-1]) & (x[1:] - x[:-1] <= SAME * found.gap[kept][1:])
    count = np.bincount(row[~again], minlength=rows)
    one = np.full(rows, np.nan)
    one[row[~again]] = x[~again]
    one[count != 1] = np.nan
    return one
