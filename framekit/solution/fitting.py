"""Whether a part fits a rectangle, turned if need be; lengths in mm.

The same functions serve plain floats, intervals and numpy arrays.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from framekit.bodies.model import Skin
from framekit.constraints.namespaces import FLOATS
from framekit.geometry.offset import CUT_REACH, PATH_REACH
from framekit.solution.structure import Structure
from framekit.spec.measure import Measure
from framekit.spec.model import FrameSpec

RIB_REACHES = ("rib.reach", "alternate.reach")
"""How far the ribs reach square to the axis, and every other one."""
TURNS = range(1, 90)
"""Degrees a rib is turned by where it fits neither lying nor standing; a mirror image of the rib
is the rib, so turns beyond a quarter give nothing new."""


def sheet_size(frame: FrameSpec, discs: bool = False) -> tuple[float, float]:
    """Length and width in mm of a sheet; with `discs`, of the one for discs and flanges.

    That is the ribs' unless it has a size of its own, and the bed where neither has one.
    """
    own = frame.disc_sheet.size if discs and frame.disc_sheet is not None else None
    size = _pair(own) or _pair(frame.sheet.size) or _pair(frame.cutter.bed)
    if size is None:
        raise AssertionError("the spec model asks for a sheet's size or a bed")
    return size


def stock_size(frame: FrameSpec, discs: bool = False) -> tuple[float, float]:
    """Length and width in mm of the stock a machine reaches: the sheet, where the bed covers it.

    The sheet lies on the bed the way that leaves more of it in reach. `discs` as in `sheet_size`.
    """
    sheet = sheet_size(frame, discs)
    bed = _pair(frame.cutter.bed) or sheet
    along = (min(sheet[0], bed[0]), min(sheet[1], bed[1]))
    across = (min(sheet[1], bed[0]), min(sheet[0], bed[1]))
    return max(along, across, key=lambda size: size[0] * size[1])


def _pair(size: tuple[Measure, Measure] | None) -> tuple[float, float] | None:
    return None if size is None else (size[0].value, size[1].value)


def margin_of(frame: FrameSpec) -> float:
    """The width in mm kept free along the stock's edges, unless given: 5 mm, or 1 mm beyond the
    path of a router's tool."""
    if frame.cutter.margin is not None:
        return frame.cutter.margin.value
    return max(5.0, PATH_REACH * _tool(frame) + 1.0)


def spacing_of(frame: FrameSpec) -> float:
    """The least gap in mm between parts, unless given: 2 mm, or 1 mm beyond a router's cut."""
    if frame.cutter.spacing is not None:
        return frame.cutter.spacing.value
    return max(2.0, CUT_REACH * _tool(frame) + 1.0)


def _tool(frame: FrameSpec) -> float:
    """A router's tool at its thickest in mm, 0 for any other cutter."""
    tool = frame.cutter.tool_diameter
    return 0.0 if tool is None else tool.value + tool.tolerance


def room_of(frame: FrameSpec, discs: bool = False) -> tuple[float, float]:
    """Length and width in mm of the stock inside its margin; `discs` as in `sheet_size`."""
    length, width = stock_size(frame, discs)
    return (length - 2 * margin_of(frame), width - 2 * margin_of(frame))


def round_parts(structure: Structure) -> tuple[tuple[str, str], ...]:
    """Return every disc and flange, and the name of the quantity that is its radius."""
    discs = ((disc.name, f"{disc.name}.radius") for disc in structure.discs)
    flanges = ((f"flange-{n}", f"flange-{n}.outer_radius") for n in structure.flanges)
    return (*discs, *flanges)


def disc_room(radius: Any, room: tuple[float, float]) -> Any:
    """What a disc or flange leaves of the room in mm."""
    return min(room) - 2 * radius


def rib_room(
    m: Any, skin: Skin, values: Mapping[str, Any], room: tuple[float, float], degrees: float
) -> Any:
    """Return what a rib turned by some degrees, 0 to 90, leaves of the room's length or width, mm.

    `m` as in `Program.run`; `values` has the frame's quantities in mm.
    """
    reach, height = rib_reach(m, values), values["rib.height"]
    if degrees in (0, 90):
        along, across = (reach, height) if degrees == 0 else (height, reach)
    else:
        turned = math.radians(degrees)
        extent = skin.extent or _box
        along = extent(m, values, math.cos(turned), math.sin(turned))
        across = extent(m, values, math.sin(turned), math.cos(turned))
    return m.min(room[0] - along, room[1] - across)


def _box(m: Any, values: Mapping[str, Any], x: float, y: float) -> Any:
    """Return the size in mm of the box about a rib along a direction."""
    return rib_reach(m, values) * x + values["rib.height"] * y


def rib_reach(m: Any, values: Mapping[str, Any]) -> Any:
    """Return how far in mm the rib that reaches farthest square to the axis does."""
    first, *others = [values[name] for name in RIB_REACHES if name in values]
    return m.max(first, *others) if others else first


def rib_fit(
    skin: Skin, values: Mapping[str, float], room: tuple[float, float]
) -> tuple[float, float]:
    """Return the greatest margin in mm and the rotation in degrees that leaves it.

    The margin is the least of length and width left over, below zero where the rib does not fit
    however it is turned. It is turned by other than 0 and 90 degrees, in steps of one degree,
    only where it does not fit by these.
    """
    best, turned = rib_room(FLOATS, skin, values, room, 0), 0
    standing = rib_room(FLOATS, skin, values, room, 90)
    if standing > best + 1e-9:
        best, turned = standing, 90
    if best < 0:
        for degrees in TURNS:
            margin = rib_room(FLOATS, skin, values, room, degrees)
            if margin > best + 1e-9:
                best, turned = margin, degrees
    return best, float(turned)
