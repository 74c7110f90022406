"""Checking a layout on the exact outlines, whoever made it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

import shapely
from shapely import affinity
from shapely.geometry import Polygon

from framekit.sheets.protocol import NestJob, NestResult, Place, Point

TOLERANCE = 1e-6
"""A spacing or margin may fall short by this much, in mm: the rounding of coordinates."""


def find_faults(
    job: NestJob,
    result: NestResult,
    outlines: Sequence[Sequence[Point]] = (),
    missing: frozenset[tuple[int, int]] = frozenset(),
) -> tuple[str, ...]:
    """Sentences on all that is wrong with a layout; none when it is legal.

    Every copy lies on exactly one sheet, inside the sheet less its margin; no two parts overlap
    or come nearer than the spacing. `outlines` has the corners of each sheet in mm where they are
    not all the job's; the items and copies in `missing` lie on none.
    """
    faults = list(_count_faults(job, result, missing))
    for number, sheet in enumerate(result.sheets, start=1):
        known = [p for p in sheet if 0 <= p.item < len(job.items)]
        faults += [
            f"{_name(job, p)} on sheet {number} has a place that is not a finite number."
            for p in known
            if not _is_finite(p)
        ]
        known = [p for p in known if _is_finite(p)]
        shapes = [_placed(job, place) for place in known]
        faults += _edge_faults(job, number, known, shapes, outlines[number - 1] if outlines else ())
        faults += _pair_faults(job, number, known, shapes)
    return tuple(faults)


def _is_finite(place: Place) -> bool:
    return all(math.isfinite(value) for value in (place.x, place.y, place.rotation))


def _name(job: NestJob, place: Place) -> str:
    item = job.items[place.item]
    return item.key if item.copies == 1 else f"{item.key} (copy {place.copy + 1})"


def _placed(job: NestJob, place: Place) -> Polygon:
    item = job.items[place.item]
    turned = affinity.rotate(Polygon(item.outer, item.holes), place.rotation, origin=(0, 0))
    return affinity.translate(turned, place.x, place.y)


def _count_faults(
    job: NestJob, result: NestResult, missing: frozenset[tuple[int, int]]
) -> list[str]:
    counts = Counter((p.item, p.copy) for sheet in result.sheets for p in sheet)
    faults = []
    for i, item in enumerate(job.items):
        for copy in range(item.copies):
            times = counts.pop((i, copy), 0)
            if times != 1 and (times or (i, copy) not in missing):
                name = _name(job, Place(i, copy, 0.0, 0.0, 0.0))
                faults.append(f"{name} is placed {times} times instead of once.")
    faults += [
        f"The layout places copy {copy + 1} of item {i + 1}, which the job does not have."
        for i, copy in sorted(counts)
    ]
    return faults


def _edge_faults(
    job: NestJob,
    number: int,
    places: list[Place],
    shapes: list[Polygon],
    corners: Sequence[Point],
) -> list[str]:
    """What lies too near to the sheet's edge, or beyond it; no `corners` mean the job's own."""
    sheet = Polygon(corners)
    faults = []
    for place, shape in zip(places, shapes, strict=True):
        if corners:
            beyond = shape.difference(sheet).area
            if beyond > TOLERANCE:
                faults.append(
                    f"{_name(job, place)} lies beyond sheet {number} with {beyond:.4f} mm² of it."
                )
                continue
            room = float(shapely.distance(sheet.exterior, shape))
        else:
            x0, y0, x1, y1 = shape.bounds
            room = min(x0, y0, job.width - x1, job.height - y1)
        if room < job.margin - TOLERANCE:
            faults.append(
                f"{_name(job, place)} lies {room:.4f} mm from the edge of sheet {number}; "
                f"the margin is {job.margin:g} mm."
            )
    return faults


def _pair_faults(
    job: NestJob, number: int, places: list[Place], shapes: list[Polygon]
) -> list[str]:
    if not shapes:
        return []
    faults = []
    tree = shapely.STRtree(shapes)
    near = tree.query(shapes, predicate="dwithin", distance=job.spacing)
    pairs = sorted({(int(min(i, j)), int(max(i, j))) for i, j in near.T if i != j})
    for i, j in pairs:
        names = f"{_name(job, places[i])} and {_name(job, places[j])} on sheet {number}"
        overlap = shapely.area(shapely.intersection(shapes[i], shapes[j]))
        if overlap > TOLERANCE:
            faults.append(f"{names} overlap by {overlap:.4f} mm².")
            continue
        distance = float(shapely.distance(shapes[i], shapes[j]))
        if distance < job.spacing - TOLERANCE:
            faults.append(
                f"{names} are {distance:.4f} mm apart; the spacing is {job.spacing:g} mm."
            )
    return faults
