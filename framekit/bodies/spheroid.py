"""The sphere and the spheroid, whole or with a part cut off.

Source: the equation of the ellipse (any geometry text).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from framekit.bodies.at_height import ENGAGED
from framekit.bodies.end_laws import end_laws
from framekit.bodies.model import GENERAL_DISC, Arcs, Expression, Skin
from framekit.bodies.protocol import Shape
from framekit.bodies.round import (
    A_I,
    C_I,
    DEFINITION,
    OURS,
    ROUND_LAWS,
    SNYDER,
    A,
    C,
    pole_laws,
    round_ends,
)
from framekit.constraints.law import LawText, law_texts
from framekit.geometry.arcfit import ellipse_arcs
from framekit.geometry.path import Point, Vertex
from framekit.spec.body import Body
from framekit.spec.made_terms import CHAMFER, OVER, OVER_DISC, SLOT
from framekit.spec.model import FrameSpec

ELLIPSE = "equation of the ellipse (any geometry text)"
MORITZ = "Moritz, Geodetic Reference System 1980, J. Geodesy 74 (2000)"

_AT_GAP = f"sqrt(({A} - rib.pole_gap)*({A} + rib.pole_gap))/{A}"
_BEND = f"sqrt(({A_I} - rib.pole_gap)*({A_I} + rib.pole_gap))/{A_I}"
_SIN, _COS = "sin(disc.latitude*pi/180)", "cos(disc.latitude*pi/180)"
_FAR = "(abs(disc.height) + made.thickness/2)"
_NEAREST = f"max(0, abs(disc.height) - {SLOT}/2 - sheet.thickness/2)"
_STRETCH = f"sqrt(1 + ({A}**2*disc.far_height/({C}**2*disc.skin_radius))**2)"
"""Horizontal over normal distance at the skin of the far face."""


def _skin(height: str) -> str:
    """Return the formula of the skin's radius at a height, 0 beyond the pole."""
    return f"{A}/{C}*sqrt(max(0, ({C} - {height})*({C} + {height})))"


def _inner(height: str) -> str:
    """Return the formula of the inner edge's radius at a height."""
    return f"{A_I}/{C_I}*sqrt(max(0, ({C_I} - {height})*({C_I} + {height})))"


