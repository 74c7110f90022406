"""Each joint measured where rib and plate cross: play, straight seats, what is left beside them.

Sizes are taken from the outlines of the parts as cut. A wall is the straight edge along the mating
sheet's face; the promises are those of docs/reference/checks.md, the material's figures those of
docs/reference/catalogue.md.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from judge.pieces import Corner, polygons
from judge.plates import Plate, across, square
from judge.scene import Case
from shapely import LineString, box

TOLERANCE = 0.03
"""mm a measure may miss a promise: arcs lie 0.01 mm off on either side, rims are round where a
sum takes them as straight."""
FLAKE = 1.6
"""Thicknesses that a sharp corner may be thinner than half a thickness: see `flakes`."""
LEVEL = 2e-3
"""mm an edge may rise over its length and still be a wall."""


@dataclass(frozen=True)
class Slot:
    """A slot or notch in a plate about the middle plane of its mate, in the plate's own axes.

    The plate is seen with the line of both planes as x and the mate's normal as y, 0 at the
    mate's middle. `walls` are the lengths of straight wall below and above, `width` is between
    them, `floor` and `mouth` are where the walls end.
    """

    plate: Plate
    mate: Plate
    shape: Any
    width: float
    walls: tuple[float, float]
    low: float
    high: float


def slots(case: Case, corner: Corner) -> list[Slot]:
    """Return every slot and notch in ribs, discs and flanges that a mate's two faces lie in."""
    if corner not in case.joints:
        case.joints[corner] = list(_slots(case.plates(corner)))
    found: list[Slot] = case.joints[corner]
    return found


def _slots(plates: list[Plate]) -> Iterator[Slot]:
    """Equal ribs have equal notches, so each is measured once."""
    flat = [p for p in plates if p.kind in ("disc", "flange")]
    known: dict[tuple[int, str], Slot | None] = {}
    for rib in (p for p in plates if p.kind == "rib"):
        for other in flat:
            if not square(rib, other):
                continue
            key = (id(rib.shape), other.name)
            if key not in known:
                known[key] = _slot(rib, other)
            notch = known[key]
            if notch is not None:
                yield replace(notch, plate=rib)
            slot = _slot(other, rib)
            if slot is not None:
                yield slot


def _slot(plate: Plate, mate: Plate) -> Slot | None:
    line = across(plate.normal, mate.normal)
    if plate.kind == "rib" and float(line @ plate.pose[:3, 0]) < 0:
        line = -line
    if mate.kind == "rib" and float(line @ mate.pose[:3, 0]) < 0:
        line = -line
    shape = plate.along(line, mate.normal)
    shape = shapely.transform(shape, lambda p: p - [0.0, float(mate.origin @ mate.normal)])
    reach = mate.thickness / 2 + 1.0
    x1 = shape.bounds[2]
    # A plate's slot for a rib lies on that rib's side of the axis only.
    start, stop = 0.0, x1 + 1
    if plate.kind == "rib":
        # What is left of the rib parts a disc's notch, on its inside, from a flange's.
        runs = _level(shape, 0.0)
        if not runs:
            return None
        _, middle = max((b - a, (a + b) / 2) for a, b in runs)
        start, stop = (middle, stop) if mate.kind == "flange" else (start, middle)
    near = shapely.intersection(shape, box(start, -reach, stop, reach))
    edges = _walls(near, mate.thickness)
    if edges is None:
        return None
    (below, y0), (above, y1), low, high = edges
    return Slot(plate, mate, shape, y1 - y0, (below, above), low, high)


def _walls(near: Any, thick: float) -> Any:
    """Length and place of the straight walls either side of the mate, and from where to where."""
    found, ends = [], []
    points = [
        np.asarray(ring.coords)
        for piece in polygons(near)
        for ring in (piece.exterior, *piece.interiors)
    ]
    if not points:
        return None
    edges = np.concatenate([np.hstack([p[:-1], p[1:]]) for p in points])
    x0, y0, x1, y1 = edges.T
    off = np.abs(y0) - thick / 2
    level = (np.abs(y1 - y0) < LEVEL) & (np.abs(x1 - x0) > 0.05) & (off > -0.4) & (off < 0.6)
    for side in (y0 < 0, y0 > 0):
        rows = edges[level & side]
        if not len(rows):
            return None
        long = np.abs(rows[:, 2] - rows[:, 0])
        longest = rows[int(np.argmax(long))]
        found.append((float(long.sum()), float(longest[1] + longest[3]) / 2))
        ends += [*rows[:, 0].tolist(), *rows[:, 2].tolist()]
    return (*found, min(ends), max(ends))


