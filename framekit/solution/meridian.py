"""A solved frame's skin and inner edge as plain functions of the height, for the parts stage."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from framekit.bodies.model import Expression
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.roots import sign_changes
from framekit.constraints.series import along
from framekit.geometry.path import Vertex
from framekit.solution.model import FrameSolution, HeightFunction, Meridian
from framekit.solution.relations import Renaming, renamed


def meridian_of(frame: FrameSolution, kind: Renaming = ()) -> Meridian:
    """Return the meridian of a solved frame; `kind` is what laws about a rib mean for that rib."""
    skin = frame.structure.skin
    values = {name: quantity.value for name, quantity in frame.quantities.items()}
    low, high = values["model.low_end"], values["model.high_end"]
    rib_low, rib_high = values["rib.low_end"], values["rib.high_end"]
    gap = values["rib.pole_gap"]
    outer = _function(skin.radius, values, (), low, high)
    edge = _function(skin.inner, values, kind, low, high)

    def inner(z: float) -> float:
        return max(gap, edge(z))

    def inner_slope(z: float) -> float:
        if edge(z) <= gap:
            return 0.0
        return _slope(skin.inner, values, kind, min(max(z, low), high))

    scale = values["scale.denominator"]
    corners = [z / scale for z in skin.breaks]
    arcs, edge_inputs = skin.arcs, [values[renamed(kind, name)] for name in skin.inner.inputs]
    if arcs is None:
        bends = _crossings(lambda z: edge(z) - gap, rib_low, rib_high)
    else:
        bend = arcs.bend(gap, *edge_inputs)
        bends = (-bend, bend)
    inside = sorted(z for z in (*corners, *bends) if rib_low < z < rib_high)
    return Meridian(
        outer=outer,
        outer_slope=_function(skin.slope, values, (), low, high),
        inner=inner,
        inner_slope=inner_slope,
        low=low,
        high=high,
        rib_low=rib_low,
        rib_high=rib_high,
        closed=skin.closed,
        pole_gap=gap,
        breaks=tuple(inside),
        outer_arcs=None if arcs is None else _drawn(arcs.outer, skin.radius, values),
        inner_arcs=None if arcs is None else _drawn(arcs.inner, skin.inner, values, kind),
    )


def _drawn(
    draw: Callable[..., tuple[Vertex, ...]],
    expression: Expression,
    values: Mapping[str, float],
    kind: Renaming = (),
) -> Callable[[Any, Any], tuple[Vertex, ...]]:
    """Return what draws a curve from one place to another, with the sizes put in."""
    inputs = [values[renamed(kind, name)] for name in expression.inputs]
    return lambda start, stop: draw(start, stop, *inputs)


def _function(
    expression: Expression,
    values: Mapping[str, float],
    meant: Renaming,
    low: float,
    high: float,
) -> HeightFunction:
    inputs = [values[renamed(meant, name)] for name in expression.inputs]

    def function(z: float) -> float:
        return float(expression.function(FLOATS, min(max(z, low), high), *inputs))

    return function


def _slope(expression: Expression, values: Mapping[str, float], meant: Renaming, z: float) -> float:
    inputs = [values[renamed(meant, name)] for name in expression.inputs]
    direction = [1.0, *(0.0 for _ in inputs)]
    try:
        return along(expression.function, [z, *inputs], direction).c1
    except ZeroDivisionError:
        # A power of zero has a slope here, though not all the series asks for.
        ends = (expression.function(FLOATS, z + h, *inputs) for h in (-NEAR, NEAR))
        before, after = ends
        return float(after - before) / (2 * NEAR)


NEAR = 1e-5
"""mm to both sides of a height for the slope where a series has none."""
SAMPLES = 400
"""Steps in which the inner edge's meetings with the pole gap are looked for."""


def _crossings(function: HeightFunction, low: float, high: float) -> tuple[float, ...]:
    return sign_changes(function, [low + (high - low) * i / SAMPLES for i in range(SAMPLES + 1)])
