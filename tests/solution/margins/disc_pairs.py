"""Pairs about the margins of a disc: its seat, its web, its rim, its bore."""

from __future__ import annotations

import math

from solution.margins.pair import (
    CONE,
    CYLINDER,
    DISC_SHEET,
    FUNNEL,
    SPHERE,
    Pair,
    chamfer,
    chamfer_in_4,
    cosine,
    on,
    over,
    over_disc,
    round_at,
    sine,
    slot,
    slot_in_4,
)

HOUSED = {"style": "housed"}
ROUTER = {"process": "router", "tool_diameter": "3 ± 0.04", "kerf": None}
ACRYLIC = {"material": "cast-acrylic"}
BOTH = [{"at": {"height": 60, "both": True}}]


def _cut(made, radius, face):
    """What a deeper cut takes behind a notch: from its floor, and level through the skin."""
    lean = face / round_at(radius, face)
    return over(made) * (1 + math.sqrt(1 + lean**2))


def _joint_at_60(width):
    """Half-way from the inner sphere to the skin of 100 mm, where that is 80 mm."""
    return (80.0 + round_at(100 - width, 60)) / 2


def _wide(x):
    """A cylinder of radius x."""
    return {"shape": "cylinder", "diameter": f"{8 * x} mm", "height": "0.4 m"}


def _straight(x):
    """The cylinder as a profile by points."""
    points = [[320, 0], [320, 150], [320, 400]]
    return on(CYLINDER, body={"shape": "profile", "points": points}, ribs={"width": x})


LIGAMENT = (
    Pair(
        *("ligament", "ligament", "disc-1", lambda x: on(SPHERE, ribs={"width": x})),
        lambda x, m: round_at(100, 1.5) - (100 - x / 2) - 0.1 - _cut(m, 100, 1.5) - 1.5 * 3,
        *(9.26, 9.2),
    ),
    Pair(
        *("ligament", "ligament", "disc-1"),
        lambda x: on(SPHERE, ribs={"width": x}, joint=HOUSED),
        lambda x, m: round_at(100, 1.5) - (100 - x / 2) - 0.1 - _cut(m, 100, 1.5) - 1.5 * 3,
        *(9.26, 9.2),
    ),
    # Both faces farther from the equator: of the disc above and of its mirror image
    *(
        Pair(
            *("ligament", "ligament", about),
            lambda x: on(SPHERE, ribs={"width": x}, discs=BOTH),
            lambda x, m: round_at(100, 61.5) - _joint_at_60(x) - 0.1 - _cut(m, 100, 61.5) - 1.5 * 3,
            *(8.96, 8.92),
        )
        for about in ("disc-1", "disc-2")
    ),
    # The upper face of a cone's disc is 1.125 mm narrower than its middle.
    Pair(
        *("ligament", "ligament", "disc-1", lambda x: on(CONE, ribs={"width": x})),
        lambda x, m: 1.25 * x / 2 - 0.75 * 1.5 - 0.1 - over(m) * (1 + 1.25) - 1.5 * 3,
        *(9.2, 9.12),
    ),
    # So is the lower face of a funnel's.
    Pair(
        *("ligament", "ligament", "disc-1", lambda x: on(FUNNEL, ribs={"width": x})),
        lambda x, m: 1.25 * x / 2 - 0.75 * 1.5 - 0.1 - over(m) * (1 + 1.25) - 1.5 * 3,
        *(9.2, 9.12),
    ),
    Pair(
        *("ligament", "ligament", "disc-1", _straight),
        *(lambda x, m: x / 2 - 0.1 - 2 * over(m) - 1.5 * 3, 9.24, 9.16),
    ),
    Pair(
        *("ligament", "ligament", "disc-1"),
        lambda x: on(CYLINDER, ribs={"width": x}, joint={"engagement": 0.75}),
        *(lambda x, m: x / 4 - 0.1 - 2 * over(m) - 1.5 * 3, 18.48, 18.32),
    ),
    Pair(
        *("ligament", "ligament", "disc-1"),
        lambda x: on(CYLINDER, joint={"end_clearance": x}),
        *(lambda x, m: 10 - x - 2 * over(m) - 1.5 * 3, 5.48, 5.52),
    ),
    # Acrylic keeps two thicknesses.
    Pair(
        *("ligament", "ligament", "disc-1"),
        lambda x: on(CYLINDER, ribs={"width": x}, sheet=ACRYLIC),
        *(lambda x, m: x / 2 - 0.1 - 2 * over(m) - 2.0 * 3, 12.24, 12.16),
    ),
    # Ribs of birch with acrylic discs: what breaks is the rib, 1.5 times its own thickness.
    Pair(
        *("ligament", "ligament", "disc-1"),
        lambda x: on(SPHERE, ribs={"width": x}, disc_sheet={**DISC_SHEET, **ACRYLIC}),
        lambda x, m: round_at(100, 2) - (100 - x / 2) - 0.1 - _cut(m, 100, 2) - 1.5 * 3,
        *(9.27, 9.21),
    ),
    # A relief's circle, 1.52 mm for a tool of 1.5 mm, goes (1 − 1/√2) of its radius past the floor.
    Pair(
        *("ligament", "ligament", "disc-1"),
        lambda x: on(CYLINDER, ribs={"width": x}, joint={"relief": "all"}, cutter=ROUTER),
        lambda x, m: x / 2 - 0.1 - (m.k - 3) - 1.5 * 3 - (1 - math.sqrt(0.5)) * 1.52,
        *(10.13, 10.05, lambda x: {"k": (3.0, 0.04)}),
    ),
)


