"""A law as the solver uses it: plain functions made from the sympy equations."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

NO_VALUE = (ValueError, ZeroDivisionError, OverflowError)
"""What the function of a law raises outside its domain."""


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


class BranchText(NamedTuple):
    """One of the formulas that a law written as text chooses from, and how it is shown there."""

    words: str
    formula: str
    shown: str = ""


class LawText(NamedTuple):
    """A law as text: `output = formula` in the language of `constraints.formula`.

    Names are quantities, `disc.` for any disc; angles are radians. `words` say what the law says
    and `source` where it comes from. `both_ways` is False where the formula bends, for solving
    through a bend gives wrong roots without a word. `branches` are what a bend chooses from.
    """

    name: str
    output: str
    formula: str
    words: str
    source: str
    both_ways: bool = True
    branches: tuple[BranchText, ...] = ()


def law_texts(source: str, text: str) -> dict[str, LawText]:
    """Return the laws in a text by their names; all are of one source.

    A paragraph is a law: `name: output = formula`, or `<-` instead of `=` where it is read from
    right to left only, lines of the formula that go on indented; then its words; then, where the
    formula chooses, a line `- words: formula` for each branch, ` => formula` after it where it is
    shown simpler. Raise ValueError for a paragraph that is none.

    >>> law_texts("definition", '''
    ... disc-mirror: disc.height = -original.height
    ... the mirror image
    ... ''')["disc-mirror"].words
    'the mirror image'
    """
    found = {}
    for paragraph in text.strip().split("\n\n"):
        lines = paragraph.replace("\n    ", " ").split("\n")
        name, _, rest = lines[0].partition(": ")
        output, sign, formula = rest.split(" ", 2)
        if sign not in ("=", "<-") or len(lines) < 2:
            raise ValueError(f"this is no law: {paragraph}")
        branches = []
        for line in lines[2:]:
            words, _, chosen = line.removeprefix("- ").partition(": ")
            branches.append(BranchText(words, *chosen.split(" => ")))
        found[name] = LawText(name, output, formula, lines[1], source, sign == "=", tuple(branches))
    return found
