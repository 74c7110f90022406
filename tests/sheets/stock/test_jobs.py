"""Parts of two stocks: never on one sheet, legal, kept by stock, and what they come to.

Legality is looked at in the result document by pyclipper, which no nester of ours uses.
"""

from __future__ import annotations

import dataclasses
import json
import math

import pyclipper
import pytest

from framekit.errors import NestError
from framekit.files.backends.dxf import DxfBackend
from framekit.files.backends.svg import SvgBackend
from framekit.files.document import result_document
from framekit.parts.build import make_parts
from framekit.parts.model import FrameParts, Parts
from framekit.sheets.build import nest_parts
from framekit.sheets.costs import stock_totals, total_cost
from framekit.sheets.nest.quick.packing import Effort
from framekit.sheets.stock.jobs import make_jobs
from framekit.solution.build import solve
from framekit.spec.build import spec_from_values

SPEC = {
    "framekit": 1,
    "id": "duo",
    "body": {"shape": "sphere", "diameter": 160},
    "ribs": {"count": 6, "width": 20},
    "discs": [{"at": {"height": 0}, "bore": "auto"}, {"at": {"fraction": 0.5, "both": True}}],
    "sheet": {
        "material": "birch-plywood", "thickness": 4, "size": [300, 200], "price": "4.20 EUR"
    },
    "cutter": {"kerf": 0.2, "margin": 6, "spacing": 3},
}  # fmt: skip
MDF = {"material": "mdf", "thickness": 6, "size": [350, 180], "price": "3.00 EUR"}
MARGIN, SPACING = 6.0, 3.0
CHORD = 0.01
"""mm: the document's outlines lie inside the true arcs by up to this."""


def parts_of(**changes):
    return make_parts(solve(spec_from_values({**SPEC, **changes})))


def recut(parts, only=lambda part: part.kind == "disc", **changes):
    """The parts with some of them cut from something else."""
    frames = tuple(
        FrameParts(
            frame.solution,
            tuple(dataclasses.replace(p, **changes) if only(p) else p for p in frame.parts),
        )
        for frame in parts.frames
    )
    return Parts(parts.solution, frames)


@pytest.fixture(scope="module", params=["replaced", "spec"])
def duo(request):
    """Parts of two stocks: discs made thicker by hand, or by the spec."""
    if request.param == "replaced":
        return recut(parts_of(), material="mdf", thickness=6.0)
    return recut(parts_of(disc_sheet=MDF), material="mdf", thickness=6.0)


@pytest.fixture(scope="module")
def nested(duo):
    return nest_parts(duo)


@pytest.fixture(scope="module")
def document(duo, nested):
    found = result_document(duo.solution, duo, nested.sheets)
    return json.loads(found.model_dump_json())


def rings_on_sheet(document, placement):
    """Outline and holes where they lie, in µm, outline counter-clockwise and holes clockwise."""
    (part,) = [p for p in document["frames"][0]["parts"] if p["id"] == placement["part"]]
    turn = math.radians(placement["rotation"])
    c, s = math.cos(turn), math.sin(turn)
    rings = []
    for points, ccw in ((part["outline"], True), *((hole, False) for hole in part["holes"])):
        ring = [
            (
                round(1000 * (c * x - s * y + placement["x"])),
                round(1000 * (s * x + c * y + placement["y"])),
            )
            for x, y in points
        ]
        rings.append(ring if pyclipper.Orientation(ring) == ccw else ring[::-1])
    return rings