LAWS = {
    **ROUND_LAWS,
    **law_texts(
        DEFINITION,
        """
body-is-sphere: body.flattening = 0
a sphere is not flattened

body-mean-diameter: body.mean_diameter = 2*body.mean_radius
a diameter is two radii

body-mean-of-sphere: body.mean_radius = body.equatorial_radius
every radius of a sphere is its mean radius

model-height: model.height = 2*model.polar_radius
the height is two polar radii

rib-low-end: rib.low_end = -rib.high_end
the mirror image of the upper one

rib-low-bend: rib.low_bend = -rib.high_bend
the mirror image of the upper one
""",
    ),
    **law_texts(
        f"{MORITZ}, R1",
        """
body-mean-arithmetic: body.mean_radius = body.equatorial_radius*(3 - body.flattening)/3
the arithmetic mean (2a + c)/3 of the three semi-axes
""",
    ),
    **law_texts(
        f"{MORITZ}, R3",
        """
body-mean-volumetric: body.mean_radius = body.equatorial_radius*cbrt(1 - body.flattening)
the radius of the sphere of equal volume, cube root of a²c
""",
    ),
    **law_texts(
        ELLIPSE,
        f"""
rib-high-pole: rib.high_end <- {C}*{_AT_GAP}
the skin's height where the rib stops at the pole gap

rib-low-pole: rib.low_end <- -{C}*{_AT_GAP}
the skin's height where the rib stops at the pole gap

rib-high-bend: rib.high_bend <- {C_I}*{_BEND}
where the inner ellipse comes as near to the axis as the pole gap

rib-low-bend-own: rib.low_bend <- -{C_I}*{_BEND}
where the inner ellipse comes as near to the axis as the pole gap

disc-skin: disc.skin_radius = {A}*sqrt(({C} - disc.far_height)*({C} + disc.far_height))/{C}
the skin at the disc's far face

disc-mid-skin: disc.mid_skin_radius <- {A}*sqrt(({C} - disc.height)*({C} + disc.height))/{C}
the skin at the disc's mid-height
""",
    ),
    **law_texts(
        SNYDER,
        f"""
disc-latitude-geocentric: disc.height <-
    {A}*{C}*{_SIN}/sqrt(({C}*{_COS})**2 + ({A}*{_SIN})**2)
where a line from the centre at latitude φ meets the skin

disc-latitude-geodetic: disc.height <- {C}**2*{_SIN}/sqrt(({A}*{_COS})**2 + ({C}*{_SIN})**2)
where the skin's normal has latitude φ

disc-latitude-parametric: disc.height <- {C}*{_SIN}
the parametric latitude's height
""",
    ),
    **law_texts(
        OURS,
        f"""
rib-reach: rib.reach = {A} - rib.pole_gap
how far the rib reaches square to the axis

disc-far-height: disc.far_height = disc.side*disc.height + sheet.thickness/2
half the thickness beyond the mid-height, away from the equator

disc-rib-inner: disc.rib_inner_radius <- max(rib.pole_gap, {_inner("disc.height")})
the rib's inner ellipse, or the pole gap above it
- the pole gap: rib.pole_gap
- the inner ellipse: {_inner("disc.height")} => {A_I}*sqrt(({C_I} - disc.height)
    *({C_I} + disc.height))/{C_I}
""",
    ),
}
MADE = law_texts(
    OURS,
    f"""
disc.far_height: disc.far_height <- abs(disc.height) + made.thickness/2
the real sheet's far face

disc.skin_radius: disc.skin_radius <- {_skin(_FAR)}
the skin at the real sheet's far face

disc.ligament: disc.ligament <- disc.ligament - {OVER}*(1 + {_STRETCH})
cut from the notch and from the skin

ligament: ligament <- disc.ligament - {OVER}*(1 + {_STRETCH}) - limit.least_ligament
the rib's material behind the notch above the least

inside-skin: inside-skin <- {_skin(_FAR)} - (disc.radius - {OVER}) + limit.skin_allowance
the skin beyond the disc's rim at its far face, where it is narrowest

engagement-rib: engagement-rib <-
    disc.joint_radius - disc.held_depth - max(rib.pole_gap, {_inner(_NEAREST)})
    - 2*{OVER} - {CHAMFER} - sheet.thickness
{ENGAGED}

engagement-rib-two: engagement-rib-two <-
    disc.joint_radius - disc.held_depth - max(rib.pole_gap, {_inner(_NEAREST)})
    - {OVER} - {OVER_DISC} - {CHAMFER} - sheet.thickness
{ENGAGED}
""",
)
"""The laws of what is made that have a closed form for a whole spheroid."""

_CLOSED_DISC = ("disc-far-height", "disc-skin", "disc-mid-skin", "disc-rib-inner")
_CLOSED_ENDS = {
    "skin-rib-low-end": "rib-low-pole",
    "skin-rib-high-end": "rib-high-pole",
    "skin-rib-low-bend": "rib-low-bend-own",
    "skin-rib-high-bend": "rib-high-bend",
}
"""The closed forms for what otherwise follows from any skin."""


class Spheroid(Shape):
    """An ellipse turned about one of its axes; a sphere where both are equal."""

    name = "spheroid"
    laws: tuple[LawText, ...] = tuple(LAWS.values())
    made: tuple[LawText, ...] = tuple(MADE.values())

    def skin(self, frame: FrameSpec) -> Skin:
        """Return the skin of the frame's body."""
        body = frame.body
        return spheroid(body.shape == "sphere", _mean(body), round_ends(body))


class Sphere(Spheroid):
    """A ball."""

    name = "sphere"


def _mean(body: Body) -> str | None:
    """Return the name of the mean radius that the spec gives, None where it gives none."""
    given = body.mean_radius is not None or body.mean_diameter is not None
    return (body.mean_kind or "of-sphere") if given else None


