"""No command solves a frame twice: calls of the solver are counted, frame by frame."""

from __future__ import annotations

from collections import Counter

import pytest

from framekit.cli.main import COMMANDS
from framekit.solution import build

SPEC = """framekit: 1
id: moons
scale: "1:30 000 000"
shared:
  sheet: {thickness: 3.05 ± 0.03, size: [600, 400]}
  batches: [{name: blue, thickness: [3.01, 3.05, 3.03, 3.02, 3.06]}]
  cutter: {kerf: 0.16}
  ribs: {count: 4, width: {equator: 18, pole: 12}}
  discs: [{at: {height: 0}}]
frames:
  - {id: A1, body: {catalogue: moon}}
  - {id: A2, body: {catalogue: europa}}
  - {id: A3, body: {catalogue: io}}
"""
WAYS = {
    "new": [["new", "saturn", "200 mm", "FOLDER/saturn.yaml"]],
    "check": [["check", "SPEC", *more] for more in ([], ["--all"], ["--json"])],
    "build": [
        ["build", "SPEC", *more]
        for more in ([], ["--json"], ["--despite-failures", "--json"], ["--batch", "blue"])
    ],
    "explain": [
        ["explain", "SPEC", "--frame", "A2", *more]
        for more in (["disc-1.radius"], ["--all"], ["ligament of disc-1", "--json"])
    ],
    "allowed": [
        ["allowed", "SPEC", "sheet.thickness", "--frame", "A2", *more] for more in ([], ["--json"])
    ],
    "coupon": [["coupon", "SPEC", *more] for more in ([], ["--json"], ["--reading", "slot=3.10"])],
    "schema": [["schema", "spec"]],
}
SPOILED = {
    "none": lambda text: text,
    "a check that fails": lambda text: text.replace("equator: 18", "equator: 7"),
    "a frame without a solution": lambda text: text.replace("catalogue: io", "catalogue: mimas"),
}


@pytest.fixture
def solved(monkeypatch):
    """How often each frame was solved."""
    real, found = build.solve_frame, Counter()

    def counted(frame):
        found[frame.id] += 1
        return real(frame)

    monkeypatch.setattr(build, "solve_frame", counted)
    return found


def test_every_command_is_tried():
    assert set(WAYS) == set(COMMANDS)


@pytest.mark.parametrize("words", [w for ways in WAYS.values() for w in ways], ids=" ".join)
@pytest.mark.parametrize("spoiled", SPOILED.values(), ids=SPOILED)
def test_each_frame_is_solved_once(run, spec, tmp_path, solved, spoiled, words):
    spec.write_text(spoiled(SPEC), encoding="utf-8")
    words = [w.replace("SPEC", str(spec)).replace("FOLDER", str(tmp_path)) for w in words]
    code, _, err = run(*words)
    assert code in (0, 1, 2) and "Traceback" not in err and "usage" not in err
    frames = {"new": ["saturn"], "schema": []}.get(words[0], ["A1", "A2", "A3"])
    assert solved == Counter(frames)


def test_a_spec_that_readings_are_written_to_is_solved_before_and_after(run, spec, solved):
    words = ("--reading", "slot=3.10", "--write")
    assert run("coupon", spec, *words)[0] == 0
    assert solved == {"A1": 2, "A2": 2, "A3": 2}
