"""Names: no public class name twice in framekit, and no module with a name that says nothing."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).parents[1]
MODULES = sorted((ROOT / "framekit").rglob("*.py"))

VAGUE = {"data2", "helper", "helpers", "manager", "managers", "misc", "util", "utils"}


def test_no_public_class_name_stands_twice() -> None:
    places = defaultdict(list)
    for path in MODULES:
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                places[node.name].append(str(path.relative_to(ROOT)))
    assert "Sheet" in places  # the search finds classes at all
    assert not {name: found for name, found in places.items() if len(found) > 1}


def test_no_module_has_a_name_that_says_nothing() -> None:
    assert not [str(path.relative_to(ROOT)) for path in MODULES if path.stem in VAGUE]
