"""What must hold before the next law may be used: a body the ribs fit in, discs inside it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from framekit.bodies.build import skin_of
from framekit.constraints.namespaces import FLOATS
from framekit.errors import Fault, Where
from framekit.solution.quantities import described, template_name
from framekit.spec.model import FrameSpec

Values = Mapping[str, float]


def guard(name: str, values: Values, frame: FrameSpec, entry: int | None) -> Fault | None:
    """The fault that a value just found shows, or None; `entry` is the disc's place in the spec."""
    value = values[name]
    if not math.isfinite(value):
        return Fault(
            "not-finite",
            f"{name} comes out as no finite number",
            frame.where(),
            "Check the sizes and the scale for slips of the unit.",
        )
    rule = _RULES.get(template_name(name))
    return rule(name, values, frame, entry) if rule else None


def needs(name: str, frame: FrameSpec) -> tuple[str, ...]:
    """The other quantities that must be known before `guard` can judge this one."""
    template = template_name(name)
    found = NEEDS.get(template, ())
    if template not in _BY_SKIN:
        return found
    skin = skin_of(frame)
    if skin is None:
        return found
    if template in ("disc.height", "flange.height") and frame.disc_sheet is not None:
        return (*found, "disc_sheet.thickness")
    if template in ("body.low_end", "body.high_end"):
        return ("body.polar_radius",)
    if template in ("rib.low_end", "rib.high_end"):
        return (*skin.radius.inputs, "rib.pole_gap", "sheet.thickness", "rib.count")
    if template.startswith("rib.width_") and not skin.polar:
        return ("model.equatorial_radius", "rib.pole_gap")
    return found


def _positive(name: str, values: Values, frame: FrameSpec, entry: int | None) -> Fault | None:
    if values[name] > 0:
        return None
    return Fault(
        "not-positive",
        f"{described(name).words} ({name}) comes out as {values[name]:.4g}, not above zero",
        _section_of(name, frame, entry),
        "Check the values it follows from with 'framekit explain'.",
    )


def _rib_inner(name: str, values: Values, frame: FrameSpec, entry: int | None) -> Fault | None:
    if values[name] > 0:
        return None
    equator = name == "rib.inner_equatorial_radius"
    key, radius = (
        ("equator", values["model.equatorial_radius"])
        if equator
        else ("pole", values["model.polar_radius"])
    )
    width = values["rib.width_equator" if equator else "rib.width_pole"]
    return Fault(
        "rib-too-wide",
        f"the rib's width at the {key}, {width:.4g} mm, is not below the model's "
        f"{'equatorial' if equator else 'polar'} radius, {radius:.4g} mm",
        frame.where("ribs", "width", key),
        "Make the ribs narrower or the model larger.",
    )


def _pole_gap(name: str, values: Values, frame: FrameSpec, entry: int | None) -> Fault | None:
    if values[name] < values["model.equatorial_radius"]:
        return None
    return Fault(
        "too-many-ribs",
        f"{values['rib.count']:.0f} ribs of {values['sheet.thickness']:.4g} mm sheet must each "
        f"stop {values[name]:.4g} mm from the axis, and the model's radius is only "
        f"{values['model.equatorial_radius']:.4g} mm",
        frame.where("ribs"),
        "Use fewer ribs, thinner sheet, a smaller ribs.pole_allowance or a larger model.",
    )


def _far_height(name: str, values: Values, frame: FrameSpec, entry: int | None) -> Fault | None:
    polar = values["model.polar_radius"]
    if values[name] < polar:
        return None
    disc = name.partition(".")[0]
    return Fault(
        "disc-outside-body",
        f"{disc} lies outside the body: its far face is at {values[name]:.4g} mm and the pole "
        f"at {polar:.4g} mm",
        _section_of(name, frame, entry),
        f"Place it between {-polar:.4g} and {polar:.4g} mm, half a thickness inside.",
    )


def _disc_height(name: str, values: Values, frame: FrameSpec, entry: int | None) -> Fault | None:
    low, high = values["model.low_end"], values["model.high_end"]
    what = "flange" if name.startswith("flange") else "disc"
    two = frame.disc_sheet is not None
    half = values["disc_sheet.thickness" if two else "sheet.thickness"] / 2
    if low + half - 1e-9 <= values[name] <= high - half + 1e-9:
        return None
    disc = name.partition(".")[0]
    where = _section_of(name, frame, entry)
    if what == "flange":
        where = frame.where("flanges", int(disc.rpartition("-")[2]) - 1, "at")
    if high - low < 2 * half:
        return Fault(
            "body-too-low",
            f"the body is {high - low:.4g} mm high, and {disc} {2 * half:.4g} mm thick",
            where,
            "Build it larger, span more of it, or use thinner sheet.",
        )
    return Fault(
        f"{what}-outside-body",
        f"{disc} lies outside the body, which reaches from {low:.4g} to {high:.4g} mm: its "
        f"mid-height is {values[name]:.4g} mm",
        where,
        f"Place it between {low + half:.4g} and {high - half:.4g} mm, half a thickness inside.",
    )


