"""What a build says of its sheets: figures of plain rectangles, worked by hand."""

from __future__ import annotations

from dataclasses import replace

from files.made_sheets import make_part

from framekit.cli.build_report import bound_lines, frame_cost_lines, minutes, sheet_line
from framekit.cli.set_report import far
from framekit.geometry.path import Outline, rectangle
from framekit.sheets.costs import FrameCost, TotalCost
from framekit.sheets.model import Placement, Sheet
from framekit.sheets.stock.supply import Need
from framekit.testing import sample_sheets

PLATE = make_part("plate", Outline(rectangle(0.0, 200.0, 75.0, 150.0)))
"""200 × 150 mm: 0.03 m², a quarter of a sheet of 400 × 300 mm."""
WINDOW = make_part(
    "window",
    Outline(rectangle(0.0, 200.0, 75.0, 150.0), (rectangle(50.0, 150.0, 75.0, 100.0).reversed(),)),
)
"""The plate with a hole of 100 × 100 mm: 0.02 m²."""


def sheet(name, *parts, length=390.0, thickness=3.0):
    """A sheet of 400 × 300 mm with these parts on `length` mm of it."""
    placements = tuple(Placement(part, 0.0, 0.0, 0.0) for part in parts)
    return Sheet(name, 400.0, 300.0, placements, length, 290.0, 1.0, 1.0, "mdf", thickness)


def lines_of(*sheets):
    return bound_lines(replace(sample_sheets(), sheets=sheets))


def test_the_least_sheets_by_area_and_the_rest_by_hand() -> None:
    # 0.03 and 0.02 m² on two sheets of 0.12 m² would go on one; five plates have 0.15 m².
    assert lines_of(sheet("sheet-1", PLATE), sheet("sheet-2", WINDOW, length=251.6)) == [
        "mdf 3 mm: 2 sheets, at least 1 by area alone; sheet-2 leaves 148 × 300 mm."
    ]
    assert lines_of(sheet("sheet-1", *[PLATE] * 3), sheet("sheet-2", PLATE, PLATE)) == [
        "mdf 3 mm: 2 sheets, at least 2 by area alone; sheet-2 leaves 10 × 300 mm."
    ]


def test_a_hole_is_no_part_of_the_area() -> None:
    # Six windows of 0.02 m² fill one sheet of 0.12 m² by area; plates would be 0.18 m².
    (line,) = lines_of(sheet("sheet-1", *[WINDOW] * 6))
    assert line.startswith("mdf 3 mm: 1 sheet, at least 1 by area alone")


def test_each_stock_has_its_own_bound() -> None:
    thin = sheet("sheet-1", *[PLATE] * 3), sheet("sheet-2", *[PLATE] * 2)
    assert lines_of(*thin, sheet("sheet-3", PLATE, length=200.0, thickness=6.0)) == [
        "mdf 3 mm: 2 sheets, at least 2 by area alone; sheet-2 leaves 10 × 300 mm.",
        "mdf 6 mm: 1 sheet, at least 1 by area alone; sheet-3 leaves 200 × 300 mm.",
    ]


def test_units_of_a_sheets_line_by_hand() -> None:
    # 12 340 mm is 12.34 m, 5670 mm is 5.67 m, 95 s is 1.58 minutes; a plate of 200 × 150 mm on
    # 250 × 200 mm of sheet fills 60 %.
    shown = replace(
        sheet("sheet-1", PLATE, length=250.0),
        used_width=200.0,
        cut_length=12340.0,
        travel=5670.0,
        pierces=17,
        seconds=95.0,
    )
    assert sheet_line(shown) == (
        "sheet-1: mdf 3 mm, 1 part on 250.0 × 200.0 mm of 400 × 300 mm, 60% of that filled, "
        "12.34 m of cut, 17 pierces, 5.67 m of travel, about 1.6 min"
    )


def test_units_of_times_areas_and_distances_by_hand() -> None:
    # 599 s is 9.98 minutes, 3600 s an hour.
    assert [minutes(s) for s in (30.0, 599.0, 600.0, 3600.0)] == [
        *("0.5 min", "10.0 min", "10 min", "60 min"),
    ]
    # 0.1234 m² is 123 400 mm²; both frames are 0.2234 m².
    rows = [
        FrameCost("one", 3, 1, 123400.0, 0.75, 90.0, (1.5, "EUR")),
        FrameCost("two", 2, 1, 100000.0, 0.25, 30.0, None),
    ]
    total = TotalCost(1, 5, 223400.0, 446800.0, 120.0, (4.2, "EUR"))
    lines = [line.split() for line in frame_cost_lines(rows, total)]
    assert ["one", "3", "1", "0.1234", "0.75", "1.5", "min", "1.50", "EUR"] in lines
    assert ["two", "2", "1", "0.1000", "0.25", "0.5", "min", "–"] in lines
    assert ["all", "5", "1", "0.2234", "1.00", "2.0", "min", "4.20", "EUR"] in lines
    # 223 400 of 446 800 mm² is half.
    assert lines[-1] == ["Waste:", "50%", "of", "the", "sheets'", "area."]
    assert [far(mm) for mm in (999.0, 4.567e5, 1e6, 2.5e9)] == [
        *("0.999 m", "457 m", "1 km", "2 500 km"),
    ]


def test_units_of_what_is_missing_by_hand() -> None:
    # 123 400 mm² of parts, 60 000 mm² at hand.
    need = Need("mdf 3 mm", 123400.0, 60000.0, 1, (400.0, 300.0))
    assert "the parts alone have 0.123 m², the sheets 0.060 m²" in need.text
