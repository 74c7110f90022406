"""Pairs about what ribs keep beyond a disc and between two, and about tenons."""

from __future__ import annotations

from solution.margins.pair import (
    CONE,
    CYLINDER,
    DISC_SHEET,
    GAP_OF_SIX,
    SPHERE,
    Made,
    Pair,
    chamfer,
    cosine,
    notch,
    on,
    over,
    over_disc,
    round_at,
    sine,
    slot,
    slot_in_4,
)

RIB_TOP = round_at(100, GAP_OF_SIX)
"""mm above the equator where a rib of the sphere stops, as near to the axis as six ribs may be."""
BEND = round_at(80, GAP_OF_SIX)
"""mm above the equator where its inner edge is as near."""

BEND_75 = round_at(75, GAP_OF_SIX)
"""mm above the equator where an inner edge of 75 mm is as near."""


def _flake(x, bend, width, made):
    """The flake between the bend and a notch at x, above one thickness, or how far it is none.

    Where there is none, the margin is how far the bend lies beyond the notch's near side.
    """
    past = x - width / 2 - bend
    none = -past + min(0.0, over(made))
    return none if none >= 0 else past - max(0.0, over(made)) - 3


def _at(x, base=CYLINDER, **changes):
    return on(base, discs=[{"at": {"height": x}}], **changes)


def _both(x, **changes):
    return on(SPHERE, discs=[{"at": {"height": x, "both": True}}], **changes)


ENDS = (
    Pair(
        *("rib-end-low", "rib-end", "disc-1 below", _at),
        *(lambda x, m: x - over(m) - slot(m) / 2 - 3, 4.57, 4.53),
    ),
    Pair(
        *("rib-end-high", "rib-end", "disc-1 above", _at),
        *(lambda x, m: 100 - x - over(m) - slot(m) / 2 - 3, 95.43, 95.47),
    ),
    Pair(
        *("rib-end-low", "rib-end", "disc-1 below", lambda x: _at(x, disc_sheet=DISC_SHEET)),
        *(lambda x, m: x - over(m) - notch(m) / 2 - 3, 5.07, 5.03),
    ),
    Pair(
        *("rib-end-high", "rib-end", "disc-1 above", lambda x: _at(x, disc_sheet=DISC_SHEET)),
        *(lambda x, m: 100 - x - over(m) - notch(m) / 2 - 3, 94.93, 94.97),
    ),
    *(
        Pair(
            *(f"rib-end-{end}", "rib-end", about, _both),
            *(lambda x, m: RIB_TOP - x - over(m) - slot(m) / 2 - 3, 95.38, 95.42),
        )
        for end, about in (("high", "disc-1 above"), ("low", "disc-2 below"))
    ),
    Pair(
        *("rib-end-high", "rib-end", "disc-1 above", lambda x: _at(x, joint={"lead_in": 0.5})),
        *(lambda x, m: 100 - x - over(m) - slot(m) / 2 - chamfer(m) - 3, 94.93, 94.97),
    ),
    Pair(
        *("rib-end-low", "rib-end", "disc-1 below", lambda x: _at(x, joint={"lead_in": 0.5})),
        *(lambda x, m: x - over(m) - slot(m) / 2 - chamfer(m) - 3, 5.07, 5.03),
    ),
    # The flake is beyond the bend, and one thickness high. A wider cut moves the bend up by as much
    # as the edge moves, or less.
    *(
        Pair(
            *(f"rib-flake-{end}", "rib-flake", about, _both),
            *(lambda x, m: _flake(x, BEND, slot(m), m), 84.51, 84.47),
        )
        for end, about in (("high", "disc-1 above"), ("low", "disc-2 below"))
    ),
    # or there is none, where the notch reaches down to the bend.
    *(
        Pair(
            *(f"rib-flake-{end}", "rib-flake", about, _both),
            *(lambda x, m: _flake(x, BEND, slot(m), m), 81.47, 81.51),
            within=3.0,
            jumps=True,
        )
        for end, about in (("high", "disc-1 above"), ("low", "disc-2 below"))
    ),
    # A narrower cut leaves a narrower notch, and moves the bend as well.
    *(
        Pair(
            *(f"rib-flake-{end}", "rib-flake", about, _both),
            *(lambda x, m: _flake(x, BEND, slot(m), m), 81.44, 81.46),
            past_is="undecided",
            within=3.1,
            jumps=True,
        )
        for end, about in (("high", "disc-1 above"), ("low", "disc-2 below"))
    ),
    Pair(
        *("rib-flake-high", "rib-flake", "disc-1 above", lambda x: _both(x, disc_sheet=DISC_SHEET)),
        *(lambda x, m: _flake(x, BEND, notch(m), m), 85.01, 84.97),
    ),
    *(
        Pair(
            *(f"rib-flake-{end}", "rib-flake", f"{about} in every other rib"),
            lambda x: _both(x, ribs={"alternate": {"width": 25}}),
            *(lambda x, m: _flake(x, BEND_75, slot(m), m), 79.51, 79.47),
        )
        for end, about in (("high", "disc-1 above"), ("low", "disc-2 below"))
    ),
    Pair(
        *("rib-flake-high", "rib-flake", "disc-1 above"),
        lambda x: _both(x, joint={"lead_in": 0.5}),
        *(lambda x, m: _flake(x, BEND, slot(m), m) - chamfer(m), 85.01, 84.97),
    ),
)


