"""The parts that a file gives at a corner of the tolerances: the cut is undone by the real kerf.

A closed path is the cutter's middle where the file compensates, so the part is the path moved
inward by half the real kerf. Where the machine compensates it moves by half of what was set, so
the part is off by half of the difference. A router's tool is round and leaves fillets.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from judge.cut_files import Array, CutSheet, Run
from judge.told import Told
from shapely import Polygon
from shapely.affinity import affine_transform

ROUND = 16
"""Chords of a quarter circle where a round tool leaves a fillet: off by 0.0012 of its radius."""
FAR = 30.0
"""mitre limit: corners of paths are far blunter."""


@dataclass(frozen=True)
class Corner:
    """One corner of the tolerances: −1, 0 or 1 for each size; `slots` is the clearance's."""

    sheet: float
    kerf: float
    slots: float = 0.0

    @property
    def words(self) -> str:
        """The corner as text."""
        ends = {-1.0: "low", 0.0: "as drawn", 1.0: "high"}
        return f"thickness {ends[self.sheet]}, kerf {ends[self.kerf]}"


NOMINAL = Corner(0.0, 0.0, 0.0)
FULLEST = Corner(1.0, -1.0, -1.0)
"""Thick sheet, narrow cut: every part at its fullest, so nothing overlaps more elsewhere."""
LEANEST = Corner(-1.0, 1.0, 1.0)
"""Thin sheet, wide cut: every part at its leanest, every joint at its loosest."""
CORNERS = (NOMINAL, FULLEST, LEANEST, Corner(1.0, 1.0, 1.0), Corner(-1.0, -1.0, -1.0))


@dataclass(frozen=True)
class CutPart:
    """One part as it lies on its sheet: closed rings of its cuts, with the number of each run."""

    frame: str
    id: str
    sheet: int
    outside: tuple[Array, ...]
    inside: tuple[Array, ...]
    gaps: tuple[float, ...]
    """mm left uncut at each bridge, before the kerf is taken."""
    faults: tuple[str, ...]


def cut_parts(number: int, sheet: CutSheet) -> list[CutPart]:
    """Return every part of a sheet's files, its open runs joined over their bridges."""
    found = []
    for frame, part in dict.fromkeys((r.frame, r.part) for r in sheet.runs):
        own = [r for r in sheet.runs if (r.frame, r.part) == (frame, part)]
        rings: dict[str, list[Array]] = {"outside": [], "inside": []}
        gaps: list[float] = []
        for does, list_of in rings.items():
            cuts = [r for r in own if r.does == does]
            list_of += [r.points for r in cuts if r.closed]
            joined, left = _joined([r for r in cuts if not r.closed])
            list_of += joined
            gaps += left
        count = len(rings["outside"])
        faults = () if count == 1 else (f"{part} has {count} outlines",)
        outside, inside = tuple(rings["outside"]), tuple(rings["inside"])
        found.append(CutPart(frame, part, number, outside, inside, tuple(gaps), faults))
    return found


def _joined(runs: list[Run]) -> tuple[list[Array], list[float]]:
    """Rings from open runs, each end joined to the nearest free end, and the gaps in mm."""
    left = [r.points for r in runs]
    rings, gaps = [], []
    while left:
        ring = left.pop(0)
        while True:
            ends = [(float(np.hypot(*(ring[-1] - ring[0]))), -1, False)]
            for i, other in enumerate(left):
                ends.append((float(np.hypot(*(ring[-1] - other[0]))), i, False))
                ends.append((float(np.hypot(*(ring[-1] - other[-1]))), i, True))
            gap, i, turned = min(ends)
            gaps.append(gap)
            if i < 0:
                break
            other = left.pop(i)
            ring = np.concatenate([ring, other[::-1] if turned else other])
        rings.append(np.concatenate([ring, ring[:1]]))
    return rings, gaps


def path_polygon(part: CutPart) -> Polygon:
    """The paths as a polygon on the sheet."""
    return Polygon(part.outside[0], part.inside)


def in_own_plane(shape: Any, x: float, y: float, rotation: float) -> Any:
    """The shape brought from the sheet to the part's own plane: moved back, then turned back."""
    c, s = math.cos(math.radians(rotation)), math.sin(math.radians(rotation))
    return affine_transform(shape, (c, s, -s, c, -(c * x + s * y), s * x - c * y))


def made(path: Any, told: Told, kind: str, corner: Corner, less: float = 0.0) -> Any:
    """The part that is cut from a path at a corner, each edge taken back by `less` mm more.

    It may be several polygons, or none.
    """
    set_kerf, real = told.kerfs[kind].value, told.kerfs[kind].at(corner.kerf)
    away = real / 2 + less
    if not told.by_file and not told.round_tool:
        away -= set_kerf / 2
    if not told.round_tool:
        if away == 0.0:
            return path
        return path.buffer(-away, join_style="mitre", mitre_limit=FAR)
    middle = path
    if not told.by_file:
        middle = path.buffer(set_kerf / 2, join_style="mitre", mitre_limit=FAR)
    return middle.buffer(-away, quad_segs=ROUND) if away else middle


def polygons(shape: Any) -> list[Polygon]:
    """The polygons of a shape, crumbs under 1e-6 mm² left out."""
    return [p for p in shapely.get_parts(shape) if p.geom_type == "Polygon" and p.area > 1e-6]
