"""Where bridges hold a part in its sheet: along smooth runs, spread, away from what must fit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from framekit.errors import Fault, NestError
from framekit.geometry.gaps import point_along
from framekit.geometry.path import Path, Point
from framekit.parts.model import FrameParts, Part, kerf_name
from framekit.solution.checks import ROUNDING, verdict_of
from framekit.solution.model import Check
from framekit.spec.stock import Bridges
from framekit.spec.yaml_text import path_text

BRIDGE_ROOM = "bridge-room"
SMOOTH = math.radians(6.0)
"""Two segments that meet at less than this angle run on smoothly."""
GENTLE = 4.0
"""An arc counts as gently curved when its radius is this many gaps, or more."""
CLEAR = 2.0
"""Least distance in mm from a bridge to a corner, a notch or a joint."""
LEAST_SLUG = 400.0
"""mm²: what is cut from smaller holes falls through and needs no bridges (common practice, no
source)."""
STEP = 1.0
"""mm between the places that are tried."""
WIDTHS = {"router": 3.0}
"""Default width of a bridge in mm by process (common practice, no source)."""
WIDTH = 0.6
"""Default width of a bridge in mm of any other process (common practice, no source)."""


@dataclass(frozen=True)
class BridgePlan:
    """How many bridges each cut gets, how wide they are left, and the gap in the path, mm."""

    count: int
    width: float
    gap: float


def bridge_plan(frame: FrameParts) -> BridgePlan | None:
    """The bridges that a frame's cutter is to leave, None for none.

    The cut takes half a kerf off each side of a bridge, so the path's gap is a kerf wider: the
    widest, where its parts have two.
    """
    cutter = frame.solution.spec.cutter
    wanted: Bridges | None = cutter.bridges
    if wanted is None:
        return None
    default = WIDTHS.get(cutter.process, WIDTH)
    width = default if wanted.width is None else wanted.width.value
    kerf = max(frame.solution.value(kerf_name(frame.solution, part.kind)) for part in frame.parts)
    return BridgePlan(wanted.count, width, width + kerf)


def part_bridges(part: Part, plan: BridgePlan) -> tuple[tuple[Point, ...], ...]:
    """The middles of the bridges on each cut of a part, holes first, in the part's axes, mm.

    Holes whose slug is small get none. Raises NestError where no edge is long enough.
    """
    joints = _joints(part)
    found = []
    for hole in part.outline.holes:
        large = abs(hole.area) >= LEAST_SLUG
        found.append(_middles(hole, plan, joints) if large else ())
    middles = _middles(part.outline.outer, plan, joints)
    if not middles:
        raise NestError(
            Fault(
                "bridge-too-wide",
                f"{part.frame}/{part.id} has no edge for a bridge. {_sentence(part, plan)}",
                part.origin,
                "Make 'cutter.bridges.width' smaller, or leave 'bridges' out.",
            )
        )
    return (*found, middles)


def bridge_checks(frame: FrameParts) -> tuple[Check, ...]:
    """Whether each distinct part of a frame has an edge for a bridge; none without bridges.

    The margin in mm is what the longest free stretch of smooth edge is longer than it takes.
    """
    plan, spec = bridge_plan(frame), frame.solution.spec
    if plan is None:
        return ()
    width = spec.cutter.bridges and spec.cutter.bridges.width
    key = ("cutter", "bridges", *(() if width is None else ("width",)))
    checks, seen = [], set[tuple[Path, tuple[Path, ...]]]()
    for part in frame.parts:
        if (part.outline.outer, part.crossings) in seen:
            continue
        seen.add((part.outline.outer, part.crossings))
        spare = max((s for s, _, _ in _places(part.outline.outer, plan, _joints(part))), default=0)
        checks.append(
            Check(
                *(BRIDGE_ROOM, part.id, verdict_of(spare, spare), spare, spare, spare),
                text=_sentence(part, plan),
                limited_by=path_text(key),
                where=spec.where(*key),
            )
        )
    return tuple(checks)


def _sentence(part: Part, plan: BridgePlan) -> str:
    """What a bridge takes of an edge."""
    return (
        f"A bridge of {plan.width:g} mm with {CLEAR:g} mm free to both sides takes "
        f"{plan.gap + 2 * CLEAR:.2f} mm of smooth edge of {part.id}, clear of corners and joints."
    )


def _joints(part: Part) -> shapely.Geometry:
    return shapely.union_all([shapely.Polygon(c.polyline) for c in part.crossings])


def _middles(path: Path, plan: BridgePlan, joints: shapely.Geometry) -> tuple[Point, ...]:
    """The bridges' middles along a closed path, as evenly spread as it allows."""
    free = [(at, point) for spare, at, point in _places(path, plan, joints) if spare >= -ROUNDING]
    return tuple(point for _, point in _spread(free, path.length, plan))


