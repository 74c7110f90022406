"""A disc's finished outline: rim, slots or mortises, and bore; x and y in mm about the axis.

A sector may be taken away; lead-in and relief are as in `corners`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Outline, Path, Vertex, circle, cosine_sine
from framekit.joints.protocol import Mortise
from framekit.parts.shape.corners import (
    Corner,
    plain_path,
    refuse_crossing,
    refuse_narrow,
    worked_path,
)
from framekit.parts.shape.sector import Sector, SectorCut, sector_cut


def plain_disc(radius: float, bore: float, *, sector: Sector | None = None) -> Outline:
    """A round plate of that radius, with a hole of radius `bore` unless it is 0; mm.

    Raises GeometryError when the bore leaves nothing, or the sector cannot be taken away.
    """
    _refuse_wide_bore(bore, radius)
    cut = sector_cut(sector, radius, bore) if sector else None
    if cut is None:
        return Outline(circle(radius), _bore(bore, None))
    rim = [Corner(*v) for v in _rim(radius, cut.start, cut.stop)]
    return _cut_plate(radius, bore, rim, cut, ())


def slotted_disc(
    radius: float,
    bore: float,
    slot_width: float,
    slot_floor: float,
    longitudes: Sequence[float],
    *,
    lead_in: float = 0.0,
    relief: float = 0.0,
    sector: Sector | None = None,
    floor: Sequence[Vertex] = (),
) -> Outline:
    """A round plate with a slot from the rim in to radius `slot_floor` at every longitude.

    Lengths in mm; `longitudes` in degrees, shape (n,). `floor` are a slot's vertices beyond its
    mouth where it is not square, at longitude 0, x outward. `lead_in` chamfers the slots' mouths;
    `relief` is the radius of the tool whose fillet their floors must not keep. Raises
    GeometryError when the slots leave no rim between them, run into the bore or the cut, or leave
    no room for the relief.
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
    refuse_narrow(slot_width, relief, "a disc's slot")
    rim = math.sqrt(radius**2 - half**2)
    side = math.degrees(math.asin(half / radius))
    cut = sector_cut(sector, radius, bore) if sector else None
    angles = _in_order(longitudes, sector)
    corners: list[Corner] = []
    if cut is not None:
        corners += [Corner(*v) for v in _rim(radius, cut.start, angles[0] - side)]
    ends = [*angles[1:], angles[0] + 360.0]
    for i, (angle, after) in enumerate(zip(angles, ends, strict=True)):
        c, s = cosine_sine(angle)
        corners.append(Corner(c * rim - s * -half, s * rim + c * -half, 0.0, "mouth"))
        if floor:
            corners += [Corner(c * v.x - s * v.y, s * v.x + c * v.y, v.bulge) for v in floor]
        else:
            corners += [
                Corner(c * slot_floor - s * -half, s * slot_floor + c * -half, 0.0, "inside"),
                Corner(c * slot_floor - s * half, s * slot_floor + c * half, 0.0, "inside"),
            ]
        stop = after - side
        if cut is not None and i == len(angles) - 1:
            stop = cut.stop
        first, *others = _rim(radius, angle + side, stop)
        corners += [Corner(*first, "mouth"), *(Corner(*v) for v in others)]
    if cut is not None:
        path = worked_path([*corners, *_end_of(cut, radius)], lead_in, relief)
    elif lead_in > 0 or relief > 0 or sector is not None:
        path = worked_path(corners, lead_in, relief)
    else:
        return Outline(plain_path(corners), _bore(bore, None))
    return refuse_crossing(Outline(path, _bore(bore, cut)), "a slotted disc")


