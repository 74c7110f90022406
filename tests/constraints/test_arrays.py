"""Laws on arrays: the functions are those on floats, and blocks of rows do not show."""

from __future__ import annotations

import numpy as np
import pytest

from framekit.constraints import arrays
from framekit.constraints.arrays import ARRAYS, run_rows
from framekit.constraints.law import Form
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.program import make_program


def test_the_functions_on_arrays_are_those_on_floats():
    assert set(vars(ARRAYS)) == set(vars(FLOATS))
    for name, arguments in {
        "max": (1.0, 3.0, 2.0), "min": (1.0, 3.0, 2.0), "choose": (-1.0, 5.0, 6.0),
        "acos": (0.3,), "cbrt": (-8.0,), "log": (2.0,), "tan": (1.0,),
        "power": (-1.7, 3),
    }.items():  # fmt: skip
        rows = [x if isinstance(x, int) else np.array([x, x]) for x in arguments]
        # 1e-15: one rounding
        assert getattr(ARRAYS, name)(*rows) == pytest.approx(
            getattr(FLOATS, name)(*arguments), rel=1e-15
        )


def test_blocks_of_rows_do_not_show(monkeypatch):
    """By hand: the square of the sum, and a number that no row changes."""
    steps = [
        ("sum", Form("sum", ("a", "b"), lambda m, a, b: a + b, ""), ("a", "b")),
        ("square", Form("square", ("sum",), lambda m, x: m.square(x), ""), ("sum",)),
        ("half", Form("half", ("b",), lambda m, b: b / 2, ""), ("b",)),
    ]
    program = make_program(("a", "b"), (), steps)
    a = np.arange(20.0)
    whole = run_rows(program, ARRAYS, {"a": a, "b": 3.0})
    monkeypatch.setattr(arrays, "BLOCK_ROWS", 7)
    parts = run_rows(program, ARRAYS, {"a": a, "b": 3.0})
    for found in (whole, parts):
        assert found["square"].tolist() == [(n + 3.0) ** 2 for n in range(20)]
        assert found["half"] == 1.5 and np.ndim(found["half"]) == 0
