"""Writing stops at every step, by a fault or an interruption, and the files stay whole.

Every call that reaches the disk is counted, and each in turn fails: before it does anything, or
right after it was done. What must be left is said here by hand: all files as they were, or all new.
"""

from __future__ import annotations

import errno
import io
import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import pytest

from framekit.errors import WriteError
from framekit.files.model import Document
from framekit.files.write import write_files

OLD = {"a.svg": b"old a", "b.svg": b"old b", "notes.txt": b"mine"}
DOCUMENTS = {"svg": (Document("a.svg", b"new a"), Document("b.svg", b"new b, and longer"))}
ADDED = {"dxf": (Document("c.dxf", b"new c"),)}
BESIDE = {"result": Document("result.json", b"new result")}
NEW = {**OLD, "a.svg": b"new a", "b.svg": b"new b, and longer", "c.dxf": b"new c"}

CALLS = ("mkdir", "replace", "unlink", "rmdir", "fsync", "open")
Fault = Callable[[], BaseException]


def disk_fault() -> BaseException:
    return OSError(errno.EIO, "Input/output error")


def interruption() -> BaseException:
    return KeyboardInterrupt()


class Disk:
    """Counts the calls that reach the disk and lets those with a number in `faults` fail."""

    def __init__(self, faults: dict[int, tuple[Fault, bool]]) -> None:
        self.faults = faults
        self.names: list[str] = []

    def counted(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **options: Any) -> Any:
            number = len(self.names)
            self.names.append(name)
            fault, done_before = self.faults.get(number, (None, False))
            if fault is None:
                return real(*args, **options)
            if done_before:
                opened = real(*args, **options)
                if hasattr(opened, "close"):  # nobody else has it, so it would leak
                    opened.close()
            raise fault()

        return call


@contextmanager
def counted_disk(faults: dict[int, tuple[Fault, bool]]) -> Iterator[Disk]:
    disk = Disk(faults)
    real_open = io.open

    def open_file(file: Any, mode: str = "r", *args: Any, **options: Any) -> Any:
        if "x" not in mode:
            return real_open(file, mode, *args, **options)
        stream = disk.counted("create", real_open)(file, mode, *args, **options)
        return Stream(stream, disk)

    with pytest.MonkeyPatch.context() as patch:
        for name in CALLS:
            patch.setattr(os, name, disk.counted(name, getattr(os, name)))
        patch.setattr(io, "open", open_file)
        patch.setattr(shutil, "copyfile", disk.counted("copy", shutil.copyfile))
        patch.setattr(shutil, "copystat", disk.counted("copystat", shutil.copystat))
        yield disk


class Stream:
    """A file that is open, whose every call is counted."""

    def __init__(self, stream: Any, disk: Disk) -> None:
        self.stream = stream
        self.write = disk.counted("write", stream.write)
        self.flush = disk.counted("flush", stream.flush)
        self.fileno = stream.fileno

    def __enter__(self) -> Stream:
        return self

    def __exit__(self, *_: object) -> None:
        self.stream.close()


def contents(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir()} if folder.exists() else {}


class Place:
    """A folder with files and another beside it, both fresh, and one attempt to write there."""

    def __init__(self, root: Path) -> None:
        self.folder, self.beside, self.made = root / "out", root / "beside", root / "new"
        for folder in (self.folder, self.beside):
            folder.mkdir(parents=True)
        for name, data in OLD.items():
            (self.folder / name).write_bytes(data)
        (self.beside / "result.json").write_bytes(b"old result")

    def attempt(self, faults: dict[int, tuple[Fault, bool]]) -> tuple[Disk, BaseException | None]:
        """Write two new versions, one new file, and one file elsewhere."""
        with counted_disk(faults) as disk:
            try:
                write_files(
                    {**DOCUMENTS, **ADDED},
                    self.folder,
                    {"result": (self.beside, BESIDE["result"])},
                )
            except (WriteError, KeyboardInterrupt) as error:
                return disk, error
        return disk, None

    def as_before(self) -> bool:
        return contents(self.folder) == OLD and contents(self.beside) == {
            "result.json": b"old result"
        }

    def all_new(self) -> bool:
        return contents(self.folder) == NEW and contents(self.beside) == {
            "result.json": b"new result"
        }

    def all_new_but_copies(self) -> bool:
        """All files are new; copies of old ones that could not be removed are there too."""
        shown = {n: d for n, d in contents(self.folder).items() if not n.endswith(".old")}
        other = {n: d for n, d in contents(self.beside).items() if not n.endswith(".old")}
        return shown == NEW and other == {"result.json": b"new result"}

    def nothing_lost(self) -> bool:
        """Each old file's bytes are in its place, or in a copy beside it."""
        there = contents(self.folder)
        kept = [data for name, data in there.items() if name.endswith(".old")]
        return all(there.get(n) == data or data in kept for n, data in OLD.items())


@pytest.fixture
def places(tmp_path: Path) -> Iterator[Callable[[], Place]]:
    count = iter(range(10**6))
    yield lambda: Place(tmp_path / str(next(count)))