def play(case: Case, corner: Corner) -> list[str]:
    """Slots that the sheet does not go into, or rattles in."""
    found = []
    for slot in slots(case, corner):
        if slot.plate.kind == "rib" and _at_end(slot):
            continue  # what lies beyond such a notch is the rib's end, and no wall
        kind = slot.mate.kind
        thick = slot.mate.thickness - corner.slots * case.told.clearances[kind].off
        gap = slot.width - thick
        pair = [case.told.materials[k] for k in (slot.plate.kind, kind)]
        least = min(m.least_gap for m in pair)
        most = max(m.most_gap for m in pair)
        if not least - TOLERANCE / 3 <= gap <= most + TOLERANCE / 3:
            found.append(
                f"{slot.plate.name}'s slot for {slot.mate.name} leaves {gap:.3f} mm, "
                f"not {least:.2f} to {most:.2f}"
            )
    return found


def seats(case: Case, corner: Corner) -> list[str]:
    """Slots whose straight walls are shorter than one thickness: rib and plate hardly engage."""
    plates = case.plates(corner)
    held = {(slot.plate.name, slot.mate.name) for slot in slots(case, corner)}
    found = [
        f"{rib.name} has no notch for {other.name}"
        for rib in plates
        for other in plates
        if rib.kind == "rib"
        and other.kind in ("disc", "flange")
        and (rib.name, other.name) not in held
        and not _ends_in(rib, other)
    ]
    for slot in slots(case, corner):
        asked = case.told.sheets["rib"].value - 2 * _moved(case, slot, corner) - TOLERANCE
        wall = min(slot.walls)
        if wall < asked:
            found.append(
                f"{slot.plate.name}'s slot for {slot.mate.name} has {wall:.2f} mm of straight wall"
            )
    return found


def _moved(case: Case, slot: Slot, corner: Corner) -> float:
    """How far the cut's spread moves an edge: both seats of a joint move back by it."""
    kerf = case.told.kerfs[slot.plate.kind]
    return abs(kerf.at(corner.kerf) - kerf.value) / 2


def ligaments(case: Case, corner: Corner) -> list[str]:
    """Ribs that keep too little behind a notch, level with the plate's two faces."""
    told = case.told
    asked = told.materials["rib"].ligament * told.sheets["rib"].value - TOLERANCE
    found = []
    for slot in slots(case, corner):
        if slot.plate.kind != "rib":
            continue
        if _at_end(slot):
            continue
        half = min(told.sheets[slot.mate.kind].value, slot.width - 0.1) / 2
        for level in (-half, half):
            behind = [r for r in _level(slot.shape, level) if _behind(slot, r)]
            run = (max if slot.mate.kind == "flange" else min)(behind, default=(0.0, 0.0))
            kept = run[1] - run[0]
            if kept < asked:
                found.append(
                    f"{slot.plate.name} keeps {kept:.3f} mm behind its notch for {slot.mate.name}"
                )
                break
    return found


def _behind(slot: Slot, run: tuple[float, float]) -> bool:
    """Whether a run of material lies behind the notch: outside a disc's, inside a flange's."""
    middle = (slot.low + slot.high) / 2
    return run[1] <= middle if slot.mate.kind == "flange" else run[0] >= middle


def _at_end(slot: Slot) -> bool:
    """Whether the rib ends in its mate: a disc flush with an open end."""
    _, y0, _, y1 = slot.shape.bounds
    return min(abs(y0), abs(y1)) < slot.mate.thickness


def _ends_in(rib: Plate, other: Plate) -> bool:
    """Whether a rib ends in a level plate, or within two thicknesses of it."""
    _, y0, _, y1 = rib.shape.bounds
    level = float(other.origin[2] - rib.origin[2])
    return min(abs(level - y0), abs(level - y1)) < 2 * other.thickness


