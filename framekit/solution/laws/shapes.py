"""Laws of bodies other than the whole spheroid, of hubs, tenons, flanges and a second sheet.

What hangs on the skin's own shape is in `framekit.solution.skins`; here is what does not.
"""

from __future__ import annotations

import sympy

from framekit.constraints.symbolic.equation import Equation, quantity
from framekit.solution.laws.design import (
    DEFINITION,
    ELLIPSE,
    OURS,
    A,
    B,
    C,
    R,
    S,
    a,
    a_i,
    c,
    c_i,
    e,
    g,
    g_e,
    h_r,
    k,
    r_b,
    r_f,
    r_i,
    r_J,
    s,
    t,
    u,
    w,
    z,
    z_o,
)

B_0 = quantity("body.base_radius")
B_1 = quantity("body.top_radius")
H_b = quantity("body.height")
L_b = quantity("body.low_end")
U_b = quantity("body.high_end")
b_0 = quantity("model.base_radius")
b_1 = quantity("model.top_radius")
H = quantity("model.height")
low = quantity("model.low_end")
high = quantity("model.high_end")
l_r = quantity("rib.low_end")
u_r = quantity("rib.high_end")
l_b = quantity("rib.low_bend")
u_b = quantity("rib.high_bend")
y = quantity("disc.tongue_width")
t_d = quantity("disc_sheet.thickness")
w_n = quantity("joint.notch_width")
w_nd = quantity("joint.notch_width_drawn")
F_i = quantity("flange.body_inner_radius")
F_o = quantity("flange.body_outer_radius")
f_i = quantity("flange.inner_radius")
f_o = quantity("flange.outer_radius")
f_s = quantity("flange.seat_radius")
f_d = quantity("flange.seat_depth")
f_k = quantity("flange.skin_radius")
f_p = quantity("flange.slot_radius")

SCALED = "real size over the scale's denominator"
PRACTICE = "common practice, no source"

