"""The superellipsoid (r/a)ⁿ + (z/c)ⁿ = 1: from a double cone over the spheroid to a pillow.

The superellipse is Lamé's curve (Lamé, Examen des différentes méthodes, 1818).
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from framekit.bodies.end_laws import end_laws
from framekit.bodies.model import Expression, Skin
from framekit.bodies.protocol import Shape
from framekit.bodies.round import A_I, C_I, ROUND_LAWS, A, C, pole_laws, round_ends
from framekit.constraints.law import Form, Law, LawText
from framekit.spec.model import FrameSpec

LAME = "Lamé, Examen des différentes méthodes (1818): the superellipse"


class Superellipsoid(Shape):
    """From a double cone over the spheroid to a pillow."""

    name = "superellipsoid"
    laws: tuple[LawText, ...] = tuple(ROUND_LAWS.values())

    def skin(self, frame: FrameSpec) -> Skin:
        """Return the skin of the frame's body."""
        exponent = frame.body.exponent
        assert exponent is not None, "the spec model asks for an exponent"
        return superellipsoid(exponent, round_ends(frame.body))


@lru_cache(maxsize=64)
def superellipsoid(exponent: float, closed: tuple[bool, bool] = (True, True)) -> Skin:
    """Return the skin of an exponent: 2 is a spheroid, 1 a double cone.

    The ribs' inner edge is the same curve with semi-axes less the widths.
    """
    n = exponent
    laws: tuple[str, ...] = ("body-equatorial-diameter", "body-polar-diameter", "body-flattening")
    laws += ("scale-equatorial", "scale-flattening", "scale-polar", "model-equatorial-diameter")
    laws += ("rib-inner-equator", "rib-inner-pole", *pole_laws(closed), *end_laws(closed))

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
