"""The layout kept beside the spec, so that the same spec gives the same bytes.

Nesting may be cut short by time and differ from run to run; while the parts, the sheet and the
settings are the same, the kept layout is used again.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

from framekit.errors import Fault, NestError, Where
from framekit.sheets.protocol import NestJob, NestResult, Place
from framekit.sheets.stock.assignment import StockAssignment, all_copies
from framekit.sheets.stock.jobs import StockJob

VERSION = 2
DIGITS = 6
LARGEST_FILE = 20_000_000
"""Bytes; a larger layout file is refused."""


class StockLayout(NamedTuple):
    """The layout of one stock: its job and where everything lies."""

    stock: StockJob
    found: StockAssignment


def stock_hash(stock: StockJob, nester: str) -> str:
    """The SHA-256 of everything a stock's layout depends on: its job's, and the sheets at hand."""
    whole = job_hash(stock.job, nester)
    if stock.plain:
        return whole
    boards = [[b.width, b.height, b.outline, b.count] for b in stock.boards]
    teams = [part.frame for group in stock.groups for part in group] if stock.grouped else []
    return hashlib.sha256(json.dumps([whole, boards, teams]).encode()).hexdigest()


def job_hash(job: NestJob, nester: str) -> str:
    """The SHA-256 of everything a layout depends on: outlines (0.1 µm), sheet, settings, nester."""
    items = [
        [item.key, item.copies, _rounded(item.outer), [_rounded(hole) for hole in item.holes]]
        for item in job.items
    ]
    text = json.dumps(
        [VERSION, nester, job.width, job.height, job.margin, job.spacing, job.objective, items]
    )
    return hashlib.sha256(text.encode()).hexdigest()


def _rounded(points: tuple[tuple[float, float], ...]) -> list[list[float]]:
    return [[round(x, 4) + 0.0, round(y, 4) + 0.0] for x, y in points]


def layout_text(layouts: Sequence[StockLayout], nester: str) -> str:
    """The layout file's text: the stocks in order, each with the hash of its job."""
    head = f'{{"framekit_layout": {VERSION},\n "nester": {json.dumps(nester)},\n "stocks": [\n'
    return head + ",\n".join(_stock_text(layout, nester) for layout in layouts) + "\n ]}\n"


def _stock_text(layout: StockLayout, nester: str) -> str:
    stock, found = layout
    job, result = stock.job, found.result
    lines = []
    for sheet in result.sheets:
        rows = [
            json.dumps(
                {
                    "item": job.items[place.item].key,
                    "copy": place.copy,
                    "x": round(place.x, DIGITS),
                    "y": round(place.y, DIGITS),
                    "rotation": round(place.rotation, DIGITS),
                }
            )
            for place in sheet
        ]
        lines.append("   [\n    " + ",\n    ".join(rows) + "\n   ]")
    head = f'  {{"stock": {json.dumps(stock.stock)},\n   "hash": "{stock_hash(stock, nester)}",\n'
    if not stock.plain:
        head += f'   "kinds": {json.dumps(found.boards)}, "more": {found.more},\n'
    return head + '   "sheets": [\n' + ",\n".join(lines) + "\n   ]}"


def rounded(found: StockAssignment) -> StockAssignment:
    """The layout with the digits the file keeps, so that a first run equals a repeated one."""
    sheets = tuple(tuple(map(_rounded_place, sheet)) for sheet in found.result.sheets)
    return replace(found, result=NestResult(sheets))


def _rounded_place(place: Place) -> Place:
    x, y, rotation = (round(value, DIGITS) for value in (place.x, place.y, place.rotation))
    return replace(place, x=x, y=y, rotation=rotation)


def read_layouts(
    path: Path, stocks: Sequence[StockJob], nester: str
) -> tuple[StockAssignment | None, ...]:
    """The kept layout of each stock, None where there is none for this very job.

    Raises NestError when the file is there but cannot be understood.
    """
    none = (None,) * len(stocks)
    if not path.exists():
        return none
    try:
        if not path.is_file() or path.stat().st_size > LARGEST_FILE:
            raise _broken(path, "it is no file of a layout's size")
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise _broken(path, str(error)) from None
    try:
        data = json.loads(text)
        if data["framekit_layout"] != VERSION:
            return none
        kept = {entry["hash"]: entry for entry in data["stocks"]}
        hashes = [stock_hash(stock, nester) for stock in stocks]
        return tuple(
            _assignment(kept[key], stock) if key in kept else None
            for stock, key in zip(stocks, hashes, strict=True)
        )
    except (ValueError, KeyError, TypeError, OverflowError, RecursionError) as error:
        raise _broken(path, f"{type(error).__name__}: {error}") from None


def _assignment(entry: dict[str, Any], stock: StockJob) -> StockAssignment:
    """A stock's kept layout; what it does not place found no place then."""
    result = NestResult(tuple(_sheet(rows, stock.job) for rows in entry["sheets"]))
    if stock.plain:
        return StockAssignment(result, (0,) * len(result.sheets))
    kinds, more = entry["kinds"], entry["more"]
    if type(more) is not int or more < 0 or len(kinds) != len(result.sheets):
        raise ValueError("the kinds or the count of sheets are wrong")
    if any(type(k) is not int or not 0 <= k < len(stock.boards) for k in kinds):
        raise ValueError("a sheet is of no kind")
    placed = {(p.item, p.copy) for sheet in result.sheets for p in sheet}
    missing = tuple(c for c in all_copies(stock.job) if c not in placed) if more else ()
    return StockAssignment(result, tuple(kinds), missing, more)


def _sheet(rows: list[dict[str, Any]], job: NestJob) -> tuple[Place, ...]:
    index = {item.key: i for i, item in enumerate(job.items)}
    places = []
    if not rows:
        raise ValueError("a sheet is empty")
    for row in rows:
        numbers = [float(row[key]) for key in ("x", "y", "rotation")]
        if not all(math.isfinite(n) for n in numbers):
            raise ValueError("a position is not finite")
        if type(row["copy"]) is not int:
            raise ValueError("a copy is no whole number")
        places.append(Place(index[row["item"]], row["copy"], *numbers))
    return tuple(places)


def _broken(path: Path, reason: str) -> NestError:
    return NestError(
        Fault(
            "layout-unreadable",
            f"the kept layout cannot be read: {reason[:120]}",
            Where(str(path)),
            "Delete the file; the next build nests again.",
        )
    )
