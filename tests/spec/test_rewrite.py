"""Values put into a spec's text: every byte outside the named values stays."""

from __future__ import annotations

import difflib
import errno
import os
import stat
from pathlib import Path

import pytest

from framekit.errors import SpecError, WriteError
from framekit.spec import rewrite
from framekit.spec.rewrite import replace_file, rewritten
from framekit.spec.yaml_text import read_yaml

SPECS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))


@pytest.mark.parametrize(
    ("text", "path", "value", "wanted"),
    [
        ("a:\n  b: 1   # one\n", "a.b", "2 ± 1", "a:\n  b: 2 ± 1   # one\n"),
        ("a: {b: 1, c: 2}\n", "a.b", "3", "a: {b: 3, c: 2}\n"),
        ("a: {c: 2}   # c\n", "a.b", "3", "a: {c: 2, b: 3}   # c\n"),
        ("a: {c: 2,}\n", "a.b", "3", "a: {c: 2, b: 3,}\n"),
        ("a: {}\n", "a.b", "3", "a: {b: 3}\n"),
        ("a:\n  c: 2   # two\nd: 4\n", "a.b", "3", "a:\n  c: 2   # two\n  b: 3\nd: 4\n"),
        ("a:\n  c: 2", "a.b", "3", "a:\n  c: 2\n  b: 3\n"),
        ("a:\n  c: [1,\n    2]\nd: 4\n", "a.b", "3", "a:\n  b: 3\n  c: [1,\n    2]\nd: 4\n"),
        ("c: 1\n", "a.b", "3", "c: 1\na: {b: 3}\n"),
        ("c: 1", "a.b", "3", "c: 1\na: {b: 3}\n"),
        ("{c: 1}\n", "a.b", "3", "{c: 1, a: {b: 3}}\n"),
        ("a:\r\n  c: 2\r\n", "a.b", "3", "a:\r\n  c: 2\r\n  b: 3\r\n"),
        ('a: {b: "1:2"}\n', "a.b", "3", "a: {b: 3}\n"),
        ("a:\n  b:   # none yet\n  c: 2\n", "a.b", "3", "a:\n  b: 3   # none yet\n  c: 2\n"),
        ("a:\n  b:\n    value: 1\n    tolerance: 2   # t\n", "a.b", "3", "a:\n  b:\n    3   # t\n"),
        ("\ufeffa: {b: 1}\n", "a.b", "3", "\ufeffa: {b: 3}\n"),
        ("s: {a: {b: 1}}\na: {b: 2}\n", "s.a.b", "3", "s: {a: {b: 3}}\na: {b: 2}\n"),
    ],
)
def test_the_text_afterward(text, path, value, wanted) -> None:
    assert rewritten(text, {path: value}) == wanted


def test_one_key_takes_the_place_of_another() -> None:
    text = "joint:\n  style: housed\n  fit: snug   # by hand\n"
    new = rewritten(text, {"joint.clearance": "0.05"}, {"joint.clearance": "fit"})
    assert new == "joint:\n  style: housed\n  clearance: 0.05   # by hand\n"


@pytest.mark.parametrize("spec", SPECS, ids=lambda path: path.name)
def test_only_the_named_values_change_in_the_examples(spec) -> None:
    """The values are read again by the reader of specs, and every other line is the same bytes."""
    text = spec.read_text(encoding="utf-8")
    before = read_yaml(text, None).values
    above = "shared." if "frames" in before else ""
    changes = {f"{above}sheet.thickness": "3.21 ± 0.04", f"{above}cutter.kerf": "0.123"}
    new = rewritten(text, changes)
    after = read_yaml(new, None).values
    for values, added in ((before, False), (after, True)):
        place = values["shared"] if above else values
        assert not added or place["sheet"]["thickness"] == "3.21 ± 0.04"
        assert not added or place["cutter"]["kerf"] == 0.123
        for section, key in (("sheet", "thickness"), ("cutter", "kerf")):
            place.setdefault(section, {}).pop(key, None)
    assert after == before
    old_lines, new_lines = text.splitlines(True), new.splitlines(True)
    changed = 0
    for what, i, j, k, m in difflib.SequenceMatcher(
        None, old_lines, new_lines, autojunk=False
    ).get_opcodes():
        changed += 0 if what == "equal" else m - k
        assert what != "delete"
        for line, was in zip(new_lines[k:m], old_lines[i:j] or [""], strict=False):
            if what == "equal" or not was:
                continue
            # What stands before and after the new value stood there before.
            value = next(v for v in changes.values() if v in line)
            head, tail = line.split(value)
            own = head.rstrip("{ ").rpartition(",")[0] if was.find(head) < 0 else head
            assert was.startswith(own) and was.endswith(tail)
    assert changed <= len(changes)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("a: 1\n", "spec-path"),
        ("a: [1]\n", "spec-path"),
        ("a:\n", "spec-path"),
        ("x: &s {b: 1}\na: *s\n", "spec-anchor"),
        ("a: {b: &t 3}\nc: *t\n", "spec-anchor"),
        ("a: {b: 1\n", "yaml-syntax"),
        ("", "yaml-empty"),
    ],
)
def test_what_cannot_be_changed_is_said(text, code) -> None:
    with pytest.raises(SpecError) as caught:
        rewritten(text, {"a.b": "3"})
    assert caught.value.code == code and caught.value.hint


def test_a_file_is_replaced_whole_and_keeps_its_rights(tmp_path) -> None:
    path = tmp_path / "my spec.yaml"
    path.write_bytes(b"old")
    path.chmod(0o640)
    replace_file(path, b"old", b"new")
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [p.name for p in tmp_path.iterdir()] == ["my spec.yaml"]


def test_a_link_stays_a_link(tmp_path) -> None:
    path, link = tmp_path / "spec.yaml", tmp_path / "link.yaml"
    path.write_bytes(b"old")
    link.symlink_to(path)
    replace_file(link, b"old", b"new")
    assert link.is_symlink() and path.read_bytes() == b"new"


def test_a_file_changed_meanwhile_is_left(tmp_path) -> None:
    path = tmp_path / "spec.yaml"
    path.write_bytes(b"theirs")
    with pytest.raises(WriteError, match="meanwhile"):
        replace_file(path, b"old", b"new")
    assert path.read_bytes() == b"theirs" and len(list(tmp_path.iterdir())) == 1


@pytest.mark.parametrize("call", ["fsync", "replace", "copymode"])
@pytest.mark.parametrize("fault", [OSError(errno.ENOSPC, "No space left"), KeyboardInterrupt()])
def test_a_fault_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch, call, fault) -> None:
    path = tmp_path / "spec.yaml"
    path.write_bytes(b"old")

    def fail(*_: object, **__: object) -> None:
        raise fault

    owner = {"fsync": os, "replace": Path, "copymode": rewrite.shutil}[call]
    monkeypatch.setattr(owner, call, fail)
    with pytest.raises((WriteError, KeyboardInterrupt)):
        replace_file(path, b"old", b"new")
    assert path.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["spec.yaml"]
