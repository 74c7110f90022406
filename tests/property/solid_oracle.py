"""An independent look at a finished frame of any body: no overlap, one piece, inside, assembled.

It takes a frame of the result document and the spec's own values, and shares nothing with
framekit: solids by manifold3d, plane sections and sweeps by shapely, the skin by `plain_skin`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import manifold3d as m3
import shapely
from property.plain_skin import PlainSkin, plain_skin
from shapely import LineString, Point, Polygon, box
from shapely.ops import unary_union

ALLOWED_OVERLAP = 2e-3
"""mm³: polylines lie up to 0.01 mm off the true arcs, and faces that touch share slivers."""
CHORD = 0.01
"""mm a document's polyline may lie off the true arc, and an arc off the true skin."""
ROUNDING = 2e-3
"""mm: this oracle's own sampling of the skin, and floats."""
PROUD = 0.25
"""mm a disc's rim may stand proud of the skin: what sanding takes off (common practice, no
source)."""
WIDTH = 0.1
"""mm a rib's inner edge may be off its asked width."""

Frame = dict[str, Any]
Part = dict[str, Any]
Measured = tuple[float, float | None] | None
"""A width in mm and, where it is not the asked place's own, the height it belongs to."""


def faults(frame: Frame, spec: dict[str, Any]) -> list[str]:
    """Everything wrong with a frame that passed its checks, as sentences."""
    scene = _Scene(frame, spec)
    return [
        *scene.overlaps(),
        *scene.falls_apart(),
        *scene.places(),
        *scene.outside(),
        *scene.slides(),
        *scene.axial_ways(),
        *scene.flange_ways(),
        *scene.widths(),
        *scene.gaps(),
        *scene.hubs(),
        *scene.cut_away(),
    ]


