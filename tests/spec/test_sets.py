"""Sets: what is shared, whose keys win, where each value stands, and what is refused."""

from __future__ import annotations

import pytest

from framekit.errors import SpecError
from framekit.spec.build import load_spec, parse_spec, spec_from_values

SET = """framekit: 1
id: moons
title: Moons for a class
scale: 1:40 000 000
shared:
  sheet: {thickness: 3.05 ± 0.05, size: [600, 400]}
  cutter: {kerf: 0.16}
  ribs: {count: 8, width: {equator: 18, pole: 12}}
  discs: [{at: {height: 0}}]
frames:
  - {id: A1, body: {catalogue: titan}}
  - {id: A2, body: {catalogue: moon}, ribs: {count: 6}}
"""


def test_a_frames_own_keys_win_key_by_key():
    spec = parse_spec(SET, "moons.yaml")
    first, second = spec.frames
    assert (spec.id, spec.title, len(spec.frames)) == ("moons", "Moons for a class", 2)
    assert spec.plan is not None and spec.plan.scale == 40e6 and not spec.plan.keep_together
    assert (first.ribs.count, second.ribs.count) == (8, 6)
    assert second.ribs.width == first.ribs.width is not None
    assert first.sheet == second.sheet


def test_every_value_keeps_its_own_line():
    first, second = parse_spec(SET, "moons.yaml").frames
    assert first.where("ribs", "count").line == 8
    assert second.where("ribs", "count").line == 12
    assert second.where("ribs", "width", "equator").line == 8
    assert second.where("ribs", "width", "equator").path == "shared.ribs.width.equator"
    assert second.where("body", "catalogue").path == "frames[1].body.catalogue"
    assert second.where("body", "catalogue").file == "moons.yaml"


@pytest.mark.parametrize(
    ("own", "key", "gone"),
    [
        ("ribs: {longitudes: [0, 90, 180]}", "longitudes", "count"),
        ("ribs: {inner_radius: {equator: 20, pole: 20}}", "inner_radius", "width"),
    ],
)
def test_a_key_hides_the_shared_one_it_stands_instead_of(own, key, gone):
    text = SET.replace("ribs: {count: 6}", own)
    ribs = parse_spec(text).frames[1].ribs
    assert getattr(ribs, key) is not None and getattr(ribs, gone) is None


def test_a_body_is_replaced_whole():
    text = SET.replace("shared:", "shared:\n  body: {shape: sphere, diameter: 9}")
    assert parse_spec(text).frames[0].body.shape is None


def test_faults_of_all_frames_come_at_once_with_their_lines():
    text = SET.replace("count: 6", "countt: 6").replace("{id: A1,", "{id: A1, scale: 1:3,")
    with pytest.raises(SpecError) as caught:
        parse_spec(text, "moons.yaml")
    found = [(f.code, f.where.line) for f in caught.value.faults]
    assert found == [("two-scales", 11), ("spec-unknown-key", 12)]
    assert "Did you mean 'count'" in caught.value.faults[1].hint


def test_a_shared_fault_is_told_once():
    with pytest.raises(SpecError) as caught:
        parse_spec(SET.replace("kerf: 0.16", "kerff: 0.16"))
    assert [(f.code, f.where.line) for f in caught.value.faults] == [("spec-unknown-key", 7)]


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (("id: A2", "id: a1"), "frame-id-doubled"),
        (("frames:", "frames: []\nfrmes:"), "spec-unknown-key"),
        (("scale: 1:40 000 000", "scale: biggest"), "spec-value-error"),
    ],
)
def test_what_makes_no_set(change, code):
    with pytest.raises(SpecError) as caught:
        parse_spec(SET.replace(*change))
    assert code in {f.code for f in caught.value.faults}


def test_another_files_frame(tmp_path):
    (tmp_path / "buoy.yaml").write_text(
        "framekit: 1\nid: buoy\nbody: {shape: sphere, diameter: 1 m}\nribs: {count: 5}\n"
        "discs: [{at: {height: 0}}]\nsheet: {thickness: 4, size: [500, 300]}\n"
    )
    text = SET.replace("scale: 1:40 000 000\n", "") + "  - {id: A3, use: buoy.yaml, scale: 1:5}\n"
    (tmp_path / "set.yaml").write_text(text)
    third = load_spec(tmp_path / "set.yaml").frames[2]
    assert third.id == "A3" and third.ribs.count == 5 and third.scale == 5
    # The used file's own keys win over the shared ones, and keep their place.
    assert third.sheet.thickness is not None and third.sheet.thickness.value == 4
    assert third.where("sheet", "thickness").file == str(tmp_path / "buoy.yaml")
    assert third.where("cutter", "kerf").file == str(tmp_path / "set.yaml")
    assert third.cutter.kerf is not None


@pytest.mark.parametrize("path", ["/etc/passwd", "../x.yaml", "a/../../x.yaml", "", 7, "a\\b.yaml"])
def test_paths_that_leave_the_folder_are_not_followed(path, tmp_path):
    values = {"framekit": 1, "frames": [{"id": "A", "use": path}]}
    with pytest.raises(SpecError) as caught:
        spec_from_values(values)
    assert caught.value.code == "use-path"


def test_a_set_does_not_use_a_set(tmp_path):
    (tmp_path / "a.yaml").write_text(SET)
    (tmp_path / "b.yaml").write_text("framekit: 1\nframes: [{id: X, use: a.yaml}]\n")
    with pytest.raises(SpecError) as caught:
        load_spec(tmp_path / "b.yaml")
    assert caught.value.code == "set-uses-set"
