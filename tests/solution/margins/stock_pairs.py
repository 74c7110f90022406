"""Pairs about what parts leave of their sheet."""

from __future__ import annotations

from solution.margins.pair import CYLINDER, DISC_SHEET, PLANET, Pair, on


def _sheet(base, *size, **changes):
    return on(base, sheet={"size": list(size)}, **changes)


# 5 mm stay free at each edge.
PAIRS = (
    # A cylinder's rib is a strip of 20 × 100 mm; it lies along the sheet's length.
    Pair(
        *(None, "fits-stock", "ribs", lambda x: _sheet(CYLINDER, x, 40)),
        *(lambda x, m: x - 10 - 100, 110.02, 109.98),
    ),
    Pair(
        *(None, "fits-stock", "ribs", lambda x: _sheet(CYLINDER, x, 400)),
        *(lambda x, m: x - 10 - 20, 30.02, 29.98),
    ),
    # The disc is 160 mm across, the flange 280 mm.
    Pair(
        *(None, "fits-stock", "disc-1", lambda x: _sheet(CYLINDER, x, 400)),
        *(lambda x, m: x - 10 - 160, 170.02, 169.98),
    ),
    Pair(
        *(None, "fits-stock", "disc-1", lambda x: _sheet(CYLINDER, 400, x)),
        *(lambda x, m: x - 10 - 160, 170.02, 169.98),
    ),
    Pair(
        *(None, "fits-stock", "disc-2"),
        lambda x: on(
            CYLINDER,
            discs=[{"at": {"height": 30}}, {"at": {"height": 60}}],
            disc_sheet={**DISC_SHEET, "size": [400, x]},
        ),
        *(lambda x, m: x - 10 - 160, 170.02, 169.98),
    ),
    Pair(
        *(None, "fits-stock", "disc-1"),
        lambda x: on(CYLINDER, cutter={"bed": [x, 300], "margin": 8}),
        *(lambda x, m: x - 16 - 160, 176.02, 175.98),
    ),
    Pair(
        *(None, "fits-stock", "flange-1", lambda x: _sheet(PLANET, 400, x)),
        *(lambda x, m: x - 10 - 280, 290.02, 289.98),
    ),
)
