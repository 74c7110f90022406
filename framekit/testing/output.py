"""Kits for what comes out: files and layouts, and the sample frame they work on."""

from __future__ import annotations

from functools import lru_cache

from framekit.errors import NestError
from framekit.files.naming import is_plain_name
from framekit.files.protocol import Backend
from framekit.parts.build import make_parts
from framekit.parts.tested import tested_parts
from framekit.sheets.build import nest_parts
from framekit.sheets.check import find_faults
from framekit.sheets.model import Sheets
from framekit.sheets.protocol import Nester, NestItem, NestJob
from framekit.solution.build import solve
from framekit.spec.build import parse_spec
from framekit.testing.common import check_name

SAMPLE = """
framekit: 1
id: sample
title: A sample <&> "frame"
body: {shape: spheroid, equatorial_diameter: 120 mm, flattening: 0.1}
ribs: {count: 5, width: {equator: 16, pole: 12}}
discs:
  - {at: {height: 0}, bore: auto}
  - {at: {fraction: 0.5, both: true}}
sheet: {material: birch-plywood, thickness: 3.0 ± 0.02, size: [400, 300]}
cutter: {kerf: 0.16}
"""
"""The spec of the frame the kits work on; its title holds what files must escape."""


@lru_cache(maxsize=4)
def sample_sheets(housed: bool = False) -> Sheets:
    """The finished sheets of a small frame; `housed` gives plain discs with marks."""
    text = SAMPLE + ("joint: {style: housed}\n" if housed else "")
    return nest_parts(tested_parts(make_parts(solve(parse_spec(text))))).sheets


def check_backend(backend: Backend) -> None:
    """Pass when a backend keeps its contract, else raise AssertionError.

    It has a name, gives at least one file, the same bytes each time, plain file names that do
    not clash, and does not fail on marks, holes, arcs or titles with odd characters.
    """
    check_name(backend.name)
    for housed in (False, True):
        sheets = sample_sheets(housed)
        first, second = backend.render(sheets), backend.render(sheets)
        assert first, "no file was made"
        assert first == second, "the same sheets gave different bytes"
        names = [document.name for document in first]
        assert len(set(names)) == len(names), f"two files have one name: {names}"
        for document in first:
            assert is_plain_name(document.name), f"'{document.name}' is not plain"
            assert isinstance(document.data, bytes), f"'{document.name}' is not bytes"
            assert document.data, f"'{document.name}' is empty"


def check_nester(nester: Nester) -> None:
    """Pass when a nester keeps its contract, else raise AssertionError.

    It places every copy legally, on several sheets when one is not enough, turns a part that
    fits no other way, leaves its job alone, and refuses what cannot fit.
    """
    square = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
    hole = ((5.0, 5.0), (5.0, 35.0), (35.0, 35.0), (35.0, 5.0))
    long = ((0.0, 0.0), (20.0, 0.0), (20.0, 90.0), (0.0, 90.0))
    away = tuple((x + 500.0, y - 300.0) for x, y in square)
    items = (
        NestItem("square", square, (hole,), 3),
        NestItem("long", long, (), 4),
        NestItem("away", away, (), 2),
    )
    for job in (
        NestJob(items, 300.0, 120.0, 2.0, 2.0, "length"),
        NestJob(items, 100.0, 50.0, 2.0, 2.0, "sheets"),
    ):
        result = nester.nest(job)
        faults = find_faults(job, result)
        assert not faults, f"the layout is not legal: {faults[0]}"
    check_name(nester.name)
    big = NestJob((NestItem("big", long, (), 1),), 60.0, 60.0, 2.0, 2.0)
    try:
        nester.nest(big)
    except NestError as error:
        assert error.hint, "a refusal gives no remedy"
    else:
        raise AssertionError("a part that cannot fit was not refused")
