"""The truth test of a frame: sweep every outline to a solid, pose it, and look.

No pair of solids overlaps, every part is held, the frame is in one piece, nothing leaves the
skin, and every rib's way in is free. The solids come from the finished outlines alone, by
manifold3d; this module never looks at how they were made.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from manifold3d import CrossSection, FillRule, Manifold, OpType

from framekit.errors import BuildError, Fault
from framekit.geometry.path import Path, Point
from framekit.parts.model import FrameParts, Part

LEAST_OVERLAP = 1e-3
"""mm³ two solids may share: what polylines and floating point leave where faces touch."""
LEAST_GRIP = 0.1
"""mm along a joint that counts as holding."""
SOLID_CHORD = 0.05
"""mm the solids' facets may lie off the true arcs; what mates in a joint is straight."""
CHORD = 0.01
"""mm a polyline may lie off the true curve."""

Span = tuple[float, float]


@dataclass(frozen=True)
class SolidReport:
    """What the truth test found: who holds whom, the greatest rib edge proud of the skin in mm,
    and remarks in plain words."""

    holders: dict[str, tuple[str, ...]]
    proud: float
    remarks: tuple[str, ...]


def check_solids(frame: FrameParts) -> SolidReport:
    """The report on a frame whose parts stand the truth test.

    Raises BuildError naming every pair that overlaps, every part that is loose or leaves the
    skin, and every rib that cannot slide in.
    """
    ribs = [p for p in frame.parts if p.kind == "rib"]
    discs = [p for p in frame.parts if p.kind == "disc"]
    solution = frame.solution
    squeezed = min(solution.value("sheet.thickness"), solution.value("joint.slot_width"))
    shapes = _Shapes()
    solids = {p.id: shapes.solid(p, squeezed) for p in frame.parts}
    faults: list[Fault] = []
    for first, second in combinations(discs, 2):
        if _apart(first, second, squeezed):
            continue
        faults += _overlap(solids[first.id], solids[second.id], first.id, second.id)
    reach = 1.05 * solution.value("model.equatorial_radius") + 1.0
    all_discs = Manifold.batch_boolean([solids[d.id] for d in discs], OpType.Add)
    for rib in ribs:
        way = shapes.swept(rib, squeezed, reach)
        near = [r for r in _beside(rib, ribs) if not _parted(rib, r, squeezed)]
        hit = discs if _shared(way, all_discs) > LEAST_OVERLAP else []
        for other in (*hit, *near):
            shared = _shared(way, solids[other.id])
            if shared <= LEAST_OVERLAP:
                continue
            overlap = _overlap(solids[rib.id], solids[other.id], rib.id, other.id)
            faults += overlap or [_blocked(rib.id, other.id, shared)]
    play = solution.value("joint.slot_width") - squeezed + 0.02
    holders = _holders(ribs, discs, squeezed, play)
    faults += _loose(holders)
    proud, outside = _skin(frame, ribs, discs)
    faults += outside
    if faults:
        raise BuildError(*faults)
    held = {name: tuple(by) for name, by in holders.items()}
    tipping = [name for name, by in held.items() if len(by) == 1]
    remarks: tuple[str, ...] = ()
    if tipping:
        by = ", ".join(sorted({held[name][0] for name in tipping}))
        names = tipping[0] if len(tipping) == 1 else f"{tipping[0]} to {tipping[-1]}"
        remarks = (f"{names}: held by {by} alone and can tip; another disc would hold.",)
    return SolidReport(held, proud, remarks)


class _Shapes:
    """Swept solids by outline, so that equal ribs are swept once."""

    def __init__(self) -> None:
        self._made: dict[tuple[int, float, float], Manifold] = {}

    def solid(self, part: Part, thickness: float) -> Manifold:
        """The posed solid of a part, swept half the thickness (mm) to each side."""
        key = (id(part.outline), thickness, 0.0)
        if key not in self._made:
            rings = [part.outline.outer, *part.outline.holes]
            section = CrossSection(
                [r.polyline_within(SOLID_CHORD) for r in rings], FillRule.EvenOdd
            )
            self._made[key] = _plate(section, thickness)
        return _posed(self._made[key], part)

    def swept(self, part: Part, thickness: float, reach: float) -> Manifold:
        """The posed solid that a part passes through while it slides out along its x by `reach`."""
        key = (id(part.outline), thickness, reach)
        if key not in self._made:
            section = CrossSection(_trail(part.outline.outer, reach), FillRule.Positive)
            self._made[key] = _plate(section, thickness)
        return _posed(self._made[key], part)


def _plate(section: CrossSection, thickness: float) -> Manifold:
    return Manifold.extrude(section, thickness).translate((0.0, 0.0, -thickness / 2))


def _posed(solid: Manifold, part: Part) -> Manifold:
    return solid.transform([list(row) for row in part.pose[:3]])


def _trail(path: Path, reach: float) -> list[list[Point]]:
    """Counter-clockwise pieces whose union is the outline's trail along x."""
    points = path.polyline_within(SOLID_CHORD)
    pieces = [list(points), [(x + reach, y) for x, y in points]]
    for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True):
        if abs(y1 - y0) < 1e-12:
            continue
        quad = [(x0, y0), (x0 + reach, y0), (x1 + reach, y1), (x1, y1)]
        pieces.append(quad if y1 > y0 else quad[::-1])
    return pieces


