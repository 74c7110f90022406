"""The nester `quick` on small jobs, judged by exact outlines placed anew here."""

from __future__ import annotations

import itertools
import math
from collections import Counter

import pytest
from shapely.geometry import Polygon

from framekit.errors import NestError
from framekit.sheets.nest.quick.nester import QuickNester
from framekit.sheets.nest.quick.packing import Effort
from framekit.sheets.protocol import NestItem, NestJob, NestProgress, NestResult, Objective, Point

LIGHT = QuickNester(Effort(moves=60, points=4000, rounds=5))
ROUNDING = 1e-6  # mm: coordinates of some hundred mm in doubles, times a few operations


def box(width: float, height: float, x: float = 0.0, y: float = 0.0) -> tuple[Point, ...]:
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def disc(radius: float, count: int = 48) -> tuple[Point, ...]:
    turns = [2 * math.pi * k / count for k in range(count)]
    return tuple((radius * math.cos(a), radius * math.sin(a)) for a in turns)


def rib(outer: float, inner: float) -> tuple[Point, ...]:
    """Half a ring whose origin lies on the axis, outside the outline."""
    angles = [math.radians(-88 + 176 * k / 30) for k in range(31)]
    out = [(outer * math.cos(a), outer * math.sin(a)) for a in angles]
    back = [(inner * math.cos(a), inner * math.sin(a)) for a in reversed(angles)]
    return tuple(out + back)


def frame_items() -> tuple[NestItem, ...]:
    return (
        NestItem("rib", rib(40, 32), copies=4),
        NestItem("ring", disc(35), (disc(26),), 1),
        NestItem("plate", disc(22), (), 2),
    )


def put(job: NestJob, result: NestResult) -> list[list[Polygon]]:
    """The outlines on each sheet, turned and moved by the formulas of a plane rotation."""
    sheets = []
    for sheet in result.sheets:
        shapes = []
        for place in sheet:
            item = job.items[place.item]
            c, s = math.cos(math.radians(place.rotation)), math.sin(math.radians(place.rotation))
            rings = [
                [(c * x - s * y + place.x, s * x + c * y + place.y) for x, y in ring]
                for ring in (item.outer, *item.holes)
            ]
            shapes.append(Polygon(rings[0], rings[1:]))
        sheets.append(shapes)
    return sheets


def assert_legal(job: NestJob, result: NestResult) -> None:
    counts = Counter((p.item, p.copy) for sheet in result.sheets for p in sheet)
    wanted = {(i, c) for i, item in enumerate(job.items) for c in range(item.copies)}
    assert set(counts) == wanted
    assert set(counts.values()) <= {1}
    for shapes in put(job, result):
        for shape in shapes:
            x0, y0, x1, y1 = shape.bounds
            assert min(x0, y0) >= job.margin - ROUNDING
            assert x1 <= job.width - job.margin + ROUNDING
            assert y1 <= job.height - job.margin + ROUNDING
        for one, two in itertools.combinations(shapes, 2):
            assert one.distance(two) >= job.spacing - ROUNDING
            assert one.intersection(two).area <= ROUNDING
        assert sum(shape.area for shape in shapes) <= job.width * job.height


def used(job: NestJob, result: NestResult) -> list[float]:
    return [max(shape.bounds[2] for shape in shapes) + job.margin for shapes in put(job, result)]


@pytest.mark.parametrize("objective", ["length", "sheets"])
def test_frame_is_legal_and_the_same_twice(objective: Objective) -> None:
    job = NestJob(frame_items(), 400.0, 130.0, 2.0, 2.0, objective)
    heard: list[NestProgress] = []
    first = LIGHT.nest(job, heard.append)
    assert_legal(job, first)
    assert first == LIGHT.nest(job)
    assert heard
    assert all(0 <= step.done <= step.total for step in heard)


def test_default_effort_shortens_a_frame() -> None:
    job = NestJob(frame_items(), 400.0, 130.0, 2.0, 2.0)
    result = QuickNester().nest(job)
    assert_legal(job, result)
    # the boxes of four ribs, of the ring and of one plate, side by side in 126 mm of height
    shelves = (4 * 42 * 82 + 72 * 72 + 46 * 46) / 126
    assert used(job, result)[0] < shelves


def test_a_plate_goes_into_the_bore_and_a_smaller_ring_into_a_larger() -> None:
    items = (
        NestItem("small", disc(10)),
        NestItem("ring", disc(22), (disc(13),)),
        NestItem("large ring", disc(40), (disc(25),)),
    )
    job = NestJob(items, 200.0, 100.0, 5.0, 2.0)
    result = LIGHT.nest(job)
    assert_legal(job, result)
    assert used(job, result)[0] == pytest.approx(90.0, abs=0.01)  # the large ring alone: 2·40 + 2·5


