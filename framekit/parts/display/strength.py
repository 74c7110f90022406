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

OWN_ALONG = (math.pi / 4 - 2 / math.pi) / 2
"""0.074389 over W R³/(E I) for a ring of weight W held at one point, lowest or highest: the
(π²/4 − 2) w R⁴/(E I) of Roark's Formulas for Stress and Strain, circular rings, for a ring under
its own weight w a length, as W = 2π R w. It is half the shortening under two loads of W at the
ends of a diameter, 0.148778 (Timoshenko, Strength of Materials, part I, 'Curved bars')."""

_STEPS = 240
"""Pieces of a rib's height by which its middle line is followed."""


@dataclass(frozen=True)
class Slenderness:
    """A rib's `length` along its middle line, least `width` and their `ratio`; lengths in mm."""

    length: float
    width: float
    ratio: float


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


def hoop_sag(rib: Part, slender: Slenderness, modulus: float) -> float:
    """Estimate in mm how far a hoop of this rib and its opposite sags under its own weight.

    The hoop stands or hangs on one point, as if no disc held it. `modulus` is the sheet's modulus
    of elasticity in bending in MPa. The hoop's radius is its middle line over half a turn and its
    width the rib's least all along, which overrates the sag; wood bends more across its grain
    than along it. Raises GeometryError when a size or the modulus is not positive.
    """
    radius = slender.length / math.pi
    weight = 2 * rib.mass / 1000 * GRAVITY
    inertia = rib.thickness * slender.width**3 / 12
    for name, value in (("radius", radius), ("modulus", modulus), ("second moment", inertia)):
        if not (value > 0.0 and math.isfinite(value)):
            raise GeometryError(
                Fault(
                    "ring-range", f"The ring's {name} is {value:g}.", hint="It must be above zero."
                )
            )
    return OWN_ALONG * (weight * radius**3 / (modulus * inertia))
