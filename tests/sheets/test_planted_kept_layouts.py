"""Planted faults in a stock's layout and in the file that keeps it: each is told, or not used.

The tiles are those of `sheets.tiles`, and what is wrong is read off their coordinates.
"""

from __future__ import annotations

import dataclasses
import json
import math
from types import SimpleNamespace

import pytest
from sheets.tiles import BAD, ELL, JOB, ROW, moved, sheets

from framekit.errors import NestError
from framekit.sheets import build
from framekit.sheets.build import faults_of, nest_parts
from framekit.sheets.check import find_faults
from framekit.sheets.layout import StockLayout, layout_text, read_layouts, stock_hash
from framekit.sheets.protocol import Place
from framekit.sheets.stock.assignment import StockAssignment
from framekit.sheets.stock.jobs import StockJob
from framekit.sheets.stock.supply import Board

# A stock with three kinds of sheets: whole ones, a leftover, and as many of the last as it takes.
BOARDS = (Board(50, 30, None, 2), Board(50, 30, ELL, 1), Board(50, 30, None, None))
STOCK = StockJob("ply", 3.0, JOB, ((), ()), BOARDS)
PLAIN = StockJob("ply", 3.0, JOB, ((), ()), (Board(50.0, 30.0),))
SPLIT = sheets(ROW[:1], ROW[1:2], ROW[2:3], ROW[3:])


@pytest.mark.parametrize(
    ("kinds", "sentences"),
    [
        ((0, 0, 2, 2), []),
        ((1, 0, 0, 2), []),
        ((0, 0, 0, 2), ["3 sheets of a kind are used, and 2 are at hand."]),
        ((1, 1, 0, 2), ["2 sheets of a kind are used, and 1 are at hand."]),
    ],
)
def test_no_more_sheets_than_are_at_hand(kinds, sentences):
    assert list(faults_of(STOCK, StockAssignment(SPLIT, kinds))) == sentences


def test_a_sheet_s_kind_has_its_outline():
    high = sheets(ROW[:1], ROW[1:2], (Place(0, 2, 28, 16, 0),), ROW[3:])
    assert faults_of(STOCK, StockAssignment(high, (0, 0, 2, 2))) == ()
    assert faults_of(STOCK, StockAssignment(high, (0, 0, 1, 2))) == (
        "f/tile (copy 3) lies beyond sheet 3 with 100.0000 mm² of it.",
    )


def test_what_a_stock_s_layout_leaves_out_must_be_said():
    short = sheets(ROW[:1], ROW[1:2])
    left = StockAssignment(short, (0, 0), ((0, 2), (1, 0)), 1)
    assert faults_of(STOCK, left) == ()
    assert len(faults_of(STOCK, StockAssignment(short, (0, 0), ((0, 2),), 1))) == 1
    assert len(faults_of(PLAIN, left)) == 2


def kept(tmp_path, alter, stock=STOCK, found=None):
    """The layout that is read from a file after its stock's entry was altered by hand."""
    path = tmp_path / "x.layout.json"
    whole = found or StockAssignment(SPLIT, (0, 0, 2, 2))
    data = json.loads(layout_text([StockLayout(stock, whole)], "quick"))
    alter(data["stocks"][0])
    path.write_text(json.dumps(data), encoding="utf-8")
    (read,) = read_layouts(path, [stock], "quick")
    return read


def set_row(key, value):
    def alter(entry):
        entry["sheets"][1][0][key] = value

    return alter


@pytest.mark.parametrize("stock", [STOCK, PLAIN])
@pytest.mark.parametrize(
    "alter",
    [
        set_row("x", math.nan),
        set_row("y", math.inf),
        set_row("rotation", -math.inf),
        set_row("x", "here"),
        set_row("copy", 1.0),
        set_row("copy", True),
        set_row("copy", "1"),
        set_row("item", "f/other"),
        lambda entry: entry["sheets"][1][0].pop("y"),
        lambda entry: entry["sheets"].append([]),
        lambda entry: entry.pop("sheets"),
        lambda entry: entry.update(sheets=None),
    ],
)
def test_a_kept_layout_that_cannot_be_is_a_sentence(tmp_path, alter, stock):
    with pytest.raises(NestError) as caught:
        kept(tmp_path, alter, stock)
    assert caught.value.code == "layout-unreadable"


