"""A disc's finished outline: rim, slots and bore; x and y in mm about the body's axis."""

from __future__ import annotations

import math
from collections.abc import Sequence

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Outline, Path, Vertex, circle, cosine_sine


def plain_disc(radius: float, bore: float) -> Outline:
    """A round plate of that radius, with a hole of radius `bore` unless it is 0; mm."""
    _refuse_wide_bore(bore, radius)
    return Outline(circle(radius), (circle(bore, clockwise=True),) if bore > 0 else ())


def slotted_disc(
    radius: float, bore: float, slot_width: float, slot_floor: float, longitudes: Sequence[float]
) -> Outline:
    """A round plate with a slot from the rim in to radius `slot_floor` at every longitude.

    Lengths in mm; `longitudes` in degrees, shape (n,). Raises GeometryError when the slots
    leave no rim between them or run into the bore.
    """
    _refuse_wide_bore(bore, slot_floor)
    half = slot_width / 2
    if not half < slot_floor < radius:
        raise GeometryError(
            Fault(
                "slot-off-disc",
                f"a slot {slot_width:.4g} mm wide from radius {slot_floor:.4g} mm out does not "
                f"lie in a disc of radius {radius:.4g} mm",
                hint="Move the disc toward the equator or use narrower ribs.",
            )
        )
    rim = math.sqrt(radius**2 - half**2)
    side = math.degrees(math.asin(half / radius))
    angles = sorted(angle % 360.0 for angle in longitudes)
    vertices: list[Vertex] = []
    for angle, after in zip(angles, [*angles[1:], angles[0] + 360.0], strict=True):
        c, s = cosine_sine(angle)
        for x, y in ((rim, -half), (slot_floor, -half), (slot_floor, half)):
            vertices.append(Vertex(c * x - s * y, s * x + c * y))
        vertices += _rim(radius, angle + side, after - side)
    return Outline(Path(tuple(vertices)), (circle(bore, clockwise=True),) if bore > 0 else ())


def _rim(radius: float, start: float, stop: float) -> list[Vertex]:
    """The rim's arc between two slots without its last point, in pieces of at most 180°."""
    if stop <= start:
        raise GeometryError(
            Fault(
                "slots-meet",
                f"neighbouring slots leave no rim on a disc of radius {radius:.4g} mm",
                hint="Use fewer ribs or move the disc toward the equator.",
            )
        )
    pieces = math.ceil((stop - start) / 180.0 - 1e-9)
    step = (stop - start) / pieces
    bulge = math.tan(math.radians(step) / 4)
    points = (cosine_sine(start + step * i) for i in range(pieces))
    return [Vertex(radius * c, radius * s, bulge) for c, s in points]


def _refuse_wide_bore(bore: float, limit: float) -> None:
    if bore >= limit:
        raise GeometryError(
            Fault(
                "bore-too-wide",
                f"the bore, radius {bore:.4g} mm, reaches the joints at {limit:.4g} mm",
                hint="Make the bore smaller or write 'bore: auto'.",
            )
        )


def longitude_marks(
    radius: float, depth: float, bore: float, longitudes: Sequence[float]
) -> tuple[Path, ...]:
    """A short radial line at every longitude, where a rib goes on a plain disc; mm, degrees.

    It runs from just inside the rim to past the rib's inner edge, so that it shows beside the
    rib.
    """
    inner = max(radius - depth - 4.0, bore + 1.0, 1.0)
    outer = radius - 0.5
    if inner >= outer:
        return ()
    marks = []
    for angle in longitudes:
        c, s = cosine_sine(angle)
        marks.append(
            Path((Vertex(c * outer, s * outer), Vertex(c * inner, s * inner)), closed=False)
        )
    return tuple(marks)