def _level(shape: Any, height: float) -> list[tuple[float, float]]:
    """The runs of material along x at a height."""
    x0, _, x1, _ = shape.bounds
    seen = LineString([(x0 - 1, height), (x1 + 1, height)]).intersection(shape)
    return [(p.bounds[0], p.bounds[2]) for p in shapely.get_parts(seen) if p.length > 1e-6]


def teeth(case: Case, corner: Corner) -> list[str]:
    """Ribs whose tooth between two notches, or whose end beyond the last, is under one thickness.

    A chamfered mouth takes from the tooth's tip.
    """
    told = case.told
    asked = told.sheets["rib"].value - TOLERANCE
    by_rib: dict[tuple[str, bool], list[Slot]] = {}
    for slot in slots(case, corner):
        if slot.plate.kind == "rib":
            by_rib.setdefault((slot.plate.name, slot.mate.kind == "flange"), []).append(slot)
    found = []
    for (name, _), row in by_rib.items():
        row.sort(key=lambda s: float(s.mate.origin[2]))
        for low, high in pairwise(row):
            tooth = _tooth(low, high, told.lead_in)
            if tooth < asked:
                found.append(
                    f"{name} keeps a tooth of {tooth:.2f} mm between {low.mate.name} "
                    f"and {high.mate.name}"
                )
        for slot, side in ((row[0], -1.0), (row[-1], 1.0)):
            if _at_end(slot):
                continue
            _, y0, _, y1 = slot.shape.bounds
            end = (y1 if side > 0 else -y0) - slot.width / 2
            if end < asked:
                found.append(f"{name} keeps {end:.2f} mm beyond {slot.mate.name}")
    return found


def _tooth(low: Slot, high: Slot, lead_in: float) -> float:
    """The height of a rib's tooth between two notches, at its tip where mouths are chamfered."""
    apart = float((high.mate.origin - low.mate.origin) @ high.mate.normal)
    start, stop = low.width / 2, apart - high.width / 2
    if lead_in == 0.0 or stop <= start:
        return stop - start
    corners = []
    for piece in polygons(low.shape):
        p = np.asarray(piece.exterior.coords)[:-1]
        before, after = p - np.roll(p, 1, axis=0), np.roll(p, -1, axis=0) - p
        turn = np.arctan2(
            before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1)
        )
        inside = (start + 0.01 < p[:, 1]) & (p[:, 1] < stop - 0.01)
        sharp = np.abs(turn) > np.radians(10)
        corners += list(p[inside & sharp & (p[:, 0] < low.high), 1])
    return max(corners) - min(corners) if len(corners) > 1 else stop - start


def flakes(case: Case, corner: Corner) -> list[str]:
    """Ribs with a flake beside a notch that is thinner than half a thickness.

    What a circle half a thickness wide cannot reach is looked at near the notches: the corners
    there are no longer than those of a wedge of 15.5°: 0.25 (1/sin 7.75° − 1) = 1.6 thicknesses.
    """
    told = case.told
    thick = told.sheets["rib"].value
    radius = thick / 4 - TOLERANCE / 2
    seen: dict[int, Any] = {}
    found = []
    for slot in slots(case, corner):
        if slot.plate.kind != "rib":
            continue
        own = id(slot.plate.shape)
        if own not in seen:
            shape = slot.plate.shape
            opened = shape.buffer(-radius).buffer(radius + 0.02)
            seen[own] = [p for p in polygons(shape.difference(opened)) if _long(p) > FLAKE * thick]
        level = float(slot.mate.origin[2] - slot.plate.origin[2])
        near = slot.width / 2 + thick
        for piece in seen[own]:
            y0, y1 = piece.bounds[1], piece.bounds[3]
            if y1 > level - near and y0 < level + near:
                found.append(
                    f"{slot.plate.name} has a flake {_long(piece):.1f} mm long beside its notch "
                    f"for {slot.mate.name}"
                )
    return found


def _long(piece: Any) -> float:
    x0, y0, x1, y1 = piece.bounds
    return float(np.hypot(x1 - x0, y1 - y0))
