"""Routes of sheets laid by hand: every path once, nothing cut that is already free, little travel.

What must be run and what before what is written down here from the way the sheet is laid, with
no word asked of the package.
"""

from __future__ import annotations

import itertools
import math
import random

import pytest
from parts.hand_made import level, part

from framekit.geometry.path import Outline, Path, Vertex, circle
from framekit.sheets.model import Placement
from framekit.sheets.route.runs import all_paths
from framekit.sheets.route.tour import plan_runs


def hole(x, y, radius):
    return circle(radius, clockwise=True).moved(0.0, x, y)


def line(x, y, length, angle=0.0):
    c, s = math.cos(angle), math.sin(angle)
    return Path((Vertex(x, y), Vertex(x + length * c, y + length * s)), closed=False)


def laid(outline, x, y, marks=(), turn=0.0, bridges=()):
    made = part("disc-1", outline, level(0.0))
    made = type(made)(**{**vars(made), "marks": tuple(marks)})
    return Placement(made, x, y, turn, bridges=bridges)


def scattered(seed):
    """Plates with holes and marks in a grid, some with a disc in a hole and a dot in that: the
    numbers of each placement's container, and the placements."""
    rng = random.Random(seed)
    placements, inside = [], {}
    cells = [(x, y) for x in range(3) for y in range(2)]
    rng.shuffle(cells)
    for x, y in cells[: rng.randint(3, 6)]:
        at = (60 * x + 30 + rng.uniform(-2, 2), 60 * y + 30 + rng.uniform(-2, 2))
        turn = rng.choice([0.0, 30.0, 90.0, 200.0])
        marks = [line(rng.uniform(-20, -18), rng.uniform(-3, 3), 3.0, rng.uniform(0, 6))
                 for _ in range(rng.randint(0, 3))]  # fmt: skip
        if rng.random() < 0.5:
            marks.append(Path((Vertex(-19, 4), Vertex(-17, 4), Vertex(-18, 7))))
        holes = [hole(0, 0, 15), hole(0, 20, 2), hole(20, 0, 1.5)][: rng.randint(1, 3)]
        if rng.random() < 0.5:
            holes = holes[::-1]
        placements.append(laid(Outline(circle(25), tuple(holes)), *at, marks, turn))
        ring = len(placements) - 1
        if rng.random() < 0.6:
            inner = (hole(0, 0, 6),) if rng.random() < 0.5 else ()
            placements.append(laid(Outline(circle(12), inner), *at))
            inside[len(placements) - 1] = ring, holes.index(hole(0, 0, 15))
            if inner:
                placements.append(laid(Outline(circle(4)), *at))
                inside[len(placements) - 1] = len(placements) - 2, 0
    order = list(range(len(placements)))
    rng.shuffle(order)
    new = {old: k for k, old in enumerate(order)}
    return (
        [placements[old] for old in order],
        {new[n]: (new[ring], k) for n, (ring, k) in inside.items()},
    )


def travel(paths):
    at, total = (0.0, 0.0), 0.0
    for path in paths:
        total += math.dist(at, path.vertices[0][:2])
        at = path.vertices[0 if path.closed else -1][:2]
    return total


@pytest.mark.parametrize("seed", range(12))
def test_every_path_is_run_once_and_what_is_free_is_cut_no_more(seed):
    placements, inside = scattered(seed)
    runs = plan_runs(placements)
    told = [(r.placement, r.operation, r.path) for r in runs]
    wanted = []
    for n, placement in enumerate(placements):
        wanted += [(n, "mark", k) for k in range(len(placement.part.marks))]
        wanted += [(n, "inside", k) for k in range(len(placement.part.outline.holes))]
        wanted.append((n, "outside", 0))
    assert sorted(told) == sorted(wanted)
    marks = sum(len(p.part.marks) for p in placements)
    assert all(operation == "mark" for _, operation, _ in told[:marks])
    for n, placement in enumerate(placements):
        for k in range(len(placement.part.outline.holes)):
            assert told.index((n, "inside", k)) < told.index((n, "outside", 0))
    for n, (ring, k) in inside.items():
        assert told.index((n, "outside", 0)) < told.index((ring, "inside", k))


@pytest.mark.parametrize("seed", range(12))
def test_paths_are_the_outlines_and_travel_is_less_than_part_by_part(seed):
    placements, _ = scattered(seed)
    runs = plan_runs(placements)
    found = [path for path, _ in all_paths(placements, runs, 0.0)]
    for run, path in zip(runs, found, strict=True):
        placement = placements[run.placement]
        outline = placement.outline
        drawn = {
            "mark": placement.marks,
            "inside": outline.holes,
            "outside": (outline.outer,),
        }[run.operation][run.path]
        assert sorted(v[:2] for v in path.vertices) == sorted(v[:2] for v in drawn.vertices)
        assert path.vertices[0][:2] == run.start
        if run.operation == "mark":
            assert run.backward == (path.vertices != drawn.vertices)
        else:
            # 1e-9 mm²: rounding; the same way round
            assert path.area == pytest.approx(drawn.area, abs=1e-9)
    plain = []
    for operation in ("mark", "inside", "outside"):
        for placement in placements:
            outline = placement.outline
            plain += {
                "mark": placement.marks, "inside": outline.holes, "outside": (outline.outer,)
            }[operation]  # fmt: skip
    # 1e-6 mm: rounding of sums
    assert travel(found) <= travel(plain) + 1e-6


