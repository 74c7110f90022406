"""What a quantity may be, so that a body exists, ribs fit in it and discs lie inside it.

Each rule is a margin that must be above zero, in a namespace of functions as laws are, so that
the same rule judges a value, an interval of values, or an array of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from framekit.constraints.namespaces import FLOATS
from framekit.errors import Fault, Where
from framekit.solution.structure import Structure

Values = Mapping[str, Any]

FLUSH = 2e-9
"""mm that rounding may put a disc flush with an end beyond it."""


class Domain(NamedTuple):
    """What a quantity may be.

    `margin(m, name, values, structure)` must be above zero; `m` is a namespace of functions such
    as `constraints.namespaces.FLOATS`. `fault(name, words, values, structure)` says what is wrong
    where it is not. `needs(structure)` names the other quantities that both look at, and None
    where the rule does not hold in that structure.
    """

    margin: Callable[[Any, str, Values, Structure], Any]
    fault: Callable[[str, str, Values, Structure], Fault]
    needs: Callable[[Structure], tuple[str, ...] | None]


def not_finite(name: str, value: float, structure: Structure) -> Fault | None:
    """Return the fault of a value that is no finite number, None for any other."""
    if math.isfinite(value):
        return None
    return Fault(
        "not-finite",
        f"{name} comes out as no finite number",
        structure.spec.where(),
        "Check the sizes and the scale for slips of the unit.",
    )


def _nothing(structure: Structure) -> tuple[str, ...] | None:
    return ()


def _itself(m: Any, name: str, values: Values, structure: Structure) -> Any:
    return values[name]


def _not_positive(name: str, words: str, values: Values, structure: Structure) -> Fault:
    return Fault(
        "not-positive",
        f"{words} ({name}) comes out as {values[name]:.4g}, not above zero",
        _place(name, structure),
        "Check the values it follows from with 'framekit explain'.",
    )


def _place(name: str, structure: Structure) -> Where:
    """Return the place in the spec of what a name is of."""
    head, _, number = name.partition(".")[0].partition("-")
    if head == "flange":
        return structure.spec.where("flanges", int(number) - 1, "at")
    entry = structure.entry_of(name)
    if entry is not None:
        return structure.spec.where("discs", entry, "at")
    return structure.spec.where({"rib": "ribs", "alternate": "ribs"}.get(head, head))


POSITIVE = Domain(_itself, _not_positive, _nothing)


def _width_needs(structure: Structure) -> tuple[str, ...] | None:
    return () if structure.skin.polar else ("model.equatorial_radius", "rib.pole_gap")


def _width(m: Any, name: str, values: Values, structure: Structure) -> Any:
    if structure.skin.polar:  # there the inner edge is judged instead
        return values[name]
    room = values["model.equatorial_radius"] - values["rib.pole_gap"]
    return m.min(values[name], room - values[name])


def _bad_width(name: str, words: str, values: Values, structure: Structure) -> Fault:
    if values[name] <= 0:
        return _not_positive(name, words, values, structure)
    room = values["model.equatorial_radius"] - values["rib.pole_gap"]
    return Fault(
        "rib-too-wide",
        f"{words}, {values[name]:.4g} mm, is not below the {room:.4g} mm between "
        "the axis's clearance and the model's greatest radius",
        structure.spec.where(*_widths_of(name), "width"),
        "Make the ribs narrower or the model larger.",
    )


WIDTH = Domain(_width, _bad_width, _width_needs)


def _widths_of(name: str) -> tuple[str, ...]:
    """Return the section of the spec that has the widths of the rib a name is of."""
    return ("ribs", "alternate") if name.startswith("alternate.") else ("ribs",)


def _inner(at: str, radius: str) -> Domain:
    """Return the rule of the inner edge at the equator or at a pole."""
    adjective = "equatorial" if at == "equator" else "polar"

    def fault(name: str, words: str, values: Values, structure: Structure) -> Fault:
        width = values[f"{name.partition('.')[0]}.width_{at}"]
        return Fault(
            "rib-too-wide",
            f"the rib's width at the {at}, {width:.4g} mm, is not below the model's "
            f"{adjective} radius, {values[radius]:.4g} mm",
            structure.spec.where(*_widths_of(name), "width", at),
            "Make the ribs narrower or the model larger.",
        )

    def needs(structure: Structure) -> tuple[str, ...] | None:
        return (radius, f"rib.width_{at}")

    return Domain(_itself, fault, needs)


INNER_EQUATOR = _inner("equator", "model.equatorial_radius")
INNER_POLE = _inner("pole", "model.polar_radius")


def _gap(m: Any, name: str, values: Values, structure: Structure) -> Any:
    return values["model.equatorial_radius"] - values[name]


def _wide_gap(name: str, words: str, values: Values, structure: Structure) -> Fault:
    return Fault(
        "too-many-ribs",
        f"{values['rib.count']:.0f} ribs of {values['sheet.thickness']:.4g} mm sheet must each "
        f"stop {values[name]:.4g} mm from the axis, and the model's radius is only "
        f"{values['model.equatorial_radius']:.4g} mm",
        structure.spec.where("ribs"),
        "Use fewer ribs, thinner sheet, a smaller ribs.pole_allowance or a larger model.",
    )


POLE_GAP = Domain(
    _gap,
    _wide_gap,
    lambda structure: ("model.equatorial_radius", "sheet.thickness", "rib.count"),
)


def _height_needs(structure: Structure) -> tuple[str, ...] | None:
    return ("model.low_end", "model.high_end", structure.disc_thickness)


def _height(m: Any, name: str, values: Values, structure: Structure) -> Any:
    half = values[structure.disc_thickness] / 2
    low = values[name] - half - values["model.low_end"]
    high = values["model.high_end"] - half - values[name]
    return m.min(low, high) + FLUSH


def _outside(name: str, words: str, values: Values, structure: Structure) -> Fault:
    low, high = values["model.low_end"], values["model.high_end"]
    half = values[structure.disc_thickness] / 2
    plate = name.partition(".")[0]
    where = _place(name, structure)
    if high - low < 2 * half:
        return Fault(
            "body-too-low",
            f"the body is {high - low:.4g} mm high, and {plate} {2 * half:.4g} mm thick",
            where,
            "Build it larger, span more of it, or use thinner sheet.",
        )
    return Fault(
        f"{plate.partition('-')[0]}-outside-body",
        f"{plate} lies outside the body, which reaches from {low:.4g} to {high:.4g} mm: its "
        f"mid-height is {values[name]:.4g} mm",
        where,
        f"Place it between {low + half:.4g} and {high - half:.4g} mm, half a thickness inside.",
    )


HEIGHT = Domain(_height, _outside, _height_needs)


def _span(m: Any, name: str, values: Values, structure: Structure) -> Any:
    polar = values["body.polar_radius"]
    return polar * (1 + 1e-9) - m.abs(values[name])


def _beyond(name: str, words: str, values: Values, structure: Structure) -> Fault:
    upper, polar = name == "body.high_end", values["body.polar_radius"]
    return Fault(
        "span-outside-body",
        f"the span's {'upper' if upper else 'lower'} end, {values[name]:.6g} mm, lies beyond "
        f"the body, whose poles are {polar:.6g} mm from its centre",
        structure.spec.where("body", "span", int(upper)),
        f"Write a height within it, or '{'top' if upper else 'bottom'}'.",
    )


def _cut(upper: bool) -> Domain:
    """Return the rule of where a body with two poles is cut: between them."""

    def needs(structure: Structure) -> tuple[str, ...] | None:
        is_cut = structure.skin.polar and not structure.skin.closed[upper]
        return ("body.polar_radius",) if is_cut else None

    return Domain(_span, _beyond, needs)


LOW_CUT, HIGH_CUT = _cut(False), _cut(True)


def _end(upper: bool) -> Domain:
    """Return the rule of a rib's end: an open one leaves room between the pole gap and the skin."""

    def margin(m: Any, name: str, values: Values, structure: Structure) -> Any:
        inputs = (values[n] for n in structure.skin.radius.inputs)
        radius = structure.skin.radius.function(m, values[name], *inputs)
        return radius - values["rib.pole_gap"] - values["sheet.thickness"] + FLUSH

    def fault(name: str, words: str, values: Values, structure: Structure) -> Fault:
        least = values["rib.pole_gap"] + values["sheet.thickness"]
        radius = margin(FLOATS, name, values, structure) + least - FLUSH
        return Fault(
            "end-too-narrow",
            f"the body's {'upper' if upper else 'lower'} end has the radius {radius:.4g} mm, and "
            f"{values['rib.count']:.0f} ribs that keep clear of each other need {least:.4g} mm "
            "there",
            structure.spec.where("body"),
            "Use fewer ribs, thinner sheet, a larger model, or a body that is wider at that end.",
        )

    def needs(structure: Structure) -> tuple[str, ...] | None:
        if structure.skin.closed[upper]:
            return None
        return (*structure.skin.radius.inputs, "rib.pole_gap", "sheet.thickness", "rib.count")

    return Domain(margin, fault, needs)


LOW_END, HIGH_END = _end(False), _end(True)
