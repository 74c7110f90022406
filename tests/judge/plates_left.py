"""What is left of discs and flanges: between slots, outside mortises, round a bore."""

from __future__ import annotations

import math
from itertools import combinations
from typing import Any

from judge.joints import TOLERANCE
from judge.pieces import Corner, polygons
from judge.scene import Case
from shapely import LinearRing, Polygon


def webs(case: Case, corner: Corner) -> list[str]:
    """Discs and flanges that come apart, or lose a tooth, where a circle of a web does not go."""
    found = []
    seen: dict[int, str] = {}
    for name, place in case.places.items():
        if place.kind not in ("disc", "flange") or name not in case.paths:
            continue
        shape = case.made(name, corner)
        if id(shape) not in seen:
            limit = case.told.materials["rib"].web * case.told.sheets["rib"].value
            seen[id(shape)] = _thin(shape, limit)
        if seen[id(shape)]:
            found.append(f"{name} {seen[id(shape)]}")
    return found


def _thin(shape: Any, web: float) -> str:
    radius = web / 2 - TOLERANCE / 2
    eroded = shape.buffer(-radius)
    count = len(polygons(eroded))
    if count != 1:
        return f"comes apart where it is narrower than {web:.2f} mm"
    lost = polygons(shape.difference(eroded.buffer(radius + 0.02)))
    for piece in lost:
        x0, y0, x1, y1 = piece.bounds
        if max(x1 - x0, y1 - y0) > web * 1.2:
            return f"has a piece narrower than {web:.2f} mm at {x0:.1f}, {y0:.1f}"
    return ""


def walls(case: Case, corner: Corner) -> list[str]:
    """Bores and mortises that leave too little between each other or to the edge."""
    told = case.told
    thick = told.sheets["rib"].value
    wall, web = told.materials["rib"].wall * thick, told.materials["rib"].web * thick
    found = []
    for name, place in case.places.items():
        if place.kind != "disc" or name not in case.paths:
            continue
        for piece in polygons(case.made(name, corner)):
            edge = LinearRing(piece.exterior)
            rings = [LinearRing(r) for r in piece.interiors]
            bore = [round_about(r) for r in rings]
            for ring, is_bore in zip(rings, bore, strict=True):
                left = ring.distance(edge)
                asked = wall if is_bore else web
                if left < asked - TOLERANCE:
                    found.append(f"{name} keeps {left:.2f} mm outside a hole, not {asked:.2f}")
            for (one, a), (two, b) in combinations(zip(rings, bore, strict=True), 2):
                left, asked = one.distance(two), wall if a or b else web
                if left < asked - TOLERANCE:
                    found.append(f"{name} keeps {left:.2f} mm between holes, not {asked:.2f}")
    return found


def round_about(ring: Any) -> bool:
    """Whether a hole is a circle: as large as the circle about it."""
    hole = Polygon(ring)
    x0, y0, x1, y1 = hole.bounds
    radius = max(x1 - x0, y1 - y0) / 2
    return bool(hole.area > 0.99 * math.pi * radius**2)
