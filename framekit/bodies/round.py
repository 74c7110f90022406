"""What bodies with an equator and two poles share: their sizes, and which ends are poles."""

from __future__ import annotations

from framekit.constraints.law import law_texts
from framekit.spec.body import Body
from framekit.spec.measure import Measure

A, C = "model.equatorial_radius", "model.polar_radius"
A_I, C_I = "rib.inner_equatorial_radius", "rib.inner_polar_radius"

DEFINITION = "definition"
OURS = "docs/explanation/geometry.md"
SNYDER = "Snyder, Map Projections: A Working Manual, USGS PP 1395 (1987), section 3"

ROUND_LAWS = {
    **law_texts(
        DEFINITION,
        """
body-polar-diameter: body.polar_diameter = 2*body.polar_radius
a diameter is two radii

scale-polar: model.polar_radius = body.polar_radius/scale.denominator
real size over the scale's denominator

scale-flattening: model.polar_radius = model.equatorial_radius*(1 - body.flattening)
a model keeps the body's flattening

body-low-pole: body.low_end = -body.polar_radius
the lower end is the south pole

body-high-pole: body.high_end = body.polar_radius
the upper end is the north pole
""",
    ),
    **law_texts(
        SNYDER,
        """
body-flattening: body.polar_radius = body.equatorial_radius*(1 - body.flattening)
the flattening shortens the polar radius
""",
    ),
    **law_texts(
        OURS,
        """
rib-inner-equator: rib.inner_equatorial_radius = model.equatorial_radius - rib.width_equator
the rib's width is taken from the skin inward

rib-inner-pole: rib.inner_polar_radius = model.polar_radius - rib.width_pole
the rib's width is taken from the skin inward
""",
    ),
}


def pole_laws(closed: tuple[bool, bool]) -> tuple[str, ...]:
    """Return the names of the laws that put a round body's closed ends at its poles."""
    return tuple(
        f"body-{name}-pole" for name, shut in zip(("low", "high"), closed, strict=True) if shut
    )


def round_ends(body: Body) -> tuple[bool, bool]:
    """Return whether a body with two poles still has the lower and the upper one."""
    low, high = body.span or ("bottom", "top")
    return (not isinstance(low, Measure), not isinstance(high, Measure))
