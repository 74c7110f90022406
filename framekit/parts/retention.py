"""Who holds whom in a frame, from plane sections through the finished outlines.

The assembly test asks it, and so does the hole to hang by. It knows no maker of parts.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from framekit.geometry.path import Point
from framekit.parts.model import Part
from framekit.solution.model import FrameSolution

SECTION_CHORD = 0.05
"""mm a section's edge may lie off the true arc; what mates in a joint is straight."""

CLOSE = 0.02
"""mm beyond a joint's own play at which parts still count as close."""

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


class Fits(NamedTuple):
    """The `thicknesses` of parts as squeezed into their joints, in mm, and the `plays` of the
    level ones, both by the part's id."""

    thicknesses: dict[str, float]
    plays: dict[str, Play]


class Retention(NamedTuple):
    """The parts that hold each part, by id, and the discs that only lie on the ribs' ends: no rib
    reaches past them on both sides.

    `ends` are the pairs of a rib and a disc in which the rib ends, so that the two come apart along
    the axis.
    """

    holders: dict[str, list[str]]
    resting: tuple[str, ...]
    ends: frozenset[tuple[str, str]] = frozenset()

    def carried_by(self, names: Sequence[str]) -> set[str]:
        """Return the parts that move along the axis when the named ones are pulled either way.

        A part takes along what it holds from both sides. Where a rib ends within a disc, glue or
        a tight fit keeps the two together, which does not count.
        """
        held = {
            name: [o for o in by if not self.ends & {(name, o), (o, name)}]
            for name, by in self.holders.items()
        }
        return reached(held, [name for name in names if name in held])


def fits_of(solution: FrameSolution, parts: Sequence[Part]) -> Fits:
    """Return how thick each part is once it is in its slots, and the play of the level parts.

    A slot narrower than the sheet squeezes the sheet: ribs and a stand's plates in slots, discs
    and flanges in the ribs' notches.
    """
    known = solution.quantities
    slot = solution.value("joint.slot_width")
    notch = known["joint.notch_width"].value if "joint.notch_width" in known else slot
    floor = known["joint.end_clearance"].value if "joint.end_clearance" in known else 0.0
    level = {p.id for p in parts if p.kind in ("disc", "flange")}
    thick = {p.id: min(p.thickness, notch if p.id in level else slot) for p in parts}
    rib = min([thick[p.id] for p in parts if p.kind == "rib"], default=slot)
    plays = {
        name: Play(notch - thick[name] + CLOSE, slot - rib + CLOSE, 2 * floor + CLOSE)
        for name in thick
        if name in level
    }
    return Fits(thick, plays)


def retention_of(solution: FrameSolution, parts: Sequence[Part]) -> Retention:
    """Return who holds whom among a frame's ribs, discs and flanges."""
    fits = fits_of(solution, parts)
    ribs = [p for p in parts if p.kind == "rib"]
    plates = [p for kind in ("disc", "flange") for p in parts if p.kind == kind]
    return find_retention(ribs, plates, fits.thicknesses, fits.plays)


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
    ends = set()
    for plate in plates:
        ways = set()
        for rib in ribs:
            how = _retained(rib, plate, thicknesses, plays[plate.id], sections)
            if how:
                holders[rib.id].append(plate.id)
                holders[plate.id].append(rib.id)
                ways.add(how)
            if how == "end":
                ends.add((rib.id, plate.id))
        if ways == {"end"}:
            resting.append(plate.id)
    return Retention(holders, tuple(resting), frozenset(ends))


class _Sections:
    """Plane sections of outlines, each computed once."""

    def __init__(self, parts: Sequence[Part]) -> None:
        self._rings = {
            id(p.outline): [
                r.polyline_within(SECTION_CHORD) for r in (p.outline.outer, *p.outline.holes)
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
    height = plate.pose[2][3]
    along = sections.along(plate, angle_of(rib))

    def met_beyond(thickness: float) -> list[bool]:
        reach = thickness / 2 + play.notch
        return [_meet(along, sections.level(rib, height + side)) for side in (reach, -reach)]

    if all(met_beyond(thicknesses[plate.id])):
        return "both"
    # A disc that a notch would squeeze keeps its thickness on a rib's end.
    met = met_beyond(plate.thickness)
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
    joined = reached(holders, names[:1])
    return [n for n in names if n not in joined]


def reached(holders: Mapping[str, Sequence[str]], start: Sequence[str]) -> set[str]:
    """Return the parts joined to those named, directly or through others, and those themselves."""
    found, queue = set(start), list(start)
    while queue:
        for other in holders[queue.pop()]:
            if other not in found:
                found.add(other)
                queue.append(other)
    return found


def angle_of(rib: Part) -> float:
    """Return the direction in radians in which a rib points from the axis."""
    return math.atan2(rib.pose[1][0], rib.pose[0][0])
