"""Whether the cut parts go together: nothing overlaps, nothing bars the way, nothing falls off."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from judge.pieces import Corner, polygons
from judge.plates import Plate, across, crossing, shared, square
from judge.scene import Case

CONTACT = 0.005
"""mm taken off every face before parts are laid together: half of what arcs lie off a curve, 0.01
mm, on each of two sides."""
LEAST = 1e-4
"""mm³ that sums of floats may leave."""
NEAR = 0.25
"""mm beyond the greatest play at which two parts still count as joined: end clearances and more."""
_TURNS = 8


def overlaps(case: Case, corner: Corner) -> list[str]:
    """Pairs of parts that share space."""
    found = []
    plates = case.plates(corner, CONTACT, joint=True)
    bare = {p.name: p for p in case.plates(corner, CONTACT)}
    for one, two in combinations(plates, 2):
        if "stand" == one.kind == two.kind and not square(one, two):
            continue  # layers that are glued on each other
        if "rib" == one.kind == two.kind:
            if _parted(bare[one.name], bare[two.name]):
                continue
            volume = shared(bare[one.name], bare[two.name])
        else:
            volume = shared(one, two)
        if volume > LEAST:
            found.append(f"{one.name} and {two.name} share {volume:.4f} mm³")
    return found


def _parted(one: Plate, two: Plate) -> bool:
    """Whether the plane midway between two upright ribs parts them."""
    between = float(np.arccos(np.clip(one.pose[:3, 0] @ two.pose[:3, 0], -1, 1))) / 2
    inmost = min(p.shape.bounds[0] for p in (one, two))
    return inmost * np.sin(between) >= one.thickness / 2 * np.cos(between)


def blocked(case: Case, corner: Corner) -> list[str]:
    """Parts that have no way in.

    A rib slides in along its radius past every disc but one that goes on along the axis after it;
    a flange is dropped at the angle of its slots and turned by half the least angle of ribs.
    """
    plates = case.plates(corner, CONTACT, joint=True)
    ribs = [p for p in plates if p.kind == "rib"]
    discs = [p for p in plates if p.kind == "disc"]
    flanges = [p for p in plates if p.kind == "flange"]
    found, axial = [], {}
    for disc in discs:
        barred = [rib.name for rib in ribs if _bars(rib, disc)]
        if not barred:
            continue
        others = [*ribs, *(d for d in discs if d is not disc)]
        ways = [_met(disc, others, side) for side in (1.0, -1.0)]
        if all(ways):
            found.append(f"{barred[0]} cannot slide past {disc.name}, which meets {ways[0][0]}")
        else:
            axial[disc.name] = 1.0 if not ways[0] else -1.0
    for flange in flanges:
        turn = _least_angle(ribs) / 2
        for side, back in ((1.0, turn), (1.0, -turn), (-1.0, turn), (-1.0, -turn)):
            there = [*ribs, *(d for d in discs if axial.get(d.name) != side)]
            turned = [flange.turned(back * k / _TURNS) for k in range(1, _TURNS)]
            met = _met(flange.turned(back), there, side)
            met += [p.name for f in turned for p in there if shared(p, f) > LEAST]
            if not met:
                break
        else:
            found.append(f"{flange.name} cannot be dropped and turned: it meets {met[0]}")
    return found


def _bars(rib: Plate, disc: Plate) -> bool:
    """Whether a disc stands in a rib's way along its radius, from outside to its place."""
    strips = crossing(rib, disc)
    if strips is None:
        return False
    line = across(rib.normal, disc.normal)
    outward = float(line @ rib.pose[:3, 0])
    (a, _, b, _), (c, _, d, _) = strips[0].bounds, strips[1].bounds
    return bool(d > a + 1e-9) if outward > 0 else bool(c < b - 1e-9)


def _met(plate: Plate, others: list[Plate], side: float) -> list[str]:
    """What a level plate meets on its way from far above (1) or below (−1) to its place."""
    far = 1e4
    reach = (0.0, far) if side * plate.normal[2] > 0 else (far, 0.0)
    found = []
    for other in others:
        if square(plate, other):
            if shared(other, plate, reach) > LEAST:
                found.append(other.name)
            continue
        if side * float(other.origin[2] - plate.origin[2]) <= 0:
            continue
        x, y = plate.pose[:3, 0], plate.pose[:3, 1]
        if plate.along(x, y).intersection(other.along(x, y)).area > LEAST:
            found.append(other.name)
    return found


def _least_angle(ribs: list[Plate]) -> float:
    angles = sorted(float(np.degrees(np.arctan2(r.pose[1, 0], r.pose[0, 0]))) % 360 for r in ribs)
    return min(b - a for a, b in zip(angles, [*angles[1:], angles[0] + 360], strict=True))


def in_two(case: Case, corner: Corner) -> list[str]:
    """Parts that fall in several pieces, or of which nothing is left."""
    found = []
    for name in case.paths:
        count = len(polygons(case.made(name, corner)))
        if count != 1:
            found.append(f"{name} comes out in {count} pieces")
    return found


def falls_apart(case: Case, corner: Corner) -> list[str]:
    """Parts that nothing holds: what comes within a joint's play counts as joined."""
    play = max(m.most_gap for m in case.told.materials.values())
    plates = [
        Plate(p.name, p.kind, p.shape.buffer(NEAR + play), p.thickness + 2 * NEAR + play, p.pose)
        for p in case.plates(corner)
        if p.kind != "stand"
    ]
    groups = {p.name: p.name for p in plates}

    def root(name: str) -> str:
        while groups[name] != name:
            name = groups[name]
        return name

    for one, two in combinations(plates, 2):
        a, b = root(one.name), root(two.name)
        if a != b and square(one, two) and shared(one, two) > LEAST:
            groups[a] = b
    loose = sorted({root(p.name) for p in plates})
    return [f"{', '.join(loose)} are not joined"] if len(loose) > 1 else []
