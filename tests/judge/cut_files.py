"""What a cutter sees: every path of the SVG and DXF files, read by general libraries alone.

SVG by the standard library's XML (SVG 1.1, W3C Recommendation, 2011, section 8.3: M, L, A and Z),
DXF by ezdxf (LWPOLYLINE, group code 42 is the bulge: the tangent of a quarter of the arc's angle).
Lengths are mm, y up.
"""

from __future__ import annotations

import io
import math
import re
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from xml.etree import ElementTree

import ezdxf
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

Array = NDArray[np.float64]
Knot = tuple[float, float, float]
"""A corner's x and y in mm and the bulge of the piece that follows it."""

CHORD = 1e-3
"""mm a polyline of this judge may lie off an arc."""
SAME = 1e-3
"""mm the two formats of one path may differ."""
_SVG = "{http://www.w3.org/2000/svg}"
_LAYERS = {"FRAME-MARK": "mark", "FRAME-INSIDE": "inside", "FRAME-OUTSIDE": "outside"}


@dataclass(frozen=True)
class Run:
    """One path in the order of the file: whose it is, what it does, and where it goes."""

    frame: str
    part: str
    does: str
    closed: bool
    knots: tuple[Knot, ...]

    @cached_property
    def points(self) -> Array:
        """The path as points, shape (n, 2); a closed one ends where it begins."""
        knots = [*self.knots, self.knots[0]] if self.closed else list(self.knots)
        found: list[Array] = [np.array([knots[0][:2]])]
        for here, there in pairwise(knots):
            found.append(_piece(here, there))
        return np.concatenate(found)


@dataclass(frozen=True)
class CutSheet:
    """One sheet's runs in order, and its size in mm."""

    name: str
    width: float
    height: float
    runs: tuple[Run, ...]


def _piece(here: Knot, there: Knot) -> Array:
    """The points after `here` up to `there`, of a line or an arc."""
    x0, y0, bulge = here
    x1, y1 = there[:2]
    if abs(bulge) < 1e-12:
        return np.array([[x1, y1]])
    angle = 4 * math.atan(bulge)
    chord = math.hypot(x1 - x0, y1 - y0)
    radius = chord / (2 * math.sin(abs(angle) / 2))
    # The middle lies beside the chord's, on its left for a short turn to the left.
    away = radius * math.cos(angle / 2) * math.copysign(1.0, bulge)
    cx = (x0 + x1) / 2 - (y1 - y0) / chord * away
    cy = (y0 + y1) / 2 + (x1 - x0) / chord * away
    step = 2 * math.acos(max(0.0, 1 - CHORD / radius))
    count = max(1, math.ceil(abs(angle) / step))
    turns = math.atan2(y0 - cy, x0 - cx) + angle * np.arange(1, count + 1) / count
    found = np.column_stack([cx + radius * np.cos(turns), cy + radius * np.sin(turns)])
    found[-1] = x1, y1
    return found


def read_svg(name: str, data: bytes) -> CutSheet:
    """Return the runs of an SVG file; raise ValueError for one that a cutter could misread."""
    root = ElementTree.fromstring(data)
    width, height = (_mm(root.attrib[key]) for key in ("width", "height"))
    if [float(v) for v in root.attrib["viewBox"].split()] != [0.0, 0.0, width, height]:
        raise ValueError(f"{name}: a user unit is not a millimetre")
    runs = []
    for group in root.iter(f"{_SVG}g"):
        if "data-part" not in group.attrib:
            continue
        for path in group.iter(f"{_SVG}path"):
            closed, knots = _knots(path.attrib["d"], height)
            whose = group.attrib["data-frame"], group.attrib["data-part"]
            runs.append(Run(*whose, path.attrib["class"], closed, knots))
    if len(runs) != len(list(root.iter(f"{_SVG}path"))):
        raise ValueError(f"{name}: a path belongs to no part")
    return CutSheet(name, width, height, tuple(runs))


def _mm(text: str) -> float:
    if not text.endswith("mm"):
        raise ValueError(f"the size {text!r} is not in mm")
    return float(text[:-2])