def _places(
    path: Path, plan: BridgePlan, joints: shapely.Geometry
) -> list[tuple[float, float, Point]]:
    """The places along a closed path that a bridge's middle may take: what is to spare, where.

    Each has the length in mm that its smooth run, and twice its distance from joints, is more than
    a bridge takes; then its place along the path in mm, and the point. A run that is too short has
    its middle alone.
    """
    takes = plan.gap + 2 * CLEAR
    found = []
    for start, end in smooth_runs(path, GENTLE * plan.gap):
        slack = end - start - takes
        low, high = start + takes / 2, end - takes / 2
        count = max(1, math.ceil(slack / STEP)) if slack >= 0 else 0
        tried = [low + slack * i / count for i in range(count + 1)] if count else [(low + high) / 2]
        for along in tried:
            point = point_along(path, along)
            apart = shapely.distance(joints, shapely.Point(point))
            clear = math.inf if math.isnan(apart) else float(apart)  # nan: there are no joints
            found.append((min(slack, 2 * clear - takes), along, point))
    return found


def _spread(
    free: Sequence[tuple[float, Point]], length: float, plan: BridgePlan
) -> list[tuple[float, Point]]:
    """Up to the wanted count of places, each nearest to its even share of the length."""

    def between(one: float, other: float) -> float:
        apart = abs(one - other) % length
        return min(apart, length - apart)

    if not free:
        return []
    least = plan.gap + 2 * CLEAR
    best: list[tuple[float, Point]] = []
    worst = math.inf
    for turn in range(8):
        chosen: list[tuple[float, Point]] = []
        cost = 0.0
        for k in range(plan.count):
            target = length * (k + turn / 8) / plan.count
            clear = [f for f in free if all(between(f[0], c[0]) >= least for c in chosen)]
            if not clear:
                break
            near = min(clear, key=lambda f: (round(between(f[0], target), 6), f[0]))
            cost += between(near[0], target) ** 2
            chosen.append(near)
        if (-len(chosen), round(cost, 6)) < (-len(best), round(worst, 6)):
            best, worst = chosen, cost
    return sorted(best)


def smooth_runs(path: Path, least_radius: float) -> list[tuple[float, float]]:
    """The stretches of a closed path without a corner or a tight arc: start and end along, mm.

    A run over the path's start ends beyond its length; a path all smooth is one run.
    """
    segments = path.segments
    n = len(segments)
    gentle = [s.bulge == 0.0 or s.radius >= least_radius for s in segments]
    joined = [
        gentle[i - 1]
        and gentle[i]
        and _bend(segments[i - 1].direction(at_end=True), segments[i].direction()) < SMOOTH
        for i in range(n)
    ]
    starts = [0.0]
    for segment in segments:
        starts.append(starts[-1] + segment.length)
    breaks = [i for i in range(n) if not joined[i]]
    if not breaks:
        return [(0.0, starts[-1])]
    runs = []
    for k, first in enumerate(breaks):
        if not gentle[first]:
            continue
        following = breaks[(k + 1) % len(breaks)]
        end = starts[following] if following > first else starts[following] + starts[-1]
        runs.append((starts[first], end))
    return runs


def _bend(one: Point, other: Point) -> float:
    """The angle in radians between two unit vectors."""
    return abs(
        math.atan2(one[0] * other[1] - one[1] * other[0], one[0] * other[0] + one[1] * other[1])
    )