def _span_end(name: str, values: Values, frame: FrameSpec, entry: int | None) -> Fault | None:
    """Where a sphere, spheroid or superellipsoid is cut must lie between its poles."""
    polar = values["body.polar_radius"]
    if frame.body.span is None or abs(values[name]) <= polar * (1 + 1e-9):
        return None
    upper = name == "body.high_end"
    unit = "mm"
    return Fault(
        "span-outside-body",
        f"the span's {'upper' if upper else 'lower'} end, {values[name]:.6g} {unit}, lies beyond "
        f"the body, whose poles are {polar:.6g} {unit} from its centre",
        frame.where("body", "span", int(upper)),
        f"Write a height within it, or '{'top' if upper else 'bottom'}'.",
    )


def _rib_end(name: str, values: Values, frame: FrameSpec, entry: int | None) -> Fault | None:
    """An open end must leave the ribs room between the pole gap and the skin."""
    skin = skin_of(frame)
    upper = name == "rib.high_end"
    if skin is None or skin.closed[upper]:
        return None
    inputs = (values[n] for n in skin.radius.inputs)
    radius = float(skin.radius.function(FLOATS, values[name], *inputs))
    least = values["rib.pole_gap"] + values["sheet.thickness"]
    if radius >= least:
        return None
    return Fault(
        "end-too-narrow",
        f"the body's {'upper' if upper else 'lower'} end has the radius {radius:.4g} mm, and "
        f"{values['rib.count']:.0f} ribs that keep clear of each other need {least:.4g} mm there",
        frame.where("body"),
        "Use fewer ribs, thinner sheet, a larger model, or a body that is wider at that end.",
    )


def _width(name: str, values: Values, frame: FrameSpec, entry: int | None) -> Fault | None:
    fault = _positive(name, values, frame, entry)
    skin = skin_of(frame)
    if fault is not None or skin is None or skin.polar or not name.startswith("rib."):
        return fault
    room = values["model.equatorial_radius"] - values["rib.pole_gap"]
    if values[name] < room:
        return None
    return Fault(
        "rib-too-wide",
        f"{described(name).words}, {values[name]:.4g} mm, is not below the {room:.4g} mm between "
        "the axis's clearance and the model's greatest radius",
        frame.where("ribs", "width"),
        "Make the ribs narrower or the model larger.",
    )


def _section_of(name: str, frame: FrameSpec, entry: int | None) -> Where:
    head = name.partition(".")[0]
    if entry is not None:
        return frame.where("discs", entry, "at")
    return frame.where({"rib": "ribs"}.get(head, head))


NEEDS: dict[str, tuple[str, ...]] = {
    "rib.inner_equatorial_radius": ("model.equatorial_radius", "rib.width_equator"),
    "rib.inner_polar_radius": ("model.polar_radius", "rib.width_pole"),
    "rib.pole_gap": ("model.equatorial_radius", "sheet.thickness", "rib.count"),
    "disc.far_height": ("model.polar_radius",),
    "disc.height": ("model.low_end", "model.high_end", "sheet.thickness"),
    "flange.height": ("model.low_end", "model.high_end", "sheet.thickness"),
}
"""What else a rule looks at; it waits until all of it is known."""

_BY_SKIN = frozenset(
    (
        *("disc.height", "flange.height", "body.low_end", "body.high_end"),
        *("rib.low_end", "rib.high_end"),
        *("rib.width_equator", "rib.width_pole", "rib.width_bottom", "rib.width_top"),
    )
)
"""What is judged otherwise on bodies that are no whole spheroid."""

_RULES: dict[str, Callable[[str, Values, FrameSpec, int | None], Fault | None]] = {
    "body.equatorial_radius": _positive,
    "body.polar_radius": _positive,
    "scale.denominator": _positive,
    "model.equatorial_radius": _positive,
    "model.polar_radius": _positive,
    "joint.slot_width": _positive,
    "sheet.thickness": _positive,
    "disc_sheet.thickness": _positive,
    "rib.width_equator": _width,
    "rib.width_pole": _width,
    "rib.width_bottom": _width,
    "rib.width_top": _width,
    "alternate.width_equator": _positive,
    "alternate.width_pole": _positive,
    "alternate.width_bottom": _positive,
    "alternate.width_top": _positive,
    "body.low_end": _span_end,
    "body.high_end": _span_end,
    "rib.low_end": _rib_end,
    "rib.high_end": _rib_end,
    "disc.height": _disc_height,
    "flange.height": _disc_height,
    "body.height": _positive,
    "body.base_radius": _positive,
    "model.height": _positive,
    "rib.inner_equatorial_radius": _rib_inner,
    "rib.inner_polar_radius": _rib_inner,
    "rib.pole_gap": _pole_gap,
    "disc.far_height": _far_height,
}
