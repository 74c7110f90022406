"""The derivative of a formula: in time, and kept in a folder that nothing is trusted in.

Oracle: `mpmath.diff` at 40 digits.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import mpmath
import pytest
from constraints.formula.digits import exact
from constraints.refusals import spent

from framekit.constraints.formula.derivative import derivative
from framekit.constraints.formula.parse import parse_formula
from framekit.constraints.namespaces import FLOATS

COLD = """
import sys
from framekit.constraints.formula.parse import parse_formula
from framekit.constraints.formula.derivative import derivative
print(derivative(parse_formula("40 + 12*cos(pi*z/90)", ["z"]), "z").text())
print("sympy" in sys.modules)
"""


def run_cold(folder: Path) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-c", COLD],
        env={**os.environ, "FRAMEKIT_CACHE": str(folder)},
        cwd=Path(__file__).parents[3],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return done.stdout.split("\n")[:2]


def test_a_warm_process_never_imports_sympy(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "cache"
    first, second = run_cold(folder), run_cold(folder)
    assert first[0] == second[0] == "-2*pi*sin(pi*z/90)/15"
    assert (first[1], second[1]) == ("True", "False")
    assert [p.suffix for p in folder.iterdir()] == [".txt"]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe",
        b"2*z",
        b"__import__('os')",
        b"12*cos(pi*z/90)",
        b"z" * 300_000,
        b"1/0",
        b"-3*z -",
    ],
)
def test_a_foreign_file_in_the_folder_is_not_trusted(
    content: bytes, tmp_path: Path, monkeypatch: Any
) -> None:
    monkeypatch.setenv("FRAMEKIT_CACHE", str(tmp_path))
    formula = parse_formula("40 + 12*cos(pi*z/90)", ["z"])
    derivative.cache_clear()
    right = derivative(formula, "z")
    (file,) = tmp_path.iterdir()
    file.write_bytes(content)
    derivative.cache_clear()
    assert derivative(formula, "z") == right
    assert file.read_text() == right.text()


def test_a_folder_that_cannot_be_written_is_no_fault(tmp_path: Path, monkeypatch: Any) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("")
    for folder in (str(blocked), str(blocked / "below"), ""):
        monkeypatch.setenv("FRAMEKIT_CACHE", folder)
        derivative.cache_clear()
        assert derivative(parse_formula("z**2", ["z"]), "z").text() == "2*z"
    assert blocked.read_text() == ""


@pytest.mark.parametrize(
    "text",
    [
        "sin(" * 38 + "z" + ")" * 38,
        "z/(1+" * 19 + "z" + ")" * 19,
        "z*(1+" * 19 + "z" + ")" * 19,
        "max(" * 30 + "z" + ", 1-z)" * 30,
        "abs(" * 38 + "z - 1" + ")" * 38,
        "((z**4)**16)**16",
        "(2*z)**64*(3*z + 1)**64*1e12*1e12",
        "*".join(["(z+1)"] * 40),
        "cbrt(" * 38 + "z" + ")" * 38,
        "sqrt(z**2 + 1 - " * 14 + "z" + ")" * 14,
    ],
)
def test_hard_derivatives_come_in_time(text: str, monkeypatch: Any) -> None:
    monkeypatch.setenv("FRAMEKIT_CACHE", "")
    formula = parse_formula(text, ["z"])
    derivative(parse_formula("sin(z)/3", ["z"]), "z")  # imports sympy
    with spent(2):
        slope = derivative(formula, "z")
    with mpmath.workdps(40):
        true = float(mpmath.diff(lambda x: exact(text, x), mpmath.mpf("0.7")))
    # 1e-9: a chain of up to 1200 roundings.
    assert slope.over(["z"])(FLOATS, 0.7) == pytest.approx(true, rel=1e-9, abs=1e-12)


def test_the_derivative_of_a_tower_of_powers_comes_in_time(monkeypatch: Any) -> None:
    """No float holds its value; the derivative of an exponential has it as a factor."""
    monkeypatch.setenv("FRAMEKIT_CACHE", "")
    formula = parse_formula("exp(" * 38 + "-z" + ")" * 38, ["z"])
    derivative(parse_formula("sin(z)/3", ["z"]), "z")  # imports sympy
    with spent(2):
        slope = derivative(formula, "z")
    assert formula.text() in slope.text()