def _shared(first: Manifold, second: Manifold) -> float:
    return float((first ^ second).volume())


def _overlap(first: Manifold, second: Manifold, name: str, other: str) -> list[Fault]:
    shared = _shared(first, second)
    if shared <= LEAST_OVERLAP:
        return []
    return [
        Fault(
            "solids-overlap",
            f"{name} and {other} would share {shared:.3f} mm³",
            hint="Look at the failed checks; when there are none, please report the spec.",
        )
    ]


def _blocked(rib: str, other: str, shared: float) -> Fault:
    return Fault(
        "way-blocked",
        f"{rib} cannot slide in: {other} stands {shared:.3f} mm³ in its way",
        hint="Look at the failed checks; when there are none, please report the spec.",
    )


def _apart(first: Part, second: Part, thickness: float) -> bool:
    return abs(first.pose[2][3] - second.pose[2][3]) >= thickness


def _angle(rib: Part) -> float:
    """The direction in radians in which a rib points from the axis."""
    return math.atan2(rib.pose[1][0], rib.pose[0][0])


def _parted(rib: Part, other: Part, thickness: float) -> bool:
    """Whether the plane midway between two ribs parts them, however far either slides out.

    Each lies wholly on its own side when its inmost corner does; sliding out leads away.
    """
    between = abs(_angle(rib) - _angle(other)) % (2 * math.pi)
    half = min(between, 2 * math.pi - between) / 2
    inmost = min(v.x for p in (rib, other) for v in p.outline.outer.vertices)
    return inmost * math.sin(half) >= thickness / 2 * math.cos(half)


def _beside(rib: Part, ribs: Sequence[Part]) -> list[Part]:
    """The ribs on either side; plates farther round are farther away everywhere."""
    ranked = sorted(ribs, key=_angle)
    place = ranked.index(rib)
    beside = {ranked[place - 1].id, ranked[(place + 1) % len(ranked)].id} - {rib.id}
    return [r for r in ranked if r.id in beside]


def _holders(
    ribs: Sequence[Part], discs: Sequence[Part], thickness: float, play: float
) -> dict[str, list[str]]:
    """Who holds whom: a rib holds a disc where it has material close above and close below it.

    `thickness` of the plates and `play` of the joints in mm; close is within the play. Looks at
    plane sections: the rib's outline at both levels against the disc along the rib's direction.
    """
    holders: dict[str, list[str]] = {p.id: [] for p in (*ribs, *discs)}
    sections: dict[tuple[int, float], list[Span]] = {}
    rings = {
        id(p.outline): [r.polyline_within(SOLID_CHORD) for r in (p.outline.outer, *p.outline.holes)]
        for p in {id(p.outline): p for p in (*ribs, *discs)}.values()
    }

    def section(rib: Part, level: float) -> list[Span]:
        key = (id(rib.outline), level)
        if key not in sections:
            sections[key] = _spans(rings[id(rib.outline)], 0.0, level)
        return sections[key]

    for disc in discs:
        height, reach = disc.pose[2][3], thickness / 2 + play
        for rib in ribs:
            along = _spans(rings[id(disc.outline)], _angle(rib), 0.0)
            levels = (section(rib, height + reach), section(rib, height - reach))
            if all(_meet(along, level) for level in levels):
                holders[rib.id].append(disc.id)
                holders[disc.id].append(rib.id)
    return holders


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
    return any(min(b, d) - max(a, c) > LEAST_GRIP for a, b in first for c, d in second)


def _loose(holders: dict[str, list[str]]) -> list[Fault]:
    names = list(holders)
    reached, queue = {names[0]}, [names[0]]
    while queue:
        for other in holders[queue.pop()]:
            if other not in reached:
                reached.add(other)
                queue.append(other)
    loose = [n for n in names if n not in reached]
    return [
        Fault(
            "part-loose",
            f"{n} is not joined to the rest",
            hint="Look at the failed checks; when there are none, please report the spec.",
        )
        for n in loose
    ]


def _skin(
    frame: FrameParts, ribs: Sequence[Part], discs: Sequence[Part]
) -> tuple[float, list[Fault]]:
    a = frame.solution.value("model.equatorial_radius")
    c = frame.solution.value("model.polar_radius")
    half = frame.solution.value("sheet.thickness") / 2

    def skin(height: float) -> float:
        return a * math.sqrt(max(0.0, (c - height) * (c + height))) / c

    faults, proud = [], 0.0
    for part in (*ribs[:1], *discs):
        worst = 0.0
        for x, y in part.outline.outer.polyline_within(SOLID_CHORD):
            if part.kind == "rib":
                worst = max(worst, _off_ellipse(x, y, a, c))
                proud = max(proud, math.hypot(x, half) - x) if x > 0 else proud
            else:
                height = abs(part.pose[2][3]) + half
                worst = max(worst, math.hypot(x, y) - skin(height))
        if worst > CHORD:
            faults.append(
                Fault(
                    "outside-skin",
                    f"{part.id} leaves the skin by {worst:.3f} mm",
                    hint="Look at the failed checks; when there are none, please report the spec.",
                )
            )
    return proud, faults


def _off_ellipse(x: float, y: float, a: float, c: float) -> float:
    """How far a point near the ellipse lies outside it in mm, to first order along its normal."""
    outside = (x / a) ** 2 + (y / c) ** 2 - 1
    return outside / (2 * math.hypot(x / a**2, y / c**2)) if outside > 0 else 0.0
