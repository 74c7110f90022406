"""The order on a sheet: marks before cuts, inside before outside, and little travel."""

from __future__ import annotations

import itertools
import math
import random

import pytest

from framekit.geometry.path import Outline, Path, Vertex, circle, rectangle
from framekit.parts.build import make_parts
from framekit.parts.model import Part
from framekit.pipeline import verify
from framekit.sheets.build import nest_parts
from framekit.sheets.labels import label_texts
from framekit.sheets.model import Placement
from framekit.sheets.route.cuts import plain_runs
from framekit.sheets.route.runs import all_paths
from framekit.sheets.route.tour import plan_runs
from framekit.solution.build import solve
from framekit.spec.build import parse_spec

POSE = ((1.0, 0, 0, 0), (0, 1.0, 0, 0), (0, 0, 1.0, 0), (0, 0, 0, 1.0))


def placed(number, outline, x, y, marks=()):
    part = Part(
        id=f"disc-{number}", kind="disc", frame="f", title="", thickness=3, material="m",
        outline=outline, marks=marks, crossings=(), pose=POSE, mass=1.0, origin=None,
    )  # fmt: skip
    return Placement(part, x, y, 0)


def travel(placements, runs):
    """The travel from the origin, summed here from the paths' ends."""
    at, total = (0.0, 0.0), 0.0
    for path, _ in all_paths(placements, runs, 0.0):
        start = path.vertices[0][:2]
        total += math.dist(at, start)
        at = start if path.closed else path.vertices[-1][:2]
    return total


@pytest.mark.parametrize("seed", range(12))
def test_few_squares_are_run_nearly_as_short_as_can_be(seed):
    """Against every order and every start of five squares, tried one by one."""
    rng = random.Random(seed)
    square = Outline(rectangle(0, 10, 5, 10))
    corners = [(0, 0), (10, 0), (10, 10), (0, 10)]
    places = [(rng.uniform(0, 90), rng.uniform(0, 90)) for _ in range(5)]
    placements = [placed(n, square, *at) for n, at in enumerate(places)]
    best = math.inf
    for order in itertools.permutations(range(5)):
        costs = {(0.0, 0.0): 0.0}
        for n in order:
            here = [(places[n][0] + x, places[n][1] + y) for x, y in corners]
            costs = {p: min(c + math.dist(q, p) for q, c in costs.items()) for p in here}
        best = min(best, *costs.values())
    found = travel(placements, plan_runs(placements))
    # Exchanges end in local optima; a tenth is what they are allowed here. 1e-6: rounding
    assert best - 1e-6 <= found <= 1.1 * best


def test_marks_come_first_and_may_run_backward():
    line = Path((Vertex(5, 1), Vertex(-5, 1)), closed=False)
    placements = [placed(n, Outline(circle(8)), 20 * n + 10, 10, (line,)) for n in range(3)]
    runs = plan_runs(placements)
    assert [r.operation for r in runs] == ["mark"] * 3 + ["outside"] * 3
    # From the left, each line is met at its left end, which is its last point.
    assert [(r.placement, r.backward) for r in runs[:3]] == [(0, True), (1, True), (2, True)]


def test_what_lies_in_a_hole_is_cut_before_its_ring():
    shapes = {
        "ring": (Outline(circle(50), (circle(40, clockwise=True),)), 60),
        "inner": (Outline(circle(30), (circle(20, clockwise=True),)), 60),
        "core": (Outline(circle(10)), 60),
        "apart": (Outline(circle(5)), 10),
    }
    names = list(shapes)
    placements = [placed(n, shape, at, at) for n, (shape, at) in enumerate(shapes.values())]
    cut = [(names[r.placement], r.operation) for r in plan_runs(placements)]
    order = [name for name, operation in cut if operation == "outside"]
    assert order.index("core") < order.index("inner") < order.index("ring")
    assert order[0] == "apart"
    # The slug of a hole takes along what lies in it, so the hole waits too.
    assert cut.index(("inner", "outside")) < cut.index(("ring", "inside"))
    assert cut.index(("ring", "inside")) < cut.index(("ring", "outside"))


SPECS = ["harbour-buoy", "moon-acrylic", "saturn-class"]


@pytest.mark.parametrize("name", SPECS)
def test_travel_on_examples_is_less_than_part_by_part(name):
    parts = verify(f"specs/{name}.yaml").parts
    for sheet in nest_parts(parts).sheets.sheets:
        assert plan_runs(sheet.placements) == plan_runs(sheet.placements)
        planned = travel(sheet.placements, sheet.runs)
        # 1e-6 mm: two sums of some hundred distances
        assert planned == pytest.approx(sheet.travel, abs=1e-6)
        assert planned < travel(sheet.placements, plain_runs(sheet.placements))
        done = [(r.placement, r.operation, r.path) for r in sheet.runs]
        wanted = [(r.placement, r.operation, r.path) for r in plain_runs(sheet.placements)]
        assert sorted(done) == sorted(wanted)
        last_mark = max(i for i, r in enumerate(sheet.runs) if r.operation == "mark")
        assert all(r.operation == "mark" for r in sheet.runs[: last_mark + 1])
        for i, run in enumerate(sheet.runs):
            if run.operation == "inside":
                outside = next(
                    k for k, r in enumerate(sheet.runs)
                    if (r.placement, r.operation) == (run.placement, "outside")
                )  # fmt: skip
                assert i < outside


def test_no_two_labels_of_a_set_can_be_one():
    frames = ["A", "A1", "A1R", "R", "moons", "A2R3", "1"]
    parts = [f"{kind}-{n}" for kind in ("rib", "disc", "flange", "stand") for n in (1, 2, 13)]
    texts = [t for f in frames for p in parts for t in label_texts("moons", f, p)]
    assert len(set(texts)) == len(texts)
    assert label_texts(None, "small", "disc-2") == ("small D2", "smallD2")


SET = """framekit: 1
id: pair
shared:
  sheet: {thickness: 3, size: [400, 300]}
  cutter: {kerf: 0.16}
  ribs: {count: 4, width: 14}
  discs: [{at: {height: 0}}]
frames:
  - {id: A1, body: {shape: sphere, diameter: 120}}
  - {id: A2, body: {shape: sphere, diameter: 120}}
"""


def test_a_set_s_labels_name_the_set_where_there_is_room():
    sheets = nest_parts(make_parts(solve(parse_spec(SET)))).sheets.sheets
    strokes = {
        (p.part.frame, p.part.id): tuple(s.vertices for s in p.label)
        for s in sheets
        for p in s.placements
    }
    assert len(strokes) == 10 and all(strokes.values())
    assert len(set(strokes.values())) == 10  # equal parts of two frames, unequal labels
