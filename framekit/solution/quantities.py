"""Every quantity of a frame, one row each: symbol, unit, words, key, default, domain.

Whatever lists quantities reads these rows; `symbols.py` finds one by its name. A symbol is a
letter, perhaps with a subscript after `_`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from framekit.catalogue.model import MaterialRow
from framekit.solution.domain import (
    HEIGHT,
    HIGH_END,
    INNER_EQUATOR,
    INNER_POLE,
    LOW_END,
    POLE_GAP,
    POSITIVE,
    SPAN,
    WIDTH,
    Domain,
)
from framekit.spec.defaults import (
    END_CLEARANCE,
    END_WIDTH,
    ENGAGEMENT,
    MIDDLE_WIDTH,
    POLE_ALLOWANCE,
    SCALE,
    SETBACK,
)
from framekit.spec.model import FrameSpec

FromMaterial = Callable[[FrameSpec, MaterialRow], tuple[float, str]]
"""A default that depends on the frame's material or cutter: its value and where it comes from."""

PRACTICE = "common practice, no source"
ABOVE_ZERO = (math.ulp(0.0), math.inf)
FROM_ZERO = (0.0, math.inf)
ANY = (-math.inf, math.inf)
WHOLE = None


class Row(NamedTuple):
    """What is known of a quantity before any frame is.

    `symbol` stands for it in formulas, `unit` is what it is counted in, `words` say what it is.
    `keys` are the keys of the spec that give it, the usual one first; those of a disc or flange
    count from its entry. `default` fills a hole: a value in `unit` and where it comes from.
    `domain` says what it may be in a frame, `takes` the values that the spec language takes, None
    where it has none in between. `headline` is its place among those that everyone wants to see, 0
    for the rest.
    """

    symbol: str
    unit: str
    words: str
    keys: tuple[str, ...] = ()
    default: tuple[float, str] | FromMaterial | None = None
    domain: Domain | None = None
    takes: tuple[float, float] | None = ABOVE_ZERO
    headline: int = 0


def snug_fit(frame: FrameSpec, material: MaterialRow) -> tuple[float, str]:
    """Return the clearance of a snug fit in mm."""
    snug = material.snug
    return snug.value, f"a snug fit in {material.name}; {snug.source}"


def end_clearance(frame: FrameSpec, material: MaterialRow) -> tuple[float, str]:
    """Return how far a slot runs past its seat in mm."""
    tool = frame.cutter.tool_diameter or frame.cutter.kerf
    if frame.cutter.process == "router" and tool is not None and frame.joint.relief != "all":
        note = f"the tool's radius, which rounds a slot's corners, and {END_CLEARANCE:g} mm"
        return tool.value / 2 + END_CLEARANCE, note
    return END_CLEARANCE, PRACTICE


def usual_kerf(frame: FrameSpec, material: MaterialRow) -> tuple[float, str]:
    """Return the kerf in mm of the frame's process in its material."""
    if frame.cutter.process == "knife":
        return 0.0, "a knife takes no material away"
    return material.kerf.value, f"usual for {material.name}; {material.kerf.source}"


