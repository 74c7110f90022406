"""The checks of what was made: whether a cutter can run each outline, and a stand its sheet.

They look at finished outlines alone, each distinct one, and know nothing of how those were made.
What a build can refuse for a shape's sake is a check, and so is found before.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from framekit.errors import GeometryError
from framekit.geometry.offset import offset_outline
from framekit.geometry.path import Outline, Point, cosine_sine
from framekit.parts.model import FrameParts, Part, kerf_name
from framekit.solution.checks import fits_check, verdict_of
from framekit.solution.fitting import room_of
from framekit.solution.model import Check, FrameSolution
from framekit.spec.yaml_text import path_text

CUTTER_PATH = "cutter-path"

STRAIGHT = 1e-7
"""mm of rise below which an arc is the line that it is to any machine."""
FINENESS = 1e-3
"""mm to which the widest cutter is found."""


class Widest(NamedTuple):
    """The greatest `radius` in mm of a round cutter that can run an outline, and what stops it.

    `reason` is a sentence with the place, in the outline's own axes, where a wider one would stop;
    empty where none of those tried did.
    """

    radius: float
    reason: str


def outline_checks(frame: FrameParts) -> tuple[Check, ...]:
    """Return the checks of a frame's outlines, in the order of its parts."""
    checks = []
    for part, others in distinct(frame.parts):
        kerf = kerf_name(frame.solution, part.kind)
        if frame.solution.value(kerf) > 0:
            checks.append(_cutter_check(frame.solution, part, others, kerf))
        if part.kind == "stand":
            checks.append(_fits(frame.solution, part))
    return tuple(checks)


def distinct(parts: tuple[Part, ...]) -> tuple[tuple[Part, int], ...]:
    """Return the first part of each kind and outline, and how many more there are of it."""
    found: dict[tuple[str, Outline], list[Part]] = {}
    for part in parts:
        found.setdefault((part.kind, part.outline), []).append(part)
    return tuple((same[0], len(same) - 1) for same in found.values())


def _cutter_check(frame: FrameSolution, part: Part, others: int, kerf: str) -> Check:
    """Return whether a cutter as wide as the kerf can run the part's outline.

    The margin is in its radius. The file or the machine moves the path by half the kerf that it is
    told, which may be any within the tolerance; so the band is half the tolerance to each side.
    """
    width = frame.value(kerf)
    told = next((i for i in frame.toleranced if i.quantity == kerf), None)
    half = 0.0 if told is None else told.tolerance / 2
    found = widest_cutter(part.outline, width)
    margin = found.radius - width / 2
    untold = () if told is None or told.told else (kerf,)
    names = f"{part.id} (and {others} like it)" if others else part.id
    room = "at most" if found.reason else "or wider"
    reason = f" {found.reason}" if margin < 0 else ""
    key = _kerf_key(frame, kerf)
    return Check(
        code=CUTTER_PATH,
        about=part.id,
        verdict=verdict_of(margin, margin - half, bool(untold)),
        margin=margin,
        low=margin - half,
        high=margin + half,
        text=f"A cut {width:.2f} mm wide must run round every edge of {names}, which takes one of "
        f"{2 * found.radius:.2f} mm {room}.{reason}",
        limited_by=path_text(key),
        where=frame.spec.where(*key) if frame.spec.places.get(key) else part.origin,
        sigma=0.0 if told is None else told.sigma / 2,
        untold=untold,
    )


def _kerf_key(frame: FrameSolution, kerf: str) -> tuple[str, str]:
    """The spec key that a kerf stands at."""
    section, key = kerf.split(".")
    tool = section == "cutter" and frame.spec.cutter.tool_diameter is not None
    return (section, "tool_diameter" if tool else key)


def widest_cutter(outline: Outline, kerf: float) -> Widest:
    """Return the widest round cutter, of up to twice the kerf in mm, whose middle has a path.

    The path is the outline moved off the part by the cutter's radius: no hollow arc may be tighter
    than that, and no edge may vanish or meet another.

    >>> from framekit.geometry.path import circle
    >>> ring = Outline(circle(20.0), (circle(1.4, clockwise=True),))
    >>> round(widest_cutter(ring, 3.0).radius, 2), round(widest_cutter(ring, 1.0).radius, 2)
    (1.4, 1.0)
    """
    arc, at = _tightest(outline)
    hollow = f"An inside arc near x {at[0]:.1f}, y {at[1]:.1f} mm has a radius of {arc:.3f} mm."
    needed = kerf / 2
    stops = _refusal(outline, needed)
    if stops is None:
        low, most, why = needed, max(min(arc, kerf), needed), hollow if arc <= kerf else ""
    elif arc < needed:
        low, most, why = 0.0, arc, hollow
    else:
        low, most, why = 0.0, needed - FINENESS, stops
    # Most outlines take a cutter as wide as their tightest arc, or twice the kerf.
    high = most if most < needed else most - FINENESS
    high = min(high, arc - FINENESS)
    if high <= low:
        return Widest(most, why)
    found = _refusal(outline, high)
    if found is None:
        return Widest(most, why)
    while high - low > FINENESS:
        middle = (low + high) / 2
        here = _refusal(outline, middle)
        low, high, found = (middle, high, found) if here is None else (low, middle, here)
    return Widest(low, found)


def _tightest(outline: Outline) -> tuple[float, Point]:
    """The least radius in mm of an arc that is hollow in the part, infinite without one; where."""
    least, at = math.inf, (0.0, 0.0)
    for path, side in ((outline.outer, 1.0), *((hole, -1.0) for hole in outline.holes)):
        turn = math.copysign(side, side * path.area)
        for segment in path.segments:
            hollow = segment.bulge * turn < 0 and segment.chord > 0
            if hollow and abs(segment.bulge) * segment.chord / 2 >= STRAIGHT:
                radius = segment.radius
                if radius < least:
                    least, at = radius, segment.start
    return least, at


def _refusal(outline: Outline, radius: float) -> str | None:
    """Why there is no path at that distance in mm, None where there is one."""
    try:
        offset_outline(outline, radius)
    except GeometryError as error:
        return error.message
    return None


def _fits(frame: FrameSolution, part: Part) -> Check:
    """Return whether a part goes on the ribs' sheet, turned by whole degrees where that helps."""
    room = room_of(frame.spec)
    corners = part.outline.outer.polygon_around
    best, size = -math.inf, (0.0, 0.0)
    for degrees in range(180):
        c, s = cosine_sine(float(degrees))
        along = [c * x - s * y for x, y in corners]
        across = [s * x + c * y for x, y in corners]
        extent = (max(along) - min(along), max(across) - min(across))
        margin = min(room[0] - extent[0], room[1] - extent[1])
        if margin > best + 1e-9:
            best, size = margin, extent
    what = f"{part.id}, {size[0]:.0f} × {size[1]:.0f} mm as it fits best, must go on the sheet"
    return fits_check(part.id, best, what, frame.spec)
