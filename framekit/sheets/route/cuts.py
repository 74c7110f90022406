"""What is run on a sheet and what must come before what: the paths, not yet in an order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from framekit.geometry.path import Path, Point
from framekit.sheets.model import Placement, Run


@dataclass(frozen=True)
class CutStep:
    """A closed path to cut: which one, where it may start, and the cuts that come before it.

    `starts` are points in mm on the sheet: the path's vertices, or the middles of its bridges.
    `before` has numbers of cuts.
    """

    placement: int
    operation: str
    path: int
    starts: tuple[Point, ...]
    before: frozenset[int]


def cut_steps(placements: Sequence[Placement]) -> tuple[CutStep, ...]:
    """All cuts of a sheet: of each part its holes, then its outline.

    A part's holes come before its outline, which frees it; what lies in a hole comes before the
    hole, whose slug takes it along.
    """
    outlines = [p.outline for p in placements]
    rings = [shapely.Polygon(outline.outer.polyline) for outline in outlines]
    numbers: list[tuple[int, int]] = []
    outer_of: list[int] = []
    for n, outline in enumerate(outlines):
        numbers += [(n, k) for k in range(len(outline.holes))]
        outer_of.append(len(numbers))
        numbers.append((n, -1))
    tree = shapely.STRtree(rings)
    cuts = []
    for n, k in numbers:
        placement, outline = placements[n], outlines[n]
        gaps = placement.bridge_middles
        if k >= 0:
            hole = shapely.Polygon(outline.holes[k].polyline)
            inside = tree.query(hole, predicate="contains")
            before = frozenset(outer_of[int(i)] for i in inside)
            cuts.append(CutStep(n, "inside", k, _starts(outline.holes[k], gaps, k), before))
            continue
        last = len(outline.holes)
        before = frozenset(range(outer_of[n] - last, outer_of[n]))
        cuts.append(CutStep(n, "outside", 0, _starts(outline.outer, gaps, last), before))
    return tuple(cuts)


def _starts(path: Path, gaps: tuple[tuple[Point, ...], ...], number: int) -> tuple[Point, ...]:
    """Where a path may start: in the middle of a bridge where it has some, else at a vertex."""
    if gaps and gaps[number]:
        return gaps[number]
    return tuple(vertex[:2] for vertex in path.vertices)


def plain_runs(placements: Sequence[Placement]) -> tuple[Run, ...]:
    """All runs of a sheet in a plain order: marks, then each part's holes and its outline.

    The parts come as they are; what lies in a hole must stand before its ring.
    """
    marks = [
        Run(n, "mark", k, mark.vertices[0][:2])
        for n, placement in enumerate(placements)
        for k, mark in enumerate(placement.marks)
    ]
    cuts = [Run(c.placement, c.operation, c.path, c.starts[0]) for c in cut_steps(placements)]
    return (*marks, *cuts)
