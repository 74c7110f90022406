"""Pairs about how deep ribs and discs sit in each other, and how far discs lie apart."""

from __future__ import annotations

from solution.margins.pair import (
    CONE,
    CYLINDER,
    DISC_SHEET,
    FUNNEL,
    GAP_OF_SIX,
    SPHERE,
    Pair,
    chamfer,
    chamfer_in_4,
    notch,
    on,
    over,
    over_disc,
    round_at,
    slot,
)

HOUSED = {"style": "housed"}
BOTH = [{"at": {"height": 60, "both": True}}]
BOTH_UPRIGHT = [{"at": {"fraction": 0.5, "both": True}}]


def _joint_at_60(width):
    """Half-way from the inner sphere to the skin of 100 mm, where that is 80 mm."""
    return _share_at_60(width, 0.5)


def _share_at_60(width, share):
    """The same for a share of the way."""
    inner = round_at(100 - width, 60)
    return inner + share * (80.0 - inner)


# A rim, cut beyond by v, is in a notch whose mouth on the rib's inner edge is cut as much.
IN_THE_RIB = (
    Pair(
        *("engagement-rib", "engagement", "disc-1"),
        lambda x: on(CYLINDER, ribs={"width": x}, joint=HOUSED),
        *(lambda x, m: x / 2 - 2 * over(m) - 3, 6.04, 5.96),
    ),
    # A cross-lapped disc's slots end 0.1 mm short of the seat.
    Pair(
        *("engagement-rib", "engagement", "disc-1"),
        lambda x: on(CYLINDER, ribs={"width": x}, joint={"engagement": 0.4}),
        *(lambda x, m: 0.4 * x - 0.1 - 2 * over(m) - 3, 7.8, 7.7),
    ),
    Pair(
        *("engagement-rib", "engagement", "disc-1"),
        lambda x: on(CYLINDER, joint={**HOUSED, "lead_in": 0.5}, ribs={"width": x}),
        *(lambda x, m: x / 2 - 2 * over(m) - chamfer(m) - 3, 7.04, 6.96),
    ),
    # The inner edge is widest half a thickness nearer to the equator than the notch is.
    *(
        Pair(
            *("engagement-rib", "engagement", about),
            lambda x: on(SPHERE, ribs={"width": x}, discs=BOTH, joint=HOUSED),
            lambda x, m: (
                _joint_at_60(x) - round_at(100 - x, 60 - (slot(m) + 3) / 2) - 2 * over(m) - 3
            ),
            *(8.67, 8.62),
        )
        for about in ("disc-1", "disc-2")
    ),
    # Beyond the bend the inner edge is the pole gap.
    Pair(
        *("engagement-rib", "engagement", "disc-1"),
        lambda x: on(SPHERE, discs=[{"at": {"height": 88}}], joint={**HOUSED, "engagement": x}),
        lambda x, m: x * (round_at(100, 88) - GAP_OF_SIX) - 2 * over(m) - 3,
        *(0.0679, 0.067),
    ),
    # A cone's is widest below the notch, a funnel's above it: 0.75 mm for each mm of height.
    *(
        Pair(
            *("engagement-rib", "engagement", "disc-1"),
            lambda x, base=base: on(base, ribs={"width": x}, joint=HOUSED),
            lambda x, m: 1.25 * x / 2 - 0.75 * (slot(m) + 3) / 2 - 2 * over(m) - 3,
            *(8.5, 8.42),
        )
        for base in (CONE, FUNNEL)
    ),
    Pair(
        *("engagement-rib-two", "engagement", "disc-1"),
        lambda x: on(CONE, ribs={"width": x}, joint=HOUSED, disc_sheet=DISC_SHEET),
        lambda x, m: 1.25 * x / 2 - 0.75 * (notch(m) + 4) / 2 - over(m) - over_disc(m) - 4,
        *(11.3, 11.22),
    ),
    Pair(
        *("engagement-rib-two", "engagement", "disc-1"),
        lambda x: on(
            CYLINDER,
            ribs={"width": x},
            joint={"engagement": 0.4, "lead_in": 0.5},
            disc_sheet=DISC_SHEET,
        ),
        *(lambda x, m: 0.4 * x - 0.1 - over(m) - over_disc(m) - chamfer(m) - 4, 11.55, 11.45),
    ),
    # All of it on a sphere: slots that end short, chamfers, a second sheet
    *(
        Pair(
            *("engagement-rib", "engagement", about),
            lambda x: on(
                SPHERE,
                ribs={"width": x},
                discs=BOTH,
                joint={"engagement": 0.4, "lead_in": 0.5},
            ),
            lambda x, m: (
                _share_at_60(x, 0.4)
                - 0.1
                - round_at(100 - x, 60 - (slot(m) + 3) / 2)
                - 2 * over(m)
                - chamfer(m)
                - 3
            ),
            *(12.15, 12.1),
        )
        for about in ("disc-1", "disc-2")
    ),
    *(
        Pair(
            *("engagement-rib-two", "engagement", about),
            lambda x: on(
                SPHERE,
                ribs={"width": x},
                discs=BOTH,
                joint={"engagement": 0.4, "lead_in": 0.5},
                disc_sheet=DISC_SHEET,
            ),
            lambda x, m: (
                _share_at_60(x, 0.4)
                - 0.1
                - round_at(100 - x, 60 - (notch(m) + 4) / 2)
                - over(m)
                - over_disc(m)
                - chamfer(m)
                - 4
            ),
            *(15.98, 15.93),
        )
        for about in ("disc-1", "disc-2")
    ),
    # The joint of ribs 24 mm wide lies at 68 mm; every other rib reaches x inward from 80 mm.
    *(
        Pair(
            *("engagement-rib", "engagement", f"{about} in every other rib"),
            lambda x: on(
                CYLINDER,
                ribs={"width": 24, "alternate": {"width": x}},
                discs=BOTH_UPRIGHT,
                joint=HOUSED,
            ),
            *(lambda x, m: 68 - (80 - x) - 2 * over(m) - 3, 15.02, 14.98),
        )
        for about in ("disc-1", "disc-2")
    ),
    *(
        Pair(
            *("engagement-rib", "engagement", f"{about} in every other rib"),
            lambda x: on(
                SPHERE,
                ribs={"width": 20, "alternate": {"width": x}},
                discs=BOTH,
                joint=HOUSED,
            ),
            lambda x, m: (
                _joint_at_60(20) - round_at(100 - x, 60 - (slot(m) + 3) / 2) - 2 * over(m) - 3
            ),
            *(14.75, 14.71),
        )
        for about in ("disc-1", "disc-2")
    ),
    Pair(
        *("engagement-rib-two", "engagement", "disc-1 in every other rib"),
        lambda x: on(
            CYLINDER,
            ribs={"width": 24, "alternate": {"width": x}},
            joint=HOUSED,
            disc_sheet=DISC_SHEET,
        ),
        *(lambda x, m: 68 - (80 - x) - over(m) - over_disc(m) - 4, 16.02, 15.98),
    ),
)