QUANTITIES: dict[str, Row] = {
    "body.equatorial_radius": Row(
        "A",
        "mm",
        "the body's equatorial radius",
        keys=("body.equatorial_radius", "body.radius"),
        domain=POSITIVE,
    ),
    "body.equatorial_diameter": Row(
        "D_A",
        "mm",
        "the body's equatorial diameter",
        keys=("body.equatorial_diameter", "body.diameter"),
    ),
    "body.polar_radius": Row(
        "C", "mm", "the body's polar radius", keys=("body.polar_radius",), domain=POSITIVE
    ),
    "body.polar_diameter": Row(
        "D_C", "mm", "the body's polar diameter", keys=("body.polar_diameter",)
    ),
    "body.mean_radius": Row("R_m", "mm", "the body's mean radius", keys=("body.mean_radius",)),
    "body.mean_diameter": Row(
        "D_m", "mm", "the body's mean diameter", keys=("body.mean_diameter",)
    ),
    "body.flattening": Row(
        "f", "1", "the body's flattening", keys=("body.flattening",), takes=(-9.0, 1 - 1e-6)
    ),
    "body.base_radius": Row(
        "B_L", "mm", "the body's radius at its base", keys=("body.radius",), domain=POSITIVE
    ),
    "body.top_radius": Row("B_U", "mm", "the body's radius at its top", keys=("body.top_radius",)),
    "body.height": Row(
        "H_b", "mm", "the body's height, end to end", keys=("body.height",), domain=POSITIVE
    ),
    "body.low_end": Row("L_b", "mm", "the height of the body's lower end", domain=SPAN),
    "body.high_end": Row("U_b", "mm", "the height of the body's upper end", domain=SPAN),
    "scale.denominator": Row(
        "S",
        "1",
        "the scale's denominator",
        keys=("scale",),
        default=(SCALE, "full size"),
        domain=POSITIVE,
        headline=1,
    ),
    "model.equatorial_radius": Row(
        "a",
        "mm",
        "the model's equatorial radius",
        keys=("model.equatorial_radius",),
        domain=POSITIVE,
    ),
    "model.equatorial_diameter": Row(
        "D",
        "mm",
        "the model's equatorial diameter",
        keys=("model.equatorial_diameter",),
        headline=2,
    ),
    "model.polar_radius": Row(
        "c", "mm", "the model's polar radius", keys=("model.polar_radius",), domain=POSITIVE
    ),
    "model.height": Row(
        "H",
        "mm",
        "the model's height, end to end",
        keys=("model.height",),
        domain=POSITIVE,
        headline=3,
    ),
    "model.base_radius": Row("b_L", "mm", "the model's radius at its base"),
    "model.top_radius": Row("b_U", "mm", "the model's radius at its top"),
    "model.low_end": Row("z_L", "mm", "the height of the model's lower end"),
    "model.high_end": Row("z_U", "mm", "the height of the model's upper end"),
    "rib.count": Row("n", "1", "how many ribs", takes=WHOLE, headline=4),
    "rib.angle": Row("δ", "deg", "the least angle between neighbouring ribs", takes=WHOLE),
    "rib.width_equator": Row(
        "w_e",
        "mm",
        "the rib's width at the equator",
        keys=("ribs.width.equator",),
        default=(MIDDLE_WIDTH, PRACTICE),
        domain=WIDTH,
        headline=5,
    ),
    "rib.width_pole": Row(
        "w_p",
        "mm",
        "the rib's width at the poles",
        keys=("ribs.width.pole",),
        default=(END_WIDTH, PRACTICE),
        domain=WIDTH,
        headline=6,
    ),
    "rib.width_bottom": Row(
        "w_b",
        "mm",
        "the rib's width at the lower end",
        keys=("ribs.width.bottom",),
        default=(END_WIDTH, PRACTICE),
        domain=WIDTH,
    ),
    "rib.width_top": Row(
        "w_t",
        "mm",
        "the rib's width at the upper end",
        keys=("ribs.width.top",),
        default=(END_WIDTH, PRACTICE),
        domain=WIDTH,
    ),
    "rib.pole_allowance": Row(
        "e_0",
        "mm",
        "extra radius kept free at the poles",
        keys=("ribs.pole_allowance",),
        default=(POLE_ALLOWANCE, "framekit's choice"),
        takes=FROM_ZERO,
    ),
    "rib.inner_equatorial_radius": Row(
        "a_i",
        "mm",
        "the rib's inner edge at the equator",
        keys=("ribs.inner_radius.equator",),
        domain=INNER_EQUATOR,
    ),
    "rib.inner_polar_radius": Row(
        "c_i",
        "mm",
        "the rib's inner edge at the poles",
        keys=("ribs.inner_radius.pole",),
        domain=INNER_POLE,
    ),
    "rib.pole_gap": Row(
        "e", "mm", "the radius the ribs keep from the axis", domain=POLE_GAP, headline=7
    ),
    "rib.low_end": Row("z_a", "mm", "the height of the rib's lower end", domain=LOW_END),
    "rib.high_end": Row("z_b", "mm", "the height of the rib's upper end", domain=HIGH_END),
    "rib.low_bend": Row("k_a", "mm", "where the lower part of the inner edge meets the gap"),
    "rib.high_bend": Row("k_b", "mm", "where the upper part of the inner edge meets the gap"),
    "rib.height": Row("h_r", "mm", "the rib's height, end to end"),
    "alternate.width_equator": Row(
        "w_e′", "mm", "every other rib's width at the equator", domain=WIDTH
    ),
    "alternate.width_pole": Row("w_p′", "mm", "every other rib's width at the poles", domain=WIDTH),
    "alternate.width_bottom": Row(
        "w_b′", "mm", "every other rib's width at the lower end", domain=WIDTH
    ),
    "alternate.width_top": Row(
        "w_t′", "mm", "every other rib's width at the upper end", domain=WIDTH
    ),
    "alternate.inner_equatorial_radius": Row(
        "a_i′", "mm", "every other rib's inner edge at the equator", domain=INNER_EQUATOR
    ),
    "alternate.inner_polar_radius": Row(
        "c_i′", "mm", "every other rib's inner edge at the poles", domain=INNER_POLE
    ),
    "rib.reach": Row("x_r", "mm", "how far the rib reaches square to the axis"),
    "rib.proud": Row("p", "mm", "how far the rib's faces stand proud of the skin"),
    "joint.engagement": Row(
        "q",
        "1",
        "the share of the rib's width its notch takes",
        keys=("joint.engagement",),
        default=(ENGAGEMENT, PRACTICE),
        takes=(1e-6, 1 - 1e-6),
    ),
    "joint.clearance": Row(
        "g",
        "mm",
        "slot width less sheet thickness",
        keys=("joint.clearance",),
        default=snug_fit,
        takes=ANY,
    ),
    "joint.end_clearance": Row(
        "g_e",
        "mm",
        "how far a slot runs past its seat",
        keys=("joint.end_clearance",),
        default=end_clearance,
        takes=FROM_ZERO,
    ),
    "joint.slot_width": Row(
        "w",
        "mm",
        "the finished slot's width",
        keys=("joint.slot_width",),
        domain=POSITIVE,
        headline=11,
    ),
    "joint.slot_width_drawn": Row(
        "w_d",
        "mm",
        "the slot's width as drawn in the file",
        keys=("joint.slot_width_drawn",),
        headline=12,
    ),
    "joint.gap": Row("j", "mm", "the play of the joint as made", headline=13),
    "joint.notch_width": Row(
        "w_n", "mm", "the finished notch's width in the ribs", domain=POSITIVE
    ),
    "joint.notch_width_drawn": Row("w_nd", "mm", "that notch's width as drawn in the file"),
    "sheet.thickness": Row(
        "t", "mm", "the sheet's thickness", keys=("sheet.thickness",), domain=POSITIVE, headline=8
    ),
    "disc_sheet.thickness": Row(
        "t_d",
        "mm",
        "the thickness of the discs' sheet",
        keys=("disc_sheet.thickness",),
        domain=POSITIVE,
        headline=9,
    ),
    "cutter.kerf": Row(
        "k",
        "mm",
        "the kerf, the whole width of the cut",
        keys=("cutter.kerf", "cutter.tool_diameter"),
        default=usual_kerf,
        takes=FROM_ZERO,
        headline=10,
    ),
    "disc.fraction": Row(
        "u",
        "1",
        "the disc's height as a fraction of the polar radius",
        keys=("at.fraction",),
        takes=(-1 + 1e-6, 1 - 1e-6),
    ),
    "disc.latitude": Row(
        "φ", "deg", "the disc's latitude", keys=("at.latitude",), takes=(-90 + 1e-6, 90 - 1e-6)
    ),
    "disc.height": Row(
        "z",
        "mm",
        "the disc's mid-height",
        keys=("at.height",),
        domain=HEIGHT,
        takes=ANY,
        headline=1,
    ),
    "disc.side": Row(
        "s",
        "1",
        "the disc's side: 1 north of the equator or on it, −1 south",
        keys=("side",),
        takes=WHOLE,
    ),
    "disc.far_height": Row("z_f", "mm", "the disc's face farther from the equator"),
    "disc.setback": Row(
        "b",
        "mm",
        "how far the disc's rim stays behind the skin",
        keys=("setback",),
        default=(SETBACK, "the rim meets the skin"),
        takes=FROM_ZERO,
    ),
    "disc.skin_radius": Row("r_f", "mm", "the skin at the disc's far face"),
    "disc.mid_skin_radius": Row("r", "mm", "the skin at the disc's mid-height"),
    "disc.rib_inner_radius": Row("r_i", "mm", "the rib's inner edge at the mid-height"),
    "disc.joint_radius": Row("r_J", "mm", "where rib and disc meet in the joint", headline=3),
    "disc.radius": Row("R", "mm", "the disc's radius", keys=("radius",), headline=2),
    "disc.notch_depth": Row("d_n", "mm", "the depth of the rib's notch", headline=5),
    "disc.slot_depth": Row(
        "d_s", "mm", "the depth of the disc's slot", keys=("slot_depth",), headline=4
    ),
    "disc.slot_web": Row("v", "mm", "the web between neighbouring slots at their bottom"),
    "disc.ligament": Row("l", "mm", "the rib's material behind the notch"),
    "disc.bore_wall": Row("B", "mm", "the ring kept inside the joint by an automatic bore"),
    "disc.bore_radius": Row(
        "r_b", "mm", "the radius of the hole in the disc", keys=("bore",), headline=6
    ),
    "disc.tongue_width": Row("y", "mm", "the width of the rib's tongue through the disc"),
    "flange.height": Row("z_F", "mm", "the flange's mid-height", keys=("at",), domain=HEIGHT),
    "flange.body_inner_radius": Row("F_i", "mm", "the ring's real inner radius"),
    "flange.body_outer_radius": Row("F_o", "mm", "the ring's real outer radius"),
    "flange.inner_radius": Row("f_i", "mm", "the ring's inner radius on the model"),
    "flange.outer_radius": Row("f_o", "mm", "the flange's outer radius"),
    "flange.skin_radius": Row("f_r", "mm", "the skin where the flange sits"),
    "flange.seat_depth": Row(
        "f_d", "mm", "how deep the flange sits in the ribs", keys=("seat_depth",)
    ),
    "flange.seat_radius": Row("f_s", "mm", "the flange's inner rim, in the ribs' notches"),
    "flange.slot_radius": Row("f_p", "mm", "how far the flange's slots reach outward"),
}
"""Every quantity of a frame by its name; `disc.` and `flange.` stand for `disc-N.` and so on."""
