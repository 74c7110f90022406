"""Where a hole goes so that a frame hangs with its axis at a wanted tilt.

A frame that hangs freely from a point rests with that point straight above its centre of mass.
So the hole lies where the line from the centre of mass, at the wanted tilt from the axis, meets
material with enough left around the hole, far enough above the centre of mass. The parts hung
from carry all ribs by their shapes, and the thread reaches the hole. The hole itself takes a
little mass away: take the balance again with it and let `settles_at` tell the tilt.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Point
from framekit.parts.display.balance import settles_at
from framekit.parts.display.hole_places import PartRoom, clearance_at, roomiest
from framekit.parts.display.thread import Thread
from framekit.parts.model import HangHole, Hanging, Part, Point3, Remark
from framekit.parts.retention import Retention
from framekit.parts.shape.edges import distance_to, encloses
from framekit.parts.shape.poses import to_frame, to_own

LEAST_RISE = 0.05
"""Share of the frame's height by which a point to hang from lies above the centre of mass. Glue,
paint and the spread of a board's density, 5 % to 10 % for wood, move the true centre of mass by
some hundredths of the height; nearer than that a frame may turn over, and any breath tilts it.
Common practice, no source."""

ROUNDING = 1e-6
"""mm below which a difference of two sums is rounding and decides nothing."""

_PLUMB = 0.05
"""Tilt in degrees from straight up or down within which a hang counts as upright."""

_NEAREST_LOOP = 1.0
_LOOP_STEP = 0.5
"""Tilts in degrees at which holes for a loop are looked for, from the axis outward."""

MOST_LEAN = 1.0
"""Degrees from plumb that a loop through two ribs may leave the axis of a frame whose centre of
mass lies off the axis, for a hang asked to be upright. The eye sees more than that; common
practice, no source."""

_SAME_TILT = 0.01
"""Degrees between two hangs below which they lean alike."""


@dataclass(frozen=True)
class HangWish:
    """What a hang is asked to be: `tilt` of the axis in degrees from 0 (upright) to 180 (upside
    down), `diameter` of the hole and the least material around it, `walls`, by the part's id;
    mm."""

    tilt: float
    diameter: float
    walls: Mapping[str, float]

    def room(self, part: Part) -> float:
        """The least distance in mm from the hole's centre to a part's edges."""
        return self.diameter / 2 + self.walls[part.id]


def hang_hole(
    parts: Sequence[Part], centre: Point3, wish: HangWish, retention: Retention
) -> Hanging:
    """Return the hole or two by which the parts hang as wished.

    `centre` is the centre of mass in mm in the frame's axes; `retention` says who holds whom. An
    upright hang takes the outermost disc with material on the plumb line that the ribs hold from
    both sides, else a loop through two opposite ribs; any other a hole in the rib that comes
    nearest to the tilt. Each point to hang from is `LEAST_RISE` of the frame's height or more
    above the centre of mass, and pulled there the frame comes along by the shapes of its joints.

    Raises:
        GeometryError: no such place; the sentence says what to change.
    """
    least = min(wish.walls.values(), default=0.0)
    if not (0.0 <= wish.tilt <= 180.0 and wish.diameter > 0.0 and least >= 0.0):
        raise GeometryError(
            Fault(
                "hang-range",
                f"A hole of {wish.diameter:g} mm with {least:g} mm around it for a tilt of "
                f"{wish.tilt:g}° makes no sense.",
                hint="Tilt runs from 0° to 180°; the hole has a width and the wall none below 0.",
            )
        )
    search = _Search(parts, centre, wish, retention)
    upright = min(wish.tilt, 180.0 - wish.tilt) <= _PLUMB
    found = search.in_disc() or search.in_pair() if upright else search.in_rib()
    if found is None:
        walls = {wish.walls[rib.id] for rib in search.ribs}
        around = f" with {max(walls):.4g} mm around it" if walls else ""
        hints = search.upright_advice() if upright else []
        raise GeometryError(
            Fault(
                "no-hang-hole",
                f"A hole of {wish.diameter:.4g} mm{around} finds no place for a tilt of "
                f"{wish.tilt:.4g}°.",
                hint=" ".join((*hints, _reachable_words(parts, centre, wish, retention))),
            )
        )
    return found


def reachable_tilts(
    parts: Sequence[Part],
    centre: Point3,
    wish: HangWish,
    retention: Retention,
    step: float = 1.0,
) -> tuple[tuple[float, float], ...]:
    """Return the tilts in degrees that one hole in a rib can give, as runs of multiples of
    `step`; the wish's own tilt does not count."""
    search = _Search(parts, centre, wish, retention)
    distinct = list({search.likeness(rib): rib for rib in search.carriers()}.values())
    runs: list[tuple[float, float]] = []
    for i in range(round(180.0 / step) + 1):
        tilt = i * step
        if all(search.hole(rib, tilt) is None for rib in distinct):
            continue
        if runs and tilt - runs[-1][1] <= 1.001 * step:
            runs[-1] = (runs[-1][0], tilt)
        else:
            runs.append((tilt, tilt))
    return tuple(runs)