def _knots(data: str, height: float) -> tuple[bool, tuple[Knot, ...]]:
    """Whether the path is closed, and its corners with bulges, y turned up."""
    words = re.findall(r"[A-Za-z]|-?\d+\.?\d*(?:e-?\d+)?", data)
    found: list[list[float]] = []
    closed, at = False, 0
    while at < len(words):
        word = words[at]
        if word == "Z":
            closed, at = True, at + 1
        elif word in "ML":
            found.append([float(words[at + 1]), height - float(words[at + 2]), 0.0])
            at += 3
        elif word == "A":
            rx, ry, turn, large, sweep, x, y = (float(v) for v in words[at + 1 : at + 8])
            if rx != ry or turn or large:
                raise ValueError(f"an arc that is none of a circle, or a wide one: {data}")
            start, end = found[-1], [x, height - y, 0.0]
            half = math.hypot(end[0] - start[0], end[1] - start[1]) / (2 * rx)
            angle = 2 * math.asin(min(1.0, half))
            start[2] = math.tan(angle / 4) * (-1.0 if sweep else 1.0)
            found.append(end)
            at += 8
        else:
            raise ValueError(f"{word!r} in a path is none of M, L, A and Z")
    if closed and math.dist(found[0][:2], found[-1][:2]) < 1e-9:
        found.pop()
    return closed, tuple((x, y, bulge) for x, y, bulge in found)


def read_dxf(name: str, data: bytes) -> CutSheet:
    """Return the runs of a DXF file; raise ValueError for one that a cutter could misread."""
    drawing = ezdxf.read(io.StringIO(data.decode()))
    if drawing.header["$INSUNITS"] != 4:
        raise ValueError(f"{name}: the unit is not mm")
    (x0, y0), (x1, y1) = drawing.header["$LIMMIN"][:2], drawing.header["$LIMMAX"][:2]
    if (x0, y0) != (0.0, 0.0):
        raise ValueError(f"{name}: the sheet does not begin at 0, 0")
    runs = []
    for entity in drawing.modelspace():
        if entity.dxftype() != "LWPOLYLINE":
            raise ValueError(f"{name}: a {entity.dxftype()} is no path")
        words = [tag.value for tag in entity.get_xdata("FRAMEKIT") if tag.code == 1000]
        frame, part, does = words[:3]
        if _LAYERS[entity.dxf.layer] != does:
            raise ValueError(f"{name}: a path to {does} lies on the layer {entity.dxf.layer}")
        knots = tuple((x, y, b) for x, y, b in entity.get_points("xyb"))
        runs.append(Run(frame, part, does, bool(entity.closed), knots))
    return CutSheet(name, x1, y1, tuple(runs))


def differences(svg: CutSheet, dxf: CutSheet) -> list[str]:
    """Sentences on where the two formats of one sheet differ by more than `SAME`."""
    if max(abs(svg.width - dxf.width), abs(svg.height - dxf.height)) > SAME:
        return [f"{svg.name}: the sheets differ in size"]
    heads = [[(r.frame, r.part, r.does, r.closed) for r in sheet.runs] for sheet in (svg, dxf)]
    if heads[0] != heads[1]:
        return [f"{svg.name}: the paths of the two formats are others or in another order"]
    found = []
    for one, two in zip(svg.runs, dxf.runs, strict=True):
        apart = _apart(one.points, two.points)
        if apart > SAME + 2 * CHORD:
            found.append(f"{svg.name}: {one.part}'s {one.does} path differs by {apart:.4f} mm")
    return found


def _apart(one: Array, two: Array) -> float:
    """How far one path's points lie from the other path, and its points from the one, in mm."""
    if one.shape == two.shape:
        same = float(np.hypot(*(one - two).T).max())
        if same <= SAME:
            return same
    if one.shape == two.shape == (1, 2):
        return float(np.hypot(*(one - two).T).max())
    lines = [LineString(p) for p in (one, two)]
    shapely.prepare(lines)
    return max(
        float(shapely.distance(line, shapely.points(points)).max())
        for line, points in zip(lines, (two, one), strict=True)
    )


def with_runs(sheet: CutSheet, runs: list[Run]) -> CutSheet:
    """The sheet with other runs, for plants."""
    return replace(sheet, runs=tuple(runs))
