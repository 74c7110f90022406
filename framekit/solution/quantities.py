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
    HIGH_CUT,
    HIGH_END,
    INNER_EQUATOR,
    INNER_POLE,
    LOW_CUT,
    LOW_END,
    POLE_GAP,
    POSITIVE,
    WIDTH,
    Domain,
)
from framekit.solution.search_spans import (
    DISC_HEIGHT,
    RADIUS,
    RIB_END,
    RankedSearch,
    fixed,
)
from framekit.spec.defaults import (
    END_CLEARANCE,
    END_WIDTH,
    ENGAGEMENT,
    KERF_SPREAD,
    MIDDLE_WIDTH,
    POLE_ALLOWANCE,
    SCALE,
    SETBACK,
)
from framekit.spec.model import FrameSpec


class Default(NamedTuple):
    """A value that fills a hole, where it comes from, and its ± tolerance, in the row's unit."""

    value: float
    note: str
    tolerance: float = 0.0


FromMaterial = Callable[[FrameSpec, MaterialRow, MaterialRow], Default]
"""A default that depends on the frame's cutter or materials, the ribs' and the discs'."""

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
    where it has none in between. `search` says how it is searched for. `headline` is its place
    among those that everyone wants to see, 0 for the rest. `place` names the laws by which it
    gives a disc's height, on bodies with two poles and on others; `{kind}` is that of a latitude.
    """

    symbol: str
    unit: str
    words: str
    keys: tuple[str, ...] = ()
    default: Default | FromMaterial | None = None
    domain: Domain | None = None
    takes: tuple[float, float] | None = ABOVE_ZERO
    search: RankedSearch | None = None
    headline: int = 0
    place: tuple[str, str] | None = None


def fit_in(material: MaterialRow, fit: str = "snug") -> Default:
    """Return the clearance in mm of a fit in a material; raise UnknownNameError for no fit."""
    row = material.clearance(fit)
    return Default(row.value, f"a {fit} fit in {material.name}; {row.source}")


def kerf_in(frame: FrameSpec, material: MaterialRow) -> Default:
    """Return the usual kerf in mm of the frame's process in a material, with its tolerance."""
    if frame.cutter.process == "knife":
        return Default(0.0, "a knife takes no material away")
    kerf = material.kerf
    note = f"usual for {material.name}; {kerf.source}"
    if kerf.tolerance is not None:
        return Default(kerf.value, note, kerf.tolerance)
    return Default(kerf.value, f"{note}; {ASSUMED}", spread_of(kerf.value))


ASSUMED = f"± {KERF_SPREAD:g} mm assumed, since no tolerance is given"


def spread_of(kerf: float) -> float:
    """Return the ± in mm that a kerf has where nobody states one: at most all of it."""
    return min(KERF_SPREAD, kerf)


def end_clearance(frame: FrameSpec, ribs: MaterialRow, discs: MaterialRow) -> Default:
    """Return how far a slot runs past its seat in mm."""
    tool = frame.cutter.tool_diameter or frame.cutter.kerf
    if frame.cutter.process == "router" and tool is not None and frame.joint.relief != "all":
        note = f"the tool's radius, which rounds a slot's corners, and {END_CLEARANCE:g} mm"
        return Default(tool.value / 2 + END_CLEARANCE, note)
    return Default(END_CLEARANCE, PRACTICE)


def row(
    symbol: str,
    unit: str,
    words: str,
    domain: Domain | None = None,
    *keys: str,
    default: Default | FromMaterial | None = None,
    takes: tuple[float, float] | None = ABOVE_ZERO,
    search: RankedSearch | None = None,
    headline: int = 0,
    place: tuple[str, str] | None = None,
) -> Row:
    """Return a row; see `Row`."""
    return Row(symbol, unit, words, keys, default, domain, takes, search, headline, place)


