"""The oracle of the parts' tests: polygons by shapely and solids by manifold3d, from vertices.

It reads the vertices of outlines (bulge = tan(a/4), AutoCAD DXF Reference, group code 42) and
shares no code with the project.
"""

from __future__ import annotations

import cmath
import math

from manifold3d import CrossSection, FillRule, Manifold
from shapely import LineString, Polygon


def points(path, step=0.03):
    """Points on the true arcs, at most `step` radians apart."""
    found = []
    vertices = list(path.vertices)
    for v, w in zip(vertices, [*vertices[1:], vertices[0]], strict=True):
        a, b = complex(v.x, v.y), complex(w.x, w.y)
        found.append((a.real, a.imag))
        if v.bulge:
            angle = 4 * math.atan(v.bulge)
            # The centre sees the chord under the arc's angle.
            centre = (b - a * cmath.exp(1j * angle)) / (1 - cmath.exp(1j * angle))
            count = max(2, math.ceil(abs(angle) / step))
            for k in range(1, count):
                p = centre + (a - centre) * cmath.exp(1j * angle * k / count)
                found.append((p.real, p.imag))
    return found


def polygon(outline, step=0.03):
    return Polygon(points(outline.outer, step), [points(h, step) for h in outline.holes])


def solid(part, thickness=None, step=0.03):
    t = thickness or part.thickness
    rings = [points(p, step) for p in (part.outline.outer, *part.outline.holes)]
    plate = Manifold.extrude(CrossSection(rings, FillRule.EvenOdd), t).translate((0, 0, -t / 2))
    return plate.transform([list(row) for row in part.pose[:3]])


def fine(part):
    """The solid with 0.008 radians a chord: under 1e-3 mm off an arc of radius 120 mm."""
    return solid(part, step=0.008)


def shared(a, b):
    return (a ^ b).volume()


def overlaps(frame):
    """mm³ that every pair of parts shares, where it shares any."""
    solids = {p.id: solid(p) for p in frame.parts}
    names = list(solids)
    found = {}
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            volume = shared(solids[a], solids[b])
            if volume > 1e-3:
                found[a, b] = volume
    return found


def stretches(shape, height):
    """The stretches of x where a polygon meets a level line."""
    cut = shape.intersection(LineString([(-1e3, height), (1e3, height)]))
    lines = [g for g in getattr(cut, "geoms", [cut]) if g.geom_type == "LineString"]
    return sorted((g.bounds[0], g.bounds[2]) for g in lines)
