"""A law as the solver uses it: plain functions made from the sympy equations."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple


class Branch(NamedTuple):
    """One of the expressions a bending law chooses from, and what it stands for.

    `function(m, *inputs)` takes the inputs of the whole form; `template` and `latex` print the
    branch as in `Form`, as it reads where it holds.
    """

    words: str
    function: Callable[..., Any]
    template: str
    latex: str


class Form(NamedTuple):
    """One direction of a law: `output` from `inputs`.

    `function(m, *inputs)` computes it, `m` being a namespace of functions such as `FLOATS`.
    `template` prints it, `{0}` being the first input; `latex` does in LaTeX, with `<0>`, and is
    empty for a search, which has no formula. Where the form chooses, `branches` are what it
    chooses from.
    """

    output: str
    inputs: tuple[str, ...]
    function: Callable[..., Any]
    template: str
    latex: str = ""
    branches: tuple[Branch, ...] = ()


class Law(NamedTuple):
    """A relation between quantities: its words, its source and every direction it can be read."""

    name: str
    words: str
    source: str
    quantities: tuple[str, ...]
    forms: tuple[Form, ...]
