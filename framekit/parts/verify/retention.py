"""Who holds whom in a frame, from plane sections through the finished outlines."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from framekit.geometry.path import Point
from framekit.parts.model import Part
from framekit.parts.verify.solids import SOLID_CHORD, angle_of

LEAST_ENGAGEMENT = 0.1
"""mm along a joint that counts as holding."""

PAST_END = 0.05
"""mm past a disc's face by which a rib that ends within the disc has ended."""

Span = tuple[float, float]


class Play(NamedTuple):
    """How far two parts of a joint may be apart and still count as close, in mm: a disc in a
    rib's notch, a rib in a disc's slot, and either from the other's floor."""

    notch: float
    slot: float
    floor: float


class Retention(NamedTuple):
    """The parts that hold each part, by id, and the discs that only lie on the ribs' ends: no rib
    reaches past them on both sides."""

    holders: dict[str, list[str]]
    resting: tuple[str, ...]


def find_retention(
    ribs: Sequence[Part],
    plates: Sequence[Part],
    thicknesses: Mapping[str, float],
    plays: Mapping[str, Play],
) -> Retention:
    """Return who holds whom: ribs hold level plates and are held by them.

    A rib holds a plate where it has material close above and close below it. Where a rib ends
    within a disc it holds it when it has material close on the inner side and, within the disc,
    either stands between the disc's material on both sides or has it close behind the disc's rim.
    `thicknesses` as squeezed into the joints, mm, and `plays` are by the part's id.
    """
    holders: dict[str, list[str]] = {p.id: [] for p in (*ribs, *plates)}
    sections = _Sections((*ribs, *plates))
    resting = []
    for plate in plates:
        ways = set()
        for rib in ribs:
            how = _retained(rib, plate, thicknesses, plays[plate.id], sections)
            if how:
                holders[rib.id].append(plate.id)
                holders[plate.id].append(rib.id)
                ways.add(how)
        if ways == {"end"}:
            resting.append(plate.id)
    return Retention(holders, tuple(resting))


class _Sections:
    """Plane sections of outlines, each computed once."""

    def __init__(self, parts: Sequence[Part]) -> None:
        self._rings = {
            id(p.outline): [
                r.polyline_within(SOLID_CHORD) for r in (p.outline.outer, *p.outline.holes)
            ]
            for p in {id(p.outline): p for p in parts}.values()
        }
        self._found: dict[tuple[int, float], list[Span]] = {}

    def level(self, rib: Part, height: float) -> list[Span]:
        """The stretches of radius where a rib has material at a height."""
        key = (id(rib.outline), height)
        if key not in self._found:
            self._found[key] = _spans(self._rings[id(rib.outline)], 0.0, height)
        return self._found[key]

    def along(self, plate: Part, angle: float, beside: float = 0.0) -> list[Span]:
        """The stretches where a level plate has material along a direction of the frame."""
        own = angle - math.atan2(plate.pose[1][0], plate.pose[0][0])
        return _spans(self._rings[id(plate.outline)], own, beside)


def _retained(
    rib: Part, plate: Part, thicknesses: Mapping[str, float], play: Play, sections: _Sections
) -> str:
    """How a rib holds a plate: `both` sides, at its `end`, or not at all, which is empty."""
    height, reach = plate.pose[2][3], thicknesses[plate.id] / 2 + play.notch
    along = sections.along(plate, angle_of(rib))
    levels = [sections.level(rib, height + reach), sections.level(rib, height - reach)]
    met = [_meet(along, level) for level in levels]
    if all(met):
        return "both"
    if plate.kind != "disc" or not any(met):
        return ""
    past = (plate.thickness / 2 + play.notch + PAST_END) * (1.0 if met[1] else -1.0)
    if sections.level(rib, height + past):
        return ""
    within = sections.level(rib, height)
    side = thicknesses[rib.id] / 2 + play.slot
    beside = (sections.along(plate, angle_of(rib), off) for off in (side, -side))
    between = all(_meet(spans, within) for spans in beside)
    behind = any(-1e-6 <= a - d <= play.floor for _, d in along for a, _ in within)
    return "end" if between or behind else ""


def _spans(rings: Sequence[Sequence[Point]], angle: float, level: float) -> list[Span]:
    """The stretches of x, at least 0, where an outline turned by −`angle` (radians) has material
    at y = `level` mm; `rings` are its edges' points."""
    c, s = math.cos(angle), math.sin(angle)
    crossings = []
    for ring in rings:
        points = [(c * x + s * y, c * y - s * x - level) for x, y in ring]
        x0, y0 = points[-1]
        for x1, y1 in points:
            if (y0 < 0) != (y1 < 0):
                crossings.append(x0 - y0 * (x1 - x0) / (y1 - y0))
            x0, y0 = x1, y1
    crossings.sort()
    return [(max(0.0, a), b) for a, b in zip(crossings[::2], crossings[1::2], strict=True) if b > 0]


def _meet(first: Sequence[Span], second: Sequence[Span]) -> bool:
    return any(min(b, d) - max(a, c) > LEAST_ENGAGEMENT for a, b in first for c, d in second)


def unconnected(holders: Mapping[str, Sequence[str]]) -> list[str]:
    """Return the parts that are not joined to the first, directly or through others."""
    names = list(holders)
    reached, queue = {names[0]}, [names[0]]
    while queue:
        for other in holders[queue.pop()]:
            if other not in reached:
                reached.add(other)
                queue.append(other)
    return [n for n in names if n not in reached]
