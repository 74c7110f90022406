"""Every quantity by name: symbol, unit, words. Names with `disc.` stand for `disc-N.`.

A symbol is a letter, perhaps with a subscript after `_`; it is written in plain text and in LaTeX.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple


class Described(NamedTuple):
    """A quantity's short symbol, its unit and what it is."""

    symbol: str
    unit: str
    words: str


QUANTITIES: dict[str, Described] = {
    "body.equatorial_radius": Described("A", "mm", "the body's equatorial radius"),
    "body.equatorial_diameter": Described("D_A", "mm", "the body's equatorial diameter"),
    "body.polar_radius": Described("C", "mm", "the body's polar radius"),
    "body.polar_diameter": Described("D_C", "mm", "the body's polar diameter"),
    "body.mean_radius": Described("R_m", "mm", "the body's mean radius"),
    "body.mean_diameter": Described("D_m", "mm", "the body's mean diameter"),
    "body.flattening": Described("f", "1", "the body's flattening"),
    "body.base_radius": Described("B_L", "mm", "the body's radius at its base"),
    "body.top_radius": Described("B_U", "mm", "the body's radius at its top"),
    "body.height": Described("H_b", "mm", "the body's height, end to end"),
    "body.low_end": Described("L_b", "mm", "the height of the body's lower end"),
    "body.high_end": Described("U_b", "mm", "the height of the body's upper end"),
    "scale.denominator": Described("S", "1", "the scale's denominator"),
    "model.equatorial_radius": Described("a", "mm", "the model's equatorial radius"),
    "model.equatorial_diameter": Described("D", "mm", "the model's equatorial diameter"),
    "model.polar_radius": Described("c", "mm", "the model's polar radius"),
    "model.height": Described("H", "mm", "the model's height, end to end"),
    "model.base_radius": Described("b_L", "mm", "the model's radius at its base"),
    "model.top_radius": Described("b_U", "mm", "the model's radius at its top"),
    "model.low_end": Described("z_L", "mm", "the height of the model's lower end"),
    "model.high_end": Described("z_U", "mm", "the height of the model's upper end"),
    "rib.count": Described("n", "1", "how many ribs"),
    "rib.angle": Described("δ", "deg", "the least angle between neighbouring ribs"),
    "rib.width_equator": Described("w_e", "mm", "the rib's width at the equator"),
    "rib.width_pole": Described("w_p", "mm", "the rib's width at the poles"),
    "rib.width_bottom": Described("w_b", "mm", "the rib's width at the lower end"),
    "rib.width_top": Described("w_t", "mm", "the rib's width at the upper end"),
    "rib.pole_allowance": Described("e_0", "mm", "extra radius kept free at the poles"),
    "rib.inner_equatorial_radius": Described("a_i", "mm", "the rib's inner edge at the equator"),
    "rib.inner_polar_radius": Described("c_i", "mm", "the rib's inner edge at the poles"),
    "rib.pole_gap": Described("e", "mm", "the radius the ribs keep from the axis"),
    "rib.low_end": Described("z_a", "mm", "the height of the rib's lower end"),
    "rib.high_end": Described("z_b", "mm", "the height of the rib's upper end"),
    "rib.low_bend": Described("k_a", "mm", "where the lower part of the inner edge meets the gap"),
    "rib.high_bend": Described("k_b", "mm", "where the upper part of the inner edge meets the gap"),
    "rib.height": Described("h_r", "mm", "the rib's height, end to end"),
    "alternate.width_equator": Described("w_e′", "mm", "every other rib's width at the equator"),
    "alternate.width_pole": Described("w_p′", "mm", "every other rib's width at the poles"),
    "alternate.width_bottom": Described("w_b′", "mm", "every other rib's width at the lower end"),
    "alternate.width_top": Described("w_t′", "mm", "every other rib's width at the upper end"),
    "alternate.inner_equatorial_radius": Described(
        "a_i′", "mm", "every other rib's inner edge at the equator"
    ),
    "alternate.inner_polar_radius": Described(
        "c_i′", "mm", "every other rib's inner edge at the poles"
    ),
    "rib.reach": Described("x_r", "mm", "how far the rib reaches square to the axis"),
    "rib.proud": Described("p", "mm", "how far the rib's faces stand proud of the skin"),
    "joint.engagement": Described("q", "1", "the share of the rib's width its notch takes"),
    "joint.clearance": Described("g", "mm", "slot width less sheet thickness"),
    "joint.end_clearance": Described("g_e", "mm", "how far a slot runs past its seat"),
    "joint.slot_width": Described("w", "mm", "the finished slot's width"),
    "joint.slot_width_drawn": Described("w_d", "mm", "the slot's width as drawn in the file"),
    "joint.gap": Described("j", "mm", "the play of the joint as made"),
    "joint.notch_width": Described("w_n", "mm", "the finished notch's width in the ribs"),
    "joint.notch_width_drawn": Described("w_nd", "mm", "that notch's width as drawn in the file"),
    "sheet.thickness": Described("t", "mm", "the sheet's thickness"),
    "disc_sheet.thickness": Described("t_d", "mm", "the thickness of the discs' sheet"),
    "cutter.kerf": Described("k", "mm", "the kerf, the whole width of the cut"),
    "disc.fraction": Described("u", "1", "the disc's height as a fraction of the polar radius"),
    "disc.latitude": Described("φ", "deg", "the disc's latitude"),
    "disc.height": Described("z", "mm", "the disc's mid-height"),
    "disc.side": Described("s", "1", "the disc's side: 1 north of the equator or on it, −1 south"),
    "disc.far_height": Described("z_f", "mm", "the disc's face farther from the equator"),
    "disc.setback": Described("b", "mm", "how far the disc's rim stays behind the skin"),
    "disc.skin_radius": Described("r_f", "mm", "the skin at the disc's far face"),
    "disc.mid_skin_radius": Described("r", "mm", "the skin at the disc's mid-height"),
    "disc.rib_inner_radius": Described("r_i", "mm", "the rib's inner edge at the mid-height"),
    "disc.joint_radius": Described("r_J", "mm", "where rib and disc meet in the joint"),
    "disc.radius": Described("R", "mm", "the disc's radius"),
    "disc.notch_depth": Described("d_n", "mm", "the depth of the rib's notch"),
    "disc.slot_depth": Described("d_s", "mm", "the depth of the disc's slot"),
    "disc.slot_web": Described("v", "mm", "the web between neighbouring slots at their bottom"),
    "disc.ligament": Described("l", "mm", "the rib's material behind the notch"),
    "disc.bore_wall": Described("B", "mm", "the ring kept inside the joint by an automatic bore"),
    "disc.bore_radius": Described("r_b", "mm", "the radius of the hole in the disc"),
    "disc.tongue_width": Described("y", "mm", "the width of the rib's tongue through the disc"),
    "flange.height": Described("z_F", "mm", "the flange's mid-height"),
    "flange.body_inner_radius": Described("F_i", "mm", "the ring's real inner radius"),
    "flange.body_outer_radius": Described("F_o", "mm", "the ring's real outer radius"),
    "flange.inner_radius": Described("f_i", "mm", "the ring's inner radius on the model"),
    "flange.outer_radius": Described("f_o", "mm", "the flange's outer radius"),
    "flange.skin_radius": Described("f_r", "mm", "the skin where the flange sits"),
    "flange.seat_depth": Described("f_d", "mm", "how deep the flange sits in the ribs"),
    "flange.seat_radius": Described("f_s", "mm", "the flange's inner rim, in the ribs' notches"),
    "flange.slot_radius": Described("f_p", "mm", "how far the flange's slots reach outward"),
}

