"""Outlines whose mouths are chamfered and whose inside corners are relieved for a round tool.

Outlines run with the material on their left: outer paths counter-clockwise, holes clockwise.

A router's bit of radius r leaves a fillet in an inside corner, and a sharp-cornered mate would not
seat. The relief is a circle on the corner's bisector that passes through the corner (common
practice, no source). Of all circles through a square corner it eats least into either side,
(1 − 1/√2) r beyond it, and it serves any angle; circles along a slot's floor spare its sides but
go a whole r deeper, and those into its sides widen it by as much.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple

from framekit.errors import Fault, GeometryError
from framekit.geometry.crossing import circle_circle, first_crossing
from framekit.geometry.path import Outline, Path, Point, Segment, Vertex
from framekit.solution.limits import RELIEF_ROOM

LEAST_LEAD = 0.05
"""mm below which a chamfer is left out."""

_SHARE = 0.45
"""The most of a side that one chamfer takes."""

_SHARP = 0.5
"""Turn in radians from which an unmarked corner ends a side."""

_SAME = 1e-7
"""Distance in mm within which corners are one."""

Work = Literal["", "mouth", "inside"]


class Corner(NamedTuple):
    """A vertex, mm, and what may be done to it: a mouth is chamfered, an inside corner relieved."""

    x: float
    y: float
    bulge: float = 0.0
    work: Work = ""


class _Relief(NamedTuple):
    centre: Point
    run: float


def relief_radius(tool_radius: float) -> float:
    """The radius in mm of the relief for a tool of that radius; 0 for 0."""
    return tool_radius + RELIEF_ROOM if tool_radius > 0 else 0.0


def plain_path(corners: Iterable[Corner]) -> Path:
    """The closed path through the corners as they are."""
    return Path(tuple(Vertex(c.x, c.y, c.bulge) for c in corners))


def worked_path(corners: Sequence[Corner], lead_in: float = 0.0, relief: float = 0.0) -> Path:
    """The closed path with its mouths cut back by `lead_in` and its inside corners relieved.

    `lead_in` in mm is taken off both sides of a mouth, so a square one gets 45°; it shrinks to
    0.45 of a shorter side. `relief` is the tool's radius in mm. 0 leaves corners sharp.

    Raises GeometryError when a relief does not fit between its neighbours.
    """
    chain = without_repeats(corners)
    segments = [
        Segment((c.x, c.y), (n.x, n.y), c.bulge)
        for c, n in zip(chain, [*chain[1:], chain[0]], strict=True)
    ]
    radius = relief_radius(relief)
    reliefs: dict[int, _Relief] = {}
    mouths: list[int] = []
    for i, corner in enumerate(chain):
        if corner.work == "inside" and radius > 0:
            found = _relief(segments[i - 1], segments[i], radius)
            if found:
                reliefs[i] = found
        elif corner.work == "mouth" and lead_in > 0:
            mouths.append(i)
    setbacks = {i: relieved.run for i, relieved in reliefs.items()}
    leads = {i: _lead(i, chain, segments, lead_in, setbacks) for i in mouths}
    setbacks |= {i: lead for i, lead in leads.items() if lead >= LEAST_LEAD}
    if not setbacks:
        return plain_path(chain)
    for i, relieved in reliefs.items():
        for side, other in ((segments[i], i + 1), (segments[i - 1], i - 1)):
            free = side.length - setbacks.get(other % len(chain), 0.0)
            if other % len(chain) not in reliefs and free < relieved.run:
                raise _no_room(radius, f"The edge there has only {free:.4g} mm.", side.start)
    places = sorted(setbacks)
    runs = []
    for i, j in zip(places, [*places[1:], places[0] + len(chain)], strict=True):
        run = [segments[k % len(chain)] for k in range(i, j)]
        runs.append(_run(run, setbacks, reliefs, i, j % len(chain), radius))
    vertices: list[Vertex] = []
    for k, i in enumerate(places):
        start, end = runs[k - 1][1], runs[k][0]
        bulge = 0.0
        if i in reliefs:
            bulge = _clockwise(reliefs[i].centre, start, end)
        if math.dist(start, end) > _SAME:
            vertices.append(Vertex(*start, bulge))
        vertices += [Vertex(*s.start, s.bulge) for s in runs[k][2]]
    return Path(tuple(vertices))


def without_repeats(corners: Sequence[Corner]) -> list[Corner]:
    """The corners without those at the place of the one before, the last against the first too."""
    kept: list[Corner] = []
    for corner in corners:
        if kept and math.dist(kept[-1][:2], corner[:2]) < _SAME:
            kept[-1] = Corner(kept[-1].x, kept[-1].y, corner.bulge, corner.work or kept[-1].work)
        else:
            kept.append(corner)
    if len(kept) > 1 and math.dist(kept[-1][:2], kept[0][:2]) < _SAME:
        last = kept.pop()
        if last.work and not kept[0].work:
            kept[0] = kept[0]._replace(work=last.work)
    return kept


def refuse_narrow(width: float, relief: float, about: str) -> None:
    """Nothing; raises GeometryError when a tool of radius `relief` does not fit in a slot."""
    need = 2 * relief_radius(relief)
    if width < need - 1e-9:
        raise GeometryError(
            Fault(
                "slot-narrower-than-tool",
                f"{about} is {width:.4g} mm wide, a tool of diameter {2 * relief:.4g} mm needs "
                f"{need:.4g} mm",
                hint="Use a thinner tool, a thicker sheet, or no relief.",
            )
        )


def refuse_crossing(outline: Outline, about: str) -> Outline:
    """The outline as it is; raises GeometryError when edges of it cross or touch."""
    where = first_crossing((outline.outer, *outline.holes))
    if where is not None:
        raise GeometryError(
            Fault(
                "outline-crosses",
                f"{about} breaks through its own edge near x {where[0]:.2f}, y {where[1]:.2f} mm",
                hint="Make the part wider there, its features smaller, or the tool thinner.",
            )
        )
    return outline


def _relief(before: Segment, after: Segment, radius: float) -> _Relief | None:
    """The relief of a corner between two lines; None where the material does not surround it."""
    (ax, ay), (bx, by) = before.direction(at_end=True), after.direction()
    if ax * by - ay * bx > -1e-6:
        return None
    if before.bulge or after.bulge:
        raise _no_room(radius, "The corner there is not between straight edges.", after.start)
    ux, uy = bx - ax, by - ay
    size = math.hypot(ux, uy)
    # Half the free angle lies between the bisector u and either side.
    cosine = (ux * bx + uy * by) / size
    x, y = after.start
    centre = (x + radius * ux / size, y + radius * uy / size)
    return _Relief(centre, 2 * radius * cosine)


def _lead(
    i: int,
    chain: Sequence[Corner],
    segments: Sequence[Segment],
    lead_in: float,
    setbacks: dict[int, float],
) -> float:
    lead = lead_in
    for step in (1, -1):
        length, k = 0.0, i
        while True:
            length += segments[k if step == 1 else k - 1].length
            k = (k + step) % len(chain)
            if chain[k].work or _turn(segments[k - 1], segments[k]) > _SHARP or k == i:
                break
        lead = min(lead, _SHARE * length, length - setbacks.get(k, 0.0) - LEAST_LEAD)
    return lead


def _turn(before: Segment, after: Segment) -> float:
    (ax, ay), (bx, by) = before.direction(at_end=True), after.direction()
    return abs(math.atan2(ax * by - ay * bx, ax * bx + ay * by))


def _run(
    run: Sequence[Segment],
    setbacks: dict[int, float],
    reliefs: dict[int, _Relief],
    i: int,
    j: int,
    radius: float,
) -> tuple[Point, Point, list[Segment]]:
    """Start, end and segments of what is left between two worked corners."""
    length = math.fsum(s.length for s in run)
    if length > setbacks[i] + setbacks[j] + 1e-6:
        kept = _cut(list(run), setbacks[i])
        kept = [_back(s) for s in _cut([_back(s) for s in reversed(kept)], setbacks[j])][::-1]
        return kept[0].start, kept[-1].end, kept
    crossing: list[Point] = []
    if i in reliefs and j in reliefs:
        crossing = circle_circle(reliefs[i].centre, radius, reliefs[j].centre, radius)
    if not crossing:
        raise _no_room(radius, f"The edge there is only {length:.4g} mm long.", run[0].start)
    # Both reliefs eat the whole edge and meet where they cross on the material's side, the left.
    ux, uy = run[0].direction()
    meet = max(crossing, key=lambda p: ux * p[1] - uy * p[0])
    return meet, meet, []


def _cut(run: list[Segment], length: float) -> list[Segment]:
    """The chain without its first `length` mm."""
    while length >= run[0].length - 1e-9:
        length -= run[0].length
        run = run[1:]
    if length <= 0.0:
        return run
    first = run[0]
    share = length / first.length
    if first.bulge == 0.0:
        (x0, y0), (x1, y1) = first.start, first.end
        start, bulge = (x0 + share * (x1 - x0), y0 + share * (y1 - y0)), 0.0
    else:
        (cx, cy), turn = first.centre, first.angle * share
        x, y = first.start[0] - cx, first.start[1] - cy
        c, s = math.cos(turn), math.sin(turn)
        start = (cx + c * x - s * y, cy + s * x + c * y)
        bulge = math.tan(first.angle * (1 - share) / 4)
    return [Segment(start, first.end, bulge), *run[1:]]


def _back(segment: Segment) -> Segment:
    return Segment(segment.end, segment.start, -segment.bulge if segment.bulge else 0.0)


def _clockwise(centre: Point, start: Point, end: Point) -> float:
    """The bulge of the arc clockwise about a centre from one point to another."""
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    last = math.atan2(end[1] - centre[1], end[0] - centre[0])
    return -math.tan((first - last) % (2 * math.pi) / 4)


def _no_room(radius: float, reason: str, where: Point) -> GeometryError:
    return GeometryError(
        Fault(
            "relief-does-not-fit",
            f"a relief of radius {radius:.4g} mm does not fit near x {where[0]:.2f}, "
            f"y {where[1]:.2f} mm. {reason}",
            hint="Use a thinner tool, a thicker sheet, or no relief.",
        )
    )
