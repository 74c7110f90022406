"""A stand of two crossed upright plates that cradles a body with its axis tilted.

Plate 1 lies in the plane in which the axis leans, plate 2 across it. They cross on the plumb line
through the point of the body's axis that is level with its centre of mass, half-lapped: plate 1
has its slot from above, plate 2 from below. `cradle` describes the stand's axes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from framekit.errors import Fault, GeometryError
from framekit.geometry.arcfit import fit_arcs
from framekit.geometry.path import Outline, Point, cosine_sine
from framekit.parts.display.cradle import ConvexBody, Cradle, TiltedBody
from framekit.parts.display.ring_clearance import check_table_clearance, lies_below, lower_edges
from framekit.parts.display.stand_shape import Obstacle, StandDesign, StandPlate, StandShape
from framekit.parts.model import Point3, Pose, Remark, StandReport
from framekit.parts.shape.corners import Corner, refuse_narrow, worked_path
from framekit.parts.shape.poses import to_own

LEAST_REACH = 10.0
"""Steepness in degrees at a cradle's end below which it holds nothing; common practice, no
source."""

MOST_REACH = 80.0
"""Steepness in degrees past which a body might jam in its cradle; common practice, no source."""

_TRACE = 60
"""Points along a cradle at which obstacles are kept off."""


def make_stand(
    skin: ConvexBody, centre: Point3, shape: StandShape, obstacles: Sequence[Obstacle] = ()
) -> StandDesign:
    """The stand for a body with that skin and centre of mass, in mm in the frame's axes.

    A reach that would run into an obstacle is lowered, each side for itself, and the plates'
    sides are stepped where slanted ones would; a remark says so. Every plate stays below what
    the obstacles sweep over as the body is lowered into the cradle.

    Raises:
        GeometryError: no such stand, with what to change.
    """
    _check(shape)
    refuse_narrow(shape.slot, shape.relief, "the slot of a stand's plate")
    body = TiltedBody(skin, centre[2], shape.tilt)
    lowest = body.lowest()
    table = lowest - shape.foot_height
    check_table_clearance(shape, body, centre[2], obstacles, table)
    remarks: list[Remark] = []
    half = shape.base_width / 2
    foot = table + 2 * shape.wall
    reaches: list[float] = []
    stepped: list[bool] = []
    for plate, sign in ((1, -1.0), (1, 1.0), (2, 1.0)):
        floors = [
            low for o in obstacles for low in lower_edges(o, body, centre[2], shape, plate, sign)
        ]
        reach, step = _side(body, shape, plate, sign, floors, half, foot)
        reaches.append(reach)
        stepped.append(step)
        if reach < shape.reach:
            text = (
                f"Plate {plate}{_side_words(plate, sign)} reaches {reach:.3g}° instead of "
                f"{shape.reach:.3g}°, below what surrounds the body."
            )
            remarks.append(Remark("stand-reach", _plate_ids(shape, plate), text))
    cradles = (
        body.along(reaches[0], reaches[1], shape.clearance),
        body.across(shape.plate, reaches[2], shape.clearance),
    )
    _over_the_cradle(cradles[0], shape)
    top = min(cradles[0].point_at(cradles[0].parameter_at(0.0))[1], cradles[1].point_at(0.0)[1])
    bottom = table + shape.wall
    lap = (top + bottom) / 2
    web = (top - bottom) / 2 - shape.end_clearance
    if web < shape.wall:
        raise GeometryError(
            Fault(
                "stand-low",
                f"The lap of the plates would keep {web:.4g} mm of the {shape.wall:.4g} mm wall.",
                hint="Raise the foot height to "
                f"{shape.foot_height + 2 * (shape.wall - web):.4g} mm or more.",
            )
        )
    # Each slot runs past the seat as those of a frame's joints do.
    floors_at = (lap - shape.end_clearance, lap + shape.end_clearance)
    outlines = (
        _plate(cradles[0], shape, table, (stepped[0], stepped[1]), floors_at[0], None),
        _plate(cradles[1], shape, table, (stepped[2], stepped[2]), None, floors_at[1]),
    )
    pose, plates = _posed(shape, centre[2], outlines)
    remarks += _ledge_remarks(shape)
    report = _report(shape, centre, pose, table, outlines, web, reaches, remarks)
    return StandDesign(plates, report, shape, body, cradles, table)


def _over_the_cradle(cradle: Cradle, shape: StandShape) -> None:
    least = shape.slot / 2 + shape.wall / 2
    left, right = cradle.point_at(cradle.start)[0], cradle.point_at(cradle.end)[0]
    if left > -least or right < least:
        raise GeometryError(
            Fault(
                "stand-off-plumb",
                f"Plate 1's cradle runs from {left:.4g} to {right:.4g} mm beside the plumb line "
                "through the body's centre, so the body would topple over it.",
                hint="Use more reach, or hang the frame: so flat or long a body leans too far.",
            )
        )


def _check(shape: StandShape) -> None:
    lengths = {
        "thickness": shape.thickness,
        "slot width": shape.slot_width,
        "base width": shape.base_width,
        "foot height": shape.foot_height,
        "wall": shape.wall,
    }
    faults = [
        Fault("stand-range", f"The stand's {name} is {value:g} mm.", hint="Give a length over 0.")
        for name, value in lengths.items()
        if not (value > 0.0 and math.isfinite(value))
    ]
    if min(shape.clearance, shape.end_clearance) < 0.0 or shape.layers < 1:
        faults.append(
            Fault(
                "stand-range",
                f"Clearances of {shape.clearance:g} and {shape.end_clearance:g} mm with "
                f"{shape.layers} layers make no stand.",
                hint="Clearances are 0 or more, and a plate has one layer or more.",
            )
        )
    if not LEAST_REACH <= shape.reach <= MOST_REACH:
        faults.append(
            Fault(
                "stand-reach",
                f"The stand's reach is {shape.reach:g}°.",
                hint=f"Use {LEAST_REACH:g}° to {MOST_REACH:g}°.",
            )
        )
    if faults:
        raise GeometryError(*faults)


def _side(
    body: TiltedBody,
    shape: StandShape,
    plate: int,
    sign: float,
    floors: list[tuple[Point, ...]],
    half: float,
    foot: float,
) -> tuple[float, bool]:
    """The reach in degrees of one side of a plate, and whether its outer side is stepped."""
    reach = shape.reach
    tops: tuple[Point, ...] = ()
    while reach >= LEAST_REACH - 1e-9:
        if plate == 1:
            cradle = body.along(
                reach if sign < 0.0 else LEAST_REACH,
                reach if sign > 0.0 else LEAST_REACH,
                shape.clearance,
            )
        else:
            cradle = body.across(shape.plate, reach, shape.clearance)
        stop = cradle.end if sign > 0.0 else cradle.start
        trace = []
        for i in range(_TRACE + 1):
            u = cradle.middle + (stop - cradle.middle) * i / _TRACE
            x, z = cradle.point_at(u)
            trace.append((sign * x, z))
        end_x, end_z = trace[-1]
        land = (end_x + shape.wall, end_z)
        if land[0] > half or end_z < foot:
            raise GeometryError(
                Fault(
                    "stand-base",
                    f"Plate {plate}'s cradle ends {land[0]:.4g} mm from the middle, wall and all, "
                    f"{end_z - foot + 2 * shape.wall:.4g} mm over the table.",
                    hint=f"Make the base at least {2 * land[0]:.4g} mm wide, the foot height "
                    "greater than the wall, or use less reach.",
                )
            )
        for step in (False, True):
            tops = (*trace, land, *(((land[0], foot),) if step else ()), (half, foot))
            if all(lies_below(tops, floor) for floor in floors):
                return reach, step
        if not floors:
            break
        reach -= 1.0
    raise GeometryError(
        Fault(
            "stand-obstacle",
            f"Plate {plate}{_side_words(plate, sign)} cannot pass below what surrounds the body.",
            hint="Raise the foot height, narrow the base, or hang the frame.",
        )
    )


def _plate(
    cradle: Cradle,
    shape: StandShape,
    table: float,
    stepped: tuple[bool, bool],
    slot_from_above: float | None,
    slot_from_below: float | None,
) -> Outline:
    """A plate's outline, counter-clockwise from its left foot; slots by where they end, mm."""
    half, wall, slot = shape.base_width / 2, shape.wall, shape.slot / 2
    length = shape.base_width / 6
    inner = half - length
    if inner - wall < slot + wall:
        raise GeometryError(
            Fault(
                "stand-base",
                f"A base of {shape.base_width:.4g} mm leaves no room between feet and slot.",
                hint=f"Make it at least {3 * (slot + 2 * wall):.4g} mm wide.",
            )
        )
    under, foot = table + wall, table + 2 * wall
    corners = [Corner(-half, table), Corner(-inner, table), Corner(-inner + wall, under)]
    if slot_from_below is not None:
        corners += [
            Corner(-slot, under),
            Corner(-slot, slot_from_below, work="inside"),
            Corner(slot, slot_from_below, work="inside"),
            Corner(slot, under),
        ]
    corners += [Corner(inner - wall, under), Corner(inner, table), Corner(half, table)]
    corners.append(Corner(half, foot))
    x, z = cradle.point_at(cradle.end)
    if stepped[1]:
        corners.append(Corner(x + wall, foot))
    corners.append(Corner(x + wall, z))
    if slot_from_above is None:
        corners += _fitted(cradle, cradle.end, cradle.start)
    else:
        left, right = cradle.parameter_at(-slot), cradle.parameter_at(slot)
        corners += _fitted(cradle, cradle.end, right)
        corners += [Corner(x, slot_from_above, work="inside") for x in (slot, -slot)]
        corners += _fitted(cradle, left, cradle.start)
    x, z = cradle.point_at(cradle.start)
    corners.append(Corner(x - wall, z))
    if stepped[0]:
        corners.append(Corner(x - wall, foot))
    corners.append(Corner(-half, foot))
    return Outline(worked_path(corners, relief=shape.relief))


