"""The nester `tight`: its layouts judged by clipping on whole numbers, its search by fakes.

A fake is a module named spyrrow on the import path, with just what the search's process calls.
Tests wait for what happens, never for a time: a busy machine only makes them slower.
"""

from __future__ import annotations

import itertools
import math
import os
import sys
import textwrap
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pyclipper
import pytest
from shapely.geometry import Polygon

from framekit.errors import NestError
from framekit.sheets.layout import job_hash
from framekit.sheets.nest.quick.nester import QuickNester
from framekit.sheets.nest.quick.packing import Effort
from framekit.sheets.nest.shapes import make_shape
from framekit.sheets.nest.tight.nester import TightNester
from framekit.sheets.nest.tight.search import OUTWARD, outline_around
from framekit.sheets.protocol import NestItem, NestJob, NestProgress, NestResult, Point
from framekit.testing import check_nester

LIGHT = Effort(moves=60, points=4000, rounds=5)
AMPLE = 14.0  # s; a backstop for searches that end by themselves, one search's worth
UNITS = 10_000  # clipper's whole numbers in a mm
GRAIN = 0.02  # mm² of overlap put down to whole numbers and to the chords of round corners


def rib(outer: float, inner: float) -> tuple[Point, ...]:
    """Half a ring whose origin lies on the axis, outside the outline."""
    angles = [math.radians(-88 + 176 * k / 30) for k in range(31)]
    out = [(outer * math.cos(a), outer * math.sin(a)) for a in angles]
    back = [(inner * math.cos(a), inner * math.sin(a)) for a in reversed(angles)]
    return tuple(out + back)


def disc(radius: float, count: int = 48) -> tuple[Point, ...]:
    turns = [2 * math.pi * k / count for k in range(count)]
    return tuple((radius * math.cos(a), radius * math.sin(a)) for a in turns)


ITEMS = (
    NestItem("rib", rib(40, 32), copies=4),
    NestItem("ring", disc(35), (disc(26),), 1),
    NestItem("plate", disc(22), (), 2),
)
JOB = NestJob(ITEMS, 400.0, 130.0, 2.0, 2.0)


def paths(job: NestJob, result: NestResult) -> list[list[list[list[tuple[int, int]]]]]:
    """For each sheet and part its rings as whole numbers, turned and moved by plane rotation."""
    sheets = []
    for sheet in result.sheets:
        parts = []
        for place in sheet:
            c, s = math.cos(math.radians(place.rotation)), math.sin(math.radians(place.rotation))
            item = job.items[place.item]
            parts.append(
                [
                    [
                        (
                            round((c * x - s * y + place.x) * UNITS),
                            round((s * x + c * y + place.y) * UNITS),
                        )
                        for x, y in ring
                    ]
                    for ring in (item.outer, *item.holes)
                ]
            )
        sheets.append(parts)
    return sheets


