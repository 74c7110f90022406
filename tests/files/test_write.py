"""Files are written all or none, whatever goes wrong on the way."""

import errno
import hashlib
import os
import shutil
from pathlib import Path

import pytest

from framekit.errors import WriteError
from framekit.files.model import Document
from framekit.files.write import write_files

OLD = {"a.svg": b"old a", "b.svg": b"old b", "notes.txt": b"mine"}
NEW = {"svg": (Document("a.svg", b"new a"), Document("b.svg", b"new b")), "dxf": ()}


@pytest.fixture
def folder(tmp_path):
    for name, data in OLD.items():
        (tmp_path / name).write_bytes(data)
    return tmp_path


def contents(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_writes_and_reports(folder):
    written = write_files({**NEW, "dxf": [Document("a.dxf", b"dxf")]}, folder)
    assert contents(folder) == {
        "a.svg": b"new a",
        "b.svg": b"new b",
        "a.dxf": b"dxf",
        "notes.txt": b"mine",
    }
    assert [(w.path.name, w.backend) for w in written] == [
        ("a.svg", "svg"),
        ("b.svg", "svg"),
        ("a.dxf", "dxf"),
    ]
    assert written[0].sha256 == hashlib.sha256(b"new a").hexdigest()


def test_makes_the_folder(tmp_path):
    write_files(NEW, tmp_path / "some" / "where")
    assert contents(tmp_path / "some" / "where") == {"a.svg": b"new a", "b.svg": b"new b"}


def test_ordinary_permissions(tmp_path):
    write_files(NEW, tmp_path)
    (tmp_path / "plain").write_bytes(b"")
    assert (tmp_path / "a.svg").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_file_where_a_folder_should_be(tmp_path):
    (tmp_path / "out").write_bytes(b"a file")
    for folder in (tmp_path / "out", tmp_path / "out" / "deeper"):
        with pytest.raises(WriteError) as caught:
            write_files(NEW, folder)
        assert str(tmp_path / "out") in caught.value.message
        assert "file stands where a folder should be" in caught.value.hint
    assert contents(tmp_path) == {"out": b"a file"}


def test_folder_where_a_file_should_go(folder):
    (folder / "b.svg").unlink()
    (folder / "b.svg").mkdir()
    with pytest.raises(WriteError) as caught:
        write_files(NEW, folder)
    assert "b.svg" in caught.value.message
    assert (folder / "a.svg").read_bytes() == b"old a"
    assert sorted(p.name for p in folder.iterdir()) == ["a.svg", "b.svg", "notes.txt"]


def test_replacement_that_fails_half_way(folder, monkeypatch):
    real = Path.replace

    def fail_on_second(self, target):
        if Path(target).name == "b.svg":
            raise PermissionError(errno.EACCES, "Permission denied", str(target))
        return real(self, target)

    monkeypatch.setattr(Path, "replace", fail_on_second)
    with pytest.raises(WriteError) as caught:
        write_files(NEW, folder)
    assert contents(folder) == OLD
    assert "b.svg" in caught.value.message and "permission denied" in caught.value.message
    assert caught.value.where.file == str(folder / "b.svg")


def test_new_file_is_taken_back_when_a_later_one_fails(tmp_path, monkeypatch):
    real = Path.replace

    def fail_on_second(self, target):
        if Path(target).name == "b.svg":
            raise OSError(errno.EIO, "Input/output error", str(target))
        return real(self, target)

    monkeypatch.setattr(Path, "replace", fail_on_second)
    with pytest.raises(WriteError):
        write_files(NEW, tmp_path)
    assert contents(tmp_path) == {}


def test_full_disk(folder, monkeypatch):
    def full(handle):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(WriteError) as caught:
        write_files(NEW, folder)
    assert contents(folder) == OLD
    assert "Free some space" in caught.value.hint


def test_interrupted(folder, monkeypatch):
    def interrupt(*args, **options):
        raise KeyboardInterrupt

    monkeypatch.setattr(shutil, "copy2", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_files(NEW, folder)
    assert contents(folder) == OLD


@pytest.mark.parametrize("name", ["../a.svg", "/a.svg", "a/b.svg", "", "..", "nul.svg", "a\\b.svg"])
def test_names_that_leave_the_folder_are_refused(folder, name):
    with pytest.raises(WriteError):
        write_files({"svg": [Document("c.svg", b"new"), Document(name, b"new")]}, folder)
    assert contents(folder) == OLD


def test_one_name_twice_is_refused(folder):
    # Names that differ only by case are one file on Windows and macOS.
    with pytest.raises(WriteError):
        write_files({"svg": [Document("c.svg", b"1")], "dxf": [Document("C.svg", b"2")]}, folder)
    assert contents(folder) == OLD


def test_one_name_twice_in_a_folder_is_refused_wherever_it_comes_from(folder):
    for other, name in ((folder, "A.svg"), (folder / "beside", "b/c.svg")):
        with pytest.raises(WriteError):
            write_files(NEW, folder, {"layout": (other, Document(name, b"layout"))})
    assert contents(folder) == OLD


def test_link_is_replaced_not_followed(folder):
    outside = folder / "notes.txt"
    (folder / "a.svg").unlink()
    (folder / "a.svg").symlink_to(outside)
    write_files(NEW, folder)
    assert outside.read_bytes() == b"mine"
    assert (folder / "a.svg").read_bytes() == b"new a"
