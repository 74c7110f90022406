"""Where the notch and the slot of a joint lie, and what they leave; mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shapely import LineString, Polygon
from shapely.affinity import rotate

from framekit.geometry.path import Path, Vertex
from framekit.joints.protocol import JointStyle, Value, notch_half

NEAR = 1e-6
"""mm of rounding."""
CHORD = 1e-4
"""mm a polyline may lie off the arcs it stands for here."""


def check_shapes(style: JointStyle, value: Value, larger: Value, scale: float) -> None:
    """Pass when a disc's notch and slot are as they should be, else raise AssertionError.

    `value` gives the quantities of a solved frame for one disc, `larger` the same with all lengths
    times `scale`.
    """
    notch, slot = tuple(style.notch(value)), tuple(style.slot(value))
    _scales("notch", notch, tuple(style.notch(larger)), scale)
    _scales("slot", slot, tuple(style.slot(larger)), scale)
    _notch_lies_well(notch, value)
    stated = "slotted" if style.slotted else "plain"
    assert bool(slot) == style.slotted, f"the disc is said to be {stated}; its slot has {len(slot)}"
    if slot:
        _slot_lies_well(slot, value)


def _scales(what: str, one: Sequence[Vertex], other: Sequence[Vertex], scale: float) -> None:
    same = len(one) == len(other) and all(
        # 1e-9: rounding of a few operations on lengths of some hundred mm
        math.dist((a.x * scale, a.y * scale), (b.x, b.y)) <= 1e-9 * scale * (1 + abs(a.x))
        and abs(a.bulge - b.bulge) <= 1e-9
        for a, b in zip(one, other, strict=True)
    )
    assert same, f"the {what} hides a length: it does not grow with the frame"


def _points(vertices: Sequence[Vertex]) -> list[tuple[float, float]]:
    """The vertices and points on the arcs between them."""
    return [(x, y) for x, y in Path(tuple(vertices), closed=False).polyline_within(CHORD)]


def _area(what: str, points: list[tuple[float, float]], mouth: float) -> Polygon:
    """The space cut away, out to the mouth at x = `mouth`."""
    closed = [*points, (mouth, points[-1][1]), (mouth, points[0][1])]
    area = Polygon(closed)
    assert area.is_valid and area.area > 0, f"the {what}'s edge crosses itself"
    return area


def _notch_lies_well(notch: tuple[Vertex, ...], value: Value) -> None:
    assert len(notch) >= 2, "the notch has no floor"
    half, edge = notch_half(value), value("disc.rib_inner_radius")
    for what, vertex, y in (("first", notch[0], half), ("last", notch[-1], -half)):
        assert abs(vertex.y - y) <= NEAR, (
            f"the notch's {what} vertex lies at {vertex.y:.6g} mm, not at its side, {y:.6g} mm"
        )
    points = _points(notch)
    assert min(x for x, _ in points) > edge, "the notch does not begin beyond the rib's inner edge"
    _area("notch", points, edge)
    reach = max(x for x, _ in points)
    seat = edge + value("disc.notch_depth")
    assert reach >= seat - NEAR, (
        f"the notch reaches {reach:.6g} mm; with the depth it says it reaches {seat:.6g} mm"
    )
    left = value("disc.skin_radius") - reach
    stated = value("disc.ligament")
    # The arcs' polyline may stay short of their top by its chord error.
    assert left >= stated - CHORD - NEAR, (
        f"the notch leaves {left:.6g} mm of the rib, and the ligament is said to be {stated:.6g} mm"
    )


def _slot_lies_well(slot: tuple[Vertex, ...], value: Value) -> None:
    half, radius = value("joint.slot_width") / 2, value("disc.radius")
    for what, vertex, y in (("first", slot[0], -half), ("last", slot[-1], half)):
        assert abs(vertex.y - y) <= NEAR, (
            f"the slot's {what} vertex lies at {vertex.y:.6g} mm, not at its side, {y:.6g} mm"
        )
    points = _points(slot)
    assert max(x for x, _ in points) < radius, "the slot does not begin inside the disc's rim"
    area = _area("slot", points, radius)
    floor, bore = min(x for x, _ in points), value("disc.bore_radius")
    assert floor > bore, f"the slot reaches {floor:.6g} mm, into the bore of {bore:.6g} mm"
    depth = radius - floor
    stated = value("disc.slot_depth")
    assert depth >= stated - NEAR, f"the slot is {depth:.6g} mm deep and said to be {stated:.6g} mm"
    beside = rotate(area, value("rib.angle"), origin=(0.0, 0.0))
    assert not area.intersects(beside), "the slots of neighbouring ribs touch"
    _web_is_there(points, value)


def _web_is_there(points: list[tuple[float, float]], value: Value) -> None:
    """The web is measured at the joint; slots run past it by the end clearance."""
    line = LineString(points)
    apart = line.distance(rotate(line, value("rib.angle"), origin=(0.0, 0.0)))
    stated = value("disc.slot_web") - 2 * value("joint.end_clearance")
    assert apart >= stated - 2 * CHORD - NEAR, (
        f"slots lie {apart:.6g} mm apart, and the web is said to be {stated:.6g} mm at their floors"
    )
