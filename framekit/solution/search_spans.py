"""The quantities of a frame that may be searched for, and the values each is searched over."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import reduce
from typing import Any, Literal

from framekit.constraints.loops import Searchable, Searches
from framekit.constraints.roots import Span
from framekit.solution.quantities import QUANTITIES
from framekit.solution.symbols import symbol, template_name

Values = Mapping[str, Any]

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


def _fixed(low: float, high: float, even: Literal["linear", "log"] = "linear") -> Searchable:
    return Searchable(lambda m, name, values: Span(low, high, even))


def _beside(name: str, unknown: str) -> str:
    """The full name of a quantity of the same disc as the unknown."""
    return unknown.partition(".")[0] + "." + name.partition(".")[2]


def _told(name: str) -> bool:
    return not name.startswith(("model", "rib.pole"))


_ROWS = {
    "disc.height": Searchable(
        _disc_heights,
        needs=(_ENDS, frozenset(("model.polar_radius",))),
        narrowed_by=("disc.side",),
        hint="Give the side it lies on, north or south, or {name} itself.",
    ),
    **dict.fromkeys(
        ("rib.high_end", "rib.low_end", "rib.high_bend", "rib.low_bend"),
        Searchable(_rib_ends, needs=(_ENDS,)),
    ),
    "body.flattening": _fixed(-9.0, 1.0),
    "joint.engagement": _fixed(0.0, 1.0),
    "joint.clearance": _fixed(-2.0, 5.0),
    "sheet.thickness": _fixed(0.0, 60.0),
    "cutter.kerf": _fixed(0.0, 20.0),
    "rib.width_equator": _fixed(0.0, 5000.0),
    "rib.width_pole": _fixed(0.0, 5000.0),
    "scale.denominator": _fixed(1e-6, 1e18, "log"),
    "body.equatorial_radius": Searchable(_radii),
    "model.equatorial_radius": Searchable(_radii),
}

SEARCHES = Searches(
    rows={name: replace(row, unit=QUANTITIES[name].unit) for name, row in _ROWS.items()},
    row_name=template_name,
    full_name=_beside,
    symbol=symbol,
    told=_told,
)
"""What may be searched for in a frame, the best first."""