class _Scene:
    def __init__(self, frame: Frame, spec: dict[str, Any]) -> None:
        self.spec = spec
        self.q = {name: row["value"] for name, row in frame["quantities"].items()}
        self.skin: PlainSkin = plain_skin(spec, self.q["scale.denominator"])
        self.ribs = [p for p in frame["parts"] if p["kind"] == "rib"]
        self.discs = [p for p in frame["parts"] if p["kind"] == "disc"]
        self.flanges = [p for p in frame["parts"] if p["kind"] == "flange"]
        self.parts: list[Part] = frame["parts"]
        slot = self.q["joint.slot_width"]
        self.notch = self.q.get("joint.notch_width", slot)
        self.thick = {
            p["id"]: min(p["thickness"], slot if p["kind"] == "rib" else self.notch)
            for p in self.parts
        }
        lead_in = spec.get("joint", {}).get("lead_in", 0.0)
        self.mouth = lead_in + (
            self.q["cutter.kerf"] if spec.get("cutter", {}).get("process") == "router" else 0
        )
        """How far a notch's chamfers and reliefs may reach beyond its sides, mm."""
        self.play = max(0.0, slot - self.ribs[0]["thickness"])
        self.play = max(self.play, self.notch - self.discs[0]["thickness"])
        self.shapes = {p["id"]: Polygon(p["outline"], p["holes"]) for p in self.parts}
        self.solids = {p["id"]: self.plate(p) for p in self.parts}
        self.reach = 2.0 * max(math.hypot(*v) for p in self.ribs for v in p["outline"]) + 1.0
        self.axial = dict(self._axial())

    def plate(self, part: Part, shape: Any = None, rise: float = 0.0, turn: float = 0.0) -> Any:
        """The part's solid in the frame's axes, of another `shape` when given.

        `rise` in mm sweeps it that far along its own z, `turn` in degrees turns it about it.
        """
        shape = self.shapes[part["id"]] if shape is None else shape
        thick = self.thick[part["id"]]
        rings = []
        for piece in getattr(shape, "geoms", [shape]):
            rings += [list(r.coords)[:-1] for r in (piece.exterior, *piece.interiors)]
        section = m3.CrossSection(rings, m3.FillRule.EvenOdd)
        solid = m3.Manifold.extrude(section, thick + abs(rise))
        solid = solid.translate((0, 0, -thick / 2 + min(0.0, rise))).rotate((0, 0, turn))
        return solid.transform([list(row) for row in part["pose"][:3]])

    def _entries(self) -> Iterator[tuple[str, dict[str, Any], bool]]:
        """The name and the spec's entry of each disc, and whether it is the mirror image."""
        number = 0
        for disc in self.spec["discs"]:
            both = disc.get("side") == "both" or disc.get("at", {}).get("both", False)
            for copy in range(2 if both else 1):
                number += 1
                yield f"disc-{number}", disc, copy == 1

    def places(self) -> list[str]:
        """Discs that do not lie where the spec says, or are not as large.

        Heights of discs come from the poses; a mirror image is looked at where the body is
        its own: 0.001 mm is the rounding of what is written.
        """
        found = []
        heights = {d["id"]: d["pose"][2][3] for d in self.discs}
        middle, half = (self.skin.low + self.skin.high) / 2, (self.skin.high - self.skin.low) / 2
        whole = "span" not in self.spec["body"]
        for name, entry, mirrored in self._entries():
            at, seen = entry.get("at", {}), heights[name]
            wanted = None
            if "height" in at:
                wanted = at["height"]
            elif "fraction" in at and whole:
                wanted = middle + half * at["fraction"]
            elif "end" in at:
                t = self.discs[0]["thickness"]
                wanted = self.skin.low + t / 2 if at["end"] == "bottom" else self.skin.high - t / 2
            if wanted is not None and mirrored:
                wanted = 2 * middle - wanted if whole or "end" in at else None
            if wanted is not None and abs(seen - wanted) > 1e-3:
                found.append(f"{name} lies at {seen:.3f} mm, not {wanted:.3f} mm")
            if "radius" in entry:
                part = next(d for d in self.discs if d["id"] == name)
                rim = max(math.hypot(*v) for v in part["outline"])
                # Chords of the rim, and a slot that may take its farthest point.
                if not mirrored and abs(rim - entry["radius"]) > CHORD + ROUNDING:
                    found.append(f"{name}'s rim is at {rim:.3f} mm, not {entry['radius']:.3f} mm")
        return found

    def _axial(self) -> Iterator[tuple[str, float]]:
        """Discs flush with an open end, put on along the axis, with the side: 1 is above."""
        for name, disc, mirrored in self._entries():
            end = disc.get("at", {}).get("end")
            if end is not None:
                yield name, 1.0 if (end == "top") != mirrored else -1.0

    def _share(self, solid: Any, other: Part) -> float:
        return float((solid ^ self.solids[other["id"]]).volume())

    def overlaps(self) -> list[str]:
        """Pairs of solids that share something."""
        found = []
        for i, first in enumerate(self.parts):
            for second in self.parts[i + 1 :]:
                shared = self._share(self.solids[first["id"]], second)
                if shared > ALLOWED_OVERLAP:
                    found.append(f"{first['id']} and {second['id']} share {shared:.4f} mm³")
        return found

    def falls_apart(self) -> list[str]:
        """Whether what lies closer than a joint's play hangs together."""
        reach = self.play + 0.05
        groups = {p["id"]: p["id"] for p in self.parts}

        def root(name: str) -> str:
            while groups[name] != name:
                name = groups[name]
            return name

        for plate in (*self.discs, *self.flanges):
            for rib in self.ribs:
                a, b = plate["id"], rib["id"]
                if root(a) != root(b) and self.solids[a].min_gap(self.solids[b], reach) < reach:
                    groups[root(a)] = root(b)
        loose = {root(p["id"]) for p in self.parts}
        return [f"the frame falls apart at {', '.join(sorted(loose))}"] if len(loose) > 1 else []

    def outside(self) -> list[str]:
        """Parts that leave the skin; flanges lie outside it."""
        found = []
        # An arc may lie off the skin, and its chords off it, by as much where the skin is hollow.
        half = self.skin.half().buffer(2 * CHORD + ROUNDING)
        shapely.prepare(half)
        for rib in self.ribs:
            shape = self.shapes[rib["id"]]
            if not half.covers(shape):
                most = max(self.skin.half().distance(Point(v)) for v in rib["outline"])
                found.append(f"{rib['id']} leaves the skin by {most:.3f} mm")
        for disc in self.discs:
            z, t = disc["pose"][2][3], disc["thickness"]
            rim = max(math.hypot(*v) for v in disc["outline"])
            proud = rim - self.skin.least(z - t / 2, z + t / 2)
            past = max(self.skin.low - (z - t / 2), z + t / 2 - self.skin.high)
            if proud > PROUD + CHORD + ROUNDING:
                found.append(f"{disc['id']} stands {proud:.3f} mm proud")
            if past > ROUNDING:
                found.append(f"{disc['id']} lies {past:.3f} mm past the body's end")
        return found

    def slides(self) -> list[str]:
        """Ribs that something bars on their way in, of what is not put on along the axis."""
        found = []
        swept: dict[Any, Any] = {}
        there = [*self.ribs, *(d for d in self.discs if d["id"] not in self.axial)]
        for rib in self.ribs:
            shape = self.shapes[rib["id"]]
            if shape.wkb not in swept:
                swept[shape.wkb] = _swept(shape, self.reach)
            way = self.plate(rib, swept[shape.wkb])
            for other in there:
                if other is not rib and self._share(way, other) > ALLOWED_OVERLAP:
                    found.append(f"{rib['id']} meets {other['id']} while sliding in")
        return found

    def axial_ways(self) -> list[str]:
        """Discs flush with an open end that cannot be put on along the axis after the ribs."""
        found = []
        for disc in self.discs:
            side = self.axial.get(disc["id"])
            if side is None:
                continue
            way = self.plate(disc, rise=side * 3 * self.reach)
            for other in (*self.ribs, *self.discs):
                if other is not disc and self._share(way, other) > ALLOWED_OVERLAP:
                    found.append(f"{disc['id']} meets {other['id']} along the axis")
        return found

    def flange_ways(self) -> list[str]:
        """Flanges that cannot be dropped from above at the slots' angle and then turned."""
        found = []
        there = [*self.ribs, *(d for d in self.discs if self.axial.get(d["id"]) != 1.0)]
        turn = self._least_angle() / 2
        for flange in self.flanges:
            tried = []
            for way in (-turn, turn):
                dropped = self.plate(flange, rise=3 * self.reach, turn=way)
                solids = [dropped, *(self.plate(flange, turn=way * k / 12) for k in range(13))]
                tried.append(
                    sorted(
                        {
                            other["id"]
                            for solid in solids
                            for other in there
                            if self._share(solid, other) > ALLOWED_OVERLAP
                        }
                    )
                )
            if all(tried):
                found.append(f"{flange['id']} meets {', '.join(tried[0])} on its way")
        return found

    def _longitude(self, rib: Part) -> float:
        return math.degrees(math.atan2(rib["pose"][1][0], rib["pose"][0][0])) % 360.0

    def _least_angle(self) -> float:
        angles = sorted(self._longitude(rib) for rib in self.ribs)
        after = [*angles[1:], angles[0] + 360.0]
        return min(b - a for a, b in zip(angles, after, strict=True))

    def widths(self) -> list[str]:
        """Ribs whose inner edge is not at the asked width along the skin's normal."""
        if "rib.width_bottom" not in self.q:
            return []
        found = []
        alternate = "alternate.width_equator" in self.q
        for number, rib in enumerate(self.ribs[: 2 if alternate else 1]):
            head = "alternate" if number else "rib"
            found += [f"{rib['id']}: {fault}" for fault in self._off_width(rib, head)]
        return found

    def _off_width(self, rib: Part, head: str) -> Iterator[str]:
        low, high = self.skin.low, self.skin.high
        ends = {"bottom": low, "equator": (low + high) / 2, "top": high}
        edge = LineString([(self.skin.at(z), z) for z in self.skin.heights()])
        for where, height in ends.items():
            asked = self.q[f"{head}.width_{where}"]
            shape = self.shapes[rib["id"]]
            if where == "equator":
                seen = self._through(shape, height, asked)
            else:
                seen = self._at_end(shape, height, edge)
            if seen is None:
                continue
            width, foot = seen
            likely = sorted((asked, asked if foot is None else self._width_at(head, foot)))
            if not likely[0] - WIDTH <= width <= likely[1] + WIDTH:
                yield f"the width at the {where} is {width:.3f} mm, {asked:.3f} mm were asked for"

    def _width_at(self, head: str, height: float) -> float:
        """The width asked for at a height: smoothly, 3u² − 2u³, from the middle's to an end's."""
        middle, half = (self.skin.low + self.skin.high) / 2, (self.skin.high - self.skin.low) / 2
        u = max(-1.0, min(1.0, (height - middle) / half))
        end = self.q[f"{head}.width_{'top' if u > 0 else 'bottom'}"]
        share = u * u * (3.0 - 2.0 * abs(u))
        return self.q[f"{head}.width_equator"] * (1.0 - share) + end * share

    def _levels(self) -> list[float]:
        return [p["pose"][2][3] for p in (*self.discs, *self.flanges)]

    def _through(self, shape: Polygon, height: float, asked: float) -> Measured:
        """A rib's width along the normal there; None where that says nothing.

        That is near a notch, near the axis, or where the skin folds when it is moved.
        """
        x, y = self.skin.normal(height)
        start = (self.skin.at(height), height)
        end = (start[0] - x * (asked + 1.0), start[1] - y * (asked + 1.0))
        line = LineString([start, end])
        low, high = sorted((start[1], end[1]))
        room = self.notch / 2 + 1.0 + self.mouth
        if any(low - room < z < high + room for z in self._levels()):
            return None
        if end[0] < self.q["rib.pole_gap"] or not (self.skin.low < end[1] < self.skin.high):
            return None
        skin = LineString([(self.skin.at(z), z) for z in self.skin.heights()])
        foot = Point(start[0] - x * asked, start[1] - y * asked)
        if foot.distance(skin) < asked - 1e-3:
            return None
        seen = line.intersection(shape)
        return float(seen.length), None

    def _at_end(self, shape: Polygon, height: float, edge: LineString) -> Measured:
        """The distance of the skin, run on straight, from a rib's inner corner at an open end.

        With the height of the skin's nearest point: where the body widens toward its end the
        normal there leaves the body at once, and the corner belongs to a place further in.
        """
        flush = any(abs(z - height) < 2 * self.notch + 1.0 for z in self._levels())
        if self.skin.at(height) < 1e-6 * self.reach or flush:
            return None
        inner = min(x for x, z in shape.exterior.coords if abs(z - height) < 1e-6)
        if inner < self.q["rib.pole_gap"] + WIDTH:
            return None
        x, y = self.skin.normal(height)
        run = 2 * self.reach
        outward = -1.0 if height == self.skin.low else 1.0
        side = (-y * outward * math.copysign(1.0, x), x * outward)
        start = (self.skin.at(height), height)
        beyond = LineString([start, (start[0] + side[0] * run, start[1] + side[1] * run)])
        corner = Point(inner, height)
        near = edge if edge.distance(corner) < beyond.distance(corner) else beyond
        foot = near.interpolate(near.project(corner))
        return float(near.distance(corner)), float(foot.y)

    def gaps(self) -> list[str]:
        """Ribs that come nearer to the axis than they must keep from it."""
        gap = self.q["rib.pole_gap"]
        inmost = {p["id"]: min(x for x, _ in p["outline"]) for p in self.ribs}
        return [
            f"{name} comes to {x:.3f} mm from the axis, not {gap:.3f} mm"
            for name, x in inmost.items()
            if x < gap - CHORD - ROUNDING
        ]

    def hubs(self) -> list[str]:
        """Hubs that do not lie where the ribs' inner edge has come to the pole gap."""
        found = []
        gap = self.q["rib.pole_gap"]
        for name, disc, mirrored in self._entries():
            if disc.get("hub"):
                side = -1.0 if disc["side"] == "south" or mirrored else 1.0
                height = self.q[f"{name}.height"] - side * (self.notch / 2 + self.mouth + 0.05)
                level = box(-1.0, height - 1e-6, self.reach, height + 1e-6)
                inmost = self.shapes[self.ribs[0]["id"]].intersection(level).bounds[0]
                if inmost > gap + 0.05:
                    found.append(f"{name}: the rib's edge is at {inmost:.3f}, not {gap:.3f}")
        return found

    def cut_away(self) -> list[str]:
        """Ribs and discs that stand in the sector cut away."""
        if "cut_away" not in self.spec["ribs"]:
            return []
        start, stop = self.spec["ribs"]["cut_away"]
        wide = (stop - start) % 360.0
        found = [
            f"{rib['id']} stands in the sector cut away"
            for rib in self.ribs
            if 1e-6 < (self._longitude(rib) - start) % 360.0 < wide - 1e-6
        ]
        middle = math.radians(start + wide / 2)
        for disc in self.discs:
            rim = max(math.hypot(*v) for v in disc["outline"])
            ray = [(r * math.cos(middle), r * math.sin(middle)) for r in (0.6 * rim, rim)]
            if LineString(ray).intersects(self.shapes[disc["id"]]):
                found.append(f"{disc['id']} fills the sector cut away")
        return found


def _swept(shape: Polygon, reach: float) -> Any:
    """What an outline covers while it slides `reach` along its own x."""
    quads = []
    for ring in (shape.exterior, *shape.interiors):
        for (x0, y0), (x1, y1) in pairwise(ring.coords):
            if abs(y1 - y0) > 1e-9:
                quads.append(Polygon([(x0, y0), (x0 + reach, y0), (x1 + reach, y1), (x1, y1)]))
    return unary_union([shape, *quads])