def _between(floor, made):
    """Twice the distance of a slot's corner from the line half-way to the next slot, 6° on."""
    return 2 * ((floor - over(made)) * sine(3) - slot(made) / 2 * cosine(3))


def _between_in_4(floor, made):
    """The same in a disc of 4 mm."""
    return 2 * ((floor - over_disc(made)) * sine(3) - slot_in_4(made) / 2 * cosine(3))


WEB = (
    Pair(
        *("web", "web", "disc-1", lambda x: on(CYLINDER, body=_wide(x), ribs={"count": 60})),
        *(lambda x, m: _between(x - 10 - 0.1, m) - 1.0 * 3, 68.6, 68.1),
    ),
    # Slots are as wide as the ribs' sheet asks; what breaks is the disc, one of its thicknesses.
    Pair(
        *("web", "web", "disc-1"),
        lambda x: on(CYLINDER, body=_wide(x), ribs={"count": 60}, disc_sheet=DISC_SHEET),
        *(lambda x, m: _between_in_4(x - 10 - 0.1, m) - 1.0 * 4, 78.1, 77.7),
    ),
    Pair(
        *("web", "web", "disc-2"),
        lambda x: on(
            CYLINDER,
            body=_wide(x),
            ribs={"count": 60},
            discs=[{"at": {"fraction": 0.5, "both": True}}],
        ),
        *(lambda x, m: _between(x - 10 - 0.1, m) - 1.0 * 3, 68.6, 68.1),
    ),
    # Relieved corners take from both sides of a web.
    Pair(
        *("web", "web", "disc-1"),
        lambda x: on(
            CYLINDER,
            body=_wide(x),
            ribs={"count": 60},
            joint={"relief": "all"},
            cutter=ROUTER,
        ),
        lambda x, m: (
            2
            * (
                (x - 10 - 0.1 - (m.k - 3) / 2) * sine(3)
                - (3.1 + (m.k - 3) + (m.g - 0.1)) / 2 * cosine(3)
            )
            - 1.0 * 3
            - 2 * (1 - math.sqrt(0.5)) * 1.52
        ),
        *(76.9, 76.5, lambda x: {"k": (3.0, 0.04)}),
    ),
)

# At the rim a slot's mouth is chamfered on both sides.
RIM_WEB = (
    *(
        Pair(
            *("rim-web", "web", f"{about} rim"),
            lambda x: on(
                CYLINDER,
                body=_wide(x),
                ribs={"count": 60},
                joint={"lead_in": 0.5},
                discs=[{"at": {"fraction": 0.5, "both": True}, "setback": 9}],
            ),
            lambda x, m: (
                2 * (_mouth(x - 9 - over(m), slot(m)) * sine(3) - slot(m) / 2 * cosine(3))
                - 2 * chamfer(m)
                - 1.0 * 3
            ),
            *(77.0, 76.6),
        )
        for about in ("disc-1", "disc-2")
    ),
    Pair(
        *("rim-web", "web", "disc-1 rim"),
        lambda x: on(
            CYLINDER,
            body=_wide(x),
            ribs={"count": 60},
            joint={"lead_in": 0.5},
            discs=[{"at": {"height": 50}, "setback": 9}],
            disc_sheet=DISC_SHEET,
        ),
        lambda x, m: (
            2 * (_mouth(x - 9 - over_disc(m), slot_in_4(m)) * sine(3))
            - slot_in_4(m) * cosine(3)
            - 2 * chamfer_in_4(m)
            - 1.0 * 4
        ),
        *(86.4, 86.1),
    ),
)


def _mouth(rim, width):
    """How far out a slot's sides meet the rim."""
    return math.sqrt(rim**2 - width**2 / 4)