def test_every_kind_of_call_is_counted(places: Callable[[], Place]) -> None:
    place = places()
    disk, error = place.attempt({})
    assert error is None and place.all_new()
    # Four files are written, three of them replace one of which a copy is kept.
    for name, times in {"create": 4, "write": 4, "flush": 4, "copy": 3, "replace": 4}.items():
        assert disk.names.count(name) == times, name
    # Both names of each file are cleared, and each folder's entries are flushed.
    assert disk.names.count("unlink") == 8
    assert disk.names.count("open") == 2
    assert disk.names.count("fsync") == 6


# A call of the system that fails has done nothing; an interruption comes before or after it.
WAYS = [(disk_fault, False), (interruption, False), (interruption, True)]


@pytest.mark.parametrize(("fault", "done_before"), WAYS)
def test_a_single_fault_leaves_all_old_or_all_new(
    places: Callable[[], Place], fault: Fault, done_before: bool
) -> None:
    names = places().attempt({})[0].names
    for number, name in enumerate(names):
        if name == "mkdir":  # the folder is there; new ones have a test of their own
            continue
        place = places()
        disk, error = place.attempt({number: (fault, done_before)})
        told = (fault.__name__, name, number, contents(place.folder))
        assert disk.names[: number + 1] == names[: number + 1]
        cleared = max(n for n, step in enumerate(names) if step == "replace") < number
        if not cleared:  # not all files had their place yet
            assert error is not None, told
            assert place.as_before(), told
        elif fault is disk_fault and not done_before and name == "unlink":
            # What cannot be removed stays, and the files are new.
            assert error is None and place.all_new_but_copies(), told
        else:
            assert place.all_new(), told
        if isinstance(error, WriteError):
            assert "The files there are as they were." in error.message
            assert "input/output error" in error.message
            assert error.hint and error.where.file


@pytest.mark.parametrize(("second", "done_before"), WAYS)
def test_a_second_fault_while_files_are_put_back_loses_none(
    places: Callable[[], Place], second: Fault, done_before: bool
) -> None:
    names = places().attempt({})[0].names
    kept = 0
    for number, name in enumerate(names):
        if name not in ("create", "fsync", "copy", "replace"):
            continue
        first = {number: (disk_fault, False)}
        all_names = places().attempt(first)[0].names
        for later in range(number + 1, len(all_names)):
            place = places()
            _, error = place.attempt({**first, later: (second, done_before)})
            there = contents(place.folder)
            told = (name, number, all_names[later], later, there)
            assert place.nothing_lost() or place.all_new(), told
            copies = [data for n, data in there.items() if n.endswith(".old")]
            if isinstance(error, WriteError) and "could be put back" in error.message:
                # The message names the copy, and the copy is there with the old bytes.
                kept += 1
                for file in place.folder.glob(".*.old"):
                    assert file.name in error.message, told
                assert "as they were" not in error.message
            elif all_names[later] != "unlink":
                assert copies == [], told
    # Only a fault that stops a put-back leaves copies, and there are such.
    assert (kept > 0) == (second is disk_fault)


@pytest.mark.parametrize("fault", [disk_fault, interruption])
def test_folders_made_for_nothing_go_again(tmp_path: Path, fault: Fault) -> None:
    def attempt(root: Path, faults: dict[int, tuple[Fault, bool]]) -> list[str]:
        with counted_disk(faults) as disk, suppress(WriteError, KeyboardInterrupt):
            write_files(DOCUMENTS, root / "one" / "two")
        return disk.names

    (tmp_path / "good").mkdir()
    names = attempt(tmp_path / "good", {})
    last = max(n for n, name in enumerate(names) if name == "replace")
    for number in range(last + 1):
        root = tmp_path / str(number)
        root.mkdir()
        attempt(root, {number: (fault, False)})
        assert list(root.iterdir()) == [], (names[number], number)


def test_a_folder_that_can_be_made_in_part_only_is_not_made(tmp_path: Path) -> None:
    # The name of the second folder is longer than any file system takes (255 bytes, POSIX
    # NAME_MAX on common ones).
    with pytest.raises(WriteError) as caught:
        write_files(DOCUMENTS, tmp_path / "one" / ("x" * 300))
    assert "too long" in caught.value.message
    assert list(tmp_path.iterdir()) == []


def test_a_put_back_that_fails_keeps_the_only_old_copy_and_says_where(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, data in OLD.items():
        (tmp_path / name).write_bytes(data)
    real = os.replace
    done: list[str] = []

    def replace(source: Any, target: Any) -> None:
        done.append(Path(source).suffix)
        if done.count(".new") == 2 or Path(source).suffix == ".old":
            raise PermissionError(errno.EACCES, "Permission denied", str(target))
        real(source, target)

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(WriteError) as caught:
        write_files(DOCUMENTS, tmp_path)
    (copy,) = tmp_path.glob(".*.old")
    assert copy.read_bytes() == b"old a"
    assert (tmp_path / "a.svg").read_bytes() == b"new a"
    assert (tmp_path / "b.svg").read_bytes() == b"old b"
    assert list(tmp_path.glob(".*.new")) == []
    assert f"a.svg is in {copy.name}" in caught.value.message
    assert "as they were" not in caught.value.message
