"""What a build says of its sheets: figures of plain rectangles, worked by hand."""

from __future__ import annotations

from dataclasses import replace

from files.made_sheets import make_part

from framekit.cli.build_report import bound_lines
from framekit.geometry.path import Outline, rectangle
from framekit.sheets.model import Placement, Sheet
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
