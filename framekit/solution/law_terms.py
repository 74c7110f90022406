"""What laws and explanations name beside the quantities of a frame, one row each."""

from __future__ import annotations

from framekit.solution.quantities import Row

LAW_TERMS: dict[str, Row] = {
    "original.height": Row("z_o", "mm", "the height of the disc that is mirrored"),
    "next.height": Row("z_n", "mm", "the mid-height of the next disc above"),
    "rib.width_least": Row("w_min", "mm", "the rib's least width"),
    "disc.held_depth": Row("h", "mm", "how far the slots run past the joint"),
    "made.thickness": Row("t′", "mm", "the sheet's thickness as it is"),
    "made.disc_thickness": Row("t_d′", "mm", "the discs' sheet's thickness as it is"),
    "made.kerf": Row("k′", "mm", "the kerf as it is"),
    "made.disc_kerf": Row("k_d′", "mm", "the kerf in the discs' sheet as it is"),
    "made.notch_clearance": Row("g_n′", "mm", "the notches' clearance as it turns out"),
    "made.clearance": Row("g′", "mm", "the clearance as it turns out"),
    "limit.least_gap": Row("j_min", "mm", "the tightest play that goes together"),
    "limit.most_gap": Row("j_max", "mm", "the loosest play that holds"),
    "limit.least_ligament": Row("l_min", "mm", "the least ligament of the material"),
    "limit.least_web": Row("v_min", "mm", "the least web of the material"),
    "limit.least_wall": Row("B_min", "mm", "the least wall round a bore"),
    "limit.skin_allowance": Row("p_max", "mm", "how far a rim may stand proud"),
    "limit.lead_in": Row("c_m", "mm", "how far mouths are chamfered"),
    "limit.lead_turn": Row(
        "u_m", "1", "the share of an edge's cut that a chamfer gives way less than the edge"
    ),
    "limit.spacing": Row("s_p", "mm", "the least gap between parts on the sheet"),
    "limit.margin": Row("m_p", "mm", "what the sheet keeps free at its edges"),
    "limit.layers": Row("n_l", "1", "how many sheets are glued into each plate of the stand"),
}
"""What laws name beside the frame's quantities: limits, real sizes, other discs."""

EXPLAINED: dict[str, Row] = {
    "disc.waist_radius": Row("r_w", "mm", "the skin's waist within the disc's thickness"),
    "disc.made_skin_radius": Row("r_f′", "mm", "the skin at the disc's rim, the sheet as is"),
    "disc.skin_slope": Row("s_r", "1", "the skin's slope dr/dz at the disc's face"),
    "disc.inner_share": Row("u_i", "1", "the share of the way from the middle to the end"),
    "disc.inner_width": Row("w_i", "mm", "the rib's width at the disc's mid-height"),
    "disc.inner_foot": Row("z_g", "mm", "where the width at the disc is measured from"),
    "disc.edge_foot": Row("z_m", "mm", "where the width at that height is measured from"),
    "disc.alternate_edge_foot": Row("z_m′", "mm", "where every other rib's is measured from"),
    "flange.edge_foot": Row("f_m", "mm", "where the width there is measured from"),
    "rib.least_foot": Row("z_q", "mm", "where the width there is measured from"),
    "disc.edge_height": Row("z_i", "mm", "where the inner edge is farthest out by the disc"),
    "disc.edge_radius": Row("r_e", "mm", "the inner edge where it is farthest out there"),
    "disc.edge_share": Row("u_e", "1", "the share of the way from the middle to the end"),
    "disc.edge_width": Row("w_z", "mm", "the rib's width at that height"),
    "disc.alternate_edge_height": Row(
        "z_i′", "mm", "where every other rib's inner edge is farthest out by the disc"
    ),
    "disc.alternate_edge_radius": Row("r_e′", "mm", "every other rib's inner edge there"),
    "disc.alternate_edge_share": Row("u_e′", "1", "the share of the way to the end there"),
    "disc.alternate_edge_width": Row("w_z′", "mm", "every other rib's width there"),
    "flange.waist_radius": Row("f_w", "mm", "the skin's waist within the flange's thickness"),
    "flange.edge_height": Row("f_z", "mm", "where the inner edge is farthest out by it"),
    "flange.edge_radius": Row("f_e", "mm", "the inner edge where it is farthest out there"),
    "flange.edge_share": Row("f_u", "1", "the share of the way from the middle to the end"),
    "flange.edge_width": Row("f_t", "mm", "the rib's width at that height"),
    "rib.least_height": Row("z_x", "mm", "where the inner edge is nearest to the axis"),
    "rib.least_edge": Row("x_i", "mm", "the inner edge where it is nearest to the axis"),
    "rib.least_share": Row("u_x", "1", "the share of the way from the middle to the end"),
    "rib.least_width": Row("w_x", "mm", "the rib's width at that height"),
    "rib.low_end_radius": Row("e_a", "mm", "the skin at the rib's lower end"),
    "rib.high_end_radius": Row("e_b", "mm", "the skin at the rib's upper end"),
}
"""What only explanations name: lines of their own in a derivation."""
