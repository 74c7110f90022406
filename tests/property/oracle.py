"""An independent look at a finished frame, from its result document alone.

Shares nothing with framekit: solids by manifold3d from the document's outlines, and plane
sections by shapely as a second witness.
"""

from __future__ import annotations

import math
from typing import Any

import manifold3d as m3
from shapely import Polygon, affinity
from shapely.geometry import box
from shapely.ops import unary_union

ALLOWED_OVERLAP = 2e-3
"""mm³: polylines lie up to 0.01 mm off the true arcs, and faces that touch share slivers."""


def plate(part: dict[str, Any], thickness: float, slide: float = 0.0) -> m3.Manifold:
    """The part's solid in the frame's axes, moved along its own x by `slide` mm."""
    rings = [[(x + slide, y) for x, y in ring] for ring in (part["outline"], *part["holes"])]
    section = m3.CrossSection(rings, m3.FillRule.EvenOdd)
    solid = m3.Manifold.extrude(section, thickness).translate((0, 0, -thickness / 2))
    return solid.transform([list(row) for row in part["pose"][:3]])


def faults(frame: dict[str, Any]) -> list[str]:
    """Everything wrong with a frame of a result document, as sentences."""
    q = {name: row["value"] for name, row in frame["quantities"].items()}
    t = q["sheet.thickness"]
    squeezed = min(t, q["joint.slot_width"])
    parts = frame["parts"]
    solids = {p["id"]: plate(p, squeezed) for p in parts}
    found = []
    for i, first in enumerate(parts):
        for second in parts[i + 1 :]:
            shared = (solids[first["id"]] ^ solids[second["id"]]).volume()
            if shared > ALLOWED_OVERLAP:
                found.append(f"{first['id']} and {second['id']} share {shared:.4f} mm³")
    found += _slides(parts, solids, squeezed, q)
    found += _outside(parts, q, t)
    found += _loose(parts, solids, squeezed, q)
    found += _sections(parts, q, squeezed)
    return found


def _slides(
    parts: list[dict[str, Any]], solids: dict[str, m3.Manifold], t: float, q: dict[str, float]
) -> list[str]:
    reach = q["model.equatorial_radius"]
    found = []
    for rib in (p for p in parts if p["kind"] == "rib"):
        for share in (0.002, 0.01, 0.05, 0.3, 1.0):
            moved = plate(rib, t, slide=share * reach)
            for other in parts:
                if other is rib:
                    continue
                shared = (moved ^ solids[other["id"]]).volume()
                if shared > ALLOWED_OVERLAP:
                    found.append(f"{rib['id']} hits {other['id']} while sliding")
    return found


def _outside(parts: list[dict[str, Any]], q: dict[str, float], t: float) -> list[str]:
    a, c = q["model.equatorial_radius"], q["model.polar_radius"]
    found = []
    for part in parts:
        z = part["pose"][2][3]
        for x, y in part["outline"]:
            if part["kind"] == "rib":
                inside = (x / a) ** 2 + (y / c) ** 2 <= 1 + 2 * 0.012 / min(a, c)
            else:
                level = (abs(z) + t / 2) / c
                inside = math.hypot(x, y) <= a * math.sqrt(max(0.0, 1 - level**2)) + 0.012
            if not inside:
                found.append(f"{part['id']} leaves the skin at {x:.3f}, {y:.3f}")
                break
    return found


def _loose(
    parts: list[dict[str, Any]], solids: dict[str, m3.Manifold], t: float, q: dict[str, float]
) -> list[str]:
    reach = q["joint.slot_width"] - t + 0.05
    groups = {p["id"]: p["id"] for p in parts}

    def root(name: str) -> str:
        while groups[name] != name:
            name = groups[name]
        return name

    for i, first in enumerate(parts):
        for second in parts[i + 1 :]:
            if solids[first["id"]].min_gap(solids[second["id"]], reach) < reach:
                groups[root(first["id"])] = root(second["id"])
    if len({root(p["id"]) for p in parts}) > 1:
        return ["the frame falls apart"]
    return []


def _sections(parts: list[dict[str, Any]], q: dict[str, float], t: float) -> list[str]:
    """At levels within each disc: the plan of the ribs there against the disc's plan."""
    found = []
    ribs = [p for p in parts if p["kind"] == "rib"]
    for disc in (p for p in parts if p["kind"] == "disc"):
        plan = Polygon(disc["outline"], disc["holes"])
        z = disc["pose"][2][3]
        for level in (-0.499, 0.0, 0.499):
            height = z + level * t
            cuts = []
            for rib in ribs:
                line = box(-1.0, height - 1e-7, 2 * q["model.equatorial_radius"], height + 1e-7)
                for piece in _pieces(Polygon(rib["outline"]).intersection(line)):
                    x0, _, x1, _ = piece.bounds
                    slab = box(x0, -t / 2, x1, t / 2)
                    angle = math.degrees(math.atan2(rib["pose"][1][0], rib["pose"][0][0]))
                    cuts.append(affinity.rotate(slab, angle, origin=(0, 0)))
            shared = unary_union(cuts).intersection(plan).area
            if shared > 1e-3:
                found.append(f"at {height:.2f} mm ribs and {disc['id']} share {shared:.4f} mm²")
    return found


def _pieces(shape: Any) -> list[Any]:
    return [g for g in getattr(shape, "geoms", [shape]) if not g.is_empty]
