"""Posed plates, and how much two of them share.

Where two plates stand square to each other the shared volume is a plain integral: along the line
of both planes, the one's height in the other's thickness times the other's width in the one's.
Both are straight between corners, so two Gauss points a piece give it exactly. Any other pair is
swept to solids and cut by manifold3d.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import manifold3d as m3
import numpy as np
import shapely
from judge.cut_files import Array
from judge.pieces import polygons
from shapely import box

_GAUSS = (0.5 - 0.5 / np.sqrt(3.0), 0.5 + 0.5 / np.sqrt(3.0))
_FAR = 1e5


@dataclass(frozen=True)
class Plate:
    """A part of some thickness in mm in its place: the outline in its own plane, and its pose."""

    name: str
    kind: str
    shape: Any
    thickness: float
    pose: Array

    @property
    def normal(self) -> Array:
        """The unit vector square to the plate."""
        return self.pose[:3, 2]

    @property
    def origin(self) -> Array:
        """The middle of the plate's own axes in the frame's."""
        return self.pose[:3, 3]

    def along(self, first: Array, second: Array) -> Any:
        """The outline with coordinates along two directions in its plane, in the frame's axes."""
        own = self.pose[:3, :2].T @ np.stack([first, second], axis=1)
        start = np.array([self.origin @ first, self.origin @ second])
        return shapely.transform(self.shape, lambda points: points @ own + start)

    def turned(self, degrees: float) -> Plate:
        """The plate turned about its own origin, square to it."""
        c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
        turn = np.array([[c, -s, 0, 0], [s, c, 0, 0], [0, 0, 1, 0], [0, 0, 0, 1]])
        return Plate(self.name, self.kind, self.shape, self.thickness, self.pose @ turn)

    @cached_property
    def solid(self) -> Any:
        """The plate as a solid."""
        rings = [
            np.asarray(ring.coords)[:-1]
            for piece in polygons(self.shape)
            for ring in (piece.exterior, *piece.interiors)
        ]
        section = m3.CrossSection(rings, m3.FillRule.EvenOdd)
        solid = m3.Manifold.extrude(section, self.thickness).translate((0, 0, -self.thickness / 2))
        return solid.transform(self.pose[:3])


def across(a: Array, b: Array) -> Array:
    """The vector product of two vectors: numpy's own takes ten times as long for a single pair."""
    (x0, y0, z0), (x1, y1, z1) = a.tolist(), b.tolist()
    return np.array([y0 * z1 - z0 * y1, z0 * x1 - x0 * z1, x0 * y1 - y0 * x1])


def square(first: Plate, second: Plate) -> bool:
    """Whether two plates stand square to each other."""
    return abs(float(first.normal @ second.normal)) < 1e-9


def shared(first: Plate, second: Plate, reach: tuple[float, float] = (0.0, 0.0)) -> float:
    """The volume in mm³ that two plates share.

    For square plates `reach` is how far `second` is swept down and up along its own normal.
    """
    if square(first, second):
        strips = crossing(first, second, reach)
        return 0.0 if strips is None else _product(*strips)
    if abs(float(first.normal @ second.normal)) > 1 - 1e-12:
        away = abs(float((second.origin - first.origin) @ first.normal))
        deep = (first.thickness + second.thickness) / 2 - away
        if deep <= 0:
            return 0.0
        x, y = first.pose[:3, 0], first.pose[:3, 1]
        return float(first.along(x, y).intersection(second.along(x, y)).area) * deep
    return float((first.solid ^ second.solid).volume())


def crossing(
    first: Plate, second: Plate, reach: tuple[float, float] = (0.0, 0.0)
) -> tuple[Any, Any] | None:
    """What each of two square plates has in the other's thickness.

    Both with the line of both planes as x, and the other's normal as y; None where one has nothing.
    """
    line = across(first.normal, second.normal)
    one = _band(first.along(line, second.normal), second, reach)
    if one is None:
        return None
    two = _band(second.along(line, first.normal), first, (0.0, 0.0))
    return None if two is None else (one, two)


def _band(shape: Any, other: Plate, reach: tuple[float, float]) -> Any:
    middle = float(other.origin @ other.normal)
    low, high = middle - other.thickness / 2 - reach[0], middle + other.thickness / 2 + reach[1]
    x0, y0, x1, y1 = shape.bounds if not shape.is_empty else (0, 0, 0, 0)
    if y1 <= low or y0 >= high:
        return None
    found = shapely.intersection(shape, box(x0 - 1, low, x1 + 1, high))
    return None if found.area < 1e-9 else found


def _product(one: Any, two: Any) -> float:
    edges = [_edges(shape) for shape in (one, two)]
    cuts = np.unique(np.concatenate([np.ravel(e[:, :, 0]) for e in edges]))
    low, high = (f(shape.bounds[i] for shape in (one, two)) for f, i in ((max, 0), (min, 2)))
    cuts = cuts[(cuts >= low) & (cuts <= high)]
    if len(cuts) < 2:
        return 0.0
    wide = np.diff(cuts)
    total = 0.0
    for share in _GAUSS:
        at = cuts[:-1] + share * wide
        total += 0.5 * float(np.sum(wide * _lengths(edges[0], at) * _lengths(edges[1], at)))
    return total


def _edges(shape: Any) -> Array:
    """The edges of all rings, outer ones counter-clockwise and holes clockwise: (n, 2, 2)."""
    found = []
    for piece in polygons(shape):
        piece = shapely.orient_polygons(piece)
        for ring in (piece.exterior, *piece.interiors):
            points = np.asarray(ring.coords)
            found.append(np.stack([points[:-1], points[1:]], axis=1))
    return np.concatenate(found) if found else np.zeros((0, 2, 2))


def _lengths(edges: Array, at: Array) -> Array:
    """How much of each upright line at x = `at` lies within the rings."""
    (x0, y0), (x1, y1) = edges[:, 0].T[:, :, None], edges[:, 1].T[:, :, None]
    over = (np.minimum(x0, x1) <= at) & (at < np.maximum(x0, x1))
    y = y0 + (at - x0) / np.where(x1 == x0, 1.0, x1 - x0) * (y1 - y0)
    return np.sum(np.where(over, -np.sign(x1 - x0) * y, 0.0), axis=0)
