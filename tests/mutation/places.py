"""Where mutants are planted, which tests may notice them, and the copies that both run in."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

MUTATED = (
    *(
        f"framekit/solution/{name}.py"
        for name in (
            "quantities",
            "margins",
            "checks",
            "limits",
            "relations",
            "laws_in_force",
            "givens",
            "structure",
            "domain",
            "fitting",
            "placement",
            "longitudes",
            "generated",
        )
    ),
    "framekit/bodies/*.py",
    "framekit/joints/*.py",
    "framekit/parts/shape/*.py",
    "framekit/parts/build.py",
    "framekit/parts/retention.py",
    "framekit/parts/verify/*.py",
    "framekit/parts/display/*.py",
    "framekit/spec/measure.py",
    "framekit/spec/fields.py",
    "framekit/sheets/check.py",
)
"""Code that decides correctness. In `generated.py`, which is written from the texts of laws, only
the direction that a law's text has: its other directions are sympy's."""

LEFT_OUT = (
    "tests/benchmarks",
    "tests/judge/test_random_frames.py",
    "tests/sheets/nest",
    "tests/test_docstrings.py",
    "tests/test_names.py",
    "tests/test_rooms.py",
)
"""Tests that are never asked: speed, hundreds of frames, and what no mutant here can reach."""

COMPARE_ONLY = (
    "test_the_generated_module_is_up_to_date",
    "test_every_direction_of_a_law_agrees_with_the_others",
    "test_the_generated_function_equals_the_sympy_law_at_40_digits",
    "test_latex_means_what_the_law_computes",
    "test_every_printed_sum_comes_out",
    "test_the_page_of_laws_is_up_to_date",
    "test_the_spec_reference_is_up_to_date",
    "test_reference_page_is_up_to_date",
)
"""Tests that compare what is generated with its source. They notice any change of one of the two,
and would pass a fault that both have: what they notice does not count."""


LAWS = "framekit/solution/generated.py"
PRINTED = "tests/explain"
"""Tests that a printed law gives the number that the law's function gives: of no use for a law."""


def may_notice(nodeid: str) -> bool:
    """Return whether a test counts when it fails."""
    name = nodeid.split("::")[-1].split("[")[0]
    return name not in COMPARE_ONLY and not nodeid.startswith(LEFT_OUT)


def mutated_files() -> list[str]:
    """Return the files that mutants are planted in, sorted, relative to the project's root."""
    found = {
        path.relative_to(ROOT).as_posix() for pattern in MUTATED for path in ROOT.glob(pattern)
    }
    return sorted(name for name in found if not name.endswith("__init__.py"))


def test_files(folder: Path) -> list[str]:
    """Return the test files and modules with docstring examples that may notice a mutant."""
    tests = [path.relative_to(folder).as_posix() for path in folder.glob("tests/**/test_*.py")]
    own = [
        path.relative_to(folder).as_posix()
        for path in folder.glob("framekit/**/*.py")
        if ">>> " in path.read_text(encoding="utf-8")
    ]
    return sorted(name for name in tests + own if not name.startswith(LEFT_OUT))


def copy_project(target: Path) -> None:
    """Write the project's files to a folder, with their times; what the folder had is replaced."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    wanted = [name for name in listed.split("\0") if name and (ROOT / name).is_file()]
    for old in target.rglob("*.py"):
        if old.relative_to(target).as_posix() not in wanted:
            old.unlink()
    for name in wanted:
        (target / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(ROOT / name, target / name)


def enter(copy: Path, cache: Path) -> None:
    """Make this process run in a copy: its folder, its imports and those of its children."""
    os.chdir(copy)
    os.environ["PYTHONPATH"] = str(copy)
    os.environ["FRAMEKIT_CACHE"] = str(cache)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
