"""A skin as the solver uses it: its radius, slope and the rib's inner edge at a height.

Every function takes the namespace `m` of functions (such as `numeric.FLOATS`), the height z of the
model in mm, and the quantities named in `inputs`, so that floats, intervals and arrays share it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

from framekit.constraints.law import Law
from framekit.geometry.path import Vertex


class Arcs(NamedTuple):
    """How a skin and its inner edge are drawn as true arcs, lengths in mm.

    `outer(start, stop, *inputs)` draws the skin from one point, radius and height, to another,
    `inputs` being those of `radius`; `inner(start, stop, *inputs)` the inner edge from one height
    to another; and `bend(gap, *inputs)` is the height at which the inner edge comes as near to the
    axis as the pole gap, above the equator as below.
    """

    outer: Callable[..., tuple[Vertex, ...]]
    inner: Callable[..., tuple[Vertex, ...]]
    bend: Callable[..., float]


GENERAL_DISC = ("skin-disc", "skin-middle", "skin-rib-inner")
"""The laws of a disc that follow from any skin."""


class Expression(NamedTuple):
    """A function of a height and of quantities, as it is computed and as it is printed.

    `function(m, z, *values)` takes the values of `inputs`. `template` prints it with `{0}` for the
    height and `{1}` on for the inputs; `latex` does in LaTeX with `<0>`. Where no sum gives the
    value, `reading` says where it is read, and the others are only a way to write it.
    """

    inputs: tuple[str, ...]
    function: Callable[..., Any]
    template: str
    latex: str
    reading: str = ""


@dataclass(frozen=True, eq=False)
class Skin:
    """The skin of one body of revolution, in the model's size.

    `radius` is the skin's radius in mm at a height, `slope` its derivative by the height, `inner`
    the rib's inner edge, which may be below zero where the rib is solid to the axis. `closed` says
    whether the lower and the upper end meet the axis. `breaks` are the real heights in mm where
    the skin has a corner, `waists` heights and radii, real ones in mm, where it is least between
    two greater ones; a skin that has any takes the scale's denominator as its first input.
    `polar` is whether the ribs' widths are those of equator and pole, rather than of two ends.
    `laws` are the names of the laws that tie the body's sizes to the model's, `own` those among
    them that framekit has not. `made_edge` says that the inner edge is a curve made for given
    sizes, so that it has no interval over them.

    `disc_laws` are the names of the laws that tie a disc to the skin. `closed_forms` names the
    laws of what is made that have a closed form for this skin, in place of those that follow from
    any skin. `arcs` draws the skin and the inner edge; without it arcs are fitted. `extent(m,
    values, x, y)` is the size in mm of a rib along a direction with the parts x and y, both 0 or
    more; without it that of the box about the rib counts.
    """

    name: str
    radius: Expression
    slope: Expression
    inner: Expression
    laws: tuple[str, ...]
    closed: tuple[bool, bool]
    polar: bool = False
    breaks: tuple[float, ...] = ()
    waists: tuple[tuple[float, float], ...] = ()
    own: tuple[Law, ...] = ()
    made_edge: bool = False
    disc_laws: tuple[str, ...] = GENERAL_DISC
    closed_forms: frozenset[str] = frozenset()
    arcs: Arcs | None = None
    extent: Callable[..., Any] | None = None


def width_at(m: Any, z: Any, low: Any, high: Any, widths: tuple[Any, Any, Any]) -> Any:
    """The rib's width at a height, running smoothly from the bottom's to the middle's to the top's.

    `widths` are those at bottom, middle and top; all in mm. The share of an end's width is
    3u² − 2u³, u being the share of the way from the middle to that end.
    """
    bottom, middle, top = widths
    u = (z - (low + high) / 2) / ((high - low) / 2)
    width = middle
    for share, end in ((u, top), (-u, bottom)):
        v = m.min(m.max(share, 0.0), 1.0)
        width = width + (end - middle) * (m.square(v) * (3.0 - 2.0 * v))
    return width


def clamped(m: Any, z: Any, low: Any, high: Any) -> Any:
    """The height, or the end of the body it lies beyond."""
    return m.min(m.max(z, low), high)
