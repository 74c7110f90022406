"""What sheets take of time, material and money: each frame, each stock, and all of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from framekit.sheets.estimate import DEFAULT_PACE, Pace, pace_of
from framekit.sheets.model import Placement, Sheet, Sheets
from framekit.sheets.route.runs import all_paths
from framekit.sheets.stock.supply import Price


@dataclass(frozen=True)
class FrameCost:
    """What one frame takes: `area` of its parts in mm², `shares` of sheets, `seconds`, `cost`.

    A sheet is shared by part area, what is left over with it, so the shares of all frames come to
    the count of sheets; its time is shared by the time of each frame's own cuts, marks and
    pierces. `on` counts the sheets that hold any of its parts. `cost` is None where a price is
    not known or the currencies differ.
    """

    frame: str
    parts: int
    on: int
    area: float
    shares: float
    seconds: float
    cost: Price | None


@dataclass(frozen=True)
class TotalCost:
    """What all sheets take: counts, mm², seconds, the waste as a share of the area, the cost."""

    sheets: int
    parts: int
    area: float
    sheet_area: float
    seconds: float
    cost: Price | None

    @property
    def waste(self) -> float:
        """What is cut away or left over, 0 to 1 of the sheets' area."""
        return 1.0 - self.area / self.sheet_area if self.sheet_area else 0.0


def frame_costs(sheets: Sheets) -> tuple[FrameCost, ...]:
    """What each frame takes, in the order of the spec; the parts without a place take nothing."""
    pace = pace_of(sheets.parts.frames[0].solution.spec.cutter.speed)
    shared = [_shares(sheet, pace) for sheet in sheets.sheets]
    found = []
    for frame in sheets.parts.frames:
        name = frame.solution.spec.id
        mine = [(sheet, share[name]) for sheet, share in zip(sheets.sheets, shared, strict=True)
                if name in share]  # fmt: skip
        found.append(
            FrameCost(
                name,
                sum(share.parts for _, share in mine),
                len(mine),
                math.fsum(share.area for _, share in mine),
                math.fsum(share.of_area for _, share in mine),
                math.fsum(sheet.seconds * share.of_time for sheet, share in mine),
                _cost([(sheet, share.of_area) for sheet, share in mine]),
            )
        )
    return tuple(found)


def total_cost(sheets: Sequence[Sheet]) -> TotalCost:
    """What all sheets take together."""
    return TotalCost(
        len(sheets),
        sum(len(sheet.placements) for sheet in sheets),
        math.fsum(sheet.part_area for sheet in sheets),
        math.fsum(sheet.area for sheet in sheets),
        math.fsum(sheet.seconds for sheet in sheets),
        _cost([(sheet, 1.0) for sheet in sheets]),
    )


@dataclass(frozen=True)
class StockTotal:
    """The sheets of one `stock` and size: `seconds` is an estimate, `price` that of one sheet."""

    stock: str
    sheets: int
    seconds: float
    price: Price | None

    @property
    def cost(self) -> Price | None:
        """The price of all its sheets with its currency, None where a sheet's is not known."""
        return None if self.price is None else (self.sheets * self.price[0], self.price[1])


def stock_totals(sheets: Sequence[Sheet]) -> tuple[StockTotal, ...]:
    """The total of each stock, in the order of the sheets."""
    stocks: dict[tuple[object, ...], list[Sheet]] = {}
    for sheet in sheets:
        key = (sheet.material, sheet.thickness, sheet.width, sheet.height, sheet.price)
        stocks.setdefault(key, []).append(sheet)
    return tuple(
        StockTotal(
            found[0].stock,
            len(found),
            math.fsum(sheet.seconds for sheet in found),
            found[0].price,
        )
        for found in stocks.values()
    )


@dataclass(frozen=True)
class _Share:
    """A frame's part of a sheet: count and area of its parts, and its shares, 0 to 1."""

    parts: int
    area: float
    of_area: float
    of_time: float


def _shares(sheet: Sheet, pace: Pace) -> dict[str, _Share]:
    areas: dict[str, list[float]] = {}
    times: dict[str, list[float]] = {}
    for number, placement in enumerate(sheet.placements):
        frame = placement.part.frame
        areas.setdefault(frame, []).append(placement.part.outline.area)
        times.setdefault(frame, []).append(_own_seconds(sheet, number, placement, pace))
    area = math.fsum(a for found in areas.values() for a in found)
    time = math.fsum(t for found in times.values() for t in found)
    return {
        name: _Share(
            len(found), math.fsum(found), math.fsum(found) / area, math.fsum(times[name]) / time
        )
        for name, found in areas.items()
    }


def _own_seconds(sheet: Sheet, number: int, placement: Placement, pace: Pace) -> float:
    """The seconds of a part's own cuts, marks and pierces, without travel."""
    runs = [run._replace(placement=0) for run in sheet.runs if run.placement == number]
    return math.fsum(
        path.length / pace.mark if mark else path.length / pace.cut + pace.pierce
        for path, mark in all_paths((placement,), runs, sheet.gap)
    )


def _cost(parts: Sequence[tuple[Sheet, float]]) -> Price | None:
    """The price of shares of sheets; None where one is not known or currencies differ."""
    prices = [(sheet.price, share) for sheet, share in parts]
    known = [(price, share) for price, share in prices if price is not None]
    currencies = {price[1] for price, _ in known}
    if len(known) < len(prices) or len(currencies) != 1:
        return None
    return math.fsum(price[0] * share for price, share in known), currencies.pop()


def assumptions(sheets: Sheets) -> tuple[str, ...]:
    """What the estimates take for granted since the spec does not say it, in sentences."""
    cutter = sheets.parts.frames[0].solution.spec.cutter
    words = {"cut": "mm/s", "mark": "mm/s", "travel": "mm/s", "pierce": "s"}
    taken = [
        f"{name} {getattr(DEFAULT_PACE, name):g} {unit}"
        for name, unit in words.items()
        if getattr(cutter.speed, name) is None
    ]
    found = []
    if taken:
        found.append(
            f"Assumed for the time, since 'cutter.speed' does not say: {', '.join(taken)}."
        )
    found.append(
        "The time has no loading, no clearing and no speeding up or slowing down; a sheet's price "
        "is shared by part area, waste with it."
    )
    unpriced = list(dict.fromkeys(s.stock for s in sheets.sheets if s.price is None))
    if unpriced:
        found.append(f"No price is known of {', '.join(unpriced)}: write 'price' in the spec.")
    return tuple(found)