def _tenon(x, base=CYLINDER, joint=None, **changes):
    discs = [{"at": {"end": "bottom", "both": True}}]
    return on(
        base,
        **{"ribs": {"width": x}, "discs": discs, **changes},
        joint={"style": "tenon", **(joint or {})},
    )


def _mortise(tongue: float, made: Made) -> float:
    """How long a mortise is for a tongue, with 0.1 mm clearance."""
    return tongue + 0.1 + (made.g - 0.1)


def _wide_tenon(x, **changes):
    body = {"shape": "cylinder", "diameter": f"{8 * x} mm", "height": "0.4 m"}
    return _tenon(20, body=body, ribs={"width": 20, "count": 60}, **changes)


def _bored_tenon(x, **changes):
    return _tenon(20, discs=[{"at": {"end": "bottom"}, "bore": x}], **changes)


ENDS_OF_A_CONE = {"discs": [{"at": {"end": "bottom"}}]}


def _cone_tongue(x):
    """A third of the cone's rib at the lower disc.

    The disc's middle is 1.5 mm high, where the skin is at 98.875 mm and the inner edge 1.25 widths
    inside it. Its upper face is 3 mm high, where the skin is at 97.75 mm.
    """
    return (97.75 - (98.875 - 1.25 * x)) / 3


