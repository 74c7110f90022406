"""The laws of the design that follow from any skin."""

from __future__ import annotations

from typing import Any

from framekit.bodies.at_height import At, least_over, made_law
from framekit.bodies.model import Expression, Skin
from framekit.constraints.law import Law

Z, T, GAP = "disc.height", "sheet.thickness", "rib.pole_gap"


def general_laws(skin: Skin) -> tuple[Law, ...]:
    """Return the laws of discs, flanges and ribs' ends under a skin."""
    found = [
        _least_law(skin, "disc"),
        _least_law(skin, "flange"),
        _middle_law(skin),
        _inner_law(skin),
    ]
    for end, other, closed in (("low", "high", skin.closed[1]), ("high", "low", skin.closed[0])):
        # From an open other end the whole height is searched, else the half that the end is of.
        beside = () if closed else (f"rib.{other}_end",)
        for expression, place, what in (
            (skin.radius, "end", "skin"),
            (skin.inner, "bend", "inner edge"),
        ):
            name = f"skin-rib-{end}-{place}"
            found.append(_end_law(expression, name, (f"rib.{end}_{place}", *beside), what))
    found.append(_reach_law(skin))
    return tuple(found)


SAMPLES = 32
"""Pieces of the rib at whose ends its inner edge is looked at for its extent."""


def _reach_law(skin: Skin) -> Law:
    at = At(skin.inner, 2)

    def function(m: Any, a: Any, gap: Any, *values: Any) -> Any:
        if any(skin.closed):
            return a - gap
        low, high = values[-2], values[-1]
        heights = (low + (high - low) * (i / SAMPLES) for i in range(SAMPLES + 1))
        return a - m.max(gap, m.min(*(at.value(m, z, values) for z in heights)))

    least = "{1}" if any(skin.closed) else "the inner edge's least radius"
    latex = "<1>" if any(skin.closed) else r"\min r_i"
    return made_law(
        "skin-rib-reach",
        "rib.reach",
        ("model.equatorial_radius", GAP, *at.names),
        function,
        f"{{0}} − {least}",
        f"<0> - {latex}",
        "how far the rib reaches square to the axis",
    )


def _least_law(skin: Skin, plate: str) -> Law:
    at = At(skin.radius, 2)
    least = least_over(skin, at)

    def function(m: Any, z: Any, t: Any, *values: Any) -> Any:
        return least(m, z, t, values)

    return made_law(
        f"skin-{plate}",
        f"{plate}.skin_radius",
        (f"{plate}.height", T, *at.names),
        function,
        f"min({at.text('({0} − {1}/2)')}, {at.text('({0} + {1}/2)')})",
        rf"\min\left({at.latex('(<0> - <1>/2)')}, {at.latex('(<0> + <1>/2)')}\right)",
        f"the skin where it is narrowest over the {plate}'s thickness",
    )


def _middle_law(skin: Skin) -> Law:
    at = At(skin.radius, 1)

    def function(m: Any, z: Any, *values: Any) -> Any:
        return at.value(m, z, values)

    return made_law(
        "skin-middle",
        "disc.mid_skin_radius",
        (Z, *at.names),
        function,
        at.text("{0}"),
        at.latex("<0>"),
        "the skin at the disc's mid-height",
    )


def _inner_law(skin: Skin) -> Law:
    at = At(skin.inner, 2)

    def function(m: Any, z: Any, gap: Any, *values: Any) -> Any:
        return m.max(gap, at.value(m, z, values))

    return made_law(
        "skin-rib-inner",
        "disc.rib_inner_radius",
        (Z, GAP, *at.names),
        function,
        f"max({{1}}, {at.text('{0}')})",
        rf"\max\left(<1>, {at.latex('<0>')}\right)",
        "the rib's inner edge, or the pole gap where that is farther from the axis",
    )


def _end_law(expression: Expression, name: str, heights: tuple[str, ...], what: str) -> Law:
    at = At(expression, len(heights))

    def function(m: Any, z: Any, *values: Any) -> Any:
        return at.value(m, z, values[len(heights) - 1 :])

    return made_law(
        name,
        GAP,
        (*heights, *at.names),
        function,
        at.text("{0}"),
        at.latex("<0>"),
        f"where the {what} comes as near to the axis as the pole gap",
    )
