"""Pairs about how deep ribs and discs sit in each other, and how far discs lie apart."""

from __future__ import annotations

from solution.margins.pair import (
    CONE,
    CYLINDER,
    DISC_SHEET,
    FUNNEL,
    SPHERE,
    Pair,
    notch,
    on,
    round_at,
    slot,
)

HOUSED = {"style": "housed"}
BOTH = [{"at": {"height": 60, "both": True}}]
BOTH_UPRIGHT = [{"at": {"fraction": 0.5, "both": True}}]


def _joint_at_60(width):
    """Half-way from the inner sphere to the skin of 100 mm, where that is 80 mm."""
    return (80.0 + round_at(100 - width, 60)) / 2


IN_THE_RIB = (
    Pair(
        *("engagement-rib", "engagement", "disc-1"),
        lambda x: on(CYLINDER, ribs={"width": x}, joint=HOUSED),
        *(lambda x, m: x / 2 - 3, 6.04, 5.96),
    ),
    Pair(
        *("engagement-rib", "engagement", "disc-1"),
        lambda x: on(CYLINDER, ribs={"width": x}, joint={"engagement": 0.4}),
        *(lambda x, m: 0.4 * x - 3, 7.6, 7.4),
    ),
    # The inner edge is widest half a thickness nearer to the equator than the notch is.
    *(
        Pair(
            *("engagement-rib", "engagement", about),
            lambda x: on(SPHERE, ribs={"width": x}, discs=BOTH, joint=HOUSED),
            lambda x, m: _joint_at_60(x) - round_at(100 - x, 60 - (slot(m) + 3) / 2) - 3,
            *(8.67, 8.62),
        )
        for about in ("disc-1", "disc-2")
    ),
    # A cone's is widest below the notch, a funnel's above it: 0.75 mm for each mm of height.
    *(
        Pair(
            *("engagement-rib", "engagement", "disc-1"),
            lambda x, base=base: on(base, ribs={"width": x}, joint=HOUSED),
            lambda x, m: 1.25 * x / 2 - 0.75 * (slot(m) + 3) / 2 - 3,
            *(8.5, 8.42),
        )
        for base in (CONE, FUNNEL)
    ),
    Pair(
        *("engagement-rib", "engagement", "disc-1"),
        lambda x: on(CONE, ribs={"width": x}, joint=HOUSED, disc_sheet=DISC_SHEET),
        *(lambda x, m: 1.25 * x / 2 - 0.75 * (notch(m) + 4) / 2 - 4, 11.3, 11.22),
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
            *(lambda x, m: 68 - (80 - x) - 3, 15.02, 14.98),
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
            lambda x, m: _joint_at_60(20) - round_at(100 - x, 60 - (slot(m) + 3) / 2) - 3,
            *(14.75, 14.71),
        )
        for about in ("disc-1", "disc-2")
    ),
)

# A cylinder's slots reach from 80 mm, less the setback, to the joint at 70 mm.
IN_THE_DISC = (
    *(
        Pair(
            *("engagement-disc", "engagement", about),
            lambda x: on(CYLINDER, discs=[{"at": {"fraction": 0.5, "both": True}, "setback": x}]),
            *(lambda x, m: 80 - x - 70 - 3, 6.98, 7.02),
        )
        for about in ("disc-1", "disc-2")
    ),
    Pair(
        *("engagement-disc", "engagement", "disc-1"),
        lambda x: on(CYLINDER, discs=[{"at": {"height": 50}, "setback": x}], disc_sheet=DISC_SHEET),
        *(lambda x, m: 80 - x - 70 - 4, 5.98, 6.02),
    ),
    # A cone's disc is narrower by 1.125 mm at its upper face; its joint lies at 50 mm.
    Pair(
        *("engagement-disc", "engagement", "disc-1"),
        lambda x: on(CONE, discs=[{"at": {"height": 50}, "setback": x}]),
        *(lambda x, m: 62.5 - 1.125 - x - 50 - 3, 8.36, 8.4),
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
        *(lambda x, m: x - 30 - notch(m) - 4, 38.12, 38.08),
    ),
)

PAIRS = (*IN_THE_RIB, *IN_THE_DISC, *SPACING)
