"""Pairs about the margins of a whole frame."""

from __future__ import annotations

import math

from solution.margins.pair import (
    CYLINDER,
    DISC_SHEET,
    GAP_OF_SIX,
    SPHERE,
    Pair,
    cosine,
    on,
    over,
    sine,
)


def _clearance(**changes):
    return lambda x: on(SPHERE, joint={"clearance": f"{x} ± 0.01"}, **changes)


def _pointing(down, x):
    """A cone, or one turned over, of 100 mm radius at one end and `x` at the other."""
    ends = (f"{8 * x} mm", "0.8 m") if down else ("0.8 m", f"{8 * x} mm")
    body = {"shape": "cone", "diameter": ends[0], "top_diameter": ends[1], "height": "0.4 m"}
    return on(CYLINDER, body=body)


def _router(x, **changes):
    cutter = {"process": "router", "tool_diameter": "3 ± 0.04", "kerf": None}
    return on(SPHERE, joint={"end_clearance": x}, cutter=cutter, **changes)


ONE_TOOL = {key: value for key, value in DISC_SHEET.items() if key != "kerf"}
CARD = {"material": "card"}
ACRYLIC = {"material": "cast-acrylic"}

SLOTS = (
    # Wood: the slot must leave 0.00 mm and may leave 0.25 mm.
    Pair(
        *("slot-gap", "slot-gap", "joint", _clearance()),
        lambda x, m: 3.0 + m.g + (m.k - 0.2) - m.t - 0.00,
        *(0.02, -0.02, lambda x: {"g": (x, 0.01)}),
    ),
    Pair(
        *("slot-slack", "slot-slack", "joint", _clearance()),
        lambda x, m: 0.25 - (3.0 + m.g + (m.k - 0.2) - m.t),
        *(0.23, 0.27, lambda x: {"g": (x, 0.01)}),
    ),
    # Acrylic may leave 0.30 mm.
    Pair(
        *("slot-slack", "slot-slack", "joint", _clearance(sheet=ACRYLIC)),
        lambda x, m: 0.30 - (3.0 + m.g + (m.k - 0.2) - m.t),
        *(0.28, 0.32, lambda x: {"g": (x, 0.01)}),
    ),
    # Card gives way: it may be 0.15 mm wider than its slot, and 0.10 mm of play is the most.
    Pair(
        *("slot-gap", "slot-gap", "joint", _clearance(sheet=CARD)),
        lambda x, m: 3.0 + m.g + (m.k - 0.2) - m.t + 0.15,
        *(-0.13, -0.17, lambda x: {"g": (x, 0.01)}),
    ),
    Pair(
        *("slot-slack", "slot-slack", "joint", _clearance(sheet=CARD)),
        lambda x, m: 0.10 - (3.0 + m.g + (m.k - 0.2) - m.t),
        *(0.08, 0.12, lambda x: {"g": (x, 0.01)}),
    ),
    # Acrylic discs in ribs of birch: the joint must suit both, and 0.25 mm is the less.
    Pair(
        *("slot-slack", "slot-slack", "notches"),
        _clearance(disc_sheet={**DISC_SHEET, **ACRYLIC}),
        lambda x, m: 0.25 - (4.0 + m.h + (m.k - 0.2) - m.d),
        *(0.23, 0.27, lambda x: {"g": (x, 0.01), "h": (x, 0.01)}),
    ),
    # Discs of birch in ribs of card: the slot that suits both leaves 0.00 to 0.10 mm.
    Pair(
        *("slot-gap", "slot-gap", "notches", _clearance(sheet=CARD, disc_sheet=DISC_SHEET)),
        lambda x, m: 4.0 + m.h + (m.k - 0.2) - m.d - 0.00,
        *(0.02, -0.02, lambda x: {"g": (x, 0.01), "h": (x, 0.01)}),
    ),
    Pair(
        *("slot-slack", "slot-slack", "notches"),
        _clearance(disc_sheet=DISC_SHEET),
        lambda x, m: 0.25 - (4.0 + m.h + (m.k - 0.2) - m.d),
        *(0.23, 0.27, lambda x: {"g": (x, 0.01), "h": (x, 0.01)}),
    ),
    Pair(
        *("slot-gap", "slot-gap", "notches", _clearance(disc_sheet=DISC_SHEET)),
        lambda x, m: 4.0 + m.h + (m.k - 0.2) - m.d - 0.00,
        *(0.02, -0.02, lambda x: {"g": (x, 0.01), "h": (x, 0.01)}),
    ),
    # A slot in the discs' sheet is cut with that sheet's kerf.
    Pair(
        *("slot-gap", "slot-gap", "joint", _clearance(disc_sheet=DISC_SHEET)),
        lambda x, m: 3.0 + m.g + (m.e - 0.3) - m.t - 0.00,
        *(0.02, -0.02, lambda x: {"g": (x, 0.01)}),
    ),
    Pair(
        *("slot-slack", "slot-slack", "joint", _clearance(disc_sheet=DISC_SHEET)),
        lambda x, m: 0.25 - (3.0 + m.g + (m.e - 0.3) - m.t),
        *(0.23, 0.27, lambda x: {"g": (x, 0.01)}),
    ),
    Pair(
        *("slot-seat", "slot-seat", "joint", _router, lambda x, m: x - m.k / 2),
        *(1.52, 1.48, lambda x: {"k": (3.0, 0.04)}),
    ),
    Pair(
        *("slot-seat", "slot-seat", "notches"),
        lambda x: _router(x, disc_sheet=ONE_TOOL),
        *(lambda x, m: x - m.k / 2, 1.52, 1.48, lambda x: {"k": (3.0, 0.04)}),
    ),
    Pair(
        *("slot-seat", "slot-seat", "joint"),
        lambda x: _router(x, disc_sheet=ONE_TOOL),
        *(lambda x, m: x - m.e / 2, 1.52, 1.48, lambda x: {"e": (3.0, 0.04)}),
    ),
)


