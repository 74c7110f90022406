"""Where a disc is cut when a sector of it is taken away; x and y in mm about the body's axis.

The cut runs along two lines parallel to the sector's bounding half-planes, inside the sector, so
that the ribs that stand on these keep material on both sides. The lines meet on the bisector at
distance / sin(sweep / 2) from the axis, on the sector's side of it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from framekit.errors import Fault, GeometryError
from framekit.geometry.path import Point, cosine_sine
from framekit.parts.shape.corners import Corner

LEAST_CUT = 1.0
"""mm a cut must go into a disc; less leaves the disc whole."""

WIDEST = 340.0
"""Degrees of the widest sector that can be taken away."""


class Sector(NamedTuple):
    """A sector taken away, counter-clockwise from `start` to `stop` in degrees.

    The cut keeps `distance` mm from the bounding half-planes and at least `wall` mm of material
    about a bore; where that is not left, it opens into the bore.
    """

    start: float
    stop: float
    distance: float
    wall: float

    @property
    def sweep(self) -> float:
        """The angle taken away, in degrees above 0 up to 360."""
        return (self.stop - self.start) % 360.0 or 360.0


class SectorCut(NamedTuple):
    """The rim that is left, in degrees counter-clockwise from `start` to `stop`, and the corners
    from its end to its start; `opens` says whether the bore is part of them."""

    start: float
    stop: float
    corners: tuple[Corner, ...]
    opens: bool


def sector_cut(sector: Sector, radius: float, bore: float) -> SectorCut | None:
    """The cut of a disc of that radius and bore; None when the sector's lines miss the disc.

    Raises GeometryError when the sector is no angle from 1 to 240 degrees.
    """
    sweep, d = sector.sweep, sector.distance
    if not (1.0 <= sweep <= WIDEST and d > 0.0):
        raise GeometryError(
            Fault(
                "sector-angle",
                f"a sector of {sweep:.4g}° cut at {d:.4g} mm from its ribs cannot be taken away",
                hint=f"Take away 1° to {WIDEST:g}°.",
            )
        )
    half = math.radians(sweep / 2)
    apex = d / math.sin(half)
    if d >= radius or apex > radius - LEAST_CUT:
        return None
    side = math.degrees(math.asin(d / radius))
    nearest = apex if sweep <= 180.0 else d
    opens = bore > 0.0 and nearest < bore + sector.wall
    inward = _into_bore(sector, half, apex, radius, bore) if opens else [(apex, 0.0)]
    corners = [Corner(*point) for point in inward]
    if opens:
        corners[-1:] = _round_bore(inward[-1], bore)
        corners += [Corner(x, -y) for x, y in reversed(inward)]
    c, s = cosine_sine(sector.start + sweep / 2)
    turned = tuple(Corner(c * k.x - s * k.y, s * k.x + c * k.y, k.bulge) for k in corners)
    start = sector.start + sweep
    return SectorCut(start - side, start + 360.0 - sweep + side, turned, opens)


def _into_bore(sector: Sector, half: float, apex: float, radius: float, bore: float) -> list[Point]:
    """The way from the first line to the bore's edge; x along the bisector, the rest its mirror."""
    d = sector.distance
    c, s = math.cos(half), math.sin(half)

    def place(along: float, off: float) -> Point:
        """A point by its way along the bounding half-plane and its distance into the sector."""
        return (along * c + off * s, -along * s + off * c)

    # A blunt end, square to the line, as thick as the wall asks.
    off = max(d - sector.wall, 0.0)
    along = math.sqrt((bore - off) * (bore + off)) if off < bore else -math.inf
    if along > apex * c + 1e-6 and place(along, off)[1] < -1e-6:
        return [place(along, d), place(along, off)]
    if apex < bore:
        along = math.sqrt((bore - d) * (bore + d))
        return [place(along, d)]
    # The lines meet before the bore: a channel leads on, as wide as bore and cut allow.
    rim = place(math.sqrt((radius - d) * (radius + d)), d)
    width = min(bore, -rim[1] / 2)
    return [
        (apex + width * c / s, -width),
        (math.sqrt((bore - width) * (bore + width)), -width),
    ]


def _round_bore(start: Point, bore: float) -> list[Corner]:
    """The bore's edge clockwise from a point to before its mirror, by the side away from it."""
    first = math.atan2(start[1], start[0])
    turn = 2 * math.pi + 2 * first
    pieces = math.ceil(turn / math.pi - 1e-9)
    bulge = -math.tan(turn / pieces / 4)
    found = [Corner(*start, bulge)]
    for i in range(1, pieces):
        angle = first - turn * i / pieces
        found.append(Corner(bore * math.cos(angle), bore * math.sin(angle), bulge))
    return found
