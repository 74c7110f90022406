"""How slender a rib is, and an estimate of how far a hoop of two ribs sags.

The sag is that of a thin, even, elastic ring of the rib's middle radius and least width. A rib
has notches, changes its width and is held by discs, so these figures tell stiff from floppy and
no more: they do not replace a look at the thing, a test piece or trained judgement.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from framekit.errors import Fault, GeometryError
from framekit.parts.model import Part
from framekit.solution.model import Meridian

GRAVITY = 9.80665
"""Standard acceleration of free fall in m/s² (CGPM, 1901)."""

POINT_ALONG = math.pi / 4 - 2 / math.pi
"""0.148778, the shortening along two opposite loads W over W R³/(E I); Timoshenko, Strength of
Materials, part I, 'Curved bars', and Roark's Formulas for Stress and Strain, circular rings."""

POINT_ACROSS = 2 / math.pi - 1 / 2
"""0.136620, the widening across them; same sources."""

POINT_MOMENT = 1 / math.pi
"""0.318310, the greatest bending moment over W R, under the loads; same sources."""

OWN_ALONG = POINT_ALONG / 2
"""0.074389 over W R³/(E I) for a ring of weight W held at one point, lowest or highest: the
(π²/4 − 2) w R⁴/(E I) of Roark's ring under its own weight w a length, as W = 2π R w. It is half
the sag under two loads of W at the ends of a diameter."""

OWN_ACROSS = POINT_ACROSS / 2
"""0.068310, the change across it: Roark's (2 − π/2) w R⁴/(E I) over 2π."""

OWN_MOMENT = 3 / (4 * math.pi)
"""0.238732 over W R, the greatest moment, where the ring is held: Roark's 1.5 w R²."""

_STEPS = 240
"""Pieces of a rib's height by which its middle line is followed."""


@dataclass(frozen=True)
class Slenderness:
    """A rib's `length` along its middle line, least `width` and their `ratio`; lengths in mm."""

    length: float
    width: float
    ratio: float


@dataclass(frozen=True)
class RingSag:
    """An estimate for a ring: change `along` the load and `across` it in mm, both as sizes, and
    the greatest bending `moment` in N·mm."""

    along: float
    across: float
    moment: float


@dataclass(frozen=True)
class HoopEstimate:
    """A hoop of two equal ribs that stands or hangs on one point under its own weight.

    `radius` of the middle line in mm, `width` least in mm, `weight` in N, `inertia` of the least
    section in mm⁴; `sag` is None while an input is missing, and `missing` names what is.
    """

    radius: float
    width: float
    weight: float
    inertia: float
    sag: RingSag | None
    missing: tuple[str, ...]


def slenderness(meridian: Meridian, remains: Sequence[float] = ()) -> Slenderness:
    """The developed length of a rib's middle line over its least width, notches counted.

    The middle line runs midway between inner edge and skin at each height. The width is measured
    square to the skin where the rib has an inner edge beyond the pole gap; `remains` are the
    widths in mm left behind notches.
    """
    low, high = meridian.rib_low, meridian.rib_high
    middle, half = (low + high) / 2, (high - low) / 2
    heights = [middle - half * math.cos(math.pi * i / _STEPS) for i in range(_STEPS + 1)]
    line = [((meridian.inner(z) + meridian.outer(z)) / 2, z) for z in heights]
    length = math.fsum(math.dist(p, q) for p, q in pairwise(line))
    widths = [
        (meridian.outer(z) - meridian.inner(z)) / math.hypot(1.0, meridian.outer_slope(z))
        for z in heights
        if meridian.inner(z) > meridian.pole_gap
    ]
    found = [*widths, *remains] or [max(meridian.outer(z) for z in heights) - meridian.pole_gap]
    return Slenderness(length, min(found), length / min(found))


def plate_inertia(thickness: float, width: float) -> float:
    """The second moment in mm⁴ of a section of those mm, bent in the plate's own plane: t w³/12."""
    return thickness * width**3 / 12


def ring_under_load(load: float, radius: float, modulus: float, inertia: float) -> RingSag:
    """A ring pressed or pulled by two opposite loads: N, mm, MPa, mm⁴.

    Sources stand beside the factors in this module; thin ring, small sag.

    >>> round(ring_under_load(10.0, 100.0, 1000.0, 1000.0).along, 5)
    1.48778
    """
    return _sag(load, radius, modulus, inertia, (POINT_ALONG, POINT_ACROSS, POINT_MOMENT))


def ring_under_own_weight(weight: float, radius: float, modulus: float, inertia: float) -> RingSag:
    """A ring that stands on its lowest or hangs from its highest point: N, mm, MPa, mm⁴.

    >>> round(ring_under_own_weight(10.0, 100.0, 1000.0, 1000.0).along, 5)
    0.74389
    """
    return _sag(weight, radius, modulus, inertia, (OWN_ALONG, OWN_ACROSS, OWN_MOMENT))


def hoop_estimate(rib: Part, slender: Slenderness, modulus: float | None) -> HoopEstimate:
    """An estimate for the hoop of this rib and its opposite alone, as if no disc held them.

    `modulus` is the sheet's modulus of elasticity in bending in MPa, None when it is not known.
    The hoop's radius is its middle line over half a turn and its width the rib's least all
    along, which overrates the sag; wood bends more across its grain than along it. Raises
    GeometryError when the modulus is not positive.
    """
    radius = slender.length / math.pi
    weight = 2 * rib.mass / 1000 * GRAVITY
    inertia = plate_inertia(rib.thickness, slender.width)
    if modulus is None:
        return HoopEstimate(radius, slender.width, weight, inertia, None, ("material.modulus",))
    sag = ring_under_own_weight(weight, radius, modulus, inertia)
    return HoopEstimate(radius, slender.width, weight, inertia, sag, ())


def _sag(
    load: float,
    radius: float,
    modulus: float,
    inertia: float,
    factors: tuple[float, float, float],
) -> RingSag:
    for name, value in (("radius", radius), ("modulus", modulus), ("second moment", inertia)):
        if not (value > 0.0 and math.isfinite(value)):
            raise GeometryError(
                Fault(
                    "ring-range", f"The ring's {name} is {value:g}.", hint="It must be above zero."
                )
            )
    unit = load * radius**3 / (modulus * inertia)
    along, across, moment = factors
    return RingSag(along * unit, across * unit, moment * load * radius)
