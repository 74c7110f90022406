"""Pairs about the margins of flanges."""

from __future__ import annotations

import math

from solution.margins.pair import (
    DISC_SHEET,
    PLANET,
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


def _flange(at=35.0, outer=140.0, depth=8.0):
    return {
        "at": at,
        "inner_radius": 440,
        "outer_radius": 4 * outer,
        "seat_depth": depth,
    }


def _one(base=PLANET, flange=None, **changes):
    return on(base, flanges=[flange or _flange()], **changes)


def _two(second):
    return on(PLANET, flanges=[_flange(), second])


def _slotted(at, **changes):
    discs = [{"at": {"height": at}}]
    return _one(discs=discs, **{"joint": {"style": "cross-lap"}, **changes})


LOW = _flange(at=-40.0)
SEAT_0 = round_at(120, 1.5)
"""mm: the skin at the upper face of a flange on the equator."""
SEAT_35 = round_at(120, 36.5)
"""mm: the skin at the upper face of a flange whose middle is 35 mm high."""
SEAT_40 = round_at(120, 41.5)
"""mm: the skin at the lower face of a flange whose middle is 40 mm low."""

RING = (
    # Slots reach to 120 + 0.1 mm, past the widest part of the ribs.
    Pair(
        *("flange-ring", "flange-ring", "flange-1", lambda x: _one(flange=_flange(outer=x))),
        *(lambda x, m: x - 120.1 - 2 * over(m) - 1.0 * 3, 123.12, 123.08),
    ),
    Pair(
        *("flange-ring", "flange-ring", "flange-2"),
        lambda x: _two(_flange(at=-40, outer=x)),
        *(lambda x, m: x - 120.1 - 2 * over(m) - 1.0 * 3, 123.12, 123.08),
    ),
    Pair(
        *("flange-ring", "flange-ring", "flange-1"),
        lambda x: _one(flange=_flange(outer=x), disc_sheet=DISC_SHEET),
        *(lambda x, m: x - 120.1 - 2 * over_disc(m) - 1.0 * 4, 124.12, 124.08),
    ),
)


def _teeth(seat, width):
    """The distance of the corners of two slots 6° apart, where the slots meet the inner rim."""
    return 2 * (math.sqrt(seat**2 - width**2 / 4) * sine(3) - width / 2 * cosine(3))


TEETH = (
    # 60 ribs are 6° apart; a tooth is wider than a rib, 3 mm, by the web.
    Pair(
        *("flange-teeth", "flange-teeth", "flange-1"),
        lambda x: _one(flange=_flange(at=0, depth=x), ribs={"count": 60}),
        lambda x, m: _teeth(SEAT_0 - x + over(m), slot(m)) - m.t - 1.0 * 3,
        *(32.8, 33.4),
    ),
    Pair(
        *("flange-teeth", "flange-teeth", "flange-2"),
        lambda x: on(PLANET, flanges=[_flange(), _flange(at=-40, depth=x)], ribs={"count": 60}),
        lambda x, m: _teeth(SEAT_40 - x + over(m), slot(m)) - m.t - 1.0 * 3,
        *(25.4, 26.0),
    ),
    # Chamfered slots leave less of a tooth's tip.
    Pair(
        *("flange-teeth", "flange-teeth", "flange-1"),
        lambda x: _one(flange=_flange(at=0, depth=x), ribs={"count": 60}, joint={"lead_in": 0.5}),
        lambda x, m: _teeth(SEAT_0 - x + over(m), slot(m)) - 2 * chamfer(m) - m.t - 1.0 * 3,
        *(23.3, 23.8),
    ),
    # The rib stays 3 mm thick where the flange's sheet, and so its web, is 4 mm.
    Pair(
        *("flange-teeth", "flange-teeth", "flange-1"),
        lambda x: _one(flange=_flange(at=0, depth=x), ribs={"count": 60}, disc_sheet=DISC_SHEET),
        lambda x, m: _teeth(round_at(120, 2) - x + over_disc(m), slot_in_4(m)) - m.t - 1.0 * 4,
        *(23.3, 23.8),
    ),
)

SEAT = (
    Pair(
        *("flange-engagement", "flange-engagement", "flange-1"),
        lambda x: _one(flange=_flange(depth=x)),
        *(lambda x, m: x - 2 * over(m) - 3, 3.02, 2.98),
    ),
    Pair(
        *("flange-engagement", "flange-engagement", "flange-2"),
        lambda x: _two(_flange(at=-40, depth=x)),
        *(lambda x, m: x - 2 * over(m) - 3, 3.02, 2.98),
    ),
    Pair(
        *("flange-engagement", "flange-engagement", "flange-1"),
        lambda x: _one(flange=_flange(depth=x), joint={"lead_in": 0.5}),
        *(lambda x, m: x - 2 * over(m) - chamfer(m) - 3, 3.52, 3.48),
    ),
    Pair(
        *("flange-engagement-two", "flange-engagement", "flange-1"),
        lambda x: _one(flange=_flange(depth=x), disc_sheet=DISC_SHEET),
        *(lambda x, m: x - over(m) - over_disc(m) - 4, 4.02, 3.98),
    ),
    Pair(
        *("flange-engagement-two", "flange-engagement", "flange-1"),
        lambda x: _one(flange=_flange(depth=x), disc_sheet=DISC_SHEET, joint={"lead_in": 0.5}),
        *(lambda x, m: x - over(m) - over_disc(m) - chamfer(m) - 4, 4.52, 4.48),
    ),
    # As drawn there is room between the flange's rim and the notches' floors, or none.
    *(
        Pair(
            *("flange-end", "slot-end", about),
            lambda x: on(PLANET, flanges=[_flange(), LOW], joint={"end_clearance": x}),
            *(lambda x, m: x + 2 * over(m), 0.06, 0.02),
            past_is="undecided",
        )
        for about in ("flange-1", "flange-2")
    ),
    Pair(
        *("flange-end-two", "slot-end", "flange-1"),
        lambda x: _one(disc_sheet=DISC_SHEET, joint={"end_clearance": x}),
        *(lambda x, m: x + over(m) + over_disc(m), 0.06, 0.02),
        past_is="undecided",
    ),
    # The inner edge, a sphere of 80 mm, is widest at the side of the notch nearer the equator.
    Pair(
        *("flange-ligament", "flange-ligament", "flange-1"),
        lambda x: _one(flange=_flange(depth=x)),
        lambda x, m: SEAT_35 - x - 0.1 - round_at(80, 35 - slot(m) / 2) - 2 * over(m) - 1.5 * 3,
        *(37.02, 37.06),
    ),
    Pair(
        *("flange-ligament", "flange-ligament", "flange-2"),
        lambda x: _two(_flange(at=-40, depth=x)),
        lambda x, m: SEAT_40 - x - 0.1 - round_at(80, 40 - slot(m) / 2) - 2 * over(m) - 1.5 * 3,
        *(37.8, 37.86),
    ),
    # Every other rib, 26 mm wide, ends inside on a sphere of 94 mm.
    *(
        Pair(
            *("flange-ligament", "flange-ligament", f"{about} in every other rib"),
            lambda x: on(
                PLANET,
                flanges=[_flange(depth=x), _flange(at=-35, depth=x)],
                ribs={"alternate": {"width": 26}},
            ),
            lambda x, m: SEAT_35 - x - 0.1 - round_at(94, 35 - slot(m) / 2) - 2 * over(m) - 1.5 * 3,
            *(21.85, 21.9),
        )
        for about in ("flange-1", "flange-2")
    ),
    # What breaks is the rib, 3 mm thick, behind a notch that is 4.1 mm wide.
    Pair(
        *("flange-ligament", "flange-ligament", "flange-1"),
        lambda x: _one(flange=_flange(depth=x), disc_sheet=DISC_SHEET),
        lambda x, m: (
            round_at(120, 37) - x - 0.1 - round_at(80, 35 - notch(m) / 2) - 2 * over(m) - 1.5 * 3
        ),
        *(36.63, 36.67),
    ),
)

SPACING = (
    Pair(
        *("flange-spacing", "flange-spacing", "flange-1 and flange-2"),
        lambda x: _two(_flange(at=x)),
        *(lambda x, m: x - 35 - slot(m) - 3, 41.12, 41.08),
    ),
    Pair(
        *("flange-spacing", "flange-spacing", "flange-1 and flange-2"),
        lambda x: _two(_flange(at=x)),
        *(lambda x, m: 35 - x - slot(m) - 3, 28.88, 28.92),
    ),
    Pair(
        *("flange-spacing", "flange-spacing", "flange-1 and disc-1", _slotted),
        *(lambda x, m: 35 - x - slot(m) - 3, 28.88, 28.92),
    ),
    Pair(
        *("flange-spacing", "flange-spacing", "flange-1 and disc-1", _slotted),
        *(lambda x, m: x - 35 - slot(m) - 3, 41.12, 41.08),
    ),
    Pair(
        *("flange-spacing", "flange-spacing", "flange-1 and disc-1"),
        lambda x: _slotted(x, disc_sheet=DISC_SHEET),
        *(lambda x, m: 35 - x - notch(m) - 3, 27.88, 27.92),
    ),
    Pair(
        *("flange-spacing", "flange-spacing", "flange-1 and disc-1"),
        lambda x: _slotted(x, joint={"style": "cross-lap", "lead_in": 0.5}),
        *(lambda x, m: 35 - x - slot(m) - 2 * chamfer(m) - 3, 27.88, 27.92),
    ),
    # A housed disc on the equator seats at 100 mm. Each notch runs 0.1 mm past its seat.
    Pair(
        *("flange-over-disc", "flange-spacing", "flange-1 and disc-1"),
        lambda x: _one(flange=_flange(at=0, depth=x)),
        lambda x, m: SEAT_0 - x - 0.1 - (100 + 0.1) - 2 * over(m) - 1.5 * 3,
        *(15.27, 15.31),
    ),
    # A seat too deep for that, at a height of its own
    Pair(
        *("flange-over-disc", "flange-spacing", "flange-1 and disc-1"),
        lambda x: _one(flange=_flange(at=x, depth=18)),
        *(lambda x, m: x - slot(m) - 3, 6.12, 6.08),
    ),
    # The same between a flange and a disc that are both low, with chamfers
    Pair(
        *("flange-over-disc", "flange-spacing", "flange-1 and disc-1"),
        lambda x: _one(
            flange=_flange(at=-30, depth=18),
            discs=[{"at": {"height": x}}],
            joint={"lead_in": 0.5},
        ),
        *(lambda x, m: x + 30 - slot(m) - 2 * chamfer(m) - 3, -22.88, -22.92),
    ),
)

WAY = (
    # A cross-lapped disc 40 mm high reaches to the skin at its upper face, less its setback.
    Pair(
        *("flange-way", "flange-way", "flange-1 and disc-1"),
        lambda x: _one(
            flange=_flange(at=0, depth=12),
            discs=[{"at": {"height": 40}, "setback": x}],
            joint={"style": "cross-lap"},
        ),
        lambda x, m: SEAT_0 - 12 + over(m) - (SEAT_40 - x - over(m)) - 0.1,
        *(4.73, 4.69),
    ),
    Pair(
        *("flange-way", "flange-way", "flange-1 and disc-1"),
        lambda x: _one(
            flange=_flange(at=0, depth=12),
            discs=[{"at": {"height": 40}, "setback": x}],
            joint={"style": "cross-lap"},
            disc_sheet=DISC_SHEET,
        ),
        lambda x, m: round_at(120, 2) - 12 - (round_at(120, 42) - x) + 2 * over_disc(m) - 0.1,
        *(4.55, 4.51),
    ),
    # A disc below the flange is not in its way.
    Pair(
        *("flange-way", "flange-way", "flange-1 and disc-1", _slotted),
        *(lambda x, m: 35 - x, 34.98, 35.02),
    ),
    Pair(
        *("flange-way", "flange-way", "flange-2 and disc-1"),
        lambda x: on(
            PLANET,
            flanges=[_flange(), LOW],
            discs=[{"at": {"height": x}}],
            joint={"style": "cross-lap"},
        ),
        *(lambda x, m: -40 - x, -40.02, -39.98),
    ),
)

PAIRS = (*RING, *TEETH, *SEAT, *SPACING, *WAY)