def grown(rings, by):
    """The part grown by so many µm all round, corners rounded to 1 µm."""
    offset = pyclipper.PyclipperOffset(2.0, 1.0)
    offset.AddPaths(rings, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    return offset.Execute(by)


def overlap(first, second):
    """The area in mm² that two parts share."""
    clipper = pyclipper.Pyclipper()
    clipper.AddPaths(first, pyclipper.PT_SUBJECT, True)
    clipper.AddPaths(second, pyclipper.PT_CLIP, True)
    shared = clipper.Execute(
        pyclipper.CT_INTERSECTION, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO
    )
    return sum(pyclipper.Area(ring) for ring in shared) / 1e6


def test_no_sheet_has_parts_of_two_stocks(duo, document):
    cut = {p["id"]: p["thickness"] for p in document["frames"][0]["parts"]}
    assert {cut["rib-1"], cut["disc-1"]} == {4.0, 6.0}
    seen = []
    for number, sheet in enumerate(document["sheets"], 1):
        assert sheet["id"] == f"sheet-{number}"
        ids = [p["part"] for p in sheet["placements"]]
        assert {cut[i] for i in ids} == {sheet["thickness"]}
        assert {duo.frames[0].part(i).material for i in ids} == {sheet["material"]}
        seen += ids
    assert sorted(seen) == sorted(cut)
    stocks = [(s["material"], s["thickness"]) for s in document["sheets"]]
    assert set(stocks) == {("birch-plywood", 4.0), ("mdf", 6.0)}
    # The ribs' stock comes first, and each stock's sheets follow each other.
    assert stocks == sorted(stocks, key=lambda stock: stock[1])


def test_two_stocks_lie_legally(document):
    for sheet in document["sheets"]:
        parts = [rings_on_sheet(document, p) for p in sheet["placements"]]
        for rings in parts:
            xs, ys = zip(*(point for ring in rings for point in ring), strict=True)
            # 1 µm of rounding, and the chords
            slack = 1000 * CHORD + 1
            assert min(*xs, *ys) >= 1000 * MARGIN - slack
            assert max(xs) <= 1000 * (sheet["width"] - MARGIN) + slack
            assert max(ys) <= 1000 * (sheet["height"] - MARGIN) + slack
        # Chords lie inside the arcs, so grown by the spacing less 0.02 mm nothing may touch.
        by = 1000 * (SPACING - 2 * CHORD)
        for i, first in enumerate(parts):
            for second in parts[i + 1 :]:
                assert overlap(grown(first, by), second) == 0.0


def test_the_oracle_sees_parts_that_are_too_near():
    square = [(0, 0), (10000, 0), (10000, 10000), (0, 10000)]
    beside = [(x + 12900, y) for x, y in square]
    assert overlap(grown([square], 3000), [beside]) > 0.9  # 0.1 × 10 mm
    assert overlap(grown([square], 2800), [beside]) == 0.0


def test_discs_go_on_the_size_of_their_own_sheet():
    parts = parts_of(disc_sheet=MDF)
    sizes = {s.material: (s.width, s.height) for s in nest_parts(parts).sheets.sheets}
    assert sizes == {"birch-plywood": (300.0, 200.0), "mdf": (350.0, 180.0)}
    sheetless = {key: value for key, value in MDF.items() if key != "size"}
    sizes = {
        s.material: (s.width, s.height)
        for s in nest_parts(parts_of(disc_sheet=sheetless)).sheets.sheets
    }
    assert sizes == {"birch-plywood": (300.0, 200.0), "mdf": (300.0, 200.0)}


def test_layouts_of_two_stocks_come_back_byte_for_byte(duo, nested, tmp_path):
    kept = tmp_path / "duo.layout.json"
    kept.write_text(nested.layout, encoding="utf-8")
    again = nest_parts(duo, kept=kept)
    assert again.sheets.reused and again.sheets.why == "used again"
    assert again.layout == nested.layout
    assert again.sheets.sheets == nested.sheets.sheets
    for backend in (SvgBackend(), DxfBackend()):
        one, other = (
            backend.render(dataclasses.replace(found.sheets, despite_failures=True))
            for found in (again, nested)
        )
        assert one == other
    assert nest_parts(duo).layout == nested.layout
    better = nest_parts(duo, kept=kept, again=True)
    assert better.layout == nested.layout and better.sheets.reused


def test_a_stock_that_did_not_change_keeps_its_layout(tmp_path):
    parts = parts_of(disc_sheet=MDF)
    nested = nest_parts(parts)
    kept = tmp_path / "duo.layout.json"
    kept.write_text(nested.layout, encoding="utf-8")
    other = nest_parts(parts_of(disc_sheet={**MDF, "size": [400, 200]}), kept=kept)
    assert not other.sheets.reused
    assert other.sheets.why == (
        "birch-plywood 4 mm: used again; "
        "mdf 6 mm: new, since the parts, the sheet or the settings have changed"
    )
    before, after = (
        [s for s in found.sheets.sheets if s.material == "birch-plywood"]
        for found in (nested, other)
    )
    assert before == after


def test_a_layout_of_the_first_version_is_not_used(tmp_path):
    parts = parts_of()
    kept = tmp_path / "duo.layout.json"
    data = json.loads(nest_parts(parts).layout)
    (stock,) = data.pop("stocks")
    old = {"framekit_layout": 1, "nester": "quick", "hash": stock["hash"]}
    kept.write_text(json.dumps({**old, "sheets": stock["sheets"]}), encoding="utf-8")
    found = nest_parts(parts, kept=kept).sheets
    assert not found.reused
    assert found.why == "new, since the parts, the sheet or the settings have changed"


@pytest.mark.parametrize(
    ("disc_sheet", "jobs"),
    [
        ({"material": "birch-plywood", "thickness": 4}, 1),
        ({"material": "birch-plywood", "thickness": 4, "size": [300, 200]}, 1),
        ({"material": "birch-plywood", "thickness": 4, "size": [200, 300]}, 1),
        ({"material": "birch-plywood", "thickness": 4, "size": [301, 200]}, 2),
        ({"material": "birch-plywood", "thickness": 4.1}, 2),
        ({"material": "mdf", "thickness": 4}, 2),
    ],
)
def test_equal_stocks_are_one(disc_sheet, jobs):
    found = make_jobs(parts_of(disc_sheet=disc_sheet))
    assert len(found) == jobs
    assert sum(len(group) for job in found for group in job.groups) == 9


def test_a_thickness_found_in_two_ways_is_one():
    parts = recut(parts_of(), thickness=4.0 + 1e-12)
    assert len(make_jobs(parts)) == 1


def test_the_bed_does_not_make_two_sheets_one():
    """A machine reaches the same of both, but they are bought apart."""
    cutter = {"kerf": 0.2, "bed": [290, 190]}
    own = {"material": "birch-plywood", "thickness": 4, "size": [600, 400], "price": "9 EUR"}
    ribs, discs = make_jobs(parts_of(disc_sheet=own, cutter=cutter))
    assert (ribs.job.width, ribs.job.height) == (discs.job.width, discs.job.height) == (290, 190)
    assert (ribs.boards[0].price, discs.boards[0].price) == ((4.2, "EUR"), (9.0, "EUR"))


def test_other_kinds_go_with_what_they_are_cut_from():
    parts = recut(parts_of(disc_sheet=MDF), material="mdf", thickness=6.0)
    for piece, size in ((("mdf", 6.0), (350, 180)), (("birch-plywood", 4.0), (300, 200))):
        material, thickness = piece
        some = recut(
            parts,
            lambda part: part.id == "disc-3",
            kind="foot",
            id="foot-1",
            material=material,
            thickness=thickness,
        )
        (job,) = [j for j in make_jobs(some) for g in j.groups if any(p.id == "foot-1" for p in g)]
        assert (job.material, job.thickness) == piece
        assert (job.job.width, job.job.height) == size


def test_ribs_come_first_whatever_the_order_of_the_parts():
    parts = parts_of(disc_sheet=MDF)
    (frame,) = parts.frames
    turned = Parts(parts.solution, (FrameParts(frame.solution, frame.parts[::-1]),))
    assert [job.material for job in make_jobs(turned)] == ["birch-plywood", "mdf"]


def test_sums_of_each_stock():
    parts = parts_of(disc_sheet=MDF)
    sheets = nest_parts(parts).sheets.sheets
    ribs, discs = stock_totals(sheets)
    assert (ribs.stock, discs.stock) == ("birch-plywood 4 mm", "mdf 6 mm")
    for total, kind in ((ribs, "rib"), (discs, "disc")):
        own = [s for s in sheets if s.placements[0].part.kind == kind]
        assert total.sheets == len(own)
        # Every edge is cut once, however the parts lie; 1e-6 mm for turned arcs' lengths
        edges = sum(p.outline.length for p in parts.all if p.kind == kind)
        assert sum(s.cut_length for s in own) == pytest.approx(edges, abs=1e-6)
        # Of the default speeds: at least every edge at 10 mm/s and 0.3 s for each path's start.
        starts = sum(1 + len(p.outline.holes) for p in parts.all if p.kind == kind)
        assert total.seconds > edges / 10 + 0.3 * starts
        assert total.seconds == pytest.approx(sum(s.seconds for s in own), abs=1e-9)  # rounding
    # 4.20 EUR and 3.00 EUR a sheet; 1e-9: rounding of sums
    assert ribs.cost[0] == pytest.approx(4.20 * ribs.sheets, abs=1e-9)
    assert discs.cost[0] == pytest.approx(3.00 * discs.sheets, abs=1e-9)
    amount, currency = total_cost(sheets).cost
    assert currency == "EUR"
    assert amount == pytest.approx(4.20 * ribs.sheets + 3.00 * discs.sheets, abs=1e-9)


def test_a_sum_needs_every_price_in_one_currency():
    free = {key: value for key, value in MDF.items() if key != "price"}
    for disc_sheet in (free, {**MDF, "price": "3.00 GBP"}):
        sheets = nest_parts(parts_of(disc_sheet=disc_sheet)).sheets.sheets
        assert total_cost(sheets).cost is None
    assert [total.cost for total in stock_totals(sheets)][1][1] == "GBP"
    assert total_cost(()).cost is None


def test_progress_of_the_second_job_comes_after_the_first(duo, monkeypatch):
    # enough moves to tell of the first job before it is done
    monkeypatch.setattr(Effort.__init__, "__defaults__", (800, 4000, 2))
    shares = []
    nest_parts(duo, progress=lambda state: shares.append(state.done / state.total))
    assert 0 <= shares[0] < 0.5 <= shares[-1] <= 1
    later = next(i for i, share in enumerate(shares) if share > 0.5)
    assert max(shares[:later]) <= 0.5 <= min(shares[later:])


def test_a_disc_that_is_too_large_for_its_stock_is_named():
    parts = parts_of(disc_sheet={**MDF, "size": [350, 120]})
    with pytest.raises(NestError, match="duo/disc-1"):
        nest_parts(parts)
