"""The laws of a frame as made: dimensions and check margins with the real sheet and kerf.

A file is drawn for the sheet and kerf of the spec; what is cut has the real ones. Names with
`made.` are the real values, all others the drawn design. Every edge moves by half the difference
of the kerfs.
"""

from __future__ import annotations

from typing import Any

import sympy

from framekit.constraints.symbolic.equation import Equation, cosine, quantity, sine
from framekit.solution.laws.design import (
    OURS,
    R,
    a,
    a_i,
    c,
    c_i,
    d_s,
    delta,
    e,
    g,
    g_e,
    h_r,
    k,
    r_b,
    r_f,
    r_J,
    t,
    w,
    z,
    z_f,
)

t_made = quantity("made.thickness")
k_made = quantity("made.kerf")
g_made = quantity("made.clearance")
over = (k_made - k) / 2
"""How far each edge is cut beyond the design."""
slot = w + (k_made - k) + (g_made - g)
"""The slot as made."""
stretch = sympy.sqrt(1 + (a**2 * z_f / (c**2 * r_f)) ** 2)
"""Horizontal over normal distance at the skin of the far face."""

least_gap = quantity("limit.least_gap")
most_gap = quantity("limit.most_gap")
least_ligament = quantity("limit.least_ligament")
least_web = quantity("limit.least_web")
least_wall = quantity("limit.least_wall")
skin_allowance = quantity("limit.skin_allowance")
z_next = quantity("next.height")
w_least = quantity("rib.width_least")
h_d = quantity("disc.held_depth")


def skin_at(height: Any) -> Any:
    """The skin's radius at a height, 0 beyond the pole."""
    return a / c * sympy.sqrt(sympy.Max(0, (c - height) * (c + height)))


def inner_at(height: Any) -> Any:
    """The rib's inner edge at a height."""
    return sympy.Max(e, a_i / c_i * sympy.sqrt(sympy.Max(0, (c_i - height) * (c_i + height))))


def _made(name: str, right: Any, words: str) -> Equation:
    return Equation(name, quantity(name), right, words, OURS, both_ways=False)


DIMENSIONS = (
    _made("sheet.thickness", t_made, "the sheet as it is"),
    _made("cutter.kerf", k_made, "the kerf as it is"),
    _made("joint.clearance", g_made, "the clearance as it turns out"),
    _made("joint.slot_width", slot, "the drawn slot and the real kerf"),
    _made("joint.gap", slot - t_made, "the slot as made less the sheet as it is"),
    _made("disc.radius", R - over, "the rim is cut beyond the design"),
    _made("disc.bore_radius", r_b + over, "the bore is cut beyond the design"),
    _made("disc.joint_radius", r_J - over, "the disc's seat is cut beyond the design"),
    _made(
        "disc.slot_web",
        2 * (r_J * sine(delta / 2) - slot / 2 * cosine(delta / 2)) - 2 * over * sine(delta / 2),
        "slots are wider and deeper by the extra cut",
    ),
    _made("rib.pole_gap", e + over, "the rib's end is cut beyond the design"),
    _made("rib.height", h_r - 2 * over, "the rib's ends are cut beyond the design"),
    _made("rib.proud", sympy.sqrt(a**2 + t_made**2 / 4) - a, "with the real sheet"),
)

MARGINS = (
    _made("slot-gap", slot - t_made - least_gap, "the joint's play above the tightest that goes"),
    _made("slot-slack", most_gap - (slot - t_made), "the joint's play below the loosest"),
    _made(
        "web",
        2 * ((r_J - g_e - over) * sine(delta / 2) - slot / 2 * cosine(delta / 2)) - least_web,
        "the disc's material between slots, at their bottom, above the least",
    ),
    _made(
        "pole-clearance",
        2 * ((e + over) * sine(delta / 2) - t_made / 2 * cosine(delta / 2)),
        "the distance between neighbouring ribs where they come nearest",
    ),
    _made("engagement-disc", d_s - t, "the slot's depth above one thickness"),
    _made(
        "bore-wall",
        r_J - h_d - over - (r_b + over) - least_wall,
        "the disc's ring between bore and slots above the least",
    ),
    _made("feature-slot", slot - k_made, "the slot's width above the kerf"),
    _made(
        "feature-bore",
        sympy.Piecewise(
            (2 * (r_b + over) - k_made, sympy.Ge(r_b, sympy.Rational(1, 10**6))),
            (r_J, True),
            evaluate=False,
        ),
        "the bore's width above the kerf, where there is a bore",
    ),
    _made("feature-rib", w_least - 2 * over - k_made, "the rib's least width above the kerf"),
    _made(
        "cut-spacing",
        quantity("limit.spacing") - k_made,
        "the gap between neighbours less the cut between them",
    ),
    _made(
        "cut-margin",
        quantity("limit.margin") - k_made / 2,
        "the sheet's edge beyond the cut round a part",
    ),
    _made(
        "slot-seat",
        g_e - k_made / 2,
        "the slot's run past its seat beyond what a round tool leaves in its corners",
    ),
    _made("disc-spacing", z_next - z - slot - t, "the rib's tooth between two notches"),
)

AS_MADE_LAWS = (*DIMENSIONS, *MARGINS)
