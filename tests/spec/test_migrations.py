"""Versions of the spec language, tried with made-up older ones; places are counted by hand."""

from __future__ import annotations

import pytest

from framekit.errors import SpecError
from framekit.spec.build import load_spec, parse_spec, spec_from_values
from framekit.spec.migrations import CURRENT, MIGRATIONS, moved
from framekit.spec.yaml_text import read_yaml

OLD = """framekit: -1
planet:
  form: sphere
  diameter: 190 mm
ribs: {count: 6}
discs:
  - {height: 0}
  - {height: 0.5 m}
sheet: {thickness: 3 mm, size: [600, 400]}
"""


def minus_one(document):
    """In version −1 the body was a planet."""
    return moved(document, ("planet",), ("body",))


def zero(document):
    """In version 0 a shape was a form, and a disc had its height without `at`."""
    document = moved(document, ("body", "form"), ("body", "shape"))
    for n in range(len(document.values.get("discs", ()))):
        document = moved(document, ("discs", n, "height"), ("discs", n, "at", "height"))
    return document


MADE_UP = {CURRENT - 2: minus_one, CURRENT - 1: zero}


def faults_of(text, migrations=MADE_UP):
    with pytest.raises(SpecError) as caught:
        parse_spec(text, "old.yaml", migrations)
    return caught.value.faults


def test_an_older_spec_is_read_as_one_of_today():
    found = parse_spec(OLD, "old.yaml", MADE_UP).frames[0]
    assert (found.body.shape, found.ribs.count) == ("sphere", 6)
    assert [disc.at.height.value for disc in found.discs] == [0, 500]


def test_values_keep_their_places_in_the_authors_file():
    frame = parse_spec(OLD, "old.yaml", MADE_UP).frames[0]
    place = frame.where("body", "shape")
    assert (place.line, place.column, place.path) == (3, 9, "planet.form")
    place = frame.where("discs", 1, "at", "height")
    assert (place.line, place.column, place.path) == (8, 14, "discs[1].height")


def test_faults_have_the_lines_of_the_authors_file():
    text = OLD.replace("sphere", "spher").replace("0.5 m", "high").replace("ribs", "rips")
    lines = {f.where.line: f.message for f in faults_of(text)}
    assert "spher" in lines[3] and "rips" in lines[5] and "high" in lines[8]


def test_a_spec_of_today_is_not_migrated():
    def never(document):
        raise AssertionError("a document of the current version was migrated")

    text = (
        f"framekit: {CURRENT}\nbody: {{shape: sphere, diameter: 190 mm}}\nribs: {{count: 6}}\n"
        "discs: [{at: {height: 0}}]\nsheet: {thickness: 3 mm, size: [600, 400]}\n"
    )
    assert parse_spec(text, None, {CURRENT: never, CURRENT - 1: never}).frames[0].id == "frame"


def test_each_file_of_a_set_has_its_own_version(tmp_path):
    (tmp_path / "old.yaml").write_text(OLD.replace("0.5 m", "40 mm"), encoding="utf-8")
    text = f"framekit: {CURRENT}\nframes: [{{id: A, use: old.yaml}}]\n"
    spec = parse_spec(text, str(tmp_path / "set.yaml"), MADE_UP)
    (frame,) = spec.frames
    assert frame.discs[1].at.height.value == 40
    assert frame.where("body", "shape").line == 3
    (tmp_path / "old.yaml").write_text(OLD.replace("-1", "2"), encoding="utf-8")
    (tmp_path / "set.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(SpecError) as caught:
        load_spec(tmp_path / "set.yaml")
    assert (caught.value.code, caught.value.where.file) == (
        "spec-newer",
        str(tmp_path / "old.yaml"),
    )


@pytest.mark.parametrize("frames", ["", "frames: [{id: A}]\n"])
@pytest.mark.parametrize(
    ("version", "sentence"),
    [
        ("2", "this is version 2 of the spec language, and this framekit reads versions up to 1. "
              "Update framekit."),
        ("0", "the spec language has no version 0. Write 'framekit: 1'."),
        ("-7", "the spec language has no version -7. Write 'framekit: 1'."),
        ("'1'", "the version is not the whole number 1. Write 'framekit: 1'."),
        ("1.0", "the version is not the whole number 1. Write 'framekit: 1'."),
        ("true", "the version is not the whole number 1. Write 'framekit: 1'."),
        ("[1]", "the version is not the whole number 1. Write 'framekit: 1'."),
    ],
)  # fmt: skip
def test_a_version_that_is_not_read_is_told_in_its_own_sentence(version, sentence, frames):
    faults = faults_of(f"# a spec\nframekit: {version}\n{frames}", MIGRATIONS)
    about = [f for f in faults if f.where.path == "framekit"]
    assert [str(f) for f in about] == [f"old.yaml:2:11 (framekit): {sentence}"]


def test_plain_values_have_a_version_too():
    with pytest.raises(SpecError) as caught:
        spec_from_values({"framekit": CURRENT + 1})
    assert caught.value.code == "spec-newer" and caught.value.hint == "Update framekit."


def test_a_key_that_was_not_written_moves_nothing():
    document = read_yaml(OLD, "old.yaml")
    for absent in (("planet", "height"), ("discs", 5, "height"), ("ribs", "count", "x"), ("rib",)):
        assert moved(document, absent, ("body",)) is document