def _fine(x, base, **changes):
    """A frame whose kerf is 0.8 mm, known to x mm."""
    return on(base, cutter={"kerf": f"0.8 ± {x}"}, **changes)


def _narrow(x):
    return {"k": (0.8, x)}


# As drawn a rim lies under the skin or behind it. Only a kerf narrower than the drawing's, or a
# thicker sheet, lets it stand out, so that such a margin is undecided at worst.
RIM = (
    *(
        Pair(
            *("inside-skin", "inside-skin", about, lambda x: _fine(x, SPHERE, discs=BOTH)),
            lambda x, m: (
                round_at(100, 60 + m.t / 2) - (round_at(100, 61.5) - (m.k - 0.8) / 2) + 0.25
            ),
            *(0.44, 0.48, _narrow, "undecided"),
        )
        for about in ("disc-1", "disc-2")
    ),
    Pair(
        *("inside-skin", "inside-skin", "disc-1", lambda x: _fine(x, CONE)),
        lambda x, m: 62.5 - 0.75 * m.t / 2 - (62.5 - 0.75 * 1.5 - (m.k - 0.8) / 2) + 0.25,
        *(0.44, 0.48, _narrow, "undecided"),
    ),
    Pair(
        *("inside-skin", "inside-skin", "disc-1", lambda x: _fine(x, FUNNEL)),
        lambda x, m: 62.5 - 0.75 * m.t / 2 - (62.5 - 0.75 * 1.5 - (m.k - 0.8) / 2) + 0.25,
        *(0.44, 0.48, _narrow, "undecided"),
    ),
    Pair(
        *("inside-skin", "inside-skin", "disc-1"),
        lambda x: on(CONE, disc_sheet={**DISC_SHEET, "kerf": f"0.8 ± {x}"}),
        lambda x, m: 62.5 - 0.75 * m.d / 2 - (62.5 - 0.75 * 2 - (m.e - 0.8) / 2) + 0.25,
        *(0.44, 0.48, lambda x: {"e": (0.8, x)}, "undecided"),
    ),
    Pair(
        *("inside-skin", "inside-skin", "disc-1"),
        lambda x: _fine(x, CYLINDER, discs=[{"at": {"height": 50}, "setback": 0.1}]),
        lambda x, m: 80 - (80 - 0.1 - (m.k - 0.8) / 2) + 0.25,
        *(0.68, 0.72, _narrow, "undecided"),
    ),
)


def _bored(x, **changes):
    return on(CYLINDER, discs=[{"at": {"height": 50}, "bore": x}], **changes)


# The joint of a cylinder's ribs, 20 mm wide, lies at 70 mm.
BORE = (
    Pair(
        *("bore-wall", "bore-wall", "disc-1", lambda x: _bored(x, joint=HOUSED)),
        *(lambda x, m: 70 - over(m) - (x + over(m)) - 1.5 * 3, 65.48, 65.52),
    ),
    Pair(
        *("bore-wall", "bore-wall", "disc-1", _bored),
        *(lambda x, m: 70 - 0.1 - over(m) - (x + over(m)) - 1.5 * 3, 65.38, 65.42),
    ),
    Pair(
        *("bore-wall", "bore-wall", "disc-1", lambda x: _bored(x, disc_sheet=DISC_SHEET)),
        *(lambda x, m: 70 - 0.1 - over_disc(m) - (x + over_disc(m)) - 1.5 * 4, 63.88, 63.92),
    ),
    Pair(
        *("feature-bore", "smallest-feature", "disc-1", lambda x: _bored(x, disc_sheet=DISC_SHEET)),
        *(lambda x, m: 2 * (x + over_disc(m)) - m.e, 0.16, 0.14),
    ),
    # What a relief eats of the wall, as of a ligament
    Pair(
        *("bore-wall", "bore-wall", "disc-1"),
        lambda x: _bored(x, joint={"relief": "all"}, cutter=ROUTER),
        lambda x, m: 70 - 0.1 - (m.k - 3) - x - 1.5 * 3 - (1 - math.sqrt(0.5)) * 1.52,
        *(64.93, 64.97, lambda x: {"k": (3.0, 0.04)}),
    ),
    Pair(
        *("feature-bore", "smallest-feature", "disc-1", _bored),
        *(lambda x, m: 2 * (x + over(m)) - m.k, 0.11, 0.09),
    ),
    Pair(
        *("feature-bore", "smallest-feature", "disc-2"),
        lambda x: on(CYLINDER, discs=[{"at": {"fraction": 0.5, "both": True}, "bore": x}]),
        *(lambda x, m: 2 * (x + over(m)) - m.k, 0.11, 0.09),
    ),
)

PAIRS = (*LIGAMENT, *WEB, *RIM_WEB, *RIM, *BORE)
