"""DEVELOPERS.md names rooms that are there, and one new thing needs few of them."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
MOST = 4
"""Files that one new thing may take: data, code, test and page."""
THINGS = {
    "a body",
    "a joint",
    "a kind of disc position",
    "a check",
    "a command's option",
    "a material property",
    "a stock shape",
    "a version of the spec language",
}


def rows_of(text: str) -> dict[str, list[str]]:
    """The cells of the room test's table by the thing to add, the column of advice left out."""
    section = text.partition("## The room test\n")[2].partition("\n## ")[0]
    rows = [line.strip("| ").split("|") for line in section.splitlines() if line.startswith("| ")]
    heads, _, *found = [[cell.strip() for cell in row] for row in rows]
    assert heads == ["to add", "data", "code", "test", "page", "how you find it"]
    assert all(len(row) == len(heads) for row in found), "a row lacks a cell"
    return {row[0]: row[1:-1] for row in found}


ROWS = rows_of(PAGE)


def files_of(cells: list[str]) -> dict[str, list[str]]:
    """The files that a row names, each with the names that follow it."""
    found: dict[str, list[str]] = {}
    for cell in cells:
        path = None
        for word in re.findall(r"`([^`]+)`", cell):
            if "/" in word or word == "pyproject.toml":
                path = word
                found.setdefault(path, [])
            else:
                assert path is not None, f"`{word}` stands before any file"
                found[path].append(word)
    return found


def names_in(path: Path) -> set[str]:
    """What a module defines: functions, classes, their methods, and what is assigned."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            found.add(node.name)
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            found.add(node.id)
    return found


def test_the_table_has_everything_that_is_added_often():
    assert set(ROWS) >= THINGS


@pytest.mark.parametrize("thing", ROWS)
def test_one_new_thing_takes_few_files_and_they_are_there(thing):
    _, code, test, page = ROWS[thing]
    files = files_of(ROWS[thing])
    assert 1 <= len(files) <= MOST
    assert files_of([code]), "a row names the code"
    assert all(path.startswith("tests/") for path in files_of([test])) and files_of([test])
    assert page == "generated" or files_of([page]), "a row names the page, or says 'generated'"
    for path, anchors in files.items():
        assert (ROOT / path).is_file(), f"{path} does not exist"
        text = (ROOT / path).read_text(encoding="utf-8")
        known = names_in(ROOT / path) if path.endswith(".py") else None
        for anchor in anchors:
            there = anchor in (text if known is None else known)
            assert there, f"{path} has no {anchor}"


def test_a_row_that_is_wrong_would_be_seen():
    assert files_of(["`a/b.py`: `C`, `d`; `e/f.md`", "", "`a/b.py`"]) == {
        "a/b.py": ["C", "d"],
        "e/f.md": [],
    }
    assert "rows_of" in names_in(Path(__file__)) and "no_such_name" not in names_in(Path(__file__))


def test_modules_named_without_their_folder_lie_beside_the_last_one_named_with_it():
    """In a line of DEVELOPERS.md such as `framekit/parts/shape/rib.py`, `disc.py`."""
    checked = 0
    for line in PAGE.splitlines():
        folder = None
        for word in re.findall(r"`([\w./-]+)`", line):
            if "/" in word or word == "pyproject.toml":
                path = ROOT / word
                folder = path if path.is_dir() else path.parent
            elif word.endswith(".py") and folder is not None:
                checked += 1
                assert (folder / word).is_file(), f"{word} does not lie in {folder}: {line}"
    assert checked > 5
