"""The rib's finished outline: skin outside, inner edge with a notch for every disc.

In the rib's plane x is the distance from the body's axis and y the height, both in mm.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from framekit.errors import Fault, GeometryError
from framekit.geometry.arcfit import ellipse_arcs
from framekit.geometry.path import Outline, Path, Point, Vertex


class Notch(NamedTuple):
    """A notch open toward the axis: mid-height, width, and the radius it reaches, in mm.

    `floor` are the vertices beyond its mouth from above to below, y from the mid-height, where
    they are not those of a square notch.
    """

    height: float
    width: float
    reach: float
    floor: tuple[Vertex, ...] = ()


class RibShape(NamedTuple):
    """What decides a rib: semi-axes of skin and inner edge, pole gap and notches, in mm."""

    a: float
    c: float
    inner_a: float
    inner_c: float
    pole_gap: float
    notches: tuple[Notch, ...]


def rib_outline(shape: RibShape) -> Outline:
    """The outline of a rib, counter-clockwise from its lower end.

    Raises GeometryError when notches overlap each other or cut through to the skin.
    """
    top = math.acos(shape.pole_gap / shape.a)
    vertices = list(ellipse_arcs(shape.a, shape.c, -top, top))
    vertices[-1] = Vertex(vertices[-1].x, vertices[-1].y, 0.0)
    end = vertices[-1].y
    height = end
    for notch in sorted(shape.notches, key=lambda n: -n.height):
        upper, lower = notch.height + notch.width / 2, notch.height - notch.width / 2
        if upper >= height or lower <= -end:
            raise GeometryError(
                Fault(
                    "notches-meet",
                    f"the notch at height {notch.height:.4g} mm meets another or the rib's end",
                    hint="Move the disc, or make it thinner.",
                )
            )
        for y in (upper, lower):
            if notch.reach >= shape.a * math.sqrt(max(0.0, 1 - (y / shape.c) ** 2)):
                raise GeometryError(
                    Fault(
                        "notch-through-skin",
                        f"the notch at height {notch.height:.4g} mm cuts the rib in two",
                        hint="Use a smaller engagement or wider ribs there.",
                    )
                )
        vertices += _inner_edge(shape, height, upper)
        if notch.reach > vertices[-1].x:
            vertices += [Vertex(notch.reach, upper), Vertex(notch.reach, lower)]
        vertices.append(Vertex(_inner_x(shape, lower), lower))
        height = lower
    vertices += _inner_edge(shape, height, -end)
    return Outline(Path(_joined(vertices)))


def _inner_x(shape: RibShape, y: float) -> float:
    under = max(0.0, (shape.inner_c - y) * (shape.inner_c + y))
    return max(shape.pole_gap, shape.inner_a * math.sqrt(under) / shape.inner_c)


def _inner_edge(shape: RibShape, start: float, stop: float) -> list[Vertex]:
    """The inner edge downward from one height to another, the start point included."""
    gap = shape.pole_gap
    bend = 0.0
    if shape.inner_a > gap:
        bend = shape.inner_c * math.sqrt(1 - (gap / shape.inner_a) ** 2)
    vertices = [Vertex(_inner_x(shape, start), start)]
    upper, lower = min(start, bend), max(stop, -bend)
    if upper > lower + 1e-9:
        first, last = (math.asin(max(-1.0, min(1.0, y / shape.inner_c))) for y in (upper, lower))
        vertices += ellipse_arcs(shape.inner_a, shape.inner_c, first, last)
    vertices.append(Vertex(_inner_x(shape, stop), stop))
    return vertices


def _joined(vertices: list[Vertex]) -> tuple[Vertex, ...]:
    """The vertices without those that repeat the one before, the last against the first too."""
    kept: list[Vertex] = []
    for vertex in vertices:
        if kept and _same(kept[-1][:2], vertex[:2]):
            kept[-1] = Vertex(kept[-1].x, kept[-1].y, vertex.bulge)
        else:
            kept.append(vertex)
    if _same(kept[-1][:2], kept[0][:2]):
        kept.pop()
    return tuple(kept)


def _same(first: Point, second: Point) -> bool:
    return math.dist(first, second) < 1e-7
