"""Sheets at hand: legal on every outline, leftovers first, and what is said when they run out.

Legality is looked at by pyclipper on the finished outlines in µm, which nothing of ours uses.
"""

from __future__ import annotations

import math
import os
import random
from collections import Counter

import pyclipper
import pytest

from framekit.errors import NestError, SpecError, StockError
from framekit.parts.build import make_parts
from framekit.sheets.build import nest_parts
from framekit.sheets.layout import read_layouts
from framekit.sheets.stock.jobs import make_jobs
from framekit.sheets.stock.supply import need_of
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values

L_SHAPE = [[0, 0], [260, 0], [260, 110], [110, 110], [110, 240], [0, 240]]
MARGIN, SPACING = 5.0, 2.0
CHORD = 0.012
"""mm: polylines lie inside the true arcs by up to 0.005 mm, and corners are rounded to 1 µm."""


def class_set(frames, stock=None, together=False, **shared):
    values = {
        "framekit": 1,
        "id": "set",
        "shared": {
            "sheet": {"thickness": 3, "size": [300, 260], "price": "6.00 EUR"},
            "cutter": {"kerf": 0.16},
            "ribs": {"count": 4, "width": 12},
            "discs": [{"at": {"height": 0}}],
            **shared,
        },
        "frames": [
            {"id": name, "body": {"shape": "sphere", "diameter": size}} for name, size in frames
        ],
        "sheets": {"keep_together": together},
    }
    if stock is not None:
        values["stock"] = stock
    return make_parts(solve(spec_from_values(values)))


def ring(points):
    return [(round(1000 * x), round(1000 * y)) for x, y in points]


def clipped(first, second, operation):
    clipper = pyclipper.Pyclipper()
    clipper.AddPaths(first, pyclipper.PT_SUBJECT, True)
    clipper.AddPaths(second, pyclipper.PT_CLIP, True)
    left = clipper.Execute(operation, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    return sum(pyclipper.Area(r) for r in left) / 1e6


def offset(rings, by, join=pyclipper.JT_ROUND):
    grower = pyclipper.PyclipperOffset(50.0, 1.0)
    grower.AddPaths(rings, join, pyclipper.ET_CLOSEDPOLYGON)
    return grower.Execute(by * 1000)


def rings_of(placement):
    outline = placement.outline
    outer = ring(outline.outer.polyline)
    holes = [ring(hole.polyline) for hole in outline.holes]
    return [
        outer if pyclipper.Orientation(outer) else outer[::-1],
        *(h[::-1] if pyclipper.Orientation(h) else h for h in holes),
    ]


def assert_legal(sheet):
    corners = sheet.outline or (
        (0, 0), (sheet.width, 0), (sheet.width, sheet.height), (0, sheet.height)
    )  # fmt: skip
    room = offset([ring(corners)], -(MARGIN - CHORD), pyclipper.JT_MITER)
    placed = [rings_of(p) for p in sheet.placements]
    grown = [offset(rings, SPACING - CHORD) for rings in placed]
    for rings in placed:
        # 1e-3 mm²: slivers of the rounding to 1 µm
        assert clipped(rings, room, pyclipper.CT_DIFFERENCE) < 1e-3
    for i, rings in enumerate(placed):
        for other in grown[i + 1 :]:
            assert clipped(rings, other, pyclipper.CT_INTERSECTION) < 1e-3


def assert_complete(parts, sheets):
    placed = [(p.part.frame, p.part.id) for s in sheets.sheets for p in s.placements]
    missing = [(p.frame, p.id) for short in sheets.short for p in short.parts]
    assert sorted(placed + missing) == sorted((p.frame, p.id) for p in parts.all)


def kinds_of(sheets):
    return Counter((s.width, s.height, s.outline is not None) for s in sheets.sheets)


FRAMES = [("A1", 90), ("A2", 110), ("A3", 70)]


@pytest.mark.parametrize("together", [False, True])
def test_leftovers_hold_parts_inside_their_border(together):
    stock = [{"size": [300, 260], "count": 3}, {"outline": L_SHAPE}]
    parts = class_set(FRAMES, stock, together)
    sheets = nest_parts(parts).sheets
    assert_complete(parts, sheets)
    assert not sheets.short
    assert kinds_of(sheets)[(260, 240, True)] == 1
    for sheet in sheets.sheets:
        assert_legal(sheet)


def test_a_dense_set_uses_the_smallest_leftover_first():
    stock = [{"size": [300, 260], "count": 9}, {"size": [200, 130]}, {"outline": L_SHAPE}]
    sheets = nest_parts(class_set(FRAMES, stock)).sheets.sheets
    assert [s.width for s in sheets][:2] == [200, 260]
    # By hand: 260 · 110 + 110 · 130 mm² of the sheet's 300 · 260, at 6 EUR.
    assert sheets[1].area == 42900
    assert sheets[1].price == (pytest.approx(6 * 42900 / 78000, abs=1e-9), "EUR")  # one quotient


def test_a_frame_lies_on_no_more_sheets_than_by_itself():
    frames = [(f"A{n}", 100) for n in range(1, 6)]
    sheets = nest_parts(class_set(frames, together=True)).sheets
    for name, _ in frames:
        on = sum(any(p.part.frame == name for p in s.placements) for s in sheets.sheets)
        assert on == 1
    assert len(sheets.sheets) < len(frames)
    for sheet in sheets.sheets:
        assert_legal(sheet)


@pytest.mark.parametrize("together", [False, True])
def test_what_finds_no_place_is_named_and_the_rest_is_laid(together):
    parts = class_set(FRAMES, [{"size": [200, 130]}], together)
    sheets = nest_parts(parts).sheets
    assert_complete(parts, sheets)
    (short,) = sheets.short
    assert short.parts and sheets.sheets and short.more >= 1
    assert f"{short.parts[0].frame}/{short.parts[0].id}" in short.text
    assert "300 × 260 mm more" in short.text
    assert_legal(sheets.sheets[0])


def test_a_layout_on_sheets_at_hand_comes_back(tmp_path):
    stock = [{"size": [300, 260], "count": 3}, {"outline": L_SHAPE}]
    parts = class_set(FRAMES, stock, together=True)
    first = nest_parts(parts)
    kept = tmp_path / "x.layout.json"
    kept.write_text(first.layout, encoding="utf-8")
    second = nest_parts(parts, kept=kept)
    assert second.sheets.reused and second.layout == first.layout
    assert second.sheets.sheets == first.sheets.sheets
    fewer = class_set(FRAMES, [{"size": [300, 260], "count": 2}, *stock[1:]], together=True)
    assert read_layouts(kept, make_jobs(fewer), "quick") == (None,)


def test_a_kept_layout_that_leaves_parts_out_is_not_used(tmp_path):
    parts = class_set(FRAMES, [{"size": [300, 260], "count": 3}])
    first = nest_parts(parts)
    kept = tmp_path / "x.layout.json"
    lines = first.layout.splitlines(keepends=True)
    at = next(i for i, line in enumerate(lines) if '"item"' in line)
    kept.write_text("".join(lines[:at] + lines[at + 1 :]), encoding="utf-8")
    again = nest_parts(parts, kept=kept)
    assert not again.sheets.reused and again.layout == first.layout


def test_a_part_larger_than_every_sheet_is_a_sentence():
    with pytest.raises(StockError) as caught:
        nest_parts(class_set(FRAMES, [{"size": [100, 60], "count": 99}]))
    assert caught.value.exit_code == 2
    assert "A2/rib-1" in str(caught.value) and "100 × 60 mm" in str(caught.value)


def test_spacing_larger_than_the_bed_is_refused_early():
    with pytest.raises(SpecError) as caught:
        class_set(FRAMES, cutter={"kerf": 0.16, "spacing": 300})
    assert "as wide as the sheet" in caught.value.message


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ({"size": [300, 200], "material": "mdf"}, "stock-of-none"),
        ({"size": [300, 200], "thickness": 4}, "stock-of-none"),
        ({"outline": [[0, 0], [900, 0], [0, 800]]}, "leftover-beyond-bed"),
    ],
)
def test_a_list_that_is_no_use_says_why(row, code):
    cutter = {"kerf": 0.16, "bed": [400, 300]}
    with pytest.raises(StockError) as caught:
        nest_parts(class_set(FRAMES, [row], cutter=cutter))
    assert caught.value.code == code


