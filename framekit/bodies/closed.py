"""Skins with a formula of their own: spheroid, superellipsoid, and cone with the cylinder.

Sources: equations of the ellipse and of the straight line (any geometry text); the superellipse
(r/a)ⁿ + (z/c)ⁿ = 1 is Lamé's curve (Lamé, Examen des différentes méthodes, 1818).
"""

from __future__ import annotations

from typing import Any

from framekit.bodies.model import Expression, Skin, width_at
from framekit.constraints.law import Form, Law

A, C = "model.equatorial_radius", "model.polar_radius"
A_I, C_I = "rib.inner_equatorial_radius", "rib.inner_polar_radius"
LOW, HIGH = "model.low_end", "model.high_end"
BASE, TOP = "model.base_radius", "model.top_radius"
LAME = "Lamé, Examen des différentes méthodes (1818): the superellipse"
WIDTHS = ("rib.width_bottom", "rib.width_equator", "rib.width_top")


def _ellipse(m: Any, z: Any, a: Any, c: Any) -> Any:
    return a * m.sqrt(m.max(0.0, (c - z) * (c + z))) / c


def _ellipse_slope(m: Any, z: Any, a: Any, c: Any) -> Any:
    return -a * z / (c * m.sqrt(m.max(1e-12, (c - z) * (c + z))))


def spheroid(laws: tuple[str, ...], closed: tuple[bool, bool]) -> Skin:
    """The skin of a sphere or spheroid, of which a part may be cut off."""
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
    inner = radius._replace(inputs=(A_I, C_I))
    return Skin("spheroid", radius, slope, inner, laws, closed, polar=True)


def superellipsoid(exponent: float, laws: tuple[str, ...], closed: tuple[bool, bool]) -> Skin:
    """The skin (r/a)ⁿ + (z/c)ⁿ = 1; `exponent` 2 is a spheroid, 1 a double cone.

    The ribs' inner edge is the same curve with semi-axes less the widths.
    """
    n = exponent

    def at(m: Any, z: Any, a: Any, c: Any) -> Any:
        return a * m.max(0.0, 1.0 - (m.abs(z) / c) ** n) ** (1.0 / n)

    def slope_at(m: Any, z: Any, a: Any, c: Any) -> Any:
        share = m.abs(z) / c
        steep = a / c * share ** (n - 1.0) * m.max(1e-12, 1.0 - share**n) ** (1.0 / n - 1.0)
        return m.choose(z, -steep, steep)

    text = f"{n:.15g}"
    share = r"\left(\frac{\left\lvert <0> \right\rvert}{<2>}\right)"
    radius = Expression(
        (A, C),
        at,
        f"{{1}}·(1 − (|{{0}}|/{{2}})^{text})^(1/{text})",
        rf"<1> \cdot \left(1 - {share}^{{{text}}}\right)^{{1/{text}}}",
    )
    slope = Expression(
        (A, C),
        slope_at,
        f"−{{1}}·{{0}}/{{2}}²·(|{{0}}|/{{2}})^({text} − 2)"
        f"·(1 − (|{{0}}|/{{2}})^{text})^(1/{text} − 1)",
        rf"-\frac{{<1> \cdot <0>}}{{<2>^{{2}}}} \cdot {share}^{{{text} - 2}}"
        rf" \cdot \left(1 - {share}^{{{text}}}\right)^{{1/{text} - 1}}",
    )
    inner = radius._replace(inputs=(A_I, C_I))
    breaks = (0.0,) if n == 1 else ()
    own = tuple(
        law
        for end, sign in (("low", -1.0), ("high", 1.0))
        for law in (
            _pole_law(n, f"rib.{end}_end", A, C, sign),
            _pole_law(n, f"rib.{end}_bend", A_I, C_I, sign),
        )
        if law.name in laws
    )
    return Skin(
        "superellipsoid", radius, slope, inner, laws, closed, polar=True, breaks=breaks, own=own
    )


def _pole_law(n: float, output: str, a: str, c: str, sign: float) -> Law:
    """Where the curve comes as near to the axis as the pole gap, above or below."""

    def height(m: Any, gap: Any, a: Any, c: Any) -> Any:
        return sign * c * m.max(0.0, 1.0 - (gap / a) ** n) ** (1.0 / n)

    minus = "−" if sign < 0 else ""
    tex = "-" if sign < 0 else ""
    form = Form(
        output,
        ("rib.pole_gap", a, c),
        height,
        f"{minus}{{2}}·(1 − ({{0}}/{{1}})^{n:.15g})^(1/{n:.15g})",
        rf"{tex}<2> \cdot \left(1 - \left(\frac{{<0>}}{{<1>}}\right)^{{{n:.15g}}}\right)"
        rf"^{{1/{n:.15g}}}",
    )
    what = "inner edge" if output.endswith("bend") else "skin"
    name = "skin-rib-" + output.partition(".")[2].replace("_", "-")
    words = f"where the {what} comes as near to the axis as the pole gap"
    return Law(name, words, LAME, (output, *form.inputs), (form,))


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


def cone(laws: tuple[str, ...], closed: tuple[bool, bool]) -> Skin:
    """The skin of a cone, a frustum or a cylinder: straight from the base to the top."""
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
