"""Check margins of tenons and flanges, with the real sheet and kerf."""

from __future__ import annotations

import sympy

from framekit.constraints.symbolic.equation import Equation, cosine, quantity, sine
from framekit.solution.laws.as_made import (
    g_made,
    least_ligament,
    least_wall,
    least_web,
    over,
    slot,
    t_made,
    z_next,
)
from framekit.solution.laws.design import OURS, R, delta, g, g_e, lig, r_b, r_i, r_J, t
from framekit.solution.laws.shapes import f_d, f_o, f_p, f_s, y

z_F = quantity("flange.height")
mortise = y + sympy.Max(0, g) + (g_made - g)
"""The mortise's length: a negative clearance grips the tongue's faces, not its edges."""


def _made(name: str, right: object, words: str) -> Equation:
    return Equation(name, quantity(name), right, words, OURS, both_ways=False)


SHAPE_MARGINS = (
    _made("tongue", y - 2 * over - 2 * t, "the tongue's width above two thicknesses"),
    _made(
        "shoulder-outer",
        lig - 2 * over - t,
        "the rib's shoulder outside the tongue above one thickness",
    ),
    _made(
        "shoulder-inner",
        r_J - y / 2 - r_i - 2 * over - t,
        "the rib's shoulder inside the tongue above one thickness",
    ),
    _made(
        "mortise-rim",
        (R - over) - (r_J + mortise / 2 + over) - least_web,
        "the disc's rim outside the mortise above the least",
    ),
    _made(
        "mortise-web",
        2 * ((r_J - mortise / 2 - over) * sine(delta / 2) - slot / 2 * cosine(delta / 2))
        - least_web,
        "the disc's material between mortises, at their inner end, above the least",
    ),
    _made(
        "mortise-wall",
        r_J - mortise / 2 - over - (r_b + over) - least_wall,
        "the disc's ring between bore and mortises above the least",
    ),
    _made(
        "flange-ring",
        f_o - f_p - 2 * over - least_web,
        "the flange's ring outside its slots above the least",
    ),
    _made(
        "flange-teeth",
        2 * ((f_s - over) * sine(delta / 2) - slot / 2 * cosine(delta / 2)) - t_made - least_web,
        "the flange's teeth, wider than a rib by the least web",
    ),
    _made("flange-engagement", f_d - t, "the flange's seat in the rib above one thickness"),
    _made(
        "flange-way",
        sympy.Max((f_s - over) - (R - over) - g, z_F - z_next),
        "the flange's inner rim clear of a disc it is dropped past, or the disc below it",
    ),
    _made(
        "flange-spacing",
        sympy.Abs(z_F - z_next) - slot - t,
        "the rib's tooth between a flange's notch and a disc's",
    ),
    _made(
        "flange-over-disc",
        sympy.Max(
            f_s - g_e - r_J - g_e - 2 * over - least_ligament, sympy.Abs(z_F - z_next) - slot - t
        ),
        "the rib's material between a flange's notch and a disc's, or their distance in height",
    ),
)
