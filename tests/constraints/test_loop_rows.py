"""Searches in rows: each row finds what a search of its own finds."""

from __future__ import annotations

import math

import numpy as np
import pytest

from framekit.constraints.law import Form
from framekit.constraints.loop_rows import BLOCK_ROWS, solve_rows
from framekit.constraints.loops import Loop, LoopStep, Searchable, solve_loop
from framekit.constraints.roots import Span
from framekit.errors import SolveError


def half(m, name, values):
    """From -reach to reach, or the half of it on one side of zero."""
    reach, side = values["reach"], values.get("side")
    if side is None:
        return Span(-reach, reach)
    return Span(0.0, reach) if side > 0 else Span(-reach, 0.0)


def loop_of(law, side=None):
    """A made-up circle: a height z at which law(m, z, p) = 0, the way being two steps."""
    double = Form("twice", ("z",), lambda m, z: 2 * z, "2*{0}")
    residual = Form("zero", ("twice", "p"), lambda m, d, p: law(m, d / 2, p), "")
    return Loop(
        unknown="z",
        search=Searchable(half),
        follows=(LoopStep("twice", double, ("z",)),),
        residual=residual,
        residual_name="zero",
        residual_inputs=("twice", "p"),
        outside=("p", "reach", "zero", *(("side",) if side else ())),
    )


LAWS = {
    "one": lambda m, z, p: z * z * z - p,
    "none or two": lambda m, z, p: m.square(z) - p,
    "domain": lambda m, z, p: m.sqrt(p - z) - z,
    "three": lambda m, z, p: m.sin(z) - p / 20,
    "jump": lambda m, z, p: m.choose(z - p, 1.0, -1.0),
    "close pair": lambda m, z, p: (z - 1.5) * (m.square(z + 1) - 1e-5 * p * p),
    "idle": lambda m, z, p: 0.0 * z,
    "nearly idle": lambda m, z, p: 1 + 1e-10 * (z - p),
}


@pytest.mark.parametrize("kind", LAWS)
@pytest.mark.parametrize("side", [None, 1.0, -1.0])
def test_any_law_in_rows_as_by_itself(kind, side):
    loop = loop_of(LAWS[kind], side)
    random = np.random.default_rng(5)
    p, c = random.uniform(-8, 8, 60), random.uniform(2, 9, 60)
    p[0] = 0.0
    plain = {"zero": 1.0 if kind == "nearly idle" else 0.0}
    values = {**plain, "p": p, "reach": c}
    if side:
        values["side"] = plain["side"] = side
    rows = solve_rows(loop, values)
    for row in range(60):
        try:
            own = solve_loop(loop, {**plain, "p": p[row].item(), "reach": c[row]})
        except SolveError:
            own = math.nan
        # 1e-12: a bracket of a few roundings, and functions that differ in the last digit
        assert rows[row] == pytest.approx(own, rel=1e-12, abs=1e-12, nan_ok=True), row


def test_pieces_do_not_show():
    loop = loop_of(LAWS["one"])
    p = np.linspace(-7, 7, BLOCK_ROWS + 300)
    rows = solve_rows(loop, {"p": p, "reach": 2.0, "zero": 0.0})
    # 1e-12: as above, away from the flat place at zero
    assert rows == pytest.approx(np.cbrt(p), rel=1e-12)
