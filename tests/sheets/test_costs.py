"""Time, material and money by frame, against sums by hand."""

from __future__ import annotations

import pytest

from framekit.parts.build import make_parts
from framekit.sheets.build import nest_parts
from framekit.sheets.costs import assumptions, frame_costs, total_cost
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values


def sheets_of(price="4.20 EUR", speed=None):
    values = {
        "framekit": 1,
        "id": "set",
        "shared": {
            "sheet": {"thickness": 3, "size": [260, 200], **({"price": price} if price else {})},
            "cutter": {"kerf": 0.16, **({"speed": speed} if speed else {})},
            "ribs": {"count": 4, "width": 12},
            "discs": [{"at": {"height": 0}, "bore": "auto"}],
        },
        "frames": [
            {"id": "A1", "body": {"shape": "sphere", "diameter": 120}},
            {"id": "A2", "body": {"shape": "sphere", "diameter": 80}},
        ],
    }
    return nest_parts(make_parts(solve(spec_from_values(values)))).sheets


def test_shares_of_sheets_and_money_by_hand():
    sheets = sheets_of()
    first, second = frame_costs(sheets)
    for name, row in (("A1", first), ("A2", second)):
        share = cost = 0.0
        for sheet in sheets.sheets:
            mine = sum(p.part.outline.area for p in sheet.placements if p.part.frame == name)
            every = sum(p.part.outline.area for p in sheet.placements)
            share += mine / every
            cost += 4.20 * mine / every
        # 1e-9: a few quotients
        assert row.shares == pytest.approx(share, abs=1e-9)
        assert row.cost == (pytest.approx(cost, abs=1e-9), "EUR")
    sums = total_cost(sheets.sheets)
    assert first.shares + second.shares == pytest.approx(len(sheets.sheets), abs=1e-9)
    assert first.seconds + second.seconds == pytest.approx(sums.seconds, abs=1e-6)
    assert sums.cost == (pytest.approx(4.20 * len(sheets.sheets), abs=1e-9), "EUR")
    area = sum(p.part.outline.area for s in sheets.sheets for p in s.placements)
    assert sums.waste == pytest.approx(1 - area / (len(sheets.sheets) * 260 * 200), abs=1e-9)


def test_a_sheet_s_minutes_by_hand():
    """Cut, marks, travel and pierces over the spec's speeds: 20, 50, 100 mm/s and 0.5 s."""
    speed = {"cut": 20, "mark": 50, "travel": 100, "pierce": 0.5}
    sheet = sheets_of(speed=speed).sheets[0]
    # Every part has one outline, and a disc's bore is a hole: a pierce each.
    pierces = sum(1 + len(p.part.outline.holes) for p in sheet.placements)
    cut = sum(p.part.outline.length for p in sheet.placements)
    marks = sum(m.length for p in sheet.placements for m in p.marks)
    assert sheet.pierces == pierces
    seconds = cut / 20 + marks / 50 + sheet.travel / 100 + 0.5 * pierces
    assert sheet.seconds == pytest.approx(seconds, abs=1e-6)  # sums of some hundred lengths


def test_what_is_assumed_is_said():
    text = " ".join(assumptions(sheets_of(price=None)))
    assert "cut 10 mm/s, mark 100 mm/s, travel 200 mm/s, pierce 0.3 s" in text
    assert "No price is known of birch-plywood 3 mm" in text
    text = " ".join(assumptions(sheets_of(speed={"cut": 20, "mark": 50, "travel": 9, "pierce": 1})))
    assert "Assumed" not in text and "No price" not in text
    assert frame_costs(sheets_of(price=None))[0].cost is None