@lru_cache(maxsize=64)
def spheroid(
    sphere: bool = False, mean: str | None = None, closed: tuple[bool, bool] = (True, True)
) -> Skin:
    """Return the skin of a spheroid; `mean` names the mean radius that is given.

    `closed` says which ends are poles. The closed forms of a disc's place need both: they count
    from the equator, which a part of a body may not have.
    """
    whole = all(closed)
    laws = ["body-equatorial-diameter", "body-polar-diameter", "body-flattening"]
    laws += ["body-is-sphere"] if sphere else []
    laws += ["body-mean-diameter", f"body-mean-{mean}"] if mean else []
    laws += ["scale-equatorial", "scale-flattening", "scale-polar", "model-equatorial-diameter"]
    laws += ["rib-inner-equator", "rib-inner-pole", *pole_laws(closed)]
    swapped = dict(_CLOSED_ENDS)
    if whole:
        swapped |= {"scale-height": "model-height", "skin-rib-reach": "rib-reach"}
        swapped |= {f"skin-rib-low-{end}": f"rib-low-{end}" for end in ("end", "bend")}
    ends = [name for name in end_laws(closed) if not whole or name != "model-span"]
    laws += [swapped.get(name, name) for name in ends]
    radius = Expression(
        (A, C),
        _ellipse,
        "{1}·√(({2} − {0})·({2} + {0}))/{2}",
        r"\frac{<1> \cdot \sqrt{\left(<2> - <0>\right) \cdot \left(<2> + <0>\right)}}{<2>}",
    )
    slope = Expression(
        (A, C),
        _ellipse_slope,
        "−{1}·{0}/({2}·√(({2} − {0})·({2} + {0})))",
        r"\frac{- <1> \cdot <0>}{<2> \cdot \sqrt{<2>^{2} - <0>^{2}}}",
    )
    return Skin(
        "spheroid",
        radius,
        slope,
        radius._replace(inputs=(A_I, C_I)),
        tuple(laws),
        closed,
        polar=True,
        disc_laws=_CLOSED_DISC if whole else GENERAL_DISC,
        closed_forms=frozenset(MADE) if whole else frozenset(),
        arcs=Arcs(_outer_arcs, _inner_arcs, _bend),
        extent=_extent if whole else None,
    )


def _ellipse(m: Any, z: Any, a: Any, c: Any) -> Any:
    return a * m.sqrt(m.max(0.0, (c - z) * (c + z))) / c


def _ellipse_slope(m: Any, z: Any, a: Any, c: Any) -> Any:
    return -a * z / (c * m.sqrt(m.max(1e-12, (c - z) * (c + z))))


def _outer_arcs(start: Point, stop: Point, a: float, c: float) -> tuple[Vertex, ...]:
    first, last = (_angle(r / a, z / c) for r, z in (start, stop))
    return ellipse_arcs(a, c, first, last)


def _angle(cosine: float, sine: float) -> float:
    # By the smaller one: it says more of the angle.
    if abs(sine) < cosine:
        return math.asin(sine)
    return math.copysign(math.acos(cosine), sine)


def _inner_arcs(start: float, stop: float, a: float, c: float) -> tuple[Vertex, ...]:
    first, last = (math.asin(max(-1.0, min(1.0, z / c))) for z in (start, stop))
    return ellipse_arcs(a, c, first, last)


def _bend(gap: float, a: float, c: float) -> float:
    return c * math.sqrt(1 - (gap / a) ** 2) if a > gap else 0.0


def _extent(m: Any, values: Mapping[str, Any], x: float, y: float) -> Any:
    """Return the size of a rib along a direction, by the support function of its outer edge.

    √((a·x)² + (c·y)²) where the ellipse's farthest point lies on the edge, and an end of the edge
    where it does not (Rockafellar, Convex Analysis, Princeton 1970, section 13). Backward it
    always reaches to an end of its edge.
    """
    a, c = values[A], values[C]
    gap, height = values["rib.pole_gap"], values["rib.height"]
    ellipse = m.sqrt(m.square(a * x) + m.square(c * y))
    on_edge = m.square(a) * x - gap * ellipse
    return m.choose(on_edge, ellipse - gap * x + height / 2 * y, height * y)
