"""A law as the solver uses it: plain functions made from the sympy equations."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple


class Form(NamedTuple):
    """One direction of a law: `output` from `inputs`.

    `function(m, *inputs)` computes it, `m` being a namespace of functions such as `numeric.FLOATS`.
    `template` prints it, `{0}` being the first input.
    """

    output: str
    inputs: tuple[str, ...]
    function: Callable[..., Any]
    template: str


class Law(NamedTuple):
    """A relation between quantities: its words, its source and every direction it can be read."""

    name: str
    words: str
    source: str
    quantities: tuple[str, ...]
    forms: tuple[Form, ...]
