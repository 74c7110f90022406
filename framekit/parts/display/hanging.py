"""Where a hole goes so that a frame hangs with its axis at a wanted tilt.

A frame that hangs freely from a point rests with that point straight above its centre of mass.
So the hole lies where the line from the centre of mass, at the wanted tilt from the axis, meets
material with enough left round the hole. The hole itself takes a little mass away: take the
balance again with it and let `settles_at` tell the tilt.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Point
from framekit.parts.display.balance import settles_at
from framekit.parts.model import HangHole, Hanging, Part, Point3
from framekit.parts.shape.edges import distance_to, encloses, ray_crossings
from framekit.parts.shape.poses import to_frame, to_own

_PLUMB = 0.05
"""Tilt in degrees from straight up or down within which a hang counts as upright."""

_STEPS = 24
"""Places tried along a ray's run in material before the best is refined."""

_NEAREST_LOOP = 1.0
_LOOP_STEP = 0.5
"""Tilts in degrees at which holes for a loop are looked for, from the axis outward."""


def hang_hole(
    parts: Sequence[Part], centre: Point3, tilt: float, diameter: float, wall: float
) -> Hanging:
    """The hole, `diameter` mm, by which the parts hang with their axis `tilt` degrees from
    upright, at least `wall` mm of material left round it.

    `centre` is the centre of mass in mm in the frame's axes; `tilt` runs from 0 (upright) to 180
    (upside down). An upright hang takes the outermost disc with material on the axis, else a
    loop through two opposite ribs; any other a hole in the rib that comes nearest to the tilt.

    Raises:
        GeometryError: no such place; the sentence names the tilts that can be had.
    """
    if not (0.0 <= tilt <= 180.0 and diameter > 0.0 and wall >= 0.0):
        raise GeometryError(
            Fault(
                "hang-range",
                f"A hole of {diameter:g} mm with {wall:g} mm round it for a tilt of {tilt:g}° "
                "makes no sense.",
                hint="Tilt runs from 0° to 180°; the hole has a width and the wall none below 0.",
            )
        )
    room = diameter / 2 + wall
    ribs = [part for part in parts if part.kind == "rib"]
    if min(tilt, 180.0 - tilt) <= _PLUMB:
        found = _in_disc(parts, centre, tilt > 90.0, diameter, room)
        found = found or _loop(ribs, centre, tilt > 90.0, diameter, room)
    else:
        found = _in_rib(ribs, centre, tilt, diameter, room)
    if found is None:
        reachable = reachable_tilts(parts, centre, diameter, wall)
        tilts = ", ".join(f"{a:g}° to {b:g}°" if b > a else f"{a:g}°" for a, b in reachable)
        raise GeometryError(
            Fault(
                "no-hang-hole",
                f"A hole of {diameter:.4g} mm with {wall:.4g} mm round it finds no place for a "
                f"tilt of {tilt:.4g}°.",
                hint=(
                    f"These tilts can be had: {tilts}."
                    if tilts
                    else "No tilt can be had: make the hole smaller or the ribs wider."
                ),
            )
        )
    return found


def reachable_tilts(
    parts: Sequence[Part], centre: Point3, diameter: float, wall: float, step: float = 1.0
) -> tuple[tuple[float, float], ...]:
    """The tilts in degrees that one hole in a rib can give, as runs of multiples of `step`."""
    room = diameter / 2 + wall
    distinct: dict[tuple[float, ...], Part] = {}
    for part in parts:
        if part.kind == "rib":
            local = to_own(part.pose, centre)
            key = (id(part.outline), *(round(value, 3) for value in local))
            distinct.setdefault(key, part)
    runs: list[tuple[float, float]] = []
    for i in range(round(180.0 / step) + 1):
        tilt = i * step
        if all(_place(rib, centre, tilt, room) is None for rib in distinct.values()):
            continue
        if runs and tilt - runs[-1][1] <= 1.001 * step:
            runs[-1] = (runs[-1][0], tilt)
        else:
            runs.append((tilt, tilt))
    return tuple(runs)


def _in_rib(
    ribs: Sequence[Part], centre: Point3, tilt: float, diameter: float, room: float
) -> Hanging | None:
    best: tuple[float, Hanging] | None = None
    for rib in ribs:
        hole = _hole(rib, centre, tilt, diameter, room)
        if hole is None:
            continue
        settled = settles_at(centre, hole.point)
        miss = abs(settled.tilt - tilt)
        if best is None or miss < best[0] - 1e-9:
            best = (miss, Hanging((hole,), diameter, hole.point, settled))
    return None if best is None else best[1]


