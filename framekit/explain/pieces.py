"""Pieces of a sum in full names: a height, and a skin's expression there, as they are printed.

A piece names each quantity as `«disc-2.height»`, so that pieces can be put together before they
become a law's form with numbered inputs.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from framekit.bodies.model import Expression
from framekit.constraints.formula.parse import parse_formula
from framekit.constraints.law import Branch, Form
from framekit.constraints.namespaces import FLOATS
from framekit.explain.substitution import fill

Values = Mapping[str, float]
_NAME = re.compile("«([^»]+)»")
_LAW_NAME = re.compile(r"[a-z_]+\.[a-z_0-9]+")
_SUM = re.compile(r"[ /·]")


class Piece(NamedTuple):
    """An expression of quantities: plain text, LaTeX, and its value from values by name.

    `reading` says where it is read where no sum gives it; `words` name it in a choice, and
    `height` gives the height it is read at. `formula` is the text it was written as, if any.
    """

    text: str
    latex: str
    value: Callable[[Values], float]
    words: str = ""
    reading: str = ""
    height: Callable[[Values], float] | None = None
    formula: str = ""


def piece(formula: str, full: Mapping[str, str], words: str = "") -> Piece:
    """Return the piece of a formula; `full` has the full names of those that are a law's own."""
    names = tuple(dict.fromkeys(_LAW_NAME.findall(formula)))
    parsed = parse_formula(formula, names, internal=True)
    inputs = [full.get(name, name) for name in names]
    places = [f"«{name}»" for name in inputs]
    return Piece(
        parsed.template.format(*places),
        fill(parsed.latex, places),
        lambda values: float(parsed.function(FLOATS, *(values[name] for name in inputs))),
        words,
        formula=formula,
    )


def at_height(
    expression: Expression, inputs: tuple[str, ...], height: Piece, words: str = ""
) -> Piece:
    """Return an expression at a height; `inputs` are the full names of what it takes."""
    text, latex = height.text, height.latex
    bare = expression.reading and "{0}·" not in expression.template
    if _SUM.search(_NAME.sub("x", text)) and not bare:
        text, latex = f"({text})", rf"\left({latex}\right)"
    places = [f"«{full}»" for full in inputs]

    def value(values: Values) -> float:
        given = (values[full] for full in inputs)
        return float(expression.function(FLOATS, height.value(values), *given))

    return Piece(
        expression.template.format(text, *places),
        fill(expression.latex, [latex, *places]),
        value,
        words,
        expression.reading,
        height.value,
    )


def extreme(which: str, pieces: tuple[Piece, ...]) -> Piece:
    """Return the least (`min`) or the greatest (`max`) of some pieces."""
    pick = min if which == "min" else max
    texts, latexes = ", ".join(p.text for p in pieces), ", ".join(p.latex for p in pieces)
    return Piece(
        f"{which}({texts})",
        rf"\{which}\left({latexes}\right)",
        lambda values: pick(piece.value(values) for piece in pieces),
    )


def form_of(output: str, piece: Piece, values: Values, branches: tuple[Piece, ...] = ()) -> Form:
    """Return the form that gives a quantity from the names in a piece; a reading has no LaTeX.

    `values` are those of what a piece needs beside the names in its text.
    """
    found = (name for each in (piece, *branches) for name in _NAME.findall(each.text))
    names = tuple(dict.fromkeys(found))

    def function(each: Piece) -> Callable[..., Any]:
        return lambda m, *given: each.value({**values, **dict(zip(names, given, strict=True))})

    def branch(each: Piece, reads: str, words: str = "") -> Branch:
        latex = "" if reads else numbered_latex(each, names)
        return Branch(words, function(each), _numbered(each.text, names, "{{{}}}"), latex)

    parts = tuple(branch(each, each.reading, each.words) for each in branches)
    whole = branch(piece, "".join(each.reading for each in (piece, *branches)))
    return Form(output, names, whole.function, whole.template, whole.latex, parts)


def numbered_latex(piece: Piece, names: tuple[str, ...]) -> str:
    """Return the LaTeX of a piece with its names as numbered places."""
    return _numbered(piece.latex, names, "<{}>")


def _numbered(text: str, names: tuple[str, ...], place: str) -> str:
    return _NAME.sub(lambda match: place.format(names.index(match[1])), text)
