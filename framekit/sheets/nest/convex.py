"""Cutting a simple polygon into a few convex pieces.

Ear clipping, then triangles are joined again wherever the union stays convex (Hertel and
Mehlhorn, "Fast triangulation of simple polygons", 1983): at most four times the fewest pieces.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
_Pair = tuple[float, float]


def convex_pieces(outline: Points) -> list[Points]:
    """Convex pieces, each a ccw (k, 2) array in mm, that together fill the ccw (n, 2) outline."""
    points = [(float(x), float(y)) for x, y in outline]
    if len(points) < 3:
        return []
    pieces = _join(points, _ears(points))
    return [np.array([points[i] for i in piece]) for piece in pieces]


def _cross(a: _Pair, b: _Pair, c: _Pair) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _inside(p: _Pair, a: _Pair, b: _Pair, c: _Pair) -> bool:
    return _cross(a, b, p) >= 0 and _cross(b, c, p) >= 0 and _cross(c, a, p) >= 0


def _ears(points: list[_Pair]) -> list[list[int]]:
    """Triangles as index triples; the fattest ear goes first so that slivers stay few."""
    ring = list(range(len(points)))
    triangles: list[list[int]] = []
    while len(ring) > 3:
        best, best_score = -1, -np.inf
        n = len(ring)
        reflex = [
            ring[i]
            for i in range(n)
            if _cross(points[ring[i - 1]], points[ring[i]], points[ring[(i + 1) % n]]) <= 0
        ]
        for i in range(n):
            ia, ib, ic = ring[i - 1], ring[i], ring[(i + 1) % n]
            a, b, c = points[ia], points[ib], points[ic]
            area = _cross(a, b, c)
            if area <= 0:
                continue
            length = (a[0] - c[0]) ** 2 + (a[1] - c[1]) ** 2
            score = -length
            if score <= best_score:
                continue
            if any(_inside(points[k], a, b, c) for k in reflex if k not in (ia, ib, ic)):
                continue
            best, best_score = i, score
        if best < 0:  # only flat corners are left: drop the flattest
            best = min(
                range(n),
                key=lambda i: abs(
                    _cross(points[ring[i - 1]], points[ring[i]], points[ring[(i + 1) % n]])
                ),
            )
            del ring[best]
            continue
        triangles.append([ring[best - 1], ring[best], ring[(best + 1) % n]])
        del ring[best]
    if _cross(points[ring[0]], points[ring[1]], points[ring[2]]) > 0:
        triangles.append(ring)
    return triangles


def _join(points: list[_Pair], triangles: list[list[int]]) -> list[list[int]]:
    """The triangles joined across shared edges while the union stays convex."""
    pieces: dict[int, list[int]] = dict(enumerate(triangles))
    edges: dict[tuple[int, int], int] = {}
    for name, piece in pieces.items():
        for i, a in enumerate(piece):
            edges[a, piece[(i + 1) % len(piece)]] = name
    diagonals = sorted(
        (a, b) for a, b in edges if a < b and (b, a) in edges and edges[a, b] != edges[b, a]
    )
    for a, b in diagonals:
        one, two = edges[a, b], edges[b, a]
        if one == two:
            continue
        union = _union(pieces[one], pieces[two], a, b)
        if not _is_convex(points, union):
            continue
        pieces[one] = union
        del pieces[two]
        for i, start in enumerate(union):
            edges[start, union[(i + 1) % len(union)]] = one
    return list(pieces.values())


def _union(one: list[int], two: list[int], a: int, b: int) -> list[int]:
    """The ring of `one`, which has the edge a to b, with `two` (edge b to a) let in there."""
    i = one.index(b)
    j = two.index(a)
    return one[i:] + one[:i] + (two[j:] + two[:j])[1:-1]


def _is_convex(points: list[_Pair], ring: list[int]) -> bool:
    n = len(ring)
    return all(
        _cross(points[ring[i - 1]], points[ring[i]], points[ring[(i + 1) % n]]) >= 0
        for i in range(n)
    )
