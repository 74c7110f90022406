"""Convex chains of points, mm."""

from __future__ import annotations

from collections.abc import Iterable

from framekit.geometry.path import Point


def turn(a: Point, b: Point, c: Point) -> float:
    """Return twice the signed area in mm² of a triangle, positive counter-clockwise."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def chain(ordered: Iterable[Point], flat: float = 0.0) -> list[Point]:
    """Return the convex chain below sorted points, or above points sorted backwards.

    A corner whose `turn` is not over `flat` mm² is left out.
    """
    kept: list[Point] = []
    for p in ordered:
        while len(kept) > 1 and turn(kept[-2], kept[-1], p) <= flat:
            kept.pop()
        kept.append(p)
    return kept