def _stand(x, layers, **changes):
    return on(
        SPHERE, joint={"clearance": f"{x} ± 0.01"}, stand={"tilt": 0, "layers": layers}, **changes
    )


# Two sheets go into a slot for a sheet with its clearance and one more as drawn.
LAPS = (
    *(
        Pair(
            *("lap-gap", "slot-gap", "stand", lambda x, more=more: _stand(x, 2, **more)),
            lambda x, m: 3.0 + m.g + (m.k - 0.2) + 3.0 - 2 * m.t,
            *(0.02, -0.02, lambda x: {"g": (x, 0.01)}),
        )
        for more in ({}, {"disc_sheet": DISC_SHEET})
    ),
    Pair(
        *("lap-gap", "slot-gap", "stand", lambda x: _stand(x, 3)),
        lambda x, m: 3.0 + m.g + (m.k - 0.2) + 6.0 - 3 * m.t,
        *(0.02, -0.02, lambda x: {"g": (x, 0.01)}),
    ),
    # Card gives way by 0.15 mm.
    Pair(
        *("lap-gap", "slot-gap", "stand", lambda x: _stand(x, 1, sheet=CARD)),
        lambda x, m: 3.0 + m.g + (m.k - 0.2) - m.t + 0.15,
        *(-0.13, -0.17, lambda x: {"g": (x, 0.01)}),
    ),
    # Each of the two slots runs x past its seat, and its floor is cut beyond that by half of what
    # the kerf is off. As drawn there is always room.
    Pair(
        *("lap-end", "slot-end", "stand"),
        lambda x: on(SPHERE, joint={"end_clearance": x}, stand={"tilt": 0}),
        *(lambda x, m: 2 * (x + over(m)), 0.03, 0.01),
        past_is="undecided",
    ),
)