@pytest.mark.parametrize(
    "change",
    [
        {"kinds": [0, 0, 2]},
        {"kinds": [0, 0, 2, 2, 2]},
        {"kinds": [0, 0, 2, 3]},
        {"kinds": [0, 0, 2, -1]},
        {"kinds": [0, 0, 2, 2.0]},
        {"kinds": [False, 0, 2, 2]},
        {"more": -1},
        {"more": 1.0},
        {"more": True},
    ],
)
def test_kinds_and_counts_of_sheets_that_cannot_be(tmp_path, change):
    with pytest.raises(NestError) as caught:
        kept(tmp_path, lambda entry: entry.update(change))
    assert caught.value.code == "layout-unreadable"


@pytest.mark.parametrize("stock", [STOCK, PLAIN])
@pytest.mark.parametrize(
    ("alter", "phrase"),
    [
        (lambda entry: None, ""),
        (set_row("copy", 0), "placed 2 times"),
        (set_row("copy", 3), "does not have"),
        (set_row("copy", -1), "does not have"),
        (set_row("x", 1.9), "lies 1.9000 mm from the edge"),
        (set_row("x", 100.0), "sheet 2"),
        (lambda entry: entry["sheets"][0].append(entry["sheets"].pop()[0]), ""),
        (lambda entry: entry["sheets"][0].append({**entry["sheets"].pop()[0], "y": 9}), "overlap"),
    ],
)
def test_a_kept_layout_that_was_altered_is_told(tmp_path, alter, phrase, stock):
    """The sheet that goes away takes its kind along."""

    def both(entry):
        alter(entry)
        if "kinds" in entry:
            entry["kinds"] = entry["kinds"][: len(entry["sheets"])]

    faults = faults_of(stock, kept(tmp_path, both, stock))
    assert any(phrase in fault for fault in faults) if phrase else faults == ()


def test_copies_left_out_count_as_missing_only_where_sheets_ran_out(tmp_path):
    def drop(entry):
        entry["sheets"].pop()
        entry["kinds"].pop()

    assert len(faults_of(STOCK, kept(tmp_path, drop))) == 1
    read = kept(tmp_path, lambda entry: (drop(entry), entry.update(more=1)))
    assert read.missing == ((1, 0),) and read.more == 1
    assert faults_of(STOCK, read) == ()


def test_a_layout_of_another_version_is_none(tmp_path):
    path = tmp_path / "x.layout.json"
    text = layout_text([StockLayout(PLAIN, StockAssignment(SPLIT, (0,) * 4))], "quick")
    path.write_text(text, encoding="utf-8")
    assert read_layouts(path, [PLAIN], "quick")[0].result == SPLIT
    for version in ("1", "3", '"2"'):
        other = text.replace('"framekit_layout": 2', f'"framekit_layout": {version}')
        path.write_text(other, encoding="utf-8")
        assert read_layouts(path, [PLAIN], "quick") == (None,)


def test_a_layout_hangs_on_every_sheet_at_hand_and_on_what_is_kept_together():
    def of(*boards, **changes):
        return stock_hash(dataclasses.replace(STOCK, boards=boards or BOARDS, **changes), "quick")

    whole, left, many = BOARDS
    frames = [
        tuple((SimpleNamespace(frame=f),) for f in names) for names in (("A", "B"), ("A", "A"))
    ]
    found = [
        of(),
        of(whole, left),
        of(left, whole, many),
        of(dataclasses.replace(whole, width=51), left, many),
        of(dataclasses.replace(whole, height=31), left, many),
        of(dataclasses.replace(whole, count=3), left, many),
        of(whole, dataclasses.replace(left, outline=ELL[:-1]), many),
        *(of(grouped=True, groups=groups) for groups in frames),
    ]
    assert len(set(found)) == len(found)
    # who pays how much, and whose parts they are where nothing is kept together, is no matter
    assert of(dataclasses.replace(whole, price=(4.0, "EUR")), left, many) == of()
    assert of(groups=frames[0]) == of()


def test_files_that_are_none(tmp_path):
    path = tmp_path / "x.layout.json"
    for content in (b"\xff\xfe", b"{", b"[]", b'{"framekit_layout": 2}', b"[" * 100000):
        path.write_bytes(content)
        with pytest.raises(NestError, match="the kept layout cannot be read"):
            read_layouts(path, [PLAIN], "quick")
    with pytest.raises(NestError, match="no file"):
        read_layouts(tmp_path, [PLAIN], "quick")
    path.write_bytes(b'{"framekit_layout": 2, "stocks": []}' + b" " * 20_000_000)
    with pytest.raises(NestError, match="size"):
        read_layouts(path, [PLAIN], "quick")


# What `nest_parts` does with a layout that is refused: a nester that gives it is told, a kept one
# is not used. Jobs and nester stand in for real ones, which take seconds.
class Laying:
    name = "quick"

    def __init__(self, result):
        self.result = result

    def nest(self, job, progress=None):
        return self.result