def grown(rings: list[list[tuple[int, int]]], by: float) -> list[list[list[int]]]:
    offset = pyclipper.PyclipperOffset(2.0, 0.001 * UNITS)
    for number, ring in enumerate(rings):
        if pyclipper.Orientation(ring) != (number == 0):
            ring = ring[::-1]
        offset.AddPath(ring, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    return offset.Execute(by * UNITS)


def assert_legal(job: NestJob, result: NestResult) -> None:
    counts = Counter((p.item, p.copy) for sheet in result.sheets for p in sheet)
    assert set(counts.values()) <= {1}
    assert set(counts) == {(i, c) for i, it in enumerate(job.items) for c in range(it.copies)}
    low, right, top = (
        round(v * UNITS) for v in (job.margin, job.width - job.margin, job.height - job.margin)
    )
    for parts in paths(job, result):
        for rings in parts:
            assert all(low - 1 <= x <= right + 1 and low - 1 <= y <= top + 1 for x, y in rings[0])
        for one, two in itertools.combinations(parts, 2):
            clip = pyclipper.Pyclipper()
            clip.AddPaths(grown(one, job.spacing / 2), pyclipper.PT_SUBJECT, True)
            clip.AddPaths(grown(two, job.spacing / 2), pyclipper.PT_CLIP, True)
            common = clip.Execute(pyclipper.CT_INTERSECTION)
            assert abs(sum(map(pyclipper.Area, common))) / UNITS**2 <= GRAIN


def used(job: NestJob, result: NestResult) -> float:
    """The rightmost point of the last sheet, mm."""
    return max(x for rings in paths(job, result)[-1] for x, _ in rings[0]) / UNITS


def enough_for(job: NestJob) -> float:
    """Seconds that leave a search its time however slowly this machine lays the first layout."""
    began = time.monotonic()
    QuickNester(LIGHT).nest(job)
    return 3.0 + 10 * (time.monotonic() - began)


# --- with spyrrow itself


def test_the_kit_finds_nothing() -> None:
    pytest.importorskip("spyrrow")
    check_nester(TightNester(seconds=2.0, effort=LIGHT))


def test_a_frame_gets_shorter_and_progress_tells_how_short(monkeypatch) -> None:
    pytest.importorskip("spyrrow")
    # One long search, since each one tells its own lengths.
    monkeypatch.setattr("framekit.sheets.nest.tight.search.RUN", 600.0)
    start = used(JOB, QuickNester(LIGHT).nest(JOB))
    steps: list[NestProgress] = []
    lengths: list[float] = []

    def stop_when_shorter(step: NestProgress) -> None:
        steps.append(step)
        if step.note.startswith("sheet 1 of 1") and step.best is not None:
            lengths.append(step.best)
            # progress counts the margin of 2 mm too; 0.01 mm is far above the rounding of `used`
            if step.best < start + 2.0 - 0.01:
                raise KeyboardInterrupt

    result = TightNester(seconds=600.0, effort=LIGHT).nest(JOB, stop_when_shorter)
    assert_legal(JOB, result)
    assert result.stopped
    assert result.notes == ("stopped early with the best layout so far",)
    assert used(JOB, result) < start
    assert all(0 <= step.done <= step.total == 600 for step in steps)
    assert lengths == sorted(lengths, reverse=True)


def test_several_sheets_are_no_more_than_the_quick_ones() -> None:
    pytest.importorskip("spyrrow")
    items = (NestItem("rib", rib(30, 24), copies=8), NestItem("plate", disc(14), copies=5))
    job = NestJob(items, 110.0, 75.0, 3.0, 2.0, "sheets", 6.0)
    result = TightNester(effort=LIGHT).nest(job)
    assert_legal(job, result)
    quick = QuickNester(LIGHT).nest(job)
    assert (len(result.sheets), used(job, result)) <= (len(quick.sheets), used(job, quick) + 1e-6)


def test_a_part_as_high_as_the_room_is_laid() -> None:
    pytest.importorskip("spyrrow")
    tall = ((0.0, 0.0), (10.0, 0.0), (10.0, 96.0), (0.0, 96.0))
    job = NestJob((NestItem("tall", tall, copies=3),), 200.0, 100.0, 2.0, 2.0, "length")
    result = TightNester(seconds=enough_for(job), effort=LIGHT).nest(job)
    assert_legal(job, result)
    assert result.notes == ()


def test_seconds_are_no_part_of_the_layouts_hash() -> None:
    longer = NestJob(JOB.items, JOB.width, JOB.height, JOB.margin, JOB.spacing, "length", 99.0)
    assert job_hash(longer, "tight") == job_hash(JOB, "tight")


@pytest.mark.parametrize("seconds", [-1.0, math.nan, math.inf])
def test_seconds_that_are_no_time_are_refused(seconds: float) -> None:
    with pytest.raises(NestError, match="seconds is no search"):
        TightNester(seconds=seconds).nest(JOB)


def test_the_simplified_outline_holds_the_exact_one() -> None:
    shape = make_shape(rib(40, 32), 2.0)
    around = Polygon(outline_around(shape, 2.0))
    exact = Polygon(shape.exact)
    assert around.is_valid
    assert around.contains(exact)
    # what a neighbour may come to, grown by the spacing, is all but the same; chords of round
    # corners of 2 mm in 128 steps lie 2·(1 - cos(π/128)) = 0.0006 mm inside
    wide = exact.buffer(2.0, quad_segs=64)
    assert wide.buffer(OUTWARD + 0.001).covers(around.buffer(2.0, quad_segs=64))


# --- with a fake in its place

HEAD = """
import enum, os, sys, threading, time
class ReportType(enum.IntEnum):
    ExplFeas = 0; ExplInfeas = 1; ExplImproving = 2; CmprFeas = 3; Final = 4
class Item:
    def __init__(self, id, shape, demand, allowed_orientations):
        self.id, self.shape, self.demand = id, shape, demand
class ProgressQueue:
    def __init__(self): self.reports, self.drains = [], 0
    def drain(self):
        found, self.reports, self.drains = self.reports, [], self.drains + 1
        return found
    def wait_until_sent(self):
        # What one drain gave is sent before the next one.
        first = self.drains
        while self.drains < first + 2: time.sleep(0.01)
def hang():
    time.sleep(120)
    open(os.environ["FAKE_WOKE"], "w").close()
class StripPackingConfig:
    def __init__(self, **settings): vars(self).update(settings)
class Placed:
    def __init__(self, id, x, y): self.id, self.translation, self.rotation = id, (x, y), 0.0
class Layout:
    def __init__(self, width, parts): self.width, self.placed_items = width, parts
def heap(items):
    return [Placed(i.id, 50.0, 50.0) for i in items for _ in range(i.demand)]
def row(items, gap):
    parts, right = [], 0.0
    for i in items:
        xs, ys = [x for x, _ in i.shape], [y for _, y in i.shape]
        for _ in range(i.demand):
            parts.append(Placed(i.id, right + gap - min(xs), gap - min(ys)))
            right += gap + max(xs) - min(xs)
    return Layout(right + gap, parts)
class StripPackingInstance:
    def __init__(self, name, strip_height, items): self.height, self.items = strip_height, items
    def solve(self, config, progress):
        gap = config.min_items_separation
"""

PLATES = NestJob((NestItem("plate", disc(20), copies=3),), 300.0, 46.0, 2.0, 2.0, "length", AMPLE)


@pytest.fixture
def fake(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Put a spyrrow whose `solve` has the given body on the import path.

    A body that hangs must be ended from outside: none comes to the end of its long sleep.
    """
    woke = tmp_path / "woke"
    monkeypatch.setenv("FAKE_WOKE", str(woke))
    monkeypatch.setenv("FAKE_PID", str(tmp_path / "pid"))

    def put(body: str, start: str = "") -> Path:
        text = HEAD + textwrap.indent(textwrap.dedent(body), " " * 8) + f"\n{start}\n"
        (tmp_path / "spyrrow.py").write_text(text, encoding="utf-8")
        monkeypatch.syspath_prepend(str(tmp_path))
        return tmp_path

    yield put
    assert not woke.exists(), "the search's process was not ended"


@pytest.mark.parametrize(
    ("body", "note"),
    [
        ("class PanicException(BaseException): pass\nraise PanicException('deep')", "deep"),
        ("os._exit(7)", "ended before its time"),
        ("os.abort()", "ended before its time"),
        ("os.write(3, b'x' * 5_000_000); hang()", "no layout of these parts"),
        ('os.write(3, b\'{"length": 1, "parts": 5}\\n\'); hang()', "no layout of"),
        ("os.write(3, b'[]\\n'); hang()", "no layout of"),
        ("os.write(3, b'7\\n'); hang()", "no layout of"),
        ("progress.reports.append((0, Layout(9.0, heap(self.items)[1:])))", "no layout of"),
        ("progress.reports.append((0, Layout(float('nan'), [])))", ""),
        ("progress.reports.append((4, Layout(9.0, heap(self.items))))", ""),
        ("progress.reports.append((1, row(self.items, gap)))", ""),
        ("print('talk', flush=True); os.write(1, b'more talk')", ""),
    ],
)
def test_a_broken_search_leaves_the_quick_layout(fake, body: str, note: str) -> None:
    fake(body)
    result = TightNester(effort=LIGHT).nest(PLATES)
    assert result.sheets == QuickNester(LIGHT).nest(PLATES).sheets
    if note:
        assert len(result.notes) == 1
        assert result.notes[0].startswith("spyrrow: ")
        assert note in result.notes[0]
    else:
        assert result.notes == ()
    assert not result.stopped


@pytest.mark.parametrize(("body", "start"), [("hang()", ""), ("pass", "hang()")])
def test_a_search_that_hangs_is_ended_at_its_limit(fake, body: str, start: str) -> None:
    fake(body, start)
    result = TightNester(seconds=enough_for(PLATES), effort=LIGHT).nest(
        replace(PLATES, seconds=None)
    )
    assert result.sheets == QuickNester(LIGHT).nest(PLATES).sheets
    assert result.notes == ()
    assert not result.stopped


# the quick layout of these is longer than the row, which the fakes give
SHORT = NestJob((NestItem("rib", rib(20, 16), copies=4),), 400.0, 46.0, 2.0, 2.0, "length", AMPLE)


def test_what_was_found_before_a_crash_is_kept(fake) -> None:
    fake(
        "progress.reports.append((0, row(self.items, gap)))\n"
        "progress.wait_until_sent()\nos._exit(9)"
    )
    clumsy = TightNester(effort=Effort(moves=0, points=150, rounds=0))
    result = clumsy.nest(SHORT)
    assert_legal(SHORT, result)
    # side by side without turning: 4 boxes and 3 gaps between 2 margins; hairs of rounding
    box = 20 - 16 * math.cos(math.radians(88))
    assert used(SHORT, result) + 2 <= 4 * box + 3 * 2 + 2 * 2 + 0.05
    assert any("ended before its time" in note for note in result.notes)


def test_a_spyrrow_that_cannot_be_imported_is_told(fake) -> None:
    folder = fake("pass")
    (folder / "spyrrow.py").write_text("raise ImportError('old')\n", encoding="utf-8")
    result = TightNester(effort=LIGHT).nest(PLATES)
    assert result.notes


def test_without_spyrrow_the_command_that_installs_it_is_told(monkeypatch) -> None:
    monkeypatch.setattr("framekit.sheets.nest.tight.engine.find_spec", lambda name: None)
    with pytest.raises(NestError, match="needs the package spyrrow") as caught:
        TightNester().nest(JOB)
    assert "pip install 'framekit[tight]'" in str(caught.value)


def test_time_that_the_first_layout_takes_up_is_told() -> None:
    pytest.importorskip("spyrrow")
    result = TightNester(effort=LIGHT).nest(replace(PLATES, seconds=1e-3))
    assert result.notes == ("no time was left for a search after the first layout",)


@pytest.mark.skipif(sys.platform == "win32", reason="asking for a process of POSIX")
def test_no_process_is_left_behind(fake) -> None:
    folder = fake("open(os.environ['FAKE_PID'], 'w').write(f'{os.getpid()}\\n'); hang()")
    kept = folder / "pid"

    def stop_when_running(step: NestProgress) -> None:
        if kept.exists() and kept.read_text().endswith("\n"):
            raise KeyboardInterrupt

    result = TightNester(seconds=100.0, effort=LIGHT).nest(PLATES, stop_when_running)
    assert result.stopped
    with pytest.raises(ProcessLookupError):
        os.kill(int(kept.read_text()), 0)
