"""The clearance that a ring around a tilted body leaves for a stand's plates.

The body is lowered into its cradle, so a plate has to stay below the ring wherever one is over
it: what counts is the lower edge of the ring's section.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from framekit.errors import Fault, GeometryError
from framekit.geometry.hull import chain
from framekit.geometry.path import Point
from framekit.parts.display.cradle import TiltedBody
from framekit.parts.display.stand_shape import Obstacle, StandShape


def check_table_clearance(
    shape: StandShape,
    body: TiltedBody,
    origin: float,
    obstacles: Sequence[Obstacle],
    table: float,
) -> None:
    """Raise GeometryError for a ring that would touch the table; Z of the table in mm."""
    for o in obstacles:
        lowest = (
            (o.height - origin) * body.cos
            - o.outer * abs(body.sin)
            - o.thickness / 2 * abs(body.cos)
        )
        if lowest < table + shape.clearance:
            raise GeometryError(
                Fault(
                    "stand-obstacle-table",
                    f"The ring of radius {o.outer:.4g} mm would hang {table - lowest:.4g} mm "
                    "below the table."
                    if lowest < table
                    else f"The ring of radius {o.outer:.4g} mm would rest on the table.",
                    hint="Raise the foot height to "
                    f"{shape.foot_height + table + shape.clearance - lowest:.4g} mm or more.",
                )
            )


def lower_edges(
    o: Obstacle, body: TiltedBody, origin: float, shape: StandShape, plate: int, sign: float
) -> list[tuple[Point, ...]]:
    """Return the lower edges of a ring within a plate, on one side of it, grown by the clearance.

    Each is a chain of points, level place away from the middle and height, left to right.
    """
    h = o.height - origin
    thick, half = o.thickness / 2, shape.plate / 2
    if plate == 1:
        inner = math.sqrt(max(0.0, o.inner**2 - half**2))
        chains = []
        for first, last in ((inner, o.outer), (-o.outer, -inner)):
            corners = [
                (
                    sign * (b * body.sin + p * body.cos),
                    b * body.cos - p * body.sin,
                )
                for p in (first, last)
                for b in (h - thick, h + thick)
            ]
            chains.append(_lower_edge(corners, shape.clearance))
        return chains
    # Across the lean: all heights of ring points within the plate's faces, taken together.
    if abs(body.cos) > 1e-9:
        heights = [
            (b - x * body.sin) / body.cos for b in (h - thick, h + thick) for x in (-half, half)
        ]
    else:
        if not h - thick - half <= 0.0 <= h + thick + half:
            return []
        heights = [-math.inf, math.inf]
    most = o.outer * abs(body.sin) + abs(h * body.cos) + thick * abs(body.cos)
    low, high = max(min(heights), -most), min(max(heights), most)
    if low > high:
        return []
    sideways = max(abs(x * body.cos - z * body.sin) for x in (-half, half) for z in (low, high))
    inner = math.sqrt(max(0.0, o.inner**2 - sideways**2))
    corners = [(y, z) for y in (inner, o.outer) for z in (low, high)]
    return [_lower_edge(corners, shape.clearance)]


def _lower_edge(corners: list[Point], clearance: float) -> tuple[Point, ...]:
    """The lower edge of the convex figure with those corners, run on sideways and lowered."""
    below = chain(sorted(corners))
    if len(below) > 1 and below[1][0] - below[0][0] < 1e-9:
        below.pop(0)
    lowered = [(x, z - clearance) for x, z in below]
    first, last = lowered[0], lowered[-1]
    return ((first[0] - clearance, first[1]), *lowered, (last[0] + clearance, last[1]))


def lies_below(tops: tuple[Point, ...], floor: tuple[Point, ...]) -> bool:
    """Whether a plate's upper edge lies below a lower edge all along where both are."""
    for x, z in tops:
        if floor[0][0] <= x <= floor[-1][0] and z > _height_on(floor, x):
            return False
    return not any(tops[0][0] <= x <= tops[-1][0] and z < _height_on(tops, x) for x, z in floor)


def _height_on(chain: tuple[Point, ...], x: float) -> float:
    """The greatest height of a chain of points, left to right, at a level place on it."""
    heights = []
    for (a, low), (b, high) in pairwise(chain):
        if a - 1e-9 <= x <= b + 1e-9:
            if b - a < 1e-9:
                heights += [low, high]
            else:
                heights.append(low + (high - low) * min(max((x - a) / (b - a), 0.0), 1.0))
    return max(heights)