def _fitted(cradle: Cradle, start: float, end: float) -> list[Corner]:
    """Arcs along a cradle between two parameters, with its exact ends."""
    found = fit_arcs(cradle.point_at, cradle.tangent_at, start, end)
    return [Corner(*vertex) for vertex in found]


def _posed(
    shape: StandShape, origin: float, outlines: tuple[Outline, Outline]
) -> tuple[Pose, tuple[StandPlate, ...]]:
    c, s = cosine_sine(shape.tilt)
    cl, sl = cosine_sine(shape.longitude)
    x, y, z = (c * cl, c * sl, s), (-sl, cl, 0.0), (-s * cl, -s * sl, c)
    at = (0.0, 0.0, origin)
    pose = _matrix(x, y, z, at)
    plates = []
    across = ((x, (-y[0], -y[1], -y[2])), (y, x))
    for number, (outline, (level, normal)) in enumerate(zip(outlines, across, strict=True), 1):
        for layer, plate_id in enumerate(_plate_ids(shape, number)):
            off = (layer - (shape.layers - 1) / 2) * shape.thickness
            place = (at[0] + off * normal[0], at[1] + off * normal[1], at[2] + off * normal[2])
            where = "in the plane of the lean" if number == 1 else "across the lean"
            plates.append(
                StandPlate(
                    plate_id,
                    f"stand plate {number}, {where}",
                    shape.thickness,
                    outline,
                    _matrix(level, z, normal, place),
                )
            )
    return pose, tuple(plates)