def test_two_stocks_take_the_sheets_that_are_theirs():
    discs = {"material": "mdf", "thickness": 4}
    rows = [
        {"size": [300, 260], "count": 9, "material": "birch-plywood"},
        {"size": [250, 200], "count": 9, "thickness": 4},
    ]
    parts = class_set(FRAMES, rows, disc_sheet=discs)
    sheets = nest_parts(parts).sheets
    assert {(s.material, s.width) for s in sheets.sheets} == {("birch-plywood", 300), ("mdf", 250)}
    with pytest.raises(StockError) as caught:
        nest_parts(class_set(FRAMES, [{"size": [300, 260]}], disc_sheet=discs))
    assert caught.value.code == "stock-of-which"


@pytest.mark.parametrize(
    "row",
    [
        {},
        {"size": [300, 200], "outline": L_SHAPE},
        {"size": [300, 200], "count": 0},
        {"size": [300, 200], "count": True},
        {"outline": [[0, 0], [10, 0]]},
        {"outline": [[0, 0], [100, 100], [100, 0], [0, 100]]},
        {"outline": [[0, 0], [100, 0], [200, 0]]},
    ],
)
def test_sheets_that_cannot_be_are_refused(row):
    with pytest.raises(SpecError):
        class_set(FRAMES, [row])


def test_the_area_that_is_lacking_by_hand():
    """Parts of 45 000 mm², one sheet of 10 000 mm², more to be had of 78 000 mm²: one more."""
    parts = class_set(FRAMES, [{"size": [100, 100]}])
    (job,) = make_jobs(parts)
    need = need_of(job.stock, parts.all, job.boards, parts.frames[0].solution.spec)
    assert need.needed == pytest.approx(sum(p.outline.area for p in parts.all), abs=1e-6)  # a sum
    assert need.more == math.ceil((need.needed - 10000) / 78000) == 1


SEEDS = range(500 if os.environ.get("FRAMEKIT_PROFILE") == "full" else 20)


@pytest.mark.parametrize("seed", SEEDS)
def test_small_sets_of_any_stock_are_legal_and_complete(seed):
    rng = random.Random(seed)
    frames = [(f"A{n}", rng.choice([55, 70, 85])) for n in range(1, rng.randint(2, 4))]
    stock = [{"size": [rng.randint(120, 300), rng.randint(110, 260)], "count": rng.randint(1, 3)}]
    if rng.random() < 0.7:
        a, b = rng.randint(60, 150), rng.randint(60, 110)
        corners = [[0, 0], [260, 0], [260, b], [a, b], [a, 240], [0, 240]]
        turn = rng.choice([1, -1])
        stock.append({"outline": [[x, turn * y] for x, y in corners]})
    parts = class_set(frames, stock, together=rng.random() < 0.5)
    try:
        sheets = nest_parts(parts).sheets
    except NestError as error:
        assert error.code == "nest-too-large"
        return
    assert_complete(parts, sheets)
    for sheet in sheets.sheets:
        assert_legal(sheet)
