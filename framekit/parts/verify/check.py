"""The assembly test of a frame: every outline is swept to a solid, posed, and compared.

No pair of solids overlaps, every part is held, the frame is in one piece, nothing but a flange
leaves the skin, and every part has a way in: ribs slide in toward the axis past the discs, then
discs at the ribs' ends that would bar that way are put on along the axis, and flanges are
dropped over the ribs and turned. The solids come from the finished outlines alone, by
manifold3d; this module never looks at how they were made.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

from manifold3d import Manifold

from framekit.errors import BuildError, Fault
from framekit.parts.model import AssemblyReport, FrameParts, Part
from framekit.parts.retention import angle_of, fits_of, retention_of, unconnected
from framekit.parts.verify.envelope import Envelope, face_protrusion, protrusion_of
from framekit.parts.verify.looseness import find_remarks
from framekit.parts.verify.solids import Shapes, least_angle, shared, union
from framekit.solution.model import Meridian

LEAST_OVERLAP = 1e-3
"""mm³ two solids may share: what polylines and floating point leave where faces touch."""
CHORD = 0.01
"""mm a polyline may lie off the true curve."""
FLUSH = 0.05
"""mm a rib's end may stand out of a disc that is put on it along the axis."""

_HINT = "Look at the failed checks; when there are none, please report the spec."


def check_assembly(frame: FrameParts, meridian: Meridian) -> AssemblyReport:
    """Return the report on a frame whose parts pass the assembly test.

    `meridian` has the body's skin. Raises BuildError naming every pair that overlaps, every part
    that is loose or leaves the skin, and every part that has no way in.
    """
    scene = _Scene(frame)
    axial = scene.axial_discs()
    faults = [*scene.plates_overlap(), *scene.ribs_blocked(axial)]
    faults += [*scene.axial_blocked(axial), *scene.flanges_blocked(axial)]
    retention = retention_of(frame.solution, frame.parts)
    faults += [
        Fault("part-loose", f"{n} is not joined to the rest", hint=_HINT)
        for n in unconnected(retention.holders)
    ]
    envelope, protrusion, seen = Envelope(meridian), 0.0, set()
    for part in (*scene.ribs, *scene.discs):
        if part.kind == "rib":
            if id(part.outline) in seen:
                continue
            seen.add(id(part.outline))
            protrusion = max(protrusion, face_protrusion(part))
        worst = protrusion_of(part, envelope)
        if worst > CHORD:
            faults.append(
                Fault("outside-skin", f"{part.id} leaves the skin by {worst:.3f} mm", hint=_HINT)
            )
    if faults:
        raise BuildError(*faults)
    held = {name: tuple(by) for name, by in retention.holders.items()}
    remarks = find_remarks(held, retention.resting, frame.parts)
    return AssemblyReport(held, protrusion, remarks, frame.parts)