def _plate_ids(shape: StandShape, number: int) -> tuple[str, ...]:
    """The ids of a plate's layers."""
    if shape.layers == 1:
        return (f"stand-{number}",)
    return tuple(f"stand-{number}-{layer}" for layer in range(1, shape.layers + 1))


def _matrix(x: Point3, y: Point3, z: Point3, at: Point3) -> Pose:
    return (
        (x[0], y[0], z[0], at[0]),
        (x[1], y[1], z[1], at[1]),
        (x[2], y[2], z[2], at[2]),
        (0.0, 0.0, 0.0, 1.0),
    )


def _ledge_remarks(shape: StandShape) -> list[Remark]:
    if shape.layers > 1:
        return []
    text = (
        "A rib that lies in plate 1's plane rests on it edge on edge, held sideways only by the "
        "ribs on plate 2; more layers make a wider ledge."
    )
    return [Remark("stand-ledge", _plate_ids(shape, 1), text)]


def _report(
    shape: StandShape,
    centre: Point3,
    pose: Pose,
    table: float,
    outlines: tuple[Outline, Outline],
    web: float,
    reaches: list[float],
    remarks: list[Remark],
) -> StandReport:
    margin, height = _footing(shape, centre, pose, table)
    return StandReport(
        shape.tilt,
        pose,
        margin,
        math.degrees(math.atan2(margin, height)),
        height,
        max(outline.outer.bounds[3] for outline in outlines) - table,
        (reaches[0], reaches[1], reaches[2]),
        web,
        tuple(remarks),
    )


def _footing(shape: StandShape, centre: Point3, pose: Pose, table: float) -> tuple[float, float]:
    """The centre of mass's margin inside the feet's outline and its height over the table, mm."""
    x, y, z = to_own(pose, centre)
    half, side = shape.base_width / 2, shape.plate / 2
    # The feet's outline: eight corners, of which the slanted edges lie nearest to the middle.
    margin = min(half - abs(x), half - abs(y), (half + side - abs(x) - abs(y)) / math.sqrt(2.0))
    if margin <= 0.0:
        raise GeometryError(
            Fault(
                "stand-tips",
                f"The centre of mass lies {-margin:.4g} mm outside the feet.",
                hint=f"Widen the base by {2.9 * -margin:.4g} mm or more.",
            )
        )
    return margin, z - table


def _side_words(plate: int, sign: float) -> str:
    if plate == 2:
        return ""
    return " on the side of the lean" if sign > 0.0 else " on the side away from the lean"


def turned(stand: StandDesign, centre: Point3, longitude: float) -> StandDesign:
    """The same stand with another meridian of the frame in plate 1, by its longitude in degrees.

    Raises:
        GeometryError: the centre of mass then lies outside the feet.
    """
    shape = replace(stand.shape, longitude=longitude % 360.0)
    first, last = stand.plates[0].outline, stand.plates[-1].outline
    pose, plates = _posed(shape, stand.report.pose[2][3], (first, last))
    margin, height = _footing(shape, centre, pose, stand.table)
    report = stand.report._replace(
        pose=pose,
        margin=margin,
        tipping_angle=math.degrees(math.atan2(margin, height)),
        centre_height=height,
    )
    return replace(stand, shape=shape, plates=plates, report=report)