# fmt: off
QUANTITIES: dict[str, Row] = {
    "body.equatorial_radius": row("A", "mm", "the body's equatorial radius", POSITIVE,
        "body.equatorial_radius", "body.radius", search=RankedSearch(14, RADIUS)),
    "body.equatorial_diameter": row("D_A", "mm", "the body's equatorial diameter", None,
        "body.equatorial_diameter", "body.diameter"),
    "body.polar_radius": row("C", "mm", "the body's polar radius", POSITIVE, "body.polar_radius"),
    "body.polar_diameter": row("D_C", "mm", "the body's polar diameter", None,
        "body.polar_diameter"),
    "body.mean_radius": row("R_m", "mm", "the body's mean radius", None, "body.mean_radius"),
    "body.mean_diameter": row("D_m", "mm", "the body's mean diameter", None, "body.mean_diameter"),
    "body.flattening": row("f", "1", "the body's flattening", None, "body.flattening",
        takes=(-9.0, 1 - 1e-6), search=fixed(6, -9.0, 1.0)),
    "body.base_radius": row("B_L", "mm", "the body's radius at its base", POSITIVE, "body.radius"),
    "body.top_radius": row("B_U", "mm", "the body's radius at its top", None, "body.top_radius"),
    "body.height": row("H_b", "mm", "the body's height, end to end", POSITIVE, "body.height"),
    "body.low_end": row("L_b", "mm", "the height of the body's lower end", LOW_CUT),
    "body.high_end": row("U_b", "mm", "the height of the body's upper end", HIGH_CUT),
    "scale.denominator": row("S", "1", "the scale's denominator", POSITIVE, "scale",
        default=Default(SCALE, "full size"), headline=1, search=fixed(13, 1e-6, 1e18, "log")),
    "model.equatorial_radius": row("a", "mm", "the model's equatorial radius", POSITIVE,
        "model.equatorial_radius", search=RankedSearch(15, RADIUS)),
    "model.equatorial_diameter": row("D", "mm", "the model's equatorial diameter", None,
        "model.equatorial_diameter", headline=2),
    "model.polar_radius": row("c", "mm", "the model's polar radius", POSITIVE,
        "model.polar_radius"),
    "model.height": row("H", "mm", "the model's height, end to end", POSITIVE, "model.height",
        headline=3),
    "model.base_radius": row("b_L", "mm", "the model's radius at its base"),
    "model.top_radius": row("b_U", "mm", "the model's radius at its top"),
    "model.low_end": row("z_L", "mm", "the height of the model's lower end"),
    "model.high_end": row("z_U", "mm", "the height of the model's upper end"),
    "rib.count": row("n", "1", "how many ribs", takes=WHOLE, headline=4),
    "rib.angle": row("δ", "deg", "the least angle between neighbouring ribs", takes=WHOLE),
    "rib.width_equator": row("w_e", "mm", "the rib's width at the equator", WIDTH,
        "ribs.width.equator", default=Default(MIDDLE_WIDTH, PRACTICE), headline=5,
        search=fixed(11, 0.0, 5000.0)),
    "rib.width_pole": row("w_p", "mm", "the rib's width at the poles", WIDTH, "ribs.width.pole",
        default=Default(END_WIDTH, PRACTICE), headline=6, search=fixed(12, 0.0, 5000.0)),
    "rib.width_bottom": row("w_b", "mm", "the rib's width at the lower end", WIDTH,
        "ribs.width.bottom", default=Default(END_WIDTH, PRACTICE)),
    "rib.width_top": row("w_t", "mm", "the rib's width at the upper end", WIDTH, "ribs.width.top",
        default=Default(END_WIDTH, PRACTICE)),
    "rib.pole_allowance": row("e_0", "mm", "extra radius kept free at the poles", None,
        "ribs.pole_allowance", default=Default(POLE_ALLOWANCE, "framekit's choice"),
        takes=FROM_ZERO),
    "rib.inner_equatorial_radius": row("a_i", "mm", "the rib's inner edge at the equator",
        INNER_EQUATOR, "ribs.inner_radius.equator"),
    "rib.inner_polar_radius": row("c_i", "mm", "the rib's inner edge at the poles", INNER_POLE,
        "ribs.inner_radius.pole"),
    "rib.pole_gap": row("e", "mm", "the radius the ribs keep from the axis", POLE_GAP, headline=7),
    "rib.low_end": row("z_a", "mm", "the height of the rib's lower end", LOW_END,
        search=RankedSearch(3, RIB_END)),
    "rib.high_end": row("z_b", "mm", "the height of the rib's upper end", HIGH_END,
        search=RankedSearch(2, RIB_END)),
    "rib.low_bend": row("k_a", "mm", "where the lower part of the inner edge meets the gap",
        search=RankedSearch(5, RIB_END)),
    "rib.high_bend": row("k_b", "mm", "where the upper part of the inner edge meets the gap",
        search=RankedSearch(4, RIB_END)),
    "rib.height": row("h_r", "mm", "the rib's height, end to end"),
    "alternate.width_equator": row("w_e′", "mm", "every other rib's width at the equator", WIDTH),
    "alternate.width_pole": row("w_p′", "mm", "every other rib's width at the poles", WIDTH),
    "alternate.width_bottom": row("w_b′", "mm", "every other rib's width at the lower end", WIDTH),
    "alternate.width_top": row("w_t′", "mm", "every other rib's width at the upper end", WIDTH),
    "alternate.inner_equatorial_radius": row("a_i′", "mm",
        "every other rib's inner edge at the equator", INNER_EQUATOR),
    "alternate.inner_polar_radius": row("c_i′", "mm", "every other rib's inner edge at the poles",
        INNER_POLE),
    "alternate.low_bend": row("k_a′", "mm",
        "where the lower part of every other rib's inner edge meets the gap",
        search=RankedSearch(17, RIB_END)),
    "alternate.high_bend": row("k_b′", "mm",
        "where the upper part of every other rib's inner edge meets the gap",
        search=RankedSearch(16, RIB_END)),
    "alternate.reach": row("x_r′", "mm", "how far every other rib reaches square to the axis"),
    "rib.reach": row("x_r", "mm", "how far the rib reaches square to the axis"),
    "rib.proud": row("p", "mm", "how far the rib's faces stand proud of the skin"),
    "joint.engagement": row("q", "1", "the share of the rib's width its notch takes", None,
        "joint.engagement", default=Default(ENGAGEMENT, PRACTICE), takes=(1e-6, 1 - 1e-6),
        search=fixed(7, 0.0, 1.0)),
    "joint.clearance": row("g", "mm", "slot width less sheet thickness", None, "joint.clearance",
        default=lambda frame, ribs, discs: fit_in(discs), takes=ANY, search=fixed(8, -2.0, 5.0)),
    "joint.end_clearance": row("g_e", "mm", "how far a slot runs past its seat", None,
        "joint.end_clearance", default=end_clearance, takes=FROM_ZERO),
    "joint.slot_width": row("w", "mm", "the finished slot's width", POSITIVE, "joint.slot_width",
        headline=11),
    "joint.slot_width_drawn": row("w_d", "mm", "the slot's width as drawn in the file", None,
        "joint.slot_width_drawn", headline=12),
    "joint.gap": row("j", "mm", "the play of the joint as made", headline=13),
    "joint.notch_clearance": row("g_n", "mm", "notch width less the discs' thickness", None,
        default=lambda frame, ribs, discs: fit_in(ribs), takes=ANY),
    "joint.notch_width": row("w_n", "mm", "the finished notch's width in the ribs", POSITIVE),
    "joint.notch_width_drawn": row("w_nd", "mm", "that notch's width as drawn in the file"),
    "sheet.thickness": row("t", "mm", "the sheet's thickness", POSITIVE, "sheet.thickness",
        headline=8, search=fixed(9, 0.0, 60.0)),
    "disc_sheet.thickness": row("t_d", "mm", "the thickness of the discs' sheet", POSITIVE,
        "disc_sheet.thickness", headline=9),
    "cutter.kerf": row("k", "mm", "the kerf, the whole width of the cut", None, "cutter.kerf",
        "cutter.tool_diameter", default=lambda frame, ribs, discs: kerf_in(frame, ribs),
        takes=FROM_ZERO, headline=10, search=fixed(10, 0.0, 20.0)),
    "disc_sheet.kerf": row("k_d", "mm", "the kerf in the discs' sheet", None, "disc_sheet.kerf",
        default=lambda frame, ribs, discs: kerf_in(frame, discs), takes=FROM_ZERO),
    "disc.fraction": row("u", "1", "the disc's height as a fraction of the polar radius", None,
        "at.fraction", takes=(-1 + 1e-6, 1 - 1e-6),
        place=("disc-fraction", "disc-share")),
    "disc.latitude": row("φ", "deg", "the disc's latitude", None, "at.latitude",
        takes=(-90 + 1e-6, 90 - 1e-6),
        place=("disc-latitude-{kind}", "disc-latitude-{kind}")),
    "disc.height": row("z", "mm", "the disc's mid-height", HEIGHT, "at.height", takes=ANY,
        headline=1, search=DISC_HEIGHT),
    "disc.side": row("s", "1", "the disc's side: 1 north of the equator or on it, −1 south", None,
        "side", takes=WHOLE),
    "disc.far_height": row("z_f", "mm", "the disc's face farther from the equator"),
    "disc.setback": row("b", "mm", "how far the disc's rim stays behind the skin", None, "setback",
        default=Default(SETBACK, "the rim meets the skin"), takes=FROM_ZERO),
    "disc.skin_radius": row("r_f", "mm", "the skin at the disc's far face"),
    "disc.mid_skin_radius": row("r", "mm", "the skin at the disc's mid-height"),
    "disc.rib_inner_radius": row("r_i", "mm", "the rib's inner edge at the mid-height"),
    "disc.joint_radius": row("r_J", "mm", "where rib and disc meet in the joint", headline=3),
    "disc.radius": row("R", "mm", "the disc's radius", None, "radius", headline=2),
    "disc.notch_depth": row("d_n", "mm", "the depth of the rib's notch", headline=5),
    "disc.slot_depth": row("d_s", "mm", "the depth of the disc's slot", None, "slot_depth",
        headline=4),
    "disc.slot_web": row("v", "mm", "the web between neighbouring slots at their bottom"),
    "disc.ligament": row("l", "mm", "the rib's material behind the notch"),
    "disc.bore_wall": row("B", "mm", "the ring kept inside the joint by an automatic bore"),
    "disc.bore_radius": row("r_b", "mm", "the radius of the hole in the disc", None, "bore",
        headline=6),
    "disc.tongue_width": row("y", "mm", "the width of the rib's tongue through the disc"),
    "flange.height": row("z_F", "mm", "the flange's mid-height", HEIGHT, "at"),
    "flange.body_inner_radius": row("F_i", "mm", "the ring's real inner radius"),
    "flange.body_outer_radius": row("F_o", "mm", "the ring's real outer radius"),
    "flange.inner_radius": row("f_i", "mm", "the ring's inner radius on the model"),
    "flange.outer_radius": row("f_o", "mm", "the flange's outer radius"),
    "flange.skin_radius": row("f_r", "mm", "the skin where the flange sits"),
    "flange.seat_depth": row("f_d", "mm", "how deep the flange sits in the ribs", None,
        "seat_depth"),
    "flange.seat_radius": row("f_s", "mm", "the flange's inner rim, in the ribs' notches"),
    "flange.slot_radius": row("f_p", "mm", "how far the flange's slots reach outward"),
}
# fmt: on
"""Every quantity of a frame by its name; `disc.` and `flange.` stand for `disc-N.` and so on."""
