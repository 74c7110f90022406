"""Whether a frame that hangs hangs from parts that are held, and well above its centre of mass."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from judge.cut_files import Array
from judge.pieces import NOMINAL, polygons
from judge.plates import Plate, shared
from judge.plates_left import round_about
from judge.scene import Case
from shapely import Polygon

DENSITIES = {
    "birch-plywood": 680.0,
    "sanded-plywood": 600.0,
    "mdf": 750.0,
    "hdf": 880.0,
    "cast-acrylic": 1190.0,
    "extruded-acrylic": 1190.0,
    "card": 700.0,
    "cardboard": 150.0,
}
"""kg/m³, of docs/reference/catalogue.md; those of plywood differ by thickness, by 5 % at most."""
LEAST_RISE = 0.05
"""Of the frame's height, between its centre of mass and what it hangs from: less and it turns over
in a draught. A choice of the project, no source."""
PULL = 1.0
"""mm that a part moves up before something stops it, if it is held: more than any play."""
STEADY = 5.0
"""Degrees the frame may rest off the asked tilt: densities differ, see above, and a pair of ribs of
an uneven frame does not straddle the plumb line."""


def hangs_ill(case: Case) -> list[str]:
    """What is wrong with how a frame hangs, as drawn."""
    spec = case.told.spec
    if "hang" not in spec:
        return []
    hang = spec["hang"] or {}
    wide, tilt = float(hang.get("hole", 4.0)), float(hang.get("tilt", 0.0))
    plates = [p for p in case.plates(NOMINAL) if p.kind != "stand"]
    eyes = [(p, eye) for p in plates for eye in _eyes(p, wide)]
    if not eyes:
        return [f"no part has a hole of {wide:g} mm to hang by"]
    centre = _centre(case, plates)
    # A bore may be as wide as the hole: what hangs is the highest against the pull.
    point = np.mean([eye for _, eye in eyes], axis=0)
    pull = point - centre
    rise = float(np.linalg.norm(pull))
    heights = [z for p in plates for z in _heights(p)]
    asked = LEAST_RISE * (max(heights) - min(heights))
    found = []
    if rise < asked:
        found.append(f"hangs {rise:.3f} mm above its centre of mass, less than {asked:.2f}")
    else:
        seen = float(np.degrees(np.arccos(np.clip(pull[2] / rise, -1, 1))))
        if abs(seen - tilt) > STEADY:
            found.append(f"hangs {seen:.1f}° from upright, not {tilt:g}°")
    pull = np.array([0.0, 0.0, -1.0 if tilt > 90 else 1.0]) if rise < 1e-9 else pull / rise
    for part in {eye_part.name: eye_part for eye_part, _ in eyes}.values():
        pose = part.pose.copy()
        pose[:3, 3] += PULL * pull
        moved = replace(part, pose=pose)
        if not any(shared(moved, other) > 1e-3 for other in plates if other.name != part.name):
            found.append(f"hangs from {part.name}, which nothing holds")
    return found


def _eyes(plate: Plate, wide: float) -> list[Array]:
    """The middles of a plate's round holes of that width, in the frame's axes."""
    found = []
    for piece in polygons(plate.shape):
        for ring in piece.interiors:
            hole = Polygon(ring)
            x, y = hole.centroid.coords[0]
            x0, _, x1, _ = hole.bounds
            if round_about(ring) and abs(x1 - x0 - wide) < 0.05:
                found.append((plate.pose @ np.array([x, y, 0.0, 1.0]))[:3])
    return found


def _centre(case: Case, plates: list[Plate]) -> Array:
    weights, places = [], []
    sheet = case.told.spec["sheet"]
    name = sheet.get("material", "birch-plywood")
    other = case.told.spec.get("disc_sheet", sheet).get("material", name)
    for plate in plates:
        density = DENSITIES[name if plate.kind == "rib" else other]
        weights.append(plate.shape.area * plate.thickness * density)
        x, y = plate.shape.centroid.coords[0]
        places.append((plate.pose @ np.array([x, y, 0.0, 1.0]))[:3])
    return np.average(np.array(places), axis=0, weights=weights)


def _heights(plate: Plate) -> tuple[float, float]:
    x0, y0, x1, y1 = plate.shape.bounds
    corners = [(x, y, 0.0, 1.0) for x in (x0, x1) for y in (y0, y1)]
    z = [float((plate.pose @ np.array(c))[2]) for c in corners]
    return min(z), max(z)
