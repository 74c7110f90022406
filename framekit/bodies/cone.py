"""The cone, pointed or cut off, and the cylinder: straight from the base to the top.

Source: the equation of the straight line (any geometry text).
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from framekit.bodies.end_laws import SIZE, end_laws
from framekit.bodies.model import Expression, Skin, width_at
from framekit.bodies.protocol import Shape
from framekit.constraints.law import LawText, law_texts
from framekit.spec.given import Given
from framekit.spec.measure import Measure
from framekit.spec.model import FrameSpec

LOW, HIGH = "model.low_end", "model.high_end"
BASE, TOP = "model.base_radius", "model.top_radius"
WIDTHS = ("rib.width_bottom", "rib.width_equator", "rib.width_top")
DEFINITION = "definition"

LAWS = law_texts(
    DEFINITION,
    """
cylinder-base: body.base_radius = body.equatorial_radius
a cylinder is as wide at its base as anywhere

cylinder-top: body.top_radius = body.equatorial_radius
a cylinder is as wide at its top as anywhere

cone-equator: body.equatorial_radius <- max(body.base_radius, body.top_radius)
a cone's greatest radius is at one of its ends
- the base: body.base_radius
- the top: body.top_radius

body-stands-on-zero: body.low_end = 0
heights count from the base

scale-base: model.base_radius = body.base_radius/scale.denominator
real size over the scale's denominator

scale-top: model.top_radius = body.top_radius/scale.denominator
real size over the scale's denominator
""",
)
_STRAIGHT = ("body-stands-on-zero", "scale-base", "scale-top")


class Cylinder(Shape):
    """A straight tube."""

    name = "cylinder"
    laws: tuple[LawText, ...] = tuple(LAWS.values())

    def skin(self, frame: FrameSpec) -> Skin:
        """Return the skin of the frame's body."""
        return cone(("cylinder-base", "cylinder-top"), False)


class Cone(Shape):
    """A cone, pointed or cut off."""

    name = "cone"
    laws: tuple[LawText, ...] = tuple(LAWS.values())
    reads: tuple[str, ...] = ("radius", "diameter", "top_diameter")

    def skin(self, frame: FrameSpec) -> Skin:
        """Return the skin of the frame's body."""
        top = frame.body.top_radius or frame.body.top_diameter
        return cone(("cone-equator",), top is not None and top.value == 0.0)

    def givens(self, frame: FrameSpec) -> tuple[Given, ...]:
        """Return the radii at base and top in mm, also where diameters are written."""
        found = []
        for name, key, share in (
            ("body.base_radius", "radius", 1.0),
            ("body.base_radius", "diameter", 0.5),
            ("body.top_radius", "top_diameter", 0.5),
        ):
            size: Measure | None = getattr(frame.body, key)
            if size is not None:
                half = Measure(size.value * share, unit=size.unit)
                found.append(Given(name, half, "given", frame.where("body", key)))
        return tuple(found)


def _line(m: Any, z: Any, base: Any, top: Any, low: Any, high: Any) -> Any:
    return base + (top - base) * (z - low) / (high - low)


def _line_slope(m: Any, z: Any, base: Any, top: Any, low: Any, high: Any) -> Any:
    return (top - base) / (high - low)


def _line_inner(
    m: Any, z: Any, base: Any, top: Any, low: Any, high: Any, bottom: Any, middle: Any, upper: Any
) -> Any:
    widths = (bottom, middle, upper)
    foot = foot_height(m, z, base, top, low, high, widths)
    width = width_at(m, foot, low, high, widths)
    return thick_line(m, z, base, top, low, high, width)


FOOT_STEPS = 24
"""Times the foot of a normal is corrected; each leaves less than half of what was wrong."""


def foot_height(
    m: Any, z: Any, base: Any, top: Any, low: Any, high: Any, widths: tuple[Any, Any, Any]
) -> Any:
    """The height in mm at which the skin's normal through the inner edge at height z stands.

    The rib's width is that of this height, for it is measured square to the skin.
    """
    slope = (top - base) / (high - low)
    along = slope / m.sqrt(1.0 + m.square(slope))
    foot = z
    if widths[0] is widths[1] is widths[2]:
        return foot
    for _ in range(FOOT_STEPS):
        foot = z - width_at(m, foot, low, high, widths) * along
    return foot


def thick_line(m: Any, z: Any, base: Any, top: Any, low: Any, high: Any, width: Any) -> Any:
    """The inner edge of a straight wall at a height, mm, where the rib has that width."""
    lean = m.sqrt(1.0 + m.square((top - base) / (high - low)))
    return _line(m, z, base, top, low, high) - width * lean


LEAN = "√(1 + (({2} − {1})/({4} − {3}))²)"
LEAN_LATEX = r"\sqrt{1 + \left(\frac{<2> - <1>}{<4> - <3>}\right)^{2}}"
"""How far it is level through a straight wall, over the way square to it."""


@lru_cache(maxsize=16)
def cone(widest: tuple[str, ...] = (), pointed: bool = False) -> Skin:
    """Return the skin of a cone, a frustum or a cylinder; a pointed one meets the axis on top.

    `widest` names the laws that tie the greatest radius to those at both ends.
    """
    closed = (False, pointed)
    laws = (*SIZE, *widest, *_STRAIGHT, *end_laws(closed))
    sizes = (BASE, TOP, LOW, HIGH)
    radius = Expression(
        sizes,
        _line,
        "{1} + ({2} − {1})·({0} − {3})/({4} − {3})",
        r"<1> + \frac{\left(<2> - <1>\right) \cdot \left(<0> - <3>\right)}{<4> - <3>}",
    )
    slope = Expression(
        sizes, _line_slope, "({2} − {1})/({4} − {3})", r"\frac{<2> - <1>}{<4> - <3>}"
    )
    inner = Expression(
        (*sizes, *WIDTHS),
        _line_inner,
        f"{radius.template} − w({{0}}; {{5}}, {{6}}, {{7}})·{LEAN}",
        rf"{radius.latex} - w(<0>; <5>, <6>, <7>) \cdot {LEAN_LATEX}",
    )
    return Skin("cone", radius, slope, inner, laws, closed)