def _in_disc(
    parts: Sequence[Part], centre: Point3, below: bool, diameter: float, room: float
) -> Hanging | None:
    """A hole on the plumb line in the disc farthest that way, if one has material there."""
    sign = -1.0 if below else 1.0
    discs = [p for p in parts if p.kind == "disc" and sign * (p.pose[2][3] - centre[2]) > 0.0]
    for disc in sorted(discs, key=lambda p: -sign * p.pose[2][3]):
        x, y, _ = to_own(disc.pose, (centre[0], centre[1], disc.pose[2][3]))
        clear = clearance_at(disc, (x, y))
        if clear >= room:
            point = to_frame(disc.pose, (x, y))
            hole = HangHole(disc.id, (x, y), point, clear - diameter / 2)
            return Hanging((hole,), diameter, point, settles_at(centre, point))
        if not any(encloses(bore, (x, y)) for bore in disc.outline.holes):
            return None  # what is nearer could hang by no string: this disc is in its way
    return None


def _loop(
    ribs: Sequence[Part], centre: Point3, below: bool, diameter: float, room: float
) -> Hanging | None:
    """Holes at one height in two opposite ribs, as near to the axis as they go."""
    pairs = [(a, b) for a, b in combinations(ribs, 2) if _opposite(a, b)]
    for i in range(round((45.0 - _NEAREST_LOOP) / _LOOP_STEP)):
        away = _NEAREST_LOOP + _LOOP_STEP * i
        for first, second in pairs:
            hole = _hole(first, centre, 180.0 - away if below else away, diameter, room)
            if hole is None:
                continue
            clear = clearance_at(second, hole.at)
            if clear < room:
                continue
            other = HangHole(
                second.id, hole.at, to_frame(second.pose, hole.at), clear - diameter / 2
            )
            a, b = hole.point, other.point
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2)
            return Hanging((hole, other), diameter, middle, settles_at(centre, middle))
    return None


def _opposite(first: Part, second: Part) -> bool:
    along = sum(first.pose[i][0] * second.pose[i][0] for i in range(3))
    return along < -1.0 + 1e-9


def _hole(rib: Part, centre: Point3, tilt: float, diameter: float, room: float) -> HangHole | None:
    found = _place(rib, centre, tilt, room)
    if found is None:
        return None
    at, clear = found
    return HangHole(rib.id, at, to_frame(rib.pose, at), clear - diameter / 2)


def _place(rib: Part, centre: Point3, tilt: float, room: float) -> tuple[Point, float] | None:
    """The point of a rib on the ray at that tilt with most room, and its room; None if too
    little."""
    x, y, _ = to_own(rib.pose, centre)
    angle = math.radians(tilt)
    direction = (math.sin(angle), math.cos(angle))
    cuts = sorted(
        along
        for path in (rib.outline.outer, *rib.outline.holes)
        for segment in path.segments
        for along in ray_crossings(segment, (x, y), direction)
    )

    def at(along: float) -> Point:
        return (x + along * direction[0], y + along * direction[1])

    best: tuple[float, float] = (0.0, 0.0)
    for start, stop in zip([0.0, *cuts], cuts, strict=False):
        if stop - start < 2 * room * 0.999 or clearance_at(rib, at((start + stop) / 2)) <= 0.0:
            continue
        step = (stop - start) / _STEPS
        clear, along = max(
            (clearance_at(rib, at(start + step * i)), start + step * i) for i in range(1, _STEPS)
        )
        low, high = along - step, along + step
        for _ in range(40):
            one, two = low + 0.382 * (high - low), low + 0.618 * (high - low)
            if clearance_at(rib, at(one)) < clearance_at(rib, at(two)):
                low = one
            else:
                high = two
        refined = (low + high) / 2
        clear, along = max((clear, along), (clearance_at(rib, at(refined)), refined))
        best = max(best, (clear, along))
    clear, along = best
    return (at(along), clear) if clear >= room - 1e-9 else None


def clearance_at(part: Part, point: Point) -> float:
    """How far in mm a point of a part lies from its edges and from the places where other parts
    cross it; 0 when it lies off the material or in such a place."""
    outline = part.outline
    if not encloses(outline.outer, point):
        return 0.0
    voids = (*outline.holes, *part.crossings)
    if any(encloses(path, point) for path in voids):
        return 0.0
    return min(
        distance_to(segment, point) for path in (outline.outer, *voids) for segment in path.segments
    )