SHAPES = (
    Equation("body-height", H_b, U_b - L_b, "from the lower end to the upper", DEFINITION),
    Equation(
        "body-stands-on-zero", L_b, sympy.Integer(0), "heights count from the base", DEFINITION
    ),
    Equation("body-low-pole", L_b, -C, "the lower end is the south pole", DEFINITION),
    Equation("body-high-pole", U_b, C, "the upper end is the north pole", DEFINITION),
    Equation("cylinder-base", B_0, A, "a cylinder is as wide at its base as anywhere", DEFINITION),
    Equation("cylinder-top", B_1, A, "a cylinder is as wide at its top as anywhere", DEFINITION),
    Equation(
        "cone-equator",
        A,
        sympy.Max(B_0, B_1),
        "a cone's greatest radius is at one of its ends",
        DEFINITION,
        both_ways=False,
    ),
    Equation("scale-low-end", low, L_b / S, SCALED, DEFINITION),
    Equation("scale-high-end", high, U_b / S, SCALED, DEFINITION),
    Equation("scale-height", H, H_b / S, SCALED, DEFINITION),
    Equation("scale-base", b_0, B_0 / S, SCALED, DEFINITION),
    Equation("scale-top", b_1, B_1 / S, SCALED, DEFINITION),
    Equation("model-span", H, high - low, "from the lower end to the upper", DEFINITION),
    Equation("rib-span", h_r, u_r - l_r, "from the rib's lower end to its upper", DEFINITION),
    Equation("rib-low-cut", l_r, low, "the body is open there, and the rib ends with it", OURS),
    Equation("rib-high-cut", u_r, high, "the body is open there, and the rib ends with it", OURS),
    Equation(
        "rib-high-pole",
        u_r,
        c * sympy.sqrt((a - e) * (a + e)) / a,
        "the skin's height where the rib stops at the pole gap",
        ELLIPSE,
        both_ways=False,
    ),
    Equation(
        "rib-low-pole",
        l_r,
        -c * sympy.sqrt((a - e) * (a + e)) / a,
        "the skin's height where the rib stops at the pole gap",
        ELLIPSE,
        both_ways=False,
    ),
    Equation(
        "rib-low-bend-own",
        l_b,
        -c_i * sympy.sqrt((a_i - e) * (a_i + e)) / a_i,
        "where the inner ellipse comes as near to the axis as the pole gap",
        ELLIPSE,
        both_ways=False,
    ),
    Equation(
        "rib-high-bend",
        u_b,
        c_i * sympy.sqrt((a_i - e) * (a_i + e)) / a_i,
        "where the inner ellipse comes as near to the axis as the pole gap",
        ELLIPSE,
        both_ways=False,
    ),
    Equation("rib-low-bend", l_b, -u_b, "the mirror image of the upper one", DEFINITION),
    Equation(
        "disc-share",
        z,
        (low + high) / 2 + u * (high - low) / 2,
        "a share of the way from the middle to an end",
        DEFINITION,
    ),
    Equation(
        "disc-mirror-span", z, low + high - z_o, "the mirror image about the middle", DEFINITION
    ),
    Equation(
        "disc-half",
        s,
        sympy.Piecewise((1, sympy.Ge(2 * z - low - high, 0)), (-1, True), evaluate=False),
        "in the upper half or at the middle, or in the lower",
        DEFINITION,
        both_ways=False,
    ),
    Equation("disc-low-flush", z, low + t / 2, "its lower face is flush with the end", OURS),
    Equation("disc-high-flush", z, high - t / 2, "its upper face is flush with the end", OURS),
    Equation(
        "disc-hub-high",
        z,
        u_b + w / 2 + t,
        "above the rib's bend, with one thickness of rib between",
        OURS,
        both_ways=False,
    ),
    Equation(
        "disc-hub-low",
        z,
        l_b - w / 2 - t,
        "below the rib's bend, with one thickness of rib between",
        OURS,
        both_ways=False,
    ),
    Equation(
        "disc-tongue", y, (r_f - r_i) / 3, "a tenon takes a third of the rib's width", PRACTICE
    ),
    Equation(
        "disc-radius-tenon",
        R,
        r_f - quantity("disc.setback"),
        "the rim stays under the skin, less the setback",
        OURS,
    ),
    Equation(
        "disc-ligament-tenon",
        quantity("disc.ligament"),
        r_f - r_J - y / 2,
        "the rib's shoulder between the tongue and the skin",
        OURS,
    ),
    Equation("disc-bore-wall-tenon", B, 3 * t, "three thicknesses", PRACTICE),
    Equation(
        "disc-bore-auto-tenon",
        r_b,
        sympy.Piecewise(
            (
                r_J - (y + sympy.Max(0, g)) / 2 - B,
                sympy.Ge(r_J - (y + sympy.Max(0, g)) / 2 - B, 3 * t),
            ),
            (0, True),
            evaluate=False,
        ),
        "what the wall leaves inside the mortises, or no bore when that is under three thicknesses",
        OURS,
        both_ways=False,
    ),
    Equation("notch-width", w_n, t_d + g, "the discs' thickness and the clearance", OURS),
    Equation(
        "notch-width-drawn-file",
        w_nd,
        w_n - k,
        "the cut takes half a kerf from each side, so the file draws the notch narrower",
        OURS,
    ),
    Equation(
        "notch-width-drawn-machine",
        w_nd,
        w_n,
        "the machine moves the cut itself, so the file draws the finished notch",
        OURS,
    ),
    Equation("flange-scale-inner", f_i, F_i / S, SCALED, DEFINITION),
    Equation("flange-scale-outer", f_o, F_o / S, SCALED, DEFINITION),
    Equation(
        "flange-seat", f_s, f_k - f_d, "the flange's rim lies in the ribs' outer notches", OURS
    ),
    Equation(
        "flange-slot",
        f_p,
        a + g_e,
        "the slots let the widest part of the ribs pass while the flange is dropped over",
        OURS,
    ),
)
