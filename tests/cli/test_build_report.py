"""The least sheets by area and what the last one leaves, by a hand sum."""

from __future__ import annotations

import math
from dataclasses import replace

from shapely import Polygon

from framekit.cli.build_report import bound_lines
from framekit.testing import sample_sheets


def test_the_bound_and_the_rest_by_hand() -> None:
    sheets = sample_sheets()
    area = sum(
        Polygon(p.part.outline.outer.polyline, [h.polyline for h in p.part.outline.holes]).area
        for sheet in sheets.sheets
        for p in sheet.placements
    )
    last = sheets.sheets[-1]
    least = math.ceil(area / (400.0 * 300.0))
    left = 400.0 - last.used_length
    (line,) = bound_lines(sheets)
    assert f"at least {least} by area alone" in line
    assert f"{last.id} leaves {left:.0f} × 300 mm" in line


def test_each_stock_has_its_own_bound() -> None:
    sheets = sample_sheets()
    first = sheets.sheets[0]
    other = replace(first, id="sheet-9", thickness=6.0)
    lines = bound_lines(replace(sheets, sheets=(*sheets.sheets, other)))
    assert len(lines) == 2 and "sheet-9 leaves" in lines[1]
