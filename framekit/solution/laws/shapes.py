"""Laws of bodies other than the whole spheroid, of hubs, tenons, flanges and a second sheet.

What hangs on the skin's own shape is in `framekit.solution.skins`; here is what does not.
"""

from __future__ import annotations

import sympy

from framekit.constraints.symbolic.equation import Equation, quantity
from framekit.solution.laws.design import (
    DEFINITION,
    OURS,
    S,
    g,
    h_r,
    k,
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
x_r = quantity("rib.reach")
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
    Equation("scale-low-end", low, L_b / S, SCALED, DEFINITION),
    Equation("scale-high-end", high, U_b / S, SCALED, DEFINITION),
    Equation("scale-height", H, H_b / S, SCALED, DEFINITION),
    Equation("model-span", H, high - low, "from the lower end to the upper", DEFINITION),
    Equation("rib-span", h_r, u_r - l_r, "from the rib's lower end to its upper", DEFINITION),
    Equation("rib-low-cut", l_r, low, "the body is open there, and the rib ends with it", OURS),
    Equation("rib-high-cut", u_r, high, "the body is open there, and the rib ends with it", OURS),
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
)
