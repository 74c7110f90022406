"""A frame's hanging holes and its stand, made once its other parts are known."""

from __future__ import annotations

from dataclasses import replace

from framekit.catalogue.load import body as catalogue_body
from framekit.catalogue.model import MaterialRow
from framekit.errors import GeometryError
from framekit.geometry.path import Outline, circle
from framekit.parts.display.balance import balance_of, settles_at
from framekit.parts.display.contacts import RibLayout, resting_stand
from framekit.parts.display.cradle import ConvexBody
from framekit.parts.display.hanging import HangWish, hang_hole
from framekit.parts.display.stand_shape import Obstacle, StandDesign, StandShape
from framekit.parts.model import (
    Balance,
    Contacts,
    FrameDisplay,
    FrameParts,
    Hanging,
    Part,
    kerf_name,
)
from framekit.parts.retention import retention_of
from framekit.solution.limits import lead_in_of
from framekit.solution.meridian import meridian_of
from framekit.solution.model import FrameSolution
from framekit.spec.model import FrameSpec

CLEARANCE = 0.3
"""mm between cradle and skin unless the spec says otherwise; common practice, no source."""
FOOT = 25.0
"""mm of the body's lowest point over the table unless the spec says otherwise."""
FOOT_WALLS = 3.5
"""Least walls of it, so that both plates keep one over and under their lap."""
BASE = 0.9
"""Width over the feet as a share of the body's greatest width."""
HOLE = 4.0
"""mm across a hanging hole unless the spec says otherwise."""


def displayed(solution: FrameSolution, parts: tuple[Part, ...]) -> FrameParts:
    """Return the parts with the hanging holes that the spec asks for, and a stand's plates.

    Raises GeometryError, placed in the spec, where there is no such hole or stand.
    """
    spec = solution.spec
    hanging = None
    if spec.hang is not None:
        parts, hanging = _hung(solution, parts)
    balance = balance_of(parts)
    if spec.stand is None:
        return FrameParts(solution, parts, FrameDisplay(balance, hanging, None, None))
    try:
        stand, contacts = _stand(solution, balance)
    except GeometryError as error:
        raise _placed(error, spec, "stand") from None
    plates = tuple(_plate_part(solution, stand, n) for n in range(len(stand.plates)))
    display = FrameDisplay(balance, hanging, stand.report, contacts)
    return FrameParts(solution, (*parts, *plates), display)


def _hung(solution: FrameSolution, parts: tuple[Part, ...]) -> tuple[tuple[Part, ...], Hanging]:
    """The parts with their holes, and how the frame hangs by them, the holes' mass left out."""
    spec = solution.spec
    assert spec.hang is not None
    hole = HOLE if spec.hang.hole is None else spec.hang.hole.value
    wish = HangWish(spec.hang.tilt, hole, {p.id: _wall(solution, p) for p in parts})
    try:
        found = hang_hole(parts, balance_of(parts).centre, wish, retention_of(solution, parts))
    except GeometryError as error:
        raise _placed(error, spec, "hang") from None
    places = {h.part: h.at for h in found.holes}
    cut = tuple(
        _with_hole(solution, part, places[part.id], hole / 2) if part.id in places else part
        for part in parts
    )
    settled = settles_at(balance_of(cut).centre, found.point)
    return cut, found._replace(settled=settled)


def _with_hole(solution: FrameSolution, part: Part, at: tuple[float, float], radius: float) -> Part:
    hole = circle(radius, clockwise=True).moved(0.0, *at)
    outline = Outline(part.outline.outer, (*part.outline.holes, hole))
    mass = _material(solution, part).mass(outline.area, part.thickness)
    return replace(part, outline=outline, mass=mass)


def _wall(solution: FrameSolution, part: Part) -> float:
    """Return the least material in mm around a hole in a part, by the part's own material.

    A wider cut takes it away from both sides.
    """
    name = kerf_name(solution, part.kind)
    kerf = sum(t.tolerance for t in solution.toleranced if t.quantity == name)
    return _material(solution, part).ligament.value * part.thickness + kerf


def _material(solution: FrameSolution, part: Part) -> MaterialRow:
    return solution.material if part.kind == "rib" else solution.disc_material


def tilt_of(spec: FrameSpec) -> float:
    """The tilt in degrees that the stand holds the axis at."""
    assert spec.stand is not None
    if spec.stand.tilt != "auto":
        return float(spec.stand.tilt)
    if spec.body.catalogue is None:
        return 0.0
    row = catalogue_body(spec.body.catalogue, spec.where("body", "catalogue"))
    return 0.0 if row.obliquity is None else row.obliquity.value


def _stand(solution: FrameSolution, balance: Balance) -> tuple[StandDesign, Contacts]:
    spec, value = solution.spec, solution.value
    asked = spec.stand
    assert asked is not None
    thickness = value("sheet.thickness")
    meridian = meridian_of(solution)
    body = ConvexBody(meridian.outer, meridian.low, meridian.high)
    width = 2 * value("model.equatorial_radius")
    wall = max(solution.material.wall.value * thickness, 3 * thickness)
    shape = StandShape(
        tilt=tilt_of(spec),
        thickness=thickness,
        slot_width=value("joint.slot_width"),
        clearance=CLEARANCE if asked.clearance is None else asked.clearance.value,
        reach=asked.reach,
        base_width=BASE * width if asked.base is None else asked.base.value,
        foot_height=max(FOOT, FOOT_WALLS * wall) if asked.foot is None else asked.foot.value,
        wall=wall,
        end_clearance=value("joint.end_clearance"),
        layers=asked.layers,
        relief=value("cutter.kerf") / 2 if solution.structure.relieves_slots else 0.0,
    )
    rings = tuple(
        Obstacle(
            value(f"flange-{n}.seat_radius"),
            value(f"flange-{n}.outer_radius"),
            value(f"flange-{n}.height"),
            value("disc_sheet.thickness" if spec.disc_sheet is not None else "sheet.thickness"),
        )
        for n in range(1, len(spec.flanges) + 1)
    )
    ribs = RibLayout(solution.longitudes, thickness, value("rib.pole_gap"), _bare(solution))
    return resting_stand(body, balance.centre, shape, ribs, rings)


def _bare(solution: FrameSolution) -> tuple[tuple[float, float], ...]:
    """The heights between which ribs have no outer edge, in mm: at flanges and below tenons."""
    value, structure = solution.value, solution.structure
    two = solution.spec.disc_sheet is not None
    half = value("joint.notch_width" if two else "joint.slot_width") / 2
    mouth = half + lead_in_of(solution.spec)
    flanges = [(value(f"flange-{n}.height"), mouth) for n in structure.flanges]
    tenons = [(value(f"{d.name}.height"), half) for d in structure.discs if d.joint.at_ends]
    return tuple((height - reach, height + reach) for height, reach in (*flanges, *tenons))


def _plate_part(solution: FrameSolution, stand: StandDesign, place: int) -> Part:
    plate = stand.plates[place]
    return Part(
        id=plate.id,
        kind="stand",
        frame=solution.spec.id,
        title=plate.title,
        thickness=plate.thickness,
        material=solution.material.name,
        outline=plate.outline,
        marks=(),
        crossings=(),
        pose=plate.pose,
        mass=solution.material.mass(plate.outline.area, plate.thickness),
        origin=solution.spec.where("stand"),
    )


def _placed(error: GeometryError, spec: FrameSpec, section: str) -> GeometryError:
    where = spec.where(section)
    return GeometryError(*(replace(fault, where=where) for fault in error.faults))
