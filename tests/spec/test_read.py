"""Reading: every fault at once with its place, and text from strangers."""

from __future__ import annotations

import pickle

import pytest

from framekit.errors import SpecError, Where
from framekit.spec.build import load_spec, parse_spec

GOOD = """framekit: 1
id: buoy
body: {shape: sphere, diameter: 190 mm}
ribs: {count: 6}
discs:
  - at: {height: 0}
sheet: {thickness: 3 mm, size: [600, 400]}
"""


def faults_of(text):
    with pytest.raises(SpecError) as caught:
        parse_spec(text, "odd.yaml")
    return caught.value.faults


def test_every_fault_is_reported_at_once_with_line_and_column():
    text = """framekit: 1
body: {shape: spher, equatorial_diamter: 3}
scale: 14
ribs: {count: 1000000000, width: fat}
discs:
  - at: {height: 0, fraction: .2}
    bore: big
sheet: {thickness: -3, size: [600]}
"""
    faults = faults_of(text)
    assert [f.where.line for f in faults] == [2, 2, 3, 4, 4, 6, 7, 8, 8]
    assert all(f.where.column and f.where.file == "odd.yaml" and f.hint for f in faults)
    assert {f.where.path for f in faults} >= {
        "body.shape",
        "body.equatorial_diamter",
        "ribs.count",
        "discs[0].bore",
    }


def test_unknown_keys_name_near_misses():
    (fault,) = faults_of(GOOD + "cuter: {}\n")
    assert fault.code == "spec-unknown-key"
    assert "'cutter'" in fault.hint
    assert (fault.where.line, fault.where.column) == (8, 1)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "yaml-empty"),
        ("- 1", "spec-not-mapping"),
        ("a: [1,", "yaml-syntax"),
        ("a: 1\na: 2", "yaml-doubled-key"),
        ("a: !!python/object/apply:os.system [echo]", "yaml-tag"),
        ("a: &x [*x]", "yaml-too-deep"),
        ("[" * 3000, "yaml-too-deep"),
        ("a: \x00", "yaml-syntax"),
        ("a: " + "x" * 1_000_001, "yaml-too-large"),
        ("a: *nowhere", "yaml-syntax"),
        ("a: 1\n---\nb: 2", "yaml-syntax"),
        ("? [a]\n: b", "yaml-key"),
        ("a: !!int x", "yaml-number"),
    ],
    ids=lambda value: value[:12],
)
def test_text_that_is_no_plain_yaml(text, code):
    assert faults_of(text)[0].code == code


def test_aliases_that_multiply_are_stopped():
    lines = ["a: &a [1,1,1,1,1,1,1,1,1]"]
    for below, name in zip("abcde", "bcdef", strict=True):
        lines.append(f"{name}: &{name} [{','.join(['*' + below] * 9)}]")
    assert faults_of("\n".join(lines))[0].code == "yaml-too-large"


def test_a_file_that_cannot_be_read(tmp_path):
    for path, content in (("no.yaml", None), ("latin.yaml", b"a: \xff")):
        if content is not None:
            (tmp_path / path).write_bytes(content)
        with pytest.raises(SpecError) as caught:
            load_spec(tmp_path / path)
        assert path in str(caught.value) and caught.value.hint
    with pytest.raises(SpecError):
        load_spec(tmp_path)


def test_yaml_1_2_reads_a_bare_ratio_as_text():
    assert parse_spec(GOOD + "scale: 1:60\n").frames[0].scale == 60


def test_the_id_comes_from_the_file_when_not_given():
    text = GOOD.replace("id: buoy\n", "")
    named = parse_spec(text, "some/Long name, with odd (signs).yaml")
    assert named.id == "Long-name-with-odd-signs"
    assert parse_spec(text).id == "frame"


def test_places_lead_back_to_lines():
    frame = parse_spec(GOOD, "buoy.yaml").frames[0]
    assert frame.where("discs", 0, "at", "height") == Where(
        "buoy.yaml", 6, 18, "discs[0].at.height"
    )
    assert frame.where("discs", 0, "bore").line == 6


def test_errors_cross_process_borders():
    with pytest.raises(SpecError) as caught:
        parse_spec("a: 1", "odd.yaml")
    again = pickle.loads(pickle.dumps(caught.value))
    assert again.faults == caught.value.faults
    assert str(again) == str(caught.value)


@pytest.mark.parametrize(
    ("extra", "phrase"),
    [
        ("joint: {fit: snug, clearance: 0.1}", "both say how tight"),
        ("cutter: {process: router}", "tool_diameter"),
        ("cutter: {process: knife, kerf: 0.2}", "takes no material away"),
        ("cutter: {process: laser, tool_diameter: 3}", "process: router"),
        ("cutter: {process: router, tool_diameter: 3, kerf: 3}", "one thing"),
        ("cutter: {strokes: {mark: '#ff0000', inside: '#ff0000'}}", "one colour"),
        ("cutter: {strokes: {mark: red}}", "not a colour"),
        ("cutter: {kerf: 0.1 ± 0.2}", "larger than the value"),
        ("scale: 4", "not a ratio"),
        ("id: x y", "letters"),
    ],
)
def test_keys_that_do_not_go_together(extra, phrase):
    text = GOOD if not extra.startswith("id") else GOOD.replace("id: buoy\n", "")
    assert phrase in str(faults_of(text + extra + "\n")[0])
