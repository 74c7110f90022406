"""What a law that chooses chooses from, in words: the pole gap or the inner ellipse.

A pupil works out the branch that holds; `shown` is how it reads there, when it is simpler than
the expression that must also stand where the branch does not hold.
"""

from __future__ import annotations

import sympy

from framekit.constraints.symbolic.equation import Bend
from framekit.solution.laws.design import B, d_n, g_e, r_J, t

BENDS: dict[str, tuple[Bend, ...]] = {
    "disc-side": (
        Bend("north of the equator or on it", sympy.Integer(1)),
        Bend("south of the equator", sympy.Integer(-1)),
    ),
    "disc-half": (
        Bend("in the upper half or at the middle", sympy.Integer(1)),
        Bend("in the lower half", sympy.Integer(-1)),
    ),
    "disc-bore-wall": (
        Bend("three thicknesses", 3 * t),
        Bend("the notch's depth and one and a half thicknesses", d_n + sympy.Rational(3, 2) * t),
    ),
    "disc-bore-auto": (
        Bend("what the wall leaves", r_J - g_e - B),
        Bend("no bore", sympy.Integer(0)),
    ),
}
"""The branches by the law's name, for the direction it is written in."""