def mortised_disc(
    radius: float,
    bore: float,
    mortise: Mortise,
    longitudes: Sequence[float],
    *,
    relief: float = 0.0,
    sector: Sector | None = None,
) -> Outline:
    """A round plate with the mortise, a closed rectangular hole, at every longitude.

    Lengths in mm; `longitudes` in degrees, shape (n,). `relief` is the radius of the tool whose
    fillets the mortises must not keep. Raises GeometryError when the mortises meet the rim, the
    bore, the cut or each other, or leave no room for the relief.
    """
    _refuse_wide_bore(bore, mortise.inner)
    half = mortise.width / 2
    if not (half > 0 and mortise.inner < mortise.outer < math.sqrt(max(radius**2 - half**2, 0.0))):
        raise GeometryError(
            Fault(
                "mortise-off-disc",
                f"a mortise {mortise.width:.4g} mm wide from radius {mortise.inner:.4g} to "
                f"{mortise.outer:.4g} mm does not lie in a disc of radius {radius:.4g} mm",
                hint="Use narrower tongues or a smaller setback.",
            )
        )
    for width in (mortise.width, mortise.outer - mortise.inner):
        refuse_narrow(width, relief, "a mortise")
    angles = _in_order(longitudes, sector)
    for angle, after in zip(angles, [*angles[1:], angles[0] + 360.0], strict=True):
        between = math.radians(after - angle) / 2
        if between < math.pi / 2 and mortise.inner * math.sin(between) <= half * math.cos(between):
            raise GeometryError(
                Fault(
                    "mortises-meet",
                    f"mortises {after - angle:.4g}° apart meet at radius {mortise.inner:.4g} mm",
                    hint="Use fewer ribs or move the tongues outward.",
                )
            )
    inner, outer = mortise.inner, mortise.outer
    corners = [
        Corner(x, y, 0.0, "inside")
        for x, y in ((inner, -half), (inner, half), (outer, half), (outer, -half))
    ]
    hole = worked_path(corners, relief=relief)
    holes = tuple(hole.moved(angle) for angle in angles)
    cut = sector_cut(sector, radius, bore) if sector else None
    if cut is None:
        plate = Outline(circle(radius), (*_bore(bore, None), *holes))
    else:
        _refuse_thin_side(half, sector)
        rim = [Corner(*v) for v in _rim(radius, cut.start, cut.stop)]
        plate = _cut_plate(radius, bore, rim, cut, holes)
    return refuse_crossing(plate, "a disc with mortises")


def _cut_plate(
    radius: float, bore: float, rim: list[Corner], cut: SectorCut, holes: tuple[Path, ...]
) -> Outline:
    path = plain_path([*rim, *_end_of(cut, radius)])
    return Outline(path, (*_bore(bore, cut), *holes))


def _end_of(cut: SectorCut, radius: float) -> list[Corner]:
    """The rim's last point and the corners of the cut."""
    c, s = cosine_sine(cut.stop)
    return [Corner(radius * c, radius * s), *cut.corners]


def _bore(bore: float, cut: SectorCut | None) -> tuple[Path, ...]:
    if bore <= 0 or (cut is not None and cut.opens):
        return ()
    return (circle(bore, clockwise=True),)


def _in_order(longitudes: Sequence[float], sector: Sector | None) -> list[float]:
    """The longitudes in degrees, rising: from 0, or from the end of a sector taken away."""
    if sector is None:
        return sorted(angle % 360.0 for angle in longitudes)
    start = sector.start + sector.sweep
    kept = sorted((angle - start + 1e-7) % 360.0 - 1e-7 for angle in longitudes)
    if kept and kept[-1] > 360.0 - sector.sweep + 1e-6:
        raise GeometryError(
            Fault(
                "rib-in-sector",
                f"a rib at longitude {(kept[-1] + start) % 360.0:.4g}° stands in the sector from "
                f"{sector.start:.4g}° to {sector.stop:.4g}° that is taken away",
                hint="Take away another sector or move the rib.",
            )
        )
    return [start + angle for angle in kept]


def _refuse_thin_side(half: float, sector: Sector | None) -> None:
    if sector is not None and sector.distance <= half:
        raise GeometryError(
            Fault(
                "sector-cuts-joint",
                f"a cut {sector.distance:.4g} mm from the ribs beside it runs through their "
                f"joints, {2 * half:.4g} mm wide",
                hint="Leave more material between cut and ribs.",
            )
        )


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
    radius: float,
    depth: float,
    bore: float,
    longitudes: Sequence[float],
    *,
    sector: Sector | None = None,
) -> tuple[Path, ...]:
    """A short radial line at every longitude, where a rib goes on a plain disc; mm, degrees.

    It runs from just inside the rim to past the rib's inner edge, so that it shows beside the
    rib. None is drawn inside a sector taken away.
    """
    inner = max(radius - depth - 4.0, bore + 1.0, 1.0)
    outer = radius - 0.5
    if inner >= outer:
        return ()
    marks = []
    for angle in longitudes:
        if sector is not None and 1e-6 < (angle - sector.start) % 360.0 < sector.sweep - 1e-6:
            continue
        c, s = cosine_sine(angle)
        marks.append(
            Path((Vertex(c * outer, s * outer), Vertex(c * inner, s * inner)), closed=False)
        )
    return tuple(marks)
