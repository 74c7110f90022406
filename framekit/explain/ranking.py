"""What moves a result most, in words."""

from __future__ import annotations

from collections.abc import Sequence

from framekit.constraints.uncertainty import Share


def ranking(shares: Sequence[Share]) -> str:
    """The inputs by their share of the variance, most first, in whole per cent.

    >>> ranking([Share("sheet.thickness", -1.0, 0.93), Share("cutter.kerf", 1.0, 0.07)])
    '93 % sheet.thickness, 7 % cutter.kerf'
    >>> ranking([Share("sheet.thickness", -1.0, 0.999), Share("cutter.kerf", 1.0, 0.001)])
    'over 99 % sheet.thickness, under 1 % cutter.kerf'
    """
    return ", ".join(f"{_percent(share.share)} {share.input}" for share in shares)


def _percent(share: float) -> str:
    whole = round(100 * share)
    if whole == 0:
        return "under 1 %"
    # 1e-9: one that moves it alone has all of the variance, but for rounding.
    if whole == 100 and share < 1 - 1e-9:
        return "over 99 %"
    return f"{whole} %"