# A cylinder's tongue is a third of the rib. Its middle is at the joint's share of the width.
TENONS = (
    *(
        Pair(
            *("tongue", "tongue", about, _tenon),
            *(lambda x, m: x / 3 - 2 * over(m) - 2 * 3, 18.06, 17.94),
        )
        for about in ("disc-1", "disc-2")
    ),
    Pair(
        *("tongue", "tongue", "disc-1", lambda x: _tenon(x, CONE, **ENDS_OF_A_CONE)),
        *(lambda x, m: _cone_tongue(x) - 2 * over(m) - 2 * 3, 15.34, 15.26),
    ),
    *(
        Pair(
            *("shoulder-outer", "shoulder", about, lambda x: _tenon(x, joint={"engagement": 0.6})),
            *(lambda x, m: 0.4 * x - x / 6 - 2 * over(m) - 3, 12.93, 12.79),
        )
        for about in ("disc-1", "disc-2")
    ),
    Pair(
        *("shoulder-outer", "shoulder", "disc-1"),
        lambda x: _tenon(x, CONE, joint={"engagement": 0.6}, **ENDS_OF_A_CONE),
        lambda x, m: (
            97.75 - (98.875 - 1.25 * x + 0.6 * 1.25 * x) - _cone_tongue(x) / 2 - 2 * over(m) - 3
        ),
        *(13.55, 13.45),
    ),
    *(
        Pair(
            *("shoulder-rib", "shoulder", about, lambda x: _tenon(x, joint={"engagement": 0.4})),
            *(lambda x, m: 0.4 * x - x / 6 - 2 * over(m) - 3, 12.93, 12.79),
        )
        for about in ("disc-1", "disc-2")
    ),
    # The inner edge of a cone counts where it is widest, at the body's lower end.
    Pair(
        *("shoulder-rib", "shoulder", "disc-1"),
        lambda x: _tenon(x, CONE, joint={"engagement": 0.4}, **ENDS_OF_A_CONE),
        lambda x, m: (
            (98.875 - 1.25 * x + 0.4 * 1.25 * x)
            - _cone_tongue(x) / 2
            - (100 - 1.25 * x)
            - 2 * over(m)
            - 3
        ),
        *(13.6, 13.4),
    ),
    # A tongue and its shoulders are the ribs', 3 mm thick, also where the discs are of 4 mm.
    Pair(
        *("tongue", "tongue", "disc-1", lambda x: _tenon(x, disc_sheet=DISC_SHEET)),
        *(lambda x, m: x / 3 - 2 * over(m) - 2 * 3, 18.06, 17.94),
    ),
    Pair(
        *("shoulder-outer", "shoulder", "disc-1"),
        lambda x: _tenon(x, joint={"engagement": 0.6}, disc_sheet=DISC_SHEET),
        *(lambda x, m: 0.4 * x - x / 6 - 2 * over(m) - 3, 12.93, 12.79),
    ),
    Pair(
        *("shoulder-rib", "shoulder", "disc-1"),
        lambda x: _tenon(x, joint={"engagement": 0.4}, disc_sheet=DISC_SHEET),
        *(lambda x, m: 0.4 * x - x / 6 - 2 * over(m) - 3, 12.93, 12.79),
    ),
    # A mortise is longer than its tongue by the clearance. It cannot be shorter as drawn, but a
    # narrower cut moves both ends of the mortise and both edges of the tongue.
    *(
        Pair(
            *("tongue-end", "slot-end", about),
            lambda x: _tenon(20, joint={"clearance": f"{x} ± 0.01"}),
            *(lambda x, m: m.g + 4 * over(m), 0.1, 0.08),
            *(lambda x: {"g": (x, 0.01)}, "undecided"),
        )
        for about in ("disc-1", "disc-2")
    ),
    Pair(
        *("tongue-end-two", "slot-end", "disc-1"),
        lambda x: _tenon(20, joint={"clearance": f"{x} ± 0.01"}, disc_sheet=DISC_SHEET),
        *(lambda x, m: m.g + 2 * over(m) + 2 * over_disc(m), 0.11, 0.09),
        *(lambda x: {"g": (x, 0.01), "h": (x, 0.01)}, "undecided"),
    ),
    # The tongue, 8 mm, from 64 to 72 mm, is that of the wide ribs.
    *(
        Pair(
            *("shoulder-rib", "shoulder", f"{about} in every other rib"),
            lambda x: _tenon(24, ribs={"width": 24, "alternate": {"width": x}}),
            *(lambda x, m: 64 - (80 - x) - 2 * over(m) - 3, 19.02, 18.98),
        )
        for about in ("disc-1", "disc-2")
    ),
    *(
        Pair(
            *("mortise-rim", "web", f"{about} rim", _tenon),
            lambda x, m: 80 - over(m) - (80 - x / 2 + _mortise(x / 3, m) / 2 + over(m)) - 1.0 * 3,
            *(9.2, 9.1),
        )
        for about in ("disc-1", "disc-2")
    ),
    # A press fit grips the tongue's faces; the mortise is as long as the tongue.
    Pair(
        *("mortise-rim", "web", "disc-1 rim"),
        lambda x: _tenon(x, joint={"clearance": "-0.1 ± 0.01"}),
        lambda x, m: 80 - over(m) - (80 - x / 2 + (x / 3 + m.g + 0.1) / 2 + over(m)) - 1.0 * 3,
        *(9.05, 8.95, lambda x: {"g": (-0.1, 0.01)}),
    ),
    Pair(
        *("mortise-rim", "web", "disc-1 rim", lambda x: _tenon(x, disc_sheet=DISC_SHEET)),
        lambda x, m: x / 2 - _mortise(x / 3, m) / 2 - 2 * over_disc(m) - 1.0 * 4,
        *(12.2, 12.1),
    ),
    *(
        Pair(
            *("mortise-web", "web", about, _wide_tenon),
            lambda x, m: (
                2
                * ((x - 10 - _mortise(20 / 3, m) / 2 - over(m)) * sine(3) - slot(m) / 2 * cosine(3))
                - 1.0 * 3
            ),
            *(71.9, 71.3),
        )
        for about in ("disc-1", "disc-2")
    ),
    Pair(
        *("mortise-web", "web", "disc-1", lambda x: _wide_tenon(x, disc_sheet=DISC_SHEET)),
        lambda x, m: (
            2 * ((x - 10 - _mortise(20 / 3, m) / 2 - over_disc(m)) * sine(3))
            - slot_in_4(m) * cosine(3)
            - 1.0 * 4
        ),
        *(81.4, 80.9),
    ),
    Pair(
        *("mortise-wall", "bore-wall", "disc-1", _bored_tenon),
        lambda x, m: 70 - _mortise(20 / 3, m) / 2 - over(m) - (x + over(m)) - 1.5 * 3,
        *(62.1, 62.14),
    ),
    Pair(
        *("mortise-wall", "bore-wall", "disc-1", lambda x: _bored_tenon(x, disc_sheet=DISC_SHEET)),
        lambda x, m: 70 - _mortise(20 / 3, m) / 2 - x - 2 * over_disc(m) - 1.5 * 4,
        *(60.6, 60.64),
    ),
)

PAIRS = (*ENDS, *TENONS)
