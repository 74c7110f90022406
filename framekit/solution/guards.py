"""What must hold before the next law may be used: a body the ribs fit in, discs inside it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

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


def needs(name: str) -> tuple[str, ...]:
    """The other quantities that must be known before `guard` can judge this one."""
    return NEEDS.get(template_name(name), ())


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
}
"""What else a rule looks at; it waits until all of it is known."""

_RULES: dict[str, Callable[[str, Values, FrameSpec, int | None], Fault | None]] = {
    "body.equatorial_radius": _positive,
    "body.polar_radius": _positive,
    "scale.denominator": _positive,
    "model.equatorial_radius": _positive,
    "model.polar_radius": _positive,
    "joint.slot_width": _positive,
    "sheet.thickness": _positive,
    "rib.width_equator": _positive,
    "rib.width_pole": _positive,
    "rib.inner_equatorial_radius": _rib_inner,
    "rib.inner_polar_radius": _rib_inner,
    "rib.pole_gap": _pole_gap,
    "disc.far_height": _far_height,
}