def _reachable_words(
    parts: Sequence[Part], centre: Point3, wish: HangWish, retention: Retention
) -> str:
    found = reachable_tilts(parts, centre, wish, retention)
    tilts = ", ".join(f"{a:g}° to {b:g}°" if b > a else f"{a:g}°" for a, b in found)
    if tilts:
        return f"These tilts can be had: {tilts}."
    return "No tilt can be had by a hole in a rib: make the hole smaller or the ribs wider."


def _pulled_out(rib: Part) -> Remark:
    text = (
        f"{rib.id}: carries the frame alone, and the thread pulls it outward, the way it was slid "
        "in; glue keeps it in place."
    )
    return Remark("pulled-out", (rib.id,), text, "can be pulled out")


class _Search:
    """Looks for places to hang a frame from."""

    def __init__(
        self, parts: Sequence[Part], centre: Point3, wish: HangWish, retention: Retention
    ) -> None:
        self.ribs = [part for part in parts if part.kind == "rib"]
        self._plates = [part for part in parts if part.kind in ("disc", "flange")]
        self._centre, self._wish, self._retention = centre, wish, retention
        self._rooms: dict[str, PartRoom] = {}
        self._up = -1.0 if wish.tilt > 90.0 else 1.0
        bounds = [part.outline.outer.bounds for part in self.ribs]
        self._ends = (min(b[1] for b in bounds), max(b[3] for b in bounds)) if bounds else (0, 0)
        self.least_rise = LEAST_RISE * (self._ends[1] - self._ends[0])

    def carriers(self) -> list[Part]:
        """The ribs by each of which alone the frame can be carried."""
        return [rib for rib in self.ribs if self._carries(rib)]

    def likeness(self, rib: Part) -> tuple[float, ...]:
        """What two ribs share that have the same places for a hole."""
        local = to_own(rib.pose, self._centre)
        return (id(rib.outline), *(round(value, 3) for value in local))

    def hole(self, rib: Part, tilt: float) -> HangHole | None:
        """The hole in a rib with most room on the ray at that tilt, for a thread along the ray."""
        found = self._hole(rib, tilt, self.least_rise)
        if found is None:
            return None
        thread = Thread(rib, found.at, self._wish.diameter)
        clear = all(thread.passes(plate, math.radians(tilt)) for plate in self._plates)
        return found if clear else None

    def in_rib(self) -> Hanging | None:
        """A hole in the rib that comes nearest to the tilt."""
        best: tuple[float, Hanging] | None = None
        for rib in self.carriers():
            hole = self.hole(rib, self._wish.tilt)
            if hole is None:
                continue
            settled = settles_at(self._centre, hole.point)
            miss = abs(settled.tilt - self._wish.tilt)
            if best is None or miss < best[0] - 1e-9:
                remarks = () if self._ringed(rib) else (_pulled_out(rib),)
                hanging = Hanging((hole,), self._wish.diameter, hole.point, settled, remarks)
                best = (miss, hanging)
        return None if best is None else best[1]

    def in_disc(self) -> Hanging | None:
        """A hole on the plumb line in the disc farthest up that holds, if the thread gets there."""
        for disc in self._discs_above():
            at, clear = self._on_plumb_line(disc)
            if clear >= self._wish.room(disc) - ROUNDING and self._carries(disc):
                point = to_frame(disc.pose, at)
                hole = HangHole(disc.id, at, point, clear - self._wish.diameter / 2)
                settled = settles_at(self._centre, point)
                return Hanging((hole,), self._wish.diameter, point, settled)
            if not self._passes_plumb(disc, at):
                return None
        return None

    def in_pair(self) -> Hanging | None:
        """Holes at one height in two opposite ribs that hold: those that lean least, and of them
        the ones nearest to the axis."""
        best: Hanging | None = None
        for first, second in self._pairs():
            if not self._carries(first, second):
                continue
            found = next(self._loops(first, second), None)
            if found is not None and (
                best is None or self._lean(found) < self._lean(best) - _SAME_TILT
            ):
                best = found
        return best

    def upright_advice(self) -> list[str]:
        """What to change so that the frame can hang upright."""
        side = "below" if self._up < 0.0 else "above"
        advice = []
        above = self._discs_above()
        blind = [d for d in above if not self._passes_plumb(d, self._on_plumb_line(d)[0])]
        covers = [d.id for d in blind if not self._carries(d)]
        for name in covers:
            why = (
                "lies on the ribs' ends, so the frame would come off it"
                if name in self._retention.resting
                else "is not held by the ribs from above and below"
            )
            advice.append(f"{name} {why}, and it is in the thread's way: give it a bore.")
        if not above:
            advice.append(
                f"Put a disc without a bore between the ribs' ends, {self.least_rise:.1f} mm or "
                f"more {side} the centre of mass: 5 % of the frame's height."
            )
        elif not covers:
            advice.append(f"Leave out the bore of a disc {side} the centre of mass.")
        off = math.hypot(*self._centre[:2])
        if off > self.least_rise * math.tan(math.radians(MOST_LEAN)):
            advice.append(
                f"The centre of mass lies {off:.1f} mm off the axis, so by a loop through two ribs "
                "the frame may lean too far."
            )
        if next(self._pairs(), None) is None:
            advice.append(
                f"No two of the {len(self.ribs)} ribs are opposite: with an even number a loop "
                "through two of them may hold."
            )
        return advice

    def _carries(self, *names: Part) -> bool:
        """Whether all ribs come along when these parts are pulled along the axis."""
        moved = self._retention.carried_by([part.id for part in names])
        return all(rib.id in moved for rib in self.ribs)

    def _ringed(self, rib: Part) -> bool:
        """Whether a flange around a rib keeps it from going outward."""
        held = self._retention.holders[rib.id]
        return any(plate.kind == "flange" and plate.id in held for plate in self._plates)

    def _discs_above(self) -> list[Part]:
        """The discs far enough above the centre of mass, the farthest first."""
        height = self._centre[2]
        ranked = sorted(
            (self._up * (p.pose[2][3] - height), p.id, p) for p in self._plates if p.kind == "disc"
        )
        return [p for rise, _, p in reversed(ranked) if rise >= self.least_rise - ROUNDING]

    def _on_plumb_line(self, disc: Part) -> tuple[Point, float]:
        """Where a disc is above the centre of mass, in its own axes, and the room there."""
        x, y, _ = to_own(disc.pose, (self._centre[0], self._centre[1], disc.pose[2][3]))
        return (x, y), clearance_at(disc, (x, y))

    def _passes_plumb(self, disc: Part, at: Point) -> bool:
        """Whether a thread on the plumb line passes an opening of a disc."""
        return any(
            encloses(bore, at)
            and min(distance_to(s, at) for s in bore.segments) >= self._wish.diameter / 2
            for bore in disc.outline.holes
        )

    def _pairs(self) -> Iterator[tuple[Part, Part]]:
        """The pairs of opposite ribs that differ, each both ways."""
        seen = set()
        for first, second in permutations(self.ribs, 2):
            along = sum(first.pose[i][0] * second.pose[i][0] for i in range(3))
            alike = (self.likeness(first), self.likeness(second))
            if along < -1.0 + 1e-9 and alike not in seen:
                seen.add(alike)
                yield first, second

    def _loops(self, first: Part, second: Part) -> Iterator[Hanging]:
        """The loops through two opposite ribs, from the axis outward."""
        for i in range(round((90.0 - _NEAREST_LOOP) / _LOOP_STEP)):
            away = _NEAREST_LOOP + _LOOP_STEP * i
            rise = self.least_rise / math.cos(math.radians(away))
            hole = self._hole(first, 180.0 - away if self._up < 0.0 else away, rise)
            if hole is None:
                continue
            clear = self._room_of(second).at(hole.at)
            if clear < self._wish.room(second) - ROUNDING:
                continue
            threads = [Thread(rib, hole.at, self._wish.diameter) for rib in (first, second)]
            if not all(t.reaches_apex(self._plates, self._ends, self._up) for t in threads):
                continue
            other = HangHole(
                second.id,
                hole.at,
                to_frame(second.pose, hole.at),
                clear - self._wish.diameter / 2,
            )
            a, b = hole.point, other.point
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2)
            settled = settles_at(self._centre, middle)
            hanging = Hanging((hole, other), self._wish.diameter, middle, settled)
            if self._lean(hanging) <= MOST_LEAN:
                yield hanging

    def _room_of(self, part: Part) -> PartRoom:
        """The room that a part has, made once."""
        if part.id not in self._rooms:
            self._rooms[part.id] = PartRoom(part)
        return self._rooms[part.id]

    def _lean(self, hanging: Hanging) -> float:
        tilt = hanging.settled.tilt
        return 180.0 - tilt if self._up < 0.0 else tilt

    def _hole(self, rib: Part, tilt: float, least: float) -> HangHole | None:
        """The hole in a rib with most room on the ray at that tilt, `least` mm or more away."""
        x, y, _ = to_own(rib.pose, self._centre)
        room = self._wish.room(rib)
        found = roomiest(self._room_of(rib), (x, y), math.radians(tilt), room, least - ROUNDING)
        if found is None:
            return None
        at, clear = found
        return HangHole(rib.id, at, to_frame(rib.pose, at), clear - self._wish.diameter / 2)