LAW_TERMS: dict[str, Described] = {
    "original.height": Described("z_o", "mm", "the height of the disc that is mirrored"),
    "next.height": Described("z_n", "mm", "the mid-height of the next disc above"),
    "rib.width_least": Described("w_min", "mm", "the rib's least width"),
    "disc.held_depth": Described("h", "mm", "how far the slots run past the joint"),
    "made.thickness": Described("t′", "mm", "the sheet's thickness as it is"),
    "made.disc_thickness": Described("t_d′", "mm", "the discs' sheet's thickness as it is"),
    "made.kerf": Described("k′", "mm", "the kerf as it is"),
    "made.clearance": Described("g′", "mm", "the clearance as it turns out"),
    "limit.least_gap": Described("j_min", "mm", "the tightest play that goes together"),
    "limit.most_gap": Described("j_max", "mm", "the loosest play that holds"),
    "limit.least_ligament": Described("l_min", "mm", "the least ligament of the material"),
    "limit.least_web": Described("v_min", "mm", "the least web of the material"),
    "limit.least_wall": Described("B_min", "mm", "the least wall round a bore"),
    "limit.skin_allowance": Described("p_max", "mm", "how far a rim may stand proud"),
    "limit.spacing": Described("s_p", "mm", "the least gap between parts on the sheet"),
    "limit.margin": Described("m_p", "mm", "what the sheet keeps free at its edges"),
}
"""What laws name beside the frame's quantities: limits, real sizes, other discs."""