# A cylinder's slots reach from 80 mm, less the setback, to the joint at 70 mm; the ribs' notches
# end 0.1 mm beyond that.
IN_THE_DISC = (
    *(
        Pair(
            *("engagement-disc", "engagement", about),
            lambda x: on(CYLINDER, discs=[{"at": {"fraction": 0.5, "both": True}, "setback": x}]),
            *(lambda x, m: 80 - x - 70 - 0.1 - 2 * over(m) - 3, 6.88, 6.92),
        )
        for about in ("disc-1", "disc-2")
    ),
    Pair(
        *("engagement-disc", "engagement", "disc-1"),
        lambda x: on(
            CYLINDER, discs=[{"at": {"height": 50}, "setback": x}], joint={"lead_in": 0.5}
        ),
        *(lambda x, m: 80 - x - 70 - 0.1 - 2 * over(m) - chamfer(m) - 3, 6.38, 6.42),
    ),
    Pair(
        *("engagement-disc-two", "engagement", "disc-1"),
        lambda x: on(CYLINDER, discs=[{"at": {"height": 50}, "setback": x}], disc_sheet=DISC_SHEET),
        *(lambda x, m: 80 - x - 70 - 0.1 - over(m) - over_disc(m) - 4, 5.88, 5.92),
    ),
    Pair(
        *("engagement-disc-two", "engagement", "disc-1"),
        lambda x: on(
            CYLINDER,
            discs=[{"at": {"height": 50}, "setback": x}],
            disc_sheet=DISC_SHEET,
            joint={"lead_in": 0.5},
        ),
        lambda x, m: 80 - x - 70 - 0.1 - over(m) - over_disc(m) - chamfer_in_4(m) - 4,
        *(5.38, 5.42),
    ),
    # A cone's disc is narrower by 1.125 mm at its upper face; its joint lies at 50 mm.
    Pair(
        *("engagement-disc", "engagement", "disc-1"),
        lambda x: on(CONE, discs=[{"at": {"height": 50}, "setback": x}]),
        *(lambda x, m: 62.5 - 1.125 - x - 50 - 0.1 - 2 * over(m) - 3, 8.26, 8.3),
    ),
)

