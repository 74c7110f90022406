"""The laws of a frame as designed: from the body to every part's dimension."""

from __future__ import annotations

import sympy

from framekit.constraints.symbolic.equation import Equation, cosine, quantity, sine

A = quantity("body.equatorial_radius")
D_A = quantity("body.equatorial_diameter")
C = quantity("body.polar_radius")
D_C = quantity("body.polar_diameter")
R_m = quantity("body.mean_radius")
D_m = quantity("body.mean_diameter")
f = quantity("body.flattening")
S = quantity("scale.denominator")
a = quantity("model.equatorial_radius")
D = quantity("model.equatorial_diameter")
c = quantity("model.polar_radius")
H = quantity("model.height")
delta = quantity("rib.angle")
w_e = quantity("rib.width_equator")
w_p = quantity("rib.width_pole")
e_0 = quantity("rib.pole_allowance")
a_i = quantity("rib.inner_equatorial_radius")
c_i = quantity("rib.inner_polar_radius")
e = quantity("rib.pole_gap")
h_r = quantity("rib.height")
p = quantity("rib.proud")
q = quantity("joint.engagement")
g = quantity("joint.clearance")
g_e = quantity("joint.end_clearance")
w = quantity("joint.slot_width")
w_d = quantity("joint.slot_width_drawn")
j = quantity("joint.gap")
t = quantity("sheet.thickness")
k = quantity("cutter.kerf")
u = quantity("disc.fraction")
phi = quantity("disc.latitude")
z = quantity("disc.height")
z_o = quantity("original.height")
s = quantity("disc.side")
z_f = quantity("disc.far_height")
b = quantity("disc.setback")
r_f = quantity("disc.skin_radius")
r = quantity("disc.mid_skin_radius")
r_i = quantity("disc.rib_inner_radius")
r_J = quantity("disc.joint_radius")
R = quantity("disc.radius")
d_n = quantity("disc.notch_depth")
d_s = quantity("disc.slot_depth")
v = quantity("disc.slot_web")
lig = quantity("disc.ligament")
B = quantity("disc.bore_wall")
r_b = quantity("disc.bore_radius")

ELLIPSE = "equation of the ellipse (any geometry text)"
SNYDER = "Snyder, Map Projections: A Working Manual, USGS PP 1395 (1987), section 3"
DEFINITION = "definition"
OURS = "docs/explanation/geometry.md"

BODY = (Equation("body-equatorial-diameter", D_A, 2 * A, "a diameter is two radii", DEFINITION),)

SCALE = (
    Equation("scale-equatorial", a, A / S, "real size over the scale's denominator", DEFINITION),
    Equation("model-equatorial-diameter", D, 2 * a, "a diameter is two radii", DEFINITION),
)

RIB = (
    Equation(
        "rib-pole-gap",
        e,
        t / 2 * cosine(delta / 2) / sine(delta / 2) + e_0,
        "two plates of thickness t at angle δ touch on the bisector unless each stops here; "
        "then the allowance",
        OURS,
    ),
    Equation(
        "rib-proud",
        p,
        sympy.sqrt(a**2 + t**2 / 4) - a,
        "a flat plate's faces lie outside the round skin its middle follows",
        "theorem of Pythagoras",
        both_ways=False,
    ),
)

JOINT = (
    Equation("slot-width", w, t + g, "the sheet's thickness and the clearance", OURS),
    Equation(
        "slot-width-drawn-file",
        w_d,
        w - k,
        "the cut takes half a kerf from each side, so the file draws the slot narrower",
        OURS,
    ),
    Equation(
        "slot-width-drawn-machine",
        w_d,
        w,
        "the machine moves the cut itself, so the file draws the finished slot",
        OURS,
    ),
    Equation("joint-gap", j, w - t, "what the slot leaves beside the sheet", OURS),
)

DISC = (
    Equation("disc-fraction", z, u * c, "a fraction of the polar radius", DEFINITION),
    Equation("disc-mirror", z, -z_o, "the mirror image of the disc before", DEFINITION),
    Equation(
        "disc-side",
        s,
        sympy.Piecewise((1, sympy.Ge(z, 0)), (-1, True), evaluate=False),
        "north of the equator or on it, or south",
        DEFINITION,
        both_ways=False,
    ),
    Equation(
        "disc-joint",
        r_J,
        r_i + q * (r - r_i),
        "the joint lies at the engagement's share of the rib's width",
        OURS,
    ),
    Equation("disc-notch-depth", d_n, r_J - r_i, "from the rib's inner edge to the joint", OURS),
    Equation(
        "disc-ligament",
        lig,
        r_f - r_J - g_e,
        "what is left of the rib between the notch's end and the skin",
        OURS,
    ),
    Equation(
        "disc-bore-wall",
        B,
        sympy.Max(3 * t, d_n + sympy.Rational(3, 2) * t),
        "three thicknesses, or the notch's depth and one and a half thicknesses",
        "common practice, no source",
        both_ways=False,
    ),
    Equation(
        "disc-bore-auto",
        r_b,
        sympy.Piecewise((r_J - g_e - B, sympy.Ge(r_J - g_e - B, 3 * t)), (0, True), evaluate=False),
        "what the wall leaves, or no bore when that is under three thicknesses",
        OURS,
        both_ways=False,
    ),
    Equation("disc-bore-none", r_b, sympy.Integer(0), "the disc has no bore", DEFINITION),
)

DESIGN_LAWS = (*BODY, *SCALE, *RIB, *JOINT, *DISC)
