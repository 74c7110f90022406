"""In which order the parts of a sheet are cut."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shapely import Polygon

from framekit.sheets.model import Placement


def cutting_order(placements: Sequence[Placement]) -> tuple[Placement, ...]:
    """The placements so that what lies in a part's hole is cut before that part.

    Otherwise the nearest part is next, counted from the sheet's origin; a part that is cut free
    may shift, and takes what lies in its hole along.
    """
    rings = [Polygon(p.outline.outer.polyline) for p in placements]
    inside = [
        {j for j, ring in enumerate(rings) if j != i and ring.area < rings[i].area
         and rings[i].contains(ring)}
        for i in range(len(placements))
    ]  # fmt: skip
    left = set(range(len(placements)))
    order: list[int] = []
    x, y = 0.0, 0.0
    while left:
        free = [i for i in left if not inside[i] & left]
        chosen = min(free, key=lambda i: (round(_distance(placements[i], x, y), 6), i))
        order.append(chosen)
        left.remove(chosen)
        start = placements[chosen].outline.outer.vertices[0]
        x, y = start.x, start.y
    return tuple(placements[i] for i in order)


def _distance(placement: Placement, x: float, y: float) -> float:
    start = placement.outline.outer.vertices[0]
    return math.dist((x, y), (start.x, start.y))