# As drawn there is room at the ends of slots, or none; a narrower cut may leave too little.
SLOT_ENDS = (
    *(
        Pair(
            *("slot-end", "slot-end", about),
            lambda x: on(SPHERE, discs=BOTH, joint={"end_clearance": x}),
            *(lambda x, m: 2 * x + 2 * over(m), 0.03, 0.01),
            past_is="undecided",
        )
        for about in ("disc-1", "disc-2")
    ),
    Pair(
        *("slot-end", "slot-end", "disc-1"),
        lambda x: on(SPHERE, joint={**HOUSED, "end_clearance": x}),
        *(lambda x, m: x + 2 * over(m), 0.06, 0.02),
        past_is="undecided",
    ),
    Pair(
        *("slot-end-two", "slot-end", "disc-1"),
        lambda x: on(SPHERE, joint={"end_clearance": x}, disc_sheet=DISC_SHEET),
        *(lambda x, m: 2 * x + over(m) + over_disc(m), 0.03, 0.01),
        past_is="undecided",
    ),
    Pair(
        *("slot-end-two", "slot-end", "disc-1"),
        lambda x: on(SPHERE, joint={**HOUSED, "end_clearance": x}, disc_sheet=DISC_SHEET),
        *(lambda x, m: x + over(m) + over_disc(m), 0.06, 0.02),
        past_is="undecided",
    ),
)


def _three(first, second, third=80, **changes):
    return on(CYLINDER, discs=[{"at": {"height": z}} for z in (first, second, third)], **changes)


SPACING = (
    Pair(
        *("disc-spacing", "disc-spacing", "disc-1 and disc-2", lambda x: _three(30, x)),
        *(lambda x, m: x - 30 - slot(m) - 3, 36.12, 36.08),
    ),
    # They are neighbours by their heights, however the spec lists them.
    Pair(
        *("disc-spacing", "disc-spacing", "disc-3 and disc-1", lambda x: _three(x, 70, 40)),
        *(lambda x, m: x - 40 - slot(m) - 3, 46.12, 46.08),
    ),
    Pair(
        *("disc-spacing", "disc-spacing", "disc-1 and disc-2"),
        lambda x: _three(30, x, disc_sheet=DISC_SHEET),
        *(lambda x, m: x - 30 - notch(m) - 3, 37.12, 37.08),
    ),
    Pair(
        *("disc-spacing", "disc-spacing", "disc-1 and disc-2"),
        lambda x: _three(30, x, joint={"lead_in": 0.5}),
        *(lambda x, m: x - 30 - slot(m) - 2 * chamfer(m) - 3, 37.12, 37.08),
    ),
)

PAIRS = (*IN_THE_RIB, *IN_THE_DISC, *SLOT_ENDS, *SPACING)
