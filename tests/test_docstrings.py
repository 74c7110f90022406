"""Every public function that raises one of framekit's errors itself says so in its docstring."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "framekit"
FILES = sorted(p for p in ROOT.rglob("*.py") if p.name != "generated.py")


def raised(function):
    """The names of the errors that a function's own body raises."""
    names = set()
    for node in ast.walk(function):
        if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call):
            callee = node.exc.func
            names.add(callee.id if isinstance(callee, ast.Name) else "")
    return {n for n in names if n.endswith("Error") and n not in ("AssertionError", "ValueError")}


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(ROOT)))
def test_raises_are_documented(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    classes = [node for node in tree.body if isinstance(node, ast.ClassDef)]
    for node in [*tree.body, *(n for c in classes for n in c.body)]:
        if not isinstance(node, ast.FunctionDef) or node.name.startswith("_"):
            continue
        doc = ast.get_docstring(node) or ""
        for name in raised(node):
            assert name in doc, f"{path.name}: {node.name} raises {name} without saying so"


LONG = {
    "spec/sections.py": "one frame's sections, and what must agree between them",
}
"""Why a file may have over 400 lines; none may have over 800. Tables live in YAML."""


def test_no_file_is_too_long():
    lines = {
        p.relative_to(ROOT).as_posix(): len(p.read_text(encoding="utf-8").splitlines())
        for p in FILES
    }
    assert {name for name, count in lines.items() if count > 400} == set(LONG)
    assert max(lines.values()) <= 800