@pytest.fixture
def nest(monkeypatch, tmp_path):
    """A function that nests a stock with what a nester gives and a file has."""
    monkeypatch.setattr(build, "_sheets", lambda parts, laid: tuple(f for _, f in laid))
    monkeypatch.setattr(build, "_shortage", lambda parts, stock, found: found.more)

    def given(result, layout=None, again=False, stock=PLAIN):
        monkeypatch.setattr(build, "make_jobs", lambda parts: (stock,))
        monkeypatch.setattr(build, "load", lambda group, name: Laying(result))
        if stock is not PLAIN:
            monkeypatch.setattr(build, "_assigned", lambda *_: result)
        path = tmp_path / "k.layout.json"
        if layout is not None:
            found = layout
            if stock is PLAIN:
                found = StockAssignment(layout, (0,) * len(layout.sheets))
            path.write_text(layout_text([StockLayout(stock, found)], "quick"), encoding="utf-8")
        return nest_parts(SimpleNamespace(), kept=path, again=again).sheets

    return given


ILLEGAL = [
    sheets(ROW[:3]),
    sheets(ROW, ROW[:1]),
    sheets(moved(0, -BAD)),
    sheets(moved(0, 1.0)),
    sheets(moved(0, 60.0)),
]


@pytest.mark.parametrize("result", ILLEGAL)
def test_a_nester_s_illegal_layout_is_refused(nest, result):
    with pytest.raises(NestError) as caught:
        nest(result)
    assert caught.value.code == "layout-illegal"


@pytest.mark.parametrize("layout", ILLEGAL)
@pytest.mark.parametrize("again", [False, True])
def test_an_illegal_kept_layout_is_laid_anew(nest, layout, again):
    found = nest(sheets(ROW), layout, again)
    assert not found.reused
    assert found.sheets[0].result == sheets(ROW)
    assert found.why == "new, since the parts, the sheet or the settings have changed"


def test_a_kept_layout_is_kept_unless_a_new_one_is_better(nest):
    """The row ends at 38 mm on one sheet; stacked, it ends at 25 mm."""
    short = sheets((*ROW[:2], Place(0, 2, 2, 15, 0), Place(1, 0, 15, 15, 0)))
    assert find_faults(JOB, short) == ()
    for new, old, again, reused in (
        (short, sheets(ROW), False, True),
        (short, sheets(ROW), True, False),
        (sheets(ROW), short, True, True),
        (short, short, True, True),
        (short, SPLIT, True, False),
        (SPLIT, sheets(ROW), True, True),
    ):
        found = nest(new, old, again)
        assert found.reused is reused
        assert found.sheets[0].result == (old if reused else new)


def test_the_length_is_that_of_turned_parts(nest):
    """A stick turned by 90° at x = 39 ends there; one that lies from 35.5 mm on ends at 39.5."""
    turned = sheets((*ROW[:3], Place(1, 0, 39, 16, 90)))
    level = sheets((*ROW[:3], Place(1, 0, 35.5, 16, 0)))
    assert nest(level, turned, again=True).reused
    assert not nest(turned, level, again=True).reused


def test_fewer_parts_without_a_place_then_less_sheet_then_less_length(nest):
    """Of sheets of 1500 mm² and a leftover of 1050 mm²."""
    short = sheets((*ROW[:2], Place(0, 2, 2, 15, 0), Place(1, 0, 15, 15, 0)))
    all_in = StockAssignment(short, (0,))
    longer = StockAssignment(sheets(ROW), (0,))
    two = StockAssignment(sheets((*ROW[:2], ROW[3]), (Place(0, 2, 2, 2, 0),)), (0, 0))
    less = StockAssignment(sheets((*ROW[:2], ROW[3]), (Place(0, 2, 2, 2, 0),)), (0, 1))
    out = StockAssignment(sheets((*ROW[:2], ROW[3])), (1,), ((0, 2),), 1)
    best_first = [all_in, longer, less, two, out]
    for i, one in enumerate(best_first):
        for k, other in enumerate(best_first):
            assert faults_of(STOCK, one) == ()
            assert nest(one, other, True, STOCK).reused is (k <= i)


def test_a_layout_is_what_its_file_keeps(nest):
    """Six decimals: a first run gives what the next one reads."""
    fine = sheets((*ROW[:3], Place(1, 0, 3.12345678, 16.00000049, 12.3456789)))
    found = nest(fine).sheets[0].result
    assert found == sheets((*ROW[:3], Place(1, 0, 3.123457, 16.0, 12.345679)))