@pytest.mark.parametrize("seed", range(8))
def test_few_marks_are_run_nearly_as_short_as_can_be(seed):
    """Against every order and either end of five marks; the rest of the sheet is one disc."""
    rng = random.Random(seed)
    marks = [
        line(rng.uniform(-60, 60), rng.uniform(-60, 60), 8.0, rng.uniform(0, 6.3)) for _ in range(5)
    ]
    placement = laid(Outline(circle(90)), 100.0, 100.0, marks)
    runs = plan_runs([placement])
    found = travel([p for p, mark in all_paths([placement], runs, 0.0) if mark])
    best = math.inf
    for order in itertools.permutations(placement.marks):
        costs = {(0.0, 0.0): 0.0}
        for mark in order:
            a, b = (v[:2] for v in mark.vertices)
            costs = {
                b: min(c + math.dist(p, a) for p, c in costs.items()),
                a: min(c + math.dist(p, b) for p, c in costs.items()),
            }
        best = min(best, *costs.values())
    # Exchanges end in local optima; a fifth is what they are allowed here. 1e-6: rounding
    assert best - 1e-6 <= found <= 1.2 * best


def test_a_cut_with_bridges_starts_in_one_and_leaves_each():
    """A plate of 40 × 40 mm with a hole of 10 mm radius: two bridges out, one in, gaps of 2 mm."""
    square = Path((Vertex(-20, -20), Vertex(20, -20), Vertex(20, 20), Vertex(-20, 20)))
    bridges = (((10.0, 0.0),), ((0.0, -20.0), (0.0, 20.0)))
    placement = laid(
        Outline(square, (circle(10, clockwise=True),)), 50, 40, turn=90.0, bridges=bridges
    )
    runs = plan_runs([placement])
    # turned by 90°, (x, y) goes to (50 − y, 40 + x)
    assert [r.operation for r in runs] == ["inside", "outside"]
    assert runs[0].start == (50.0, 50.0)
    assert runs[1].start in ((30.0, 40.0), (70.0, 40.0))
    pieces = [path for path, _ in all_paths([placement], runs, 2.0)]
    assert [p.closed for p in pieces] == [False, False, False]
    # 20π − 2 in one piece, 160 − 4 in two; 1e-9: sums
    assert pieces[0].length == pytest.approx(20 * math.pi - 2, abs=1e-9)
    assert [p.length for p in pieces[1:]] == pytest.approx([78.0, 78.0], abs=1e-9)
    ends = sorted(
        (round(v.x, 9), round(v.y, 9)) for p in pieces[1:] for v in (p.vertices[0], p.vertices[-1])
    )
    assert ends == [(30.0, 39.0), (30.0, 41.0), (70.0, 39.0), (70.0, 41.0)]
    # a hole without bridges is cut whole, and starts at a corner
    open_ = laid(
        Outline(square, (circle(10, clockwise=True),)), 50, 40, bridges=((), ((0.0, 20.0),))
    )
    first, second = plan_runs([open_])
    assert first.start in ((60.0, 40.0), (40.0, 40.0)) and second.start == (50.0, 60.0)
    whole, cut = (path for path, _ in all_paths([open_], (first, second), 2.0))
    assert whole.closed and not cut.closed


def test_each_hole_has_bridges_of_its_own():
    """Two holes of 8 mm radius: none in the first, one in the second, at its far side."""
    square = Path((Vertex(-20, -20), Vertex(20, -20), Vertex(20, 20), Vertex(-20, 20)))
    holes = (hole(-10, 0, 8), hole(10, 0, 8))
    bridges = ((), ((18.0, 0.0),), ((0.0, 20.0),))
    placement = laid(Outline(square, holes), 50, 40, bridges=bridges)
    runs = plan_runs([placement])
    starts = {(r.operation, r.path): r.start for r in runs}
    assert starts[("inside", 1)] == (68.0, 40.0) and starts[("outside", 0)] == (50.0, 60.0)
    assert starts[("inside", 0)] in ((32.0, 40.0), (48.0, 40.0))
    lengths = {
        (r.operation, r.path): sum(p.length for p, _ in all_paths([placement], [r], 2.0))
        for r in runs
    }
    # 16π whole, 16π − 2 and 160 − 2 with a gap of 2 mm; 1e-9: sums
    assert lengths == {
        ("inside", 0): pytest.approx(16 * math.pi, abs=1e-9),
        ("inside", 1): pytest.approx(16 * math.pi - 2, abs=1e-9),
        ("outside", 0): pytest.approx(158.0, abs=1e-9),
    }
