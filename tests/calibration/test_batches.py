"""Batches of sheets: judged by the allowed range, a spec for each, and entries that are refused."""

from __future__ import annotations

import pytest

from framekit.analysis.allowed_range import allowed_range
from framekit.analysis.model import AllowedRange
from framekit.calibration.batches import for_batch, judge_batches, plain_name
from framekit.errors import SpecError, UnknownNameError
from framekit.solution.build import solve
from framekit.spec.build import parse_spec

SPEC = """framekit: 1
id: small
body: {shape: sphere, diameter: 120 mm}
ribs: {count: 4, width: 18}
discs: [{at: {height: 0}}]
sheet: {thickness: 3.00 ± 0.06, size: [400, 300]}
cutter: {kerf: 0.16 ± 0.02}
"""
BATCHES = """batches:
  - {name: blue pile, thickness: [2.98, 2.99, 2.98, 2.99, 2.98], count: 6}
  - {name: thick, thickness: [3.02, 3.05, 3.11]}
  - {name: wild, thickness: [2.95, 3.01, 2.99, 3.04]}
  - {name: one, thickness: [2.95]}
"""


def test_batches_are_judged_by_the_allowed_range() -> None:
    frame = solve(parse_spec(SPEC + BATCHES)).frames[0]
    allowed = allowed_range(frame, "sheet.thickness")
    assert isinstance(allowed, AllowedRange)
    found = {b.name: b for b in judge_batches(frame)}
    assert [b.verdict for b in found.values()] == ["pass", "fail", "undecided", "pass"]
    assert allowed.low <= found["blue pile"].low and found["blue pile"].high <= allowed.high
    assert allowed.high < 3.11 and f"{3.11 - allowed.high:.3f}" in found["thick"].text
    assert found["wild"].low < allowed.low or found["wild"].high > allowed.high
    # One reading: the spec's own ± 0.06 mm.
    assert found["one"].high - found["one"].low == pytest.approx(0.12, abs=1e-9)


def test_a_spec_for_a_batch_is_solved_with_its_sheets() -> None:
    spec = parse_spec(SPEC + BATCHES, "small.yaml")
    made = for_batch(spec, "blue pile")
    assert made.id == "small-blue-pile"
    frame = solve(made).frames[0]
    assert frame.value("sheet.thickness") == pytest.approx(2.984, abs=1e-9)
    # The snug fit of birch plywood is 0.05 mm.
    assert frame.value("joint.slot_width") == pytest.approx(3.034, abs=1e-9)
    where = frame.quantities["sheet.thickness"].where
    assert where.path == "batches[0].thickness" and where.line == 9
    assert spec.frames[0].sheet.thickness.value == 3.0


def test_a_set_shares_its_batches() -> None:
    text = f"""framekit: 1
id: pair
shared:
  ribs: {{count: 4, width: 18}}
  discs: [{{at: {{height: 0}}}}]
  sheet: {{thickness: 3.00 ± 0.06, size: [400, 300]}}
  {BATCHES.replace(chr(10), chr(10) + "  ").rstrip()}
frames:
  - {{id: A, body: {{shape: sphere, diameter: 120 mm}}}}
  - {{id: B, body: {{shape: sphere, diameter: 140 mm}}}}
"""
    solution = solve(for_batch(parse_spec(text, "pair.yaml"), "blue pile"))
    for frame in solution.frames:
        assert frame.value("sheet.thickness") == pytest.approx(2.984, abs=1e-9)


def test_an_unknown_batch_names_those_there_are() -> None:
    with pytest.raises(UnknownNameError, match="Did you mean 'blue pile'"):
        for_batch(parse_spec(SPEC + BATCHES), "blu pile")
    with pytest.raises(UnknownNameError, match="none"):
        for_batch(parse_spec(SPEC), "blue pile")


@pytest.mark.parametrize(
    "entry",
    [
        "{name: '', thickness: [3]}",
        "{name: '--', thickness: [3]}",
        '{name: "a\\nb", thickness: [3]}',
        "{name: a, thickness: []}",
        "{name: a, thickness: [-3]}",
        "{name: a, thickness: [.nan]}",
        "{name: a, thickness: [three]}",
        "{name: a, thickness: 3}",
        "{name: a, thickness: [3], count: 0}",
        "{name: a, thickness: [3], count: 2.5}",
        "{name: a, thickness: [3], colour: red}",
        "{thickness: [3]}",
        "{name: blue pile, thickness: [3]}, {name: Blue-Pile, thickness: [3]}",
    ],
)
def test_bad_batches_are_refused_with_their_line(entry) -> None:
    with pytest.raises(SpecError) as caught:
        parse_spec(f"{SPEC}batches: [{entry}]\n", "x.yaml")
    assert caught.value.where.line == 8


def test_names_of_files() -> None:
    assert plain_name("../Blue  pile, 2") == "Blue-pile-2"
