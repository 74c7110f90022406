"""The values that quantities are searched over where no closed form gives them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import reduce
from typing import Any, NamedTuple

from framekit.constraints.loops import Searchable
from framekit.constraints.roots import Spacing, Span

Values = Mapping[str, Any]


class RankedSearch(NamedTuple):
    """How a quantity is searched for; of several the least `rank` is searched for first."""

    rank: int
    over: Searchable


_ENDS = frozenset(("model.low_end", "model.high_end"))


def _disc_heights(m: Any, name: str, values: Values) -> Span:
    if "model.high_end" in values:
        low, high = values["model.low_end"], values["model.high_end"]
        middle = (low + high) / 2
        if "model.polar_radius" in values:  # the equator, or the end it was cut off with
            middle = m.min(m.max(low, 0.0), high)
    else:
        low, middle, high = -values["model.polar_radius"], 0.0, values["model.polar_radius"]
    side = values.get(name.replace(".height", ".side"))
    if side is None:
        return Span(low, high)
    return Span(m.choose(-side, low, middle), m.choose(-side, middle, high))


def _rib_ends(m: Any, name: str, values: Values) -> Span:
    """From the middle of the body, or from its open other end, to the end that the name says."""
    low, high = values["model.low_end"], values["model.high_end"]
    middle = (low + high) / 2
    if ".high_" in name:
        return Span(values.get("rib.low_end", middle), high)
    return Span(low, values.get("rib.high_end", middle))


def _radii(m: Any, name: str, values: Values) -> Span:
    head = name.partition(".")[0]
    size = reduce(m.max, [v for n, v in values.items() if n.partition(".")[0] == head])
    return Span(size * 1e-3, size * 1e3, "log")


def fixed(rank: int, low: float, high: float, even: Spacing = "linear") -> RankedSearch:
    """Return the search over a range that is the same in every frame."""
    return RankedSearch(rank, Searchable.between(low, high, even))


DISC_HEIGHT = RankedSearch(
    1,
    Searchable(
        _disc_heights,
        needs=(_ENDS, frozenset(("model.polar_radius",))),
        narrowed_by=("disc.side",),
        hint="Give the side it lies on, north or south, or {name} itself.",
    ),
)
RIB_END = Searchable(_rib_ends, needs=(_ENDS,))
RADIUS = Searchable(_radii)
