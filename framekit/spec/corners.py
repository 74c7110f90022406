"""The corners of a leftover as written → a simple polygon in mm, or what is wrong with it."""

from __future__ import annotations

from collections.abc import Callable

from framekit.spec.measure import Measure, MeasureError

MOST_CORNERS = 200
"""Corners that one leftover may have."""


def parse_corners(
    raw: object, length: Callable[[object], Measure]
) -> tuple[tuple[float, float], ...]:
    """The corners in mm, counter-clockwise; `length` reads one coordinate.

    Raises MeasureError where they are none, cross each other or have no area.
    """
    if not isinstance(raw, (list, tuple)) or not 3 <= len(raw) <= MOST_CORNERS:
        raise MeasureError(
            "the outline is no list of corners",
            f"Write 3 to {MOST_CORNERS} corners, [[x, y], …], in order round the piece.",
        )
    found = []
    for number, pair in enumerate(raw, 1):
        if not isinstance(pair, (list, tuple)) or len(pair) != 2:
            raise MeasureError(f"corner {number} is no pair of x and y", "Write [x, y].")
        try:
            found.append((length(pair[0]).value, length(pair[1]).value))
        except MeasureError as error:
            raise MeasureError(f"corner {number}: {error}", error.hint) from None
    sides = list(zip(found, found[1:] + found[:1], strict=True))
    for i, one in enumerate(sides):
        for j in range(i + 1, len(sides)):
            if j - i not in (1, len(sides) - 1) and _cross(*one, *sides[j]):
                raise MeasureError(
                    f"the outline crosses itself: its sides {i + 1} and {j + 1} meet",
                    "Name the corners in order round the piece.",
                )
    twice = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in sides)
    if abs(twice) < 2.0:
        raise MeasureError("the outline has no area", "Check its corners.")
    return tuple(found if twice > 0 else found[::-1])


_Pair = tuple[float, float]


def _cross(a: _Pair, b: _Pair, c: _Pair, d: _Pair) -> bool:
    """Whether the stretches from a to b and from c to d share a point."""

    def side(p: _Pair, q: _Pair, r: _Pair) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    def within(p: _Pair, q: _Pair, r: _Pair) -> bool:
        return min(p[0], q[0]) <= r[0] <= max(p[0], q[0]) and (
            min(p[1], q[1]) <= r[1] <= max(p[1], q[1])
        )

    s, t, u, v = side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
    if s * t < 0 and u * v < 0:
        return True
    return (
        (s == 0 and within(a, b, c))
        or (t == 0 and within(a, b, d))
        or (u == 0 and within(c, d, a))
        or (v == 0 and within(c, d, b))
    )
