"""A flange's finished outline: a ring plate outside the skin, dropped over the ribs and turned.

Its inner rim, the seat, ends in the ribs' outer notches. Slots as wide as a rib go on from the
seat outward, one for every rib: with the slots over the ribs the flange drops down from above,
then it is turned by half the least angle between ribs, and the teeth between the slots enter the
notches. x and y in mm about the body's axis.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Outline, Path, Vertex, circle, cosine_sine
from framekit.parts.shape.corners import (
    Corner,
    refuse_crossing,
    refuse_narrow,
    relief_radius,
    worked_path,
)
from framekit.solution.limits import OVERCUT

MARK_EDGE = 0.5
"""mm between a mark and the flange's edges."""

_LEAST_MARK = 1.0
"""mm below which a piece of a mark is left out."""


class FlangeShape(NamedTuple):
    """Outer radius, seat radius, and width and outer radius of the slots, in mm."""

    outer: float
    seat: float
    slot_radius: float
    slot_width: float


def flange_outline(
    shape: FlangeShape, longitudes: Sequence[float], *, lead_in: float = 0.0, relief: float = 0.0
) -> Outline:
    """The outline of a flange with a slot at every longitude, degrees, shape (n,).

    `lead_in` in mm chamfers the slots' mouths; `relief` is the radius in mm of the tool whose
    fillets the slots must not keep. Raises GeometryError when the slots leave no teeth or no rim,
    or no room for the relief.
    """
    half = shape.slot_width / 2
    far = math.hypot(shape.slot_radius, half)
    if not (0 < half < shape.seat < shape.slot_radius and far < shape.outer):
        raise GeometryError(
            Fault(
                "flange-too-narrow",
                f"slots {shape.slot_width:.4g} mm wide from radius {shape.seat:.4g} to "
                f"{shape.slot_radius:.4g} mm do not lie in a flange of radius "
                f"{shape.outer:.4g} mm",
                hint="Make the flange larger or the ribs' outer notches shallower.",
            )
        )
    refuse_narrow(shape.slot_width, relief, "a flange's slot")
    side = math.degrees(math.asin(half / shape.seat))
    mouth = math.sqrt(shape.seat**2 - half**2)
    angles = sorted((angle % 360.0 for angle in longitudes), reverse=True)
    corners: list[Corner] = []
    for angle, after in zip(angles, [*angles[1:], angles[0] - 360.0], strict=True):
        c, s = cosine_sine(angle)
        for x, y, inside in ((mouth, half, False), (0, half, True), (0, -half, True)):
            r = shape.slot_radius if inside else x
            work = Corner(c * r - s * y, s * r + c * y, 0.0, "inside" if inside else "mouth")
            corners.append(work)
        turn = angle - after - 2 * side
        if turn <= 0:
            raise GeometryError(
                Fault(
                    "slots-meet",
                    f"neighbouring slots leave no tooth on a seat of radius {shape.seat:.4g} mm",
                    hint="Use fewer ribs.",
                )
            )
        first, *others = _arc(shape.seat, angle - side, -turn)
        corners += [Corner(*first, "mouth"), *(Corner(*v) for v in others)]
    hole = worked_path(corners, lead_in, relief)
    return refuse_crossing(Outline(circle(shape.outer), (hole,)), "a flange")


def flange_marks(
    radii: Sequence[float],
    shape: FlangeShape,
    longitudes: Sequence[float],
    *,
    relief: float = 0.0,
) -> tuple[Path, ...]:
    """Circles of those radii in mm on a flange, shape (n,), where it has material for them.

    They keep `MARK_EDGE` from its rims, and from its slots at the longitudes, degrees, with their
    relief for a tool of radius `relief` mm: a circle that slots cut comes as open arcs.
    """
    over = MARK_EDGE + OVERCUT * relief_radius(relief)
    marks: list[Path] = []
    for radius in radii:
        if not shape.seat + MARK_EDGE <= radius <= shape.outer - MARK_EDGE:
            continue
        if radius >= math.hypot(shape.slot_radius, shape.slot_width / 2) + over or not longitudes:
            marks.append(circle(radius))
            continue
        side = math.degrees(math.asin(min(1.0, (shape.slot_width / 2 + over) / radius)))
        angles = sorted(angle % 360.0 for angle in longitudes)
        for angle, after in zip(angles, [*angles[1:], angles[0] + 360.0], strict=True):
            turn = after - angle - 2 * side
            if math.radians(turn) * radius >= _LEAST_MARK:
                c, s = cosine_sine(after - side)
                end = Vertex(radius * c, radius * s)
                marks.append(Path((*_arc(radius, angle + side, turn), end), closed=False))
    return tuple(marks)


def _arc(radius: float, start: float, turn: float) -> list[Vertex]:
    """An arc of `turn` degrees about the axis without its last point, in pieces up to 180°."""
    pieces = math.ceil(abs(turn) / 180.0 - 1e-9)
    bulge = math.tan(math.radians(turn / pieces) / 4)
    places = (cosine_sine(start + turn * i / pieces) for i in range(pieces))
    return [Vertex(radius * c, radius * s, bulge) for c, s in places]