EXPLAINED: dict[str, Described] = {
    "disc.waist_radius": Described("r_w", "mm", "the skin's waist within the disc's thickness"),
    "disc.made_skin_radius": Described("r_f′", "mm", "the skin at the disc's rim, the sheet as is"),
    "disc.skin_slope": Described("s_r", "1", "the skin's slope dr/dz at the disc's face"),
    "disc.inner_share": Described("u_i", "1", "the share of the way from the middle to the end"),
    "disc.inner_width": Described("w_i", "mm", "the rib's width at the disc's mid-height"),
    "disc.inner_foot": Described("z_g", "mm", "where the width at the disc is measured from"),
    "disc.edge_foot": Described("z_m", "mm", "where the width at that height is measured from"),
    "disc.alternate_edge_foot": Described("z_m′", "mm", "where every other rib's is measured from"),
    "flange.edge_foot": Described("f_m", "mm", "where the width there is measured from"),
    "rib.least_foot": Described("z_q", "mm", "where the width there is measured from"),
    "disc.edge_height": Described("z_i", "mm", "where the inner edge is farthest out by the disc"),
    "disc.edge_radius": Described("r_e", "mm", "the inner edge where it is farthest out there"),
    "disc.edge_share": Described("u_e", "1", "the share of the way from the middle to the end"),
    "disc.edge_width": Described("w_z", "mm", "the rib's width at that height"),
    "disc.alternate_edge_height": Described(
        "z_i′", "mm", "where every other rib's inner edge is farthest out by the disc"
    ),
    "disc.alternate_edge_radius": Described("r_e′", "mm", "every other rib's inner edge there"),
    "disc.alternate_edge_share": Described("u_e′", "1", "the share of the way to the end there"),
    "disc.alternate_edge_width": Described("w_z′", "mm", "every other rib's width there"),
    "flange.waist_radius": Described("f_w", "mm", "the skin's waist within the flange's thickness"),
    "flange.edge_height": Described("f_z", "mm", "where the inner edge is farthest out by it"),
    "flange.edge_radius": Described("f_e", "mm", "the inner edge where it is farthest out there"),
    "flange.edge_share": Described("f_u", "1", "the share of the way from the middle to the end"),
    "flange.edge_width": Described("f_t", "mm", "the rib's width at that height"),
    "rib.least_height": Described("z_x", "mm", "where the inner edge is nearest to the axis"),
    "rib.least_edge": Described("x_i", "mm", "the inner edge where it is nearest to the axis"),
    "rib.least_share": Described("u_x", "1", "the share of the way from the middle to the end"),
    "rib.least_width": Described("w_x", "mm", "the rib's width at that height"),
    "rib.low_end_radius": Described("e_a", "mm", "the skin at the rib's lower end"),
    "rib.high_end_radius": Described("e_b", "mm", "the skin at the rib's upper end"),
}
"""What only explanations name: lines of their own in a derivation."""

_GREEK = {"δ": r"\delta", "φ": r"\varphi"}


def described(name: str) -> Described:
    """The description of a quantity, `disc-3.radius` as well as `disc.radius`; raises KeyError."""
    template = template_name(name)
    if template in LAW_TERMS:
        return LAW_TERMS[template]
    found = QUANTITIES.get(template) or EXPLAINED.get(template)
    return _of_plugin(template) if found is None else found


def _of_plugin(template: str) -> Described:
    """A quantity of a plug-in: a size of the body, of the model or of the joint.

    A name that ends in `_ratio` is a plain number, every other a length. Raises KeyError for
    what no plug-in can name.
    """
    head, _, rest = template.partition(".")
    if head not in ("body", "model", "joint") or not rest:
        raise KeyError(template)
    unit = "1" if rest.endswith("_ratio") else "mm"
    letter = rest[0].upper() if head == "body" else rest[0]
    return Described(f"{letter}_{rest}", unit, f"the {head}'s {rest.replace('_', ' ')}")


@lru_cache(maxsize=4096)
def template_name(name: str) -> str:
    """The name with the disc's number taken out.

    >>> template_name("disc-3.radius")
    'disc.radius'
    """
    head, dot, tail = name.partition(".")
    kind, dash, number = head.partition("-")
    return f"{kind}{dot}{tail}" if dash and number.isdigit() else name


def symbol(name: str) -> str:
    """The symbol of a quantity, with the disc's number in brackets when it has one.

    >>> symbol("disc-3.radius")
    'R[3]'
    """
    short = described(name).symbol
    head = name.partition(".")[0]
    number = head.partition("-")[2]
    return f"{short}[{number}]" if number else short


def latex_symbol(name: str) -> str:
    """The symbol of a quantity in LaTeX, with the disc's number as a subscript.

    >>> latex_symbol("rib.pole_allowance")
    'e_{0}'
    >>> latex_symbol("disc-3.skin_radius")
    'r_{f,3}'
    """
    whole = described(name).symbol
    prime = "'" if whole.endswith("′") else ""
    letter, _, below = whole.removesuffix("′").partition("_")
    number = name.partition(".")[0].partition("-")[2]
    if len(below) > 1:
        below = rf"\mathrm{{{below}}}"
    subscript = ",".join(part for part in (below, number) if part)
    text = _GREEK.get(letter, letter) + prime
    return f"{text}_{{{subscript}}}" if subscript else text
