"""What a build says of its sheets: what lies where, time, material and money."""

from __future__ import annotations

import math
from collections.abc import Sequence

from framekit.cli.report import table
from framekit.sheets.costs import (
    FrameCost,
    StockTotal,
    TotalCost,
    assumptions,
    frame_costs,
    stock_totals,
    total_cost,
)
from framekit.sheets.model import Sheet, Sheets
from framekit.sheets.stock.supply import Price


def sheets_lines(sheets: Sheets) -> list[str]:
    """What is on every sheet and what all of it takes, by stock and by frame."""
    lines = [sheet_line(sheet) for sheet in sheets.sheets]
    if not sheets.sheets:
        return lines
    lines += bound_lines(sheets)
    sums = total_cost(sheets.sheets)
    lines += stock_lines(stock_totals(sheets.sheets), sums.cost)
    if len(sheets.parts.frames) > 1:
        lines += ["", *frame_cost_lines(frame_costs(sheets), sums), ""]
    else:
        lines.append(f"all: {_sum_words(sums)}")
    lines += assumptions(sheets)
    return lines


def sheet_line(sheet: Sheet) -> str:
    """One sheet in a line: stock, parts, room, cut, pierces, travel and time."""
    count = len(sheet.placements)
    share = sheet.part_area / (sheet.used_length * sheet.used_width)
    of = "of" if sheet.outline is None else "of a leftover of"
    size = f"{sheet.width:.0f} × {sheet.height:.0f} mm"
    return (
        f"{sheet.id}: {sheet.stock}, {count} {'part' if count == 1 else 'parts'} on "
        f"{sheet.used_length:.1f} × {sheet.used_width:.1f} mm {of} {size}, "
        f"{share:.0%} of that filled, {sheet.cut_length / 1000:.2f} m "
        f"of cut, {sheet.pierces} pierces, {sheet.travel / 1000:.2f} m of travel, "
        f"about {minutes(sheet.seconds)}"
    )


def bound_lines(sheets: Sheets) -> list[str]:
    """By stock, the fewest sheets that the parts' area alone allows, and what the last one leaves.

    The bound counts the largest of the stock's sheets in use, margins and gaps left out.
    """
    stocks: dict[str, list[Sheet]] = {}
    for sheet in sheets.sheets:
        stocks.setdefault(sheet.stock, []).append(sheet)
    lines = []
    for stock, found in stocks.items():
        area = sum(sheet.part_area for sheet in found)
        least = math.ceil(area / max(sheet.area or sheet.width * sheet.height for sheet in found))
        last = found[-1]
        left = max(0.0, last.width - last.used_length)
        lines.append(
            f"{stock}: {len(found)} {'sheet' if len(found) == 1 else 'sheets'}, at least {least} "
            f"by area alone; {last.id} leaves {left:.0f} × {last.height:.0f} mm."
        )
    return lines


def minutes(seconds: float) -> str:
    """A time in whole minutes, or tenths below ten.

    >>> minutes(95.0), minutes(1234.0)
    ('1.6 min', '21 min')
    """
    return f"{seconds / 60:.1f} min" if seconds < 600 else f"{seconds / 60:.0f} min"


def money(cost: Price | None) -> str:
    """An amount with its currency; a dash where it is not known."""
    return "–" if cost is None else f"{cost[0]:.2f} {cost[1]}"


def frame_cost_lines(rows: Sequence[FrameCost], sums: TotalCost) -> list[str]:
    """What each frame takes, and all of them, as a table."""
    cells = [
        [
            row.frame,
            str(row.parts),
            str(row.on),
            f"{row.area / 1e6:.4f}",
            f"{row.shares:.2f}",
            minutes(row.seconds),
            money(row.cost),
        ]
        for row in rows
    ]
    cells.append(
        [
            "all",
            str(sums.parts),
            str(sums.sheets),
            f"{sums.area / 1e6:.4f}",
            f"{sum(row.shares for row in rows):.2f}",
            minutes(sums.seconds),
            money(sums.cost),
        ]
    )
    heads = ["frame", "parts", "on sheets", "parts m²", "its sheets", "time", "cost"]
    return [*table(heads, cells, "lrrrrrr"), f"Waste: {sums.waste:.0%} of the sheets' area."]


def _sum_words(sums: TotalCost) -> str:
    cost = "" if sums.cost is None else f", {money(sums.cost)}"
    return f"about {minutes(sums.seconds)}{cost}, {sums.waste:.0%} of the sheets' area is waste"


def stock_lines(totals: Sequence[StockTotal], cost: Price | None) -> list[str]:
    """What the sheets of each stock cost, and their time and whole `cost` where there are several.

    No line for one stock whose price is not known.
    """
    lines = []
    for total in totals:
        text = f"{total.sheets} {'sheet' if total.sheets == 1 else 'sheets'} of {total.stock}"
        if total.price is not None and total.cost is not None:
            text += f" at {money(total.price)}: {money(total.cost)}"
        if len(totals) > 1:
            text += f", about {minutes(total.seconds)}"
        if len(totals) > 1 or total.price is not None:
            lines.append(text)
    if len(totals) > 1 and cost is not None:
        lines.append(f"all sheets: {money(cost)}")
    return lines