class _Scene:
    """The posed solids of a frame and what stands in whose way."""

    def __init__(self, frame: FrameParts) -> None:
        self._parts = frame.parts
        self.ribs = [p for p in frame.parts if p.kind == "rib"]
        self.discs = [p for p in frame.parts if p.kind == "disc"]
        self.flanges = [p for p in frame.parts if p.kind == "flange"]
        self._others = [p for p in frame.parts if p.kind not in ("rib", "disc", "flange")]
        self._thick = fits_of(frame.solution, frame.parts).thicknesses
        self._shapes = Shapes()
        self._solids = {p.id: self._shapes.solid(p, self._thick[p.id]) for p in frame.parts}
        far = max(math.hypot(*v[:2]) for p in self.ribs for v in p.outline.outer.vertices)
        self._reach = 1.05 * far + 1.0
        heights = [v.y for p in self.ribs for v in p.outline.outer.vertices]
        self._rise = max(heights) - min(heights) + 1.0
        self._ways = {
            p.id: self._shapes.swept(p, self._thick[p.id], self._reach) for p in self.ribs
        }

    def plates_overlap(self) -> list[Fault]:
        """Overlaps of pairs of plates, and of ribs with what is no disc."""
        faults: list[Fault] = []
        plates = (*self.discs, *self.flanges)
        for first, second in combinations((*plates, *self._others), 2):
            if first in plates and second in plates and self._apart(first, second):
                continue
            faults += self._overlap(first, second)
        for rib in self.ribs:
            for other in (*self.flanges, *self._others):
                faults += self._overlap(rib, other)
        return faults

    def axial_discs(self) -> dict[str, float]:
        """The discs at ribs' ends that bar a rib's way, by id: 1 for the upper end, −1 below."""
        found: dict[str, float] = {}
        for disc in self.discs:
            side = self._end_side(disc)
            solid = self._solids[disc.id]
            if side and any(shared(w, solid) > LEAST_OVERLAP for w in self._ways.values()):
                found[disc.id] = side
        return found

    def ribs_blocked(self, axial: dict[str, float]) -> list[Fault]:
        """What ribs overlap, and what stands in their way when they slide in."""
        faults: list[Fault] = []
        standing = [d for d in self.discs if d.id not in axial]
        all_discs = union(self._solids[d.id] for d in standing)
        for rib in self.ribs:
            for disc in self.discs:
                if disc.id in axial:
                    faults += self._overlap(rib, disc)
            way = self._ways[rib.id]
            near = [r for r in _beside(rib, self.ribs) if not self._parted(rib, r)]
            hit = standing if shared(way, all_discs) > LEAST_OVERLAP else []
            for other in (*hit, *near):
                volume = shared(way, self._solids[other.id])
                if volume > LEAST_OVERLAP:
                    overlap = self._overlap(rib, other)
                    faults += overlap or [_blocked(rib.id, "slide in", other.id, volume)]
        return faults

    def axial_blocked(self, axial: dict[str, float]) -> list[Fault]:
        """What stands in the way of discs that are put on along the axis."""
        faults: list[Fault] = []
        for disc in self.discs:
            if disc.id not in axial:
                continue
            reach = axial[disc.id] * 2 * self._rise
            way = self._shapes.lifted(disc, self._thick[disc.id], reach)
            others = [p for p in self._parts if p.id != disc.id]
            faults += self._met(disc, way, others, "be put on along the axis")
        return faults

    def flanges_blocked(self, axial: dict[str, float]) -> list[Fault]:
        """What stands in the way of flanges that are dropped over the ribs and turned.

        The flange comes turned back by half the least angle between ribs, from above or from
        below; discs that are put on later at that end are not there yet.
        """
        faults: list[Fault] = []
        turn = least_angle(self.ribs) / 2
        for flange in self.flanges:
            tried: list[list[Fault]] = []
            for side, back in ((1.0, -turn), (1.0, turn), (-1.0, -turn), (-1.0, turn)):
                later = {d for d, end in axial.items() if end == side}
                there = [p for p in (*self.ribs, *self.discs) if p.id not in later]
                thick = self._thick[flange.id]
                drop = self._shapes.lifted(flange, thick, side * 2 * self._rise, back)
                sweep = self._shapes.turned(flange, thick, back)
                tried.append(
                    self._met(flange, drop, there, "be dropped over the ribs")
                    or self._met(flange, sweep, there, "be turned into place")
                )
                if not tried[-1]:
                    break
            if tried[-1]:
                faults += tried[0]
        return faults

    def _met(self, part: Part, way: Manifold, others: Sequence[Part], verb: str) -> list[Fault]:
        """What stands in a part's way, leaving out what it overlaps where it rests."""
        if shared(way, union(self._solids[p.id] for p in others)) <= LEAST_OVERLAP:
            return []
        faults = []
        for other in others:
            volume = shared(way, self._solids[other.id])
            if volume > LEAST_OVERLAP and not self._overlap(part, other):
                faults.append(_blocked(part.id, verb, other.id, volume))
        return faults

    def _end_side(self, disc: Part) -> float:
        """1 when ribs end within the disc from below, −1 from above, 0 when none do."""
        height, half = disc.pose[2][3], disc.thickness / 2
        for rib in self.ribs:
            heights = [v.y for v in rib.outline.outer.vertices]
            if height - half < max(heights) < height + half + FLUSH:
                return 1.0
            if height - half - FLUSH < min(heights) < height + half:
                return -1.0
        return 0.0

    def _overlap(self, first: Part, second: Part) -> list[Fault]:
        volume = shared(self._solids[first.id], self._solids[second.id])
        if volume <= LEAST_OVERLAP:
            return []
        message = f"{first.id} and {second.id} would share {volume:.3f} mm³"
        return [Fault("solids-overlap", message, hint=_HINT)]

    def _apart(self, first: Part, second: Part) -> bool:
        between = abs(first.pose[2][3] - second.pose[2][3])
        return between >= (self._thick[first.id] + self._thick[second.id]) / 2

    def _parted(self, rib: Part, other: Part) -> bool:
        """Whether the plane midway between two ribs parts them, however far either slides out.

        Each lies wholly on its own side when its inmost corner does; sliding out leads away.
        """
        between = abs(angle_of(rib) - angle_of(other)) % (2 * math.pi)
        half = min(between, 2 * math.pi - between) / 2
        inmost = min(v.x for p in (rib, other) for v in p.outline.outer.vertices)
        thickness = max(self._thick[rib.id], self._thick[other.id])
        return inmost * math.sin(half) >= thickness / 2 * math.cos(half)


def _beside(rib: Part, ribs: Sequence[Part]) -> list[Part]:
    """The ribs on either side; plates farther round are farther away everywhere."""
    ranked = sorted(ribs, key=angle_of)
    place = ranked.index(rib)
    beside = {ranked[place - 1].id, ranked[(place + 1) % len(ranked)].id} - {rib.id}
    return [r for r in ranked if r.id in beside]


def _blocked(part: str, verb: str, other: str, volume: float) -> Fault:
    return Fault(
        "way-blocked",
        f"{part} cannot {verb}: {other} stands {volume:.3f} mm³ in its way",
        hint=_HINT,
    )