# The middle of a cutter goes half the cut's width from an edge, and up to 1.5 times that from a
# corner, where the path of either edge runs on to the other: 1.41 times from a square one. The
# cut reaches another half of its width: 0.75 k and 1.25 k.
CUTS = (
    Pair(
        *("feature-slot", "smallest-feature", "joint"),
        lambda x: on(SPHERE, cutter={"kerf": f"{x} ± 0.04"}),
        lambda x, m: 3.1 + (m.k - x) + (m.g - 0.1) - m.k,
        *(3.08, 3.12, lambda x: {"k": (x, 0.04)}),
    ),
    Pair(
        *("feature-slot", "smallest-feature", "joint"),
        lambda x: on(SPHERE, disc_sheet={**DISC_SHEET, "kerf": f"{x} ± 0.05"}),
        lambda x, m: 3.1 + (m.e - x) + (m.g - 0.1) - m.e,
        *(3.08, 3.12, lambda x: {"e": (x, 0.05)}),
    ),
    Pair(
        *("feature-slot", "smallest-feature", "notches"),
        lambda x: on(SPHERE, cutter={"kerf": f"{x} ± 0.04"}, disc_sheet=DISC_SHEET),
        lambda x, m: 4.1 + (m.k - x) + (m.h - 0.1) - m.k,
        *(4.08, 4.12, lambda x: {"k": (x, 0.04)}),
    ),
    Pair(
        *("cut-spacing", "cut-spacing", "disc_sheet"),
        lambda x: on(SPHERE, cutter={"spacing": x}, disc_sheet=DISC_SHEET),
        *(lambda x, m: x - 1.25 * m.e, 0.395, 0.355),
    ),
    Pair(
        *("cut-margin", "cut-margin", "disc_sheet"),
        lambda x: on(SPHERE, cutter={"margin": x}, disc_sheet=DISC_SHEET),
        *(lambda x, m: x - 0.75 * m.e, 0.245, 0.205),
    ),
    Pair(
        *("cut-spacing", "cut-spacing", "sheet"),
        lambda x: on(SPHERE, cutter={"spacing": x}),
        *(lambda x, m: x - 1.25 * m.k, 0.27, 0.23),
    ),
    Pair(
        *("cut-margin", "cut-margin", "sheet"),
        lambda x: on(SPHERE, cutter={"margin": x}),
        *(lambda x, m: x - 0.75 * m.k, 0.17, 0.13),
    ),
    Pair(
        *("feature-rib", "smallest-feature", "ribs"),
        lambda x: on(SPHERE, ribs={"width": {"equator": 20, "pole": x}}),
        *(lambda x, m: x - 2 * over(m) - m.k, 0.22, 0.18),
    ),
    Pair(
        *("feature-rib", "smallest-feature", "ribs"),
        lambda x: on(SPHERE, ribs={"alternate": {"width": {"equator": 15, "pole": x}}}),
        *(lambda x, m: x - 2 * over(m) - m.k, 0.22, 0.18),
    ),
    Pair(
        *("feature-rib", "smallest-feature", "ribs"),
        lambda x: on(CYLINDER, ribs={"width": {"equator": 20, "bottom": x, "top": 20}}),
        *(lambda x, m: x - 2 * over(m) - m.k, 0.22, 0.18),
    ),
    Pair(
        *("feature-rib", "smallest-feature", "ribs"),
        lambda x: on(CYLINDER, ribs={"width": {"equator": 20, "bottom": 20, "top": x}}),
        *(lambda x, m: x - 2 * over(m) - m.k, 0.22, 0.18),
    ),
)

POLES = (
    # The allowance cannot be below zero, so as drawn neighbours never overlap.
    Pair(
        *("pole-clearance", "pole-clearance", "ribs"),
        lambda x: on(SPHERE, ribs={"pole_allowance": x}),
        lambda x, m: (
            2 * ((1.5 / math.tan(math.radians(30)) + x + over(m)) * sine(30) - m.t / 2 * cosine(30))
        ),
        *(0.08, 0.05),
        past_is="undecided",
    ),
    # The nearest two ribs are 40° apart.
    Pair(
        *("pole-clearance", "pole-clearance", "ribs"),
        lambda x: on(
            SPHERE,
            ribs={"count": None, "longitudes": [0, 90, 130, 200, 290], "pole_allowance": x},
        ),
        lambda x, m: (
            2 * ((1.5 / math.tan(math.radians(20)) + x + over(m)) * sine(20) - m.t / 2 * cosine(20))
        ),
        *(0.1, 0.06),
        past_is="undecided",
    ),
    # A body narrower than that is refused before any check; over the tolerances it is undecided.
    Pair(
        *("end-room-low", "end-room", "ribs below", lambda x: _pointing(True, x)),
        lambda x, m: x - GAP_OF_SIX - 2 * over(m) - 3.0,
        *(6.12, 6.08),
        past_is="refused",
    ),
    Pair(
        *("end-room-high", "end-room", "ribs above", lambda x: _pointing(False, x)),
        lambda x, m: x - GAP_OF_SIX - 2 * over(m) - 3.0,
        *(6.12, 6.08),
        past_is="refused",
    ),
)

PAIRS = (*SLOTS, *LAPS, *CUTS, *POLES)
