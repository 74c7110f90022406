"""From a job's items to shapes to pack, and from packed shapes back to placements."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from framekit.errors import Fault, NestError, Where
from framekit.sheets.nest.compaction import Spot
from framekit.sheets.nest.parts_in_holes import Kind, Unit, fill_bores
from framekit.sheets.nest.shapes import TOLERANCE, SearchShape, make_shape, turned
from framekit.sheets.protocol import NestItem, NestJob, NestResult, Place

_DIGITS = 6


@dataclass(frozen=True)
class PackingJob:
    """A job sorted by shape.

    `kinds` are the different parts, `members` each kind's (item, copy) pairs and `units` what is
    left to pack once the bores are filled, largest first; a unit's shape is its kind's number.
    """

    kinds: tuple[Kind, ...]
    members: tuple[tuple[tuple[int, int], ...], ...]
    units: tuple[Unit, ...]

    @property
    def shapes(self) -> list[SearchShape]:
        """The kinds' search shapes."""
        return [kind.shape for kind in self.kinds]

    @property
    def wanted(self) -> list[int]:
        """The shape of every unit, largest first."""
        return [unit.kind for unit in self.units]


_MEND = "Correct the outline before nesting."


def check_job(job: NestJob) -> None:
    """Nothing; a job that no nester can work on is refused.

    Raises:
        NestError: The sheet has no room inside its margin, a length is not a number or negative,
            or an outline is not a simple polygon.
    """
    faults = []
    lengths = (job.width, job.height, job.margin, job.spacing)
    if not all(math.isfinite(v) and v >= 0 for v in lengths):
        faults.append(
            Fault(
                "nest-lengths",
                "Width, height, margin and spacing must be finite and not negative; they are "
                f"{job.width:g}, {job.height:g}, {job.margin:g} and {job.spacing:g} mm.",
                hint="Write each in mm, zero or more.",
            )
        )
    elif min(job.width, job.height) <= 2 * job.margin:
        faults.append(
            Fault(
                "nest-margin",
                f"A margin of {job.margin:g} mm leaves no room on a sheet of "
                f"{job.width:g} × {job.height:g} mm.",
                hint="Use a smaller margin or a larger sheet.",
            )
        )
    faults += [fault for item in job.items for fault in _item_faults(item)]
    if faults:
        raise NestError(*faults)


def _item_faults(item: NestItem) -> list[Fault]:
    where = Where(path=item.key)
    if item.copies < 0:
        sentence = f"{item.key} has {item.copies} copies."
        return [Fault("nest-copies", sentence, where, "Ask for none or more.")]
    flat = [value for ring in (item.outer, *item.holes) for point in ring for value in point]
    if len(item.outer) < 3 or not all(math.isfinite(value) for value in flat):
        sentence = f"The outline of {item.key} needs three or more points with finite numbers."
        return [Fault("nest-outline", sentence, where, _MEND)]
    if any(len(hole) < 3 for hole in item.holes):
        sentence = f"A hole of {item.key} has fewer than three points."
        return [Fault("nest-outline", sentence, where, _MEND)]
    polygon = Polygon(item.outer, item.holes)
    if not polygon.is_valid or polygon.area <= 0:
        reason = shapely.is_valid_reason(polygon)
        sentence = f"The outline of {item.key} is not a simple polygon: {reason}."
        return [Fault("nest-outline", sentence, where, _MEND)]
    return []


def make_packing_job(job: NestJob) -> PackingJob:
    """The job's parts sorted by shape, with every bore filled that can hold another part."""
    members: dict[object, list[tuple[int, int]]] = defaultdict(list)
    for number, item in enumerate(job.items):
        members[_same(item)] += [(number, copy) for copy in range(item.copies)]
    groups = [tuple(group) for group in members.values() if group]
    kinds = []
    for group in groups:
        item = job.items[group[0][0]]
        kinds.append(Kind(item.holes, make_shape(item.outer, job.spacing, tolerance_for(item))))
    units = fill_bores(kinds, [len(group) for group in groups], job.spacing)
    return PackingJob(tuple(kinds), tuple(groups), tuple(units))


def tolerance_for(item: NestItem) -> float:
    """How far in mm the search outline of an item may lie outside it: more for large items."""
    size = np.ptp(np.array(item.outer), axis=0).max()
    return float(min(2 * TOLERANCE, max(TOLERANCE / 5, size / 300)))


def _same(item: NestItem) -> object:
    rings = (item.outer, *item.holes)
    return tuple(tuple((round(x, _DIGITS), round(y, _DIGITS)) for x, y in ring) for ring in rings)


def placements_of(packing: PackingJob, sheets: list[list[Spot]]) -> NestResult:
    """The placements that the spots on each sheet stand for; kinds hand out copies in order."""
    units: dict[int, list[Unit]] = defaultdict(list)
    for unit in reversed(packing.units):
        units[unit.kind].append(unit)
    copies = [list(reversed(group)) for group in packing.members]
    done = []
    for spots in sheets:
        places: list[Place] = []
        for spot in spots:
            _place(packing, copies, units[spot.shape].pop(), spot, places)
        done.append(tuple(sorted(places, key=lambda p: (p.item, p.copy))))
    return NestResult(tuple(done))


def _place(
    packing: PackingJob,
    copies: list[list[tuple[int, int]]],
    unit: Unit,
    spot: Spot,
    places: list[Place],
) -> None:
    """Add a unit's placement and those of all it holds to `places`."""
    item, copy = copies[unit.kind].pop()
    c, s = math.cos(math.radians(spot.angle)), math.sin(math.radians(spot.angle))
    cx, cy = packing.kinds[unit.kind].shape.centre
    x, y = spot.x - (c * cx - s * cy), spot.y - (s * cx + c * cy)
    places.append(Place(item, copy, x, y, spot.angle % 360.0))
    for held in unit.held:
        dx, dy = turned(np.array([[held.x, held.y]]), spot.angle)[0]
        inner = Spot(
            held.unit.kind, spot.x + float(dx), spot.y + float(dy), spot.angle + held.angle
        )
        _place(packing, copies, held.unit, inner, places)
