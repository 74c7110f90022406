"""Layout files: what they keep comes back, and what they depend on is in their hash."""

from __future__ import annotations

import json

from framekit.sheets.layout import StockLayout, job_hash, layout_text, read_layouts
from framekit.sheets.protocol import NestItem, NestJob, NestResult, Place
from framekit.sheets.stock.assignment import StockAssignment
from framekit.sheets.stock.jobs import StockJob
from framekit.sheets.stock.supply import Board

SQUARE = NestItem("f/square", ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)), (), 2)


def stock_of(job, thickness=3.0):
    return StockJob("mdf", thickness, job, ((),), (Board(job.width, job.height),))


def test_a_layout_file_gives_the_layout_back(tmp_path):
    job = NestJob((SQUARE,), 100, 50, 2, 2)
    result = NestResult(((Place(0, 0, 2.0, 2.0, 0.0), Place(0, 1, 30.123456, 2.0, 90.0)),))
    path = tmp_path / "x.layout.json"
    wide = NestJob((SQUARE,), 200, 50, 2, 2)
    found = StockAssignment(result, (0,))
    three, six = stock_of(job, 3.0), stock_of(wide, 6.0)
    layouts = [StockLayout(three, found), StockLayout(six, found)]
    path.write_text(layout_text(layouts, "quick"), encoding="utf-8")
    assert read_layouts(path, [six, three], "quick") == (found, found)
    data = json.loads(path.read_text(encoding="utf-8"))
    assert data["framekit_layout"] == 2
    assert [stock["stock"] for stock in data["stocks"]] == ["mdf 3 mm", "mdf 6 mm"]
    other = NestJob((SQUARE,), 300, 50, 2, 2)
    assert read_layouts(path, [stock_of(other), three], "quick") == (None, found)
    assert read_layouts(path, [three], "other") == (None,)
    assert read_layouts(tmp_path / "none.json", [three], "quick") == (None,)


def test_the_hash_sees_everything_a_layout_depends_on():
    job = NestJob((SQUARE,), 100, 50, 2, 2)
    moved = tuple((x + 0.001, y) for x, y in SQUARE.outer)
    others = [
        NestJob((NestItem("f/square", moved, (), 2),), 100, 50, 2, 2),
        NestJob((NestItem("f/square", SQUARE.outer, (), 3),), 100, 50, 2, 2),
        NestJob((NestItem("f/square", SQUARE.outer, (SQUARE.outer,), 2),), 100, 50, 2, 2),
        NestJob((SQUARE,), 101, 50, 2, 2),
        NestJob((SQUARE,), 100, 51, 2, 2),
        NestJob((SQUARE,), 100, 50, 3, 2),
        NestJob((SQUARE,), 100, 50, 2, 3),
        NestJob((SQUARE,), 100, 50, 2, 2, "sheets"),
    ]
    hashes = {job_hash(j, "quick") for j in (job, *others)}
    assert len(hashes) == 9
    tiny = tuple((x + 1e-9, y) for x, y in SQUARE.outer)
    assert job_hash(NestJob((NestItem("f/square", tiny, (), 2),), 100, 50, 2, 2), "quick") == (
        job_hash(job, "quick")
    )
