"""Solids for the assembly test: outlines swept to plates, posed, and swept on along a way."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from manifold3d import CrossSection, FillRule, Manifold, OpType

from framekit.geometry.path import Path, Point
from framekit.parts.model import Part
from framekit.parts.retention import angle_of

SOLID_CHORD = 0.05
"""mm the solids' facets may lie off the true arcs; what mates in a joint is straight."""

SEAT_CHORD = 0.005
"""mm the facets of a flange's seat may lie off it."""

TURN_STEPS = 12
"""Places at which a part that turns is looked at; teeth narrower than a step could be missed."""

_PLAIN = 1e-3
"""mm by which the edge of what a turning part sweeps is smoothed, to keep it small."""


class Shapes:
    """Swept solids by outline, so that equal ribs are swept once."""

    def __init__(self) -> None:
        """Start with nothing made."""
        self._made: dict[tuple[int, float, float], Manifold] = {}
        self._sections: dict[int, CrossSection] = {}

    def solid(self, part: Part, thickness: float) -> Manifold:
        """The posed solid of a part, swept half the thickness (mm) to each side."""
        key = (id(part.outline), thickness, 0.0)
        if key not in self._made:
            self._made[key] = _plate(self._section(part), thickness)
        return _posed(self._made[key], part)

    def swept(self, part: Part, thickness: float, reach: float) -> Manifold:
        """The posed solid that a part passes through while it slides out along its x by `reach`."""
        key = (id(part.outline), thickness, reach)
        if key not in self._made:
            section = CrossSection(_trail(part.outline.outer, reach), FillRule.Positive)
            self._made[key] = _plate(section, thickness)
        return _posed(self._made[key], part)

    def lifted(self, part: Part, thickness: float, reach: float, turn: float = 0.0) -> Manifold:
        """The posed solid that a level part, turned by `turn` degrees, passes through while it is
        lifted by `reach` mm, or lowered when that is negative."""
        section = self._section(part).rotate(turn)
        start = -thickness / 2 + min(reach, 0.0)
        solid = Manifold.extrude(section, thickness + abs(reach)).translate((0.0, 0.0, start))
        return _posed(solid, part)

    def turned(self, part: Part, thickness: float, turn: float) -> Manifold:
        """The posed solid that a level part passes through while it turns by `turn` degrees.

        It is a full disc as wide as the part less what stays in the part's holes all the way.
        """
        free = CrossSection(_holes(part), FillRule.EvenOdd)
        steps = [free.rotate(turn * i / TURN_STEPS) for i in range(TURN_STEPS + 1)]
        rim = part.outline.outer.polyline_within(SOLID_CHORD)
        disc = CrossSection.circle(max(math.hypot(*p) for p in rim), len(rim))
        left = disc - CrossSection.batch_boolean(steps, OpType.Intersect).simplify(_PLAIN)
        return _posed(_plate(left, thickness), part)

    def _section(self, part: Part) -> CrossSection:
        key = id(part.outline)
        if key not in self._sections:
            rings = [_ring(part.outline.outer, SOLID_CHORD), *_holes(part)]
            self._sections[key] = CrossSection(rings, FillRule.EvenOdd)
        return self._sections[key]


def union(solids: Iterable[Manifold]) -> Manifold:
    """The union of solids."""
    return Manifold.batch_boolean(list(solids), OpType.Add)


def shared(first: Manifold, second: Manifold) -> float:
    """The volume in mm³ that two solids share."""
    return float((first ^ second).volume())


def _holes(part: Part) -> list[list[Point]]:
    """The edges of a part's holes; that of a flange mates all around, so it is finer."""
    chord = SEAT_CHORD if part.kind == "flange" else SOLID_CHORD
    return [_ring(hole, chord) for hole in part.outline.holes]


def _ring(path: Path, chord: float) -> list[Point]:
    """Points of a polygon in the material on the path's left, at most `chord` mm off its edge.

    Arcs that bulge outward are cut short by chords, hollow ones by tangents: a sharp corner that
    just fits into a relief still does.
    """
    return [
        p for s in path.segments for p in (s.points if s.bulge >= 0.0 else s.tangent_points)(chord)
    ]


def _plate(section: CrossSection, thickness: float) -> Manifold:
    return Manifold.extrude(section, thickness).translate((0.0, 0.0, -thickness / 2))


def _posed(solid: Manifold, part: Part) -> Manifold:
    return solid.transform([list(row) for row in part.pose[:3]])


def _trail(path: Path, reach: float) -> list[list[Point]]:
    """Counter-clockwise pieces whose union is the outline's trail along x."""
    points = _ring(path, SOLID_CHORD)
    pieces = [list(points), [(x + reach, y) for x, y in points]]
    for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True):
        if abs(y1 - y0) < 1e-12:
            continue
        quad = [(x0, y0), (x0 + reach, y0), (x1 + reach, y1), (x1, y1)]
        pieces.append(quad if y1 > y0 else quad[::-1])
    return pieces


def least_angle(ribs: Sequence[Part]) -> float:
    """The least angle in degrees between neighbouring ribs; 360 for one."""
    angles = sorted(math.degrees(angle_of(rib)) for rib in ribs)
    gaps = [b - a for a, b in pairwise(angles)]
    return min([*gaps, angles[0] + 360.0 - angles[-1]])