def test_bars_fill_a_square_bore_turned() -> None:
    # a window of 52 × 14 mm leaves 48 × 10 for bars; upright bars of 8 × 40 go in lying only
    items = (
        NestItem("window", box(60, 30), (box(52, 14, 4, 8),)),
        NestItem("bar", box(8, 40)),
    )
    job = NestJob(items, 66.0, 36.0, 3.0, 2.0)
    result = LIGHT.nest(job)
    assert len(result.sheets) == 1
    assert_legal(job, result)


def test_a_hole_too_small_by_a_hair_stays_empty() -> None:
    items = (NestItem("ring", disc(20, 96), (disc(12, 96),)), NestItem("plate", disc(10.05, 96)))
    job = NestJob(items, 100.0, 44.0, 2.0, 2.0)
    result = LIGHT.nest(job)
    assert_legal(job, result)
    assert used(job, result)[0] > 60


def test_several_sheets_when_one_is_not_enough() -> None:
    job = NestJob((NestItem("tile", box(40, 40), copies=9),), 100.0, 100.0, 5.0, 2.0, "sheets")
    result = LIGHT.nest(job)
    assert_legal(job, result)
    # four tiles a sheet: 2·40 + 2 + 2·5 = 92 ≤ 100 and three abreast need 134
    assert [len(sheet) for sheet in result.sheets] == [4, 4, 1]
    assert used(job, result)[-1] == pytest.approx(50.0, abs=0.01)  # 40 + 2·5, as the grid starts


def test_a_hopeless_second_part_only_costs_a_sheet() -> None:
    # discs of 42 and 40 mm never share a room of 56 × 44; looking for a way must end all the same
    items = (NestItem("one", disc(21)), NestItem("two", disc(20)), NestItem("three", disc(8)))
    job = NestJob(items, 60.0, 48.0, 2.0, 2.0, "sheets")
    result = QuickNester().nest(job)
    assert_legal(job, result)
    assert len(result.sheets) == 2


def test_whole_sets_are_repeated() -> None:
    items = (NestItem("rib", rib(30, 24), copies=8), NestItem("plate", disc(14), copies=4))
    job = NestJob(items, 110.0, 75.0, 3.0, 2.0, "sheets")
    result = LIGHT.nest(job)
    assert_legal(job, result)
    assert len(result.sheets) > 1


def test_equal_outlines_under_different_keys_are_all_placed() -> None:
    items = tuple(NestItem(f"rib-{k}", rib(30, 24)) for k in range(1, 5))
    job = NestJob(items, 300.0, 80.0, 2.0, 2.0)
    assert_legal(job, LIGHT.nest(job))


def test_a_part_that_fits_only_upright() -> None:
    job = NestJob((NestItem("bar", box(90, 10)),), 30.0, 100.0, 5.0, 0.0)
    result = LIGHT.nest(job)
    assert_legal(job, result)
    assert result.sheets[0][0].rotation % 180 == pytest.approx(90.0, abs=1e-3)  # exact fit


def test_a_part_that_fits_only_across_the_corner() -> None:
    # 130 × 4 in a square of 100: at 45° it spans (130 + 4)/√2 = 94.8
    job = NestJob((NestItem("bar", box(130, 4, 50, 7), copies=2),), 100.0, 100.0, 1.0, 2.0)
    result = LIGHT.nest(job)
    assert_legal(job, result)
    for sheet in result.sheets:
        for place in sheet:
            assert abs(place.rotation % 90 - 45) < 10


def test_a_part_that_fits_nowhere_is_named() -> None:
    items = (NestItem("plate", box(20, 20)), NestItem("beam", box(150, 4)))
    with pytest.raises(NestError, match=r"beam \(150\.0 × 4\.0 mm\) does not fit") as caught:
        LIGHT.nest(NestJob(items, 100.0, 100.0, 1.0, 2.0))
    assert "plate" not in str(caught.value)
    assert caught.value.hint


@pytest.mark.parametrize(
    ("job", "sentence"),
    [
        (NestJob((), 10.0, 10.0, 5.0, 1.0), "leaves no room"),
        (NestJob((), math.nan, 10.0, 1.0, 1.0), "must be finite"),
        (NestJob((NestItem("bow", ((0, 0), (9, 9), (9, 0), (0, 9))),), 50.0, 50.0), "simple"),
        (NestJob((NestItem("none", box(5, 5), copies=-1),), 50.0, 50.0), "-1 copies"),
        (NestJob((NestItem("stick", ((0, 0), (9, 9))),), 50.0, 50.0), "three or more"),
    ],
)
def test_unsound_jobs_are_refused(job: NestJob, sentence: str) -> None:
    with pytest.raises(NestError, match=sentence):
        LIGHT.nest(job)


def test_no_parts_need_no_sheet() -> None:
    assert LIGHT.nest(NestJob((), 50.0, 50.0)) == NestResult(())


def test_many_parts_do_not_explode() -> None:
    items = (NestItem("plate", disc(12, 24), copies=90), NestItem("tile", box(15, 25), copies=60))
    job = NestJob(items, 400.0, 300.0, 4.0, 2.0, "sheets")
    assert_legal(job, LIGHT.nest(job))
