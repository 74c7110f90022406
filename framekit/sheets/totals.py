"""What the sheets of each stock come to: how many, how long, at what price."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from framekit.sheets.model import Sheet, stock_text


@dataclass(frozen=True)
class StockTotal:
    """The sheets of one stock: `cut_length` in mm, `seconds` an estimate, `price` of one sheet."""

    material: str
    thickness: float
    sheets: int
    cut_length: float
    seconds: float
    price: tuple[float, str] | None

    @property
    def stock(self) -> str:
        """Material and thickness as people read them."""
        return stock_text(self.material, self.thickness)

    @property
    def cost(self) -> tuple[float, str] | None:
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
            material=found[0].material,
            thickness=found[0].thickness,
            sheets=len(found),
            cut_length=math.fsum(sheet.cut_length for sheet in found),
            seconds=math.fsum(sheet.seconds for sheet in found),
            price=found[0].price,
        )
        for found in stocks.values()
    )


def whole_cost(totals: Sequence[StockTotal]) -> tuple[float, str] | None:
    """The price of all sheets, None where one's is not known or currencies differ."""
    costs = [total.cost for total in totals]
    known = [cost for cost in costs if cost is not None]
    currencies = {currency for _, currency in known}
    if len(known) < len(costs) or len(currencies) != 1:
        return None
    return math.fsum(amount for amount, _ in known), currencies.pop()
