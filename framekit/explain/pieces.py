"""Pieces of a sum in full names: a height, and a skin's expression there, as they are printed.

A piece names each quantity as `«disc-2.height»`, so that pieces can be put together before they
become a law's form with numbered inputs.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from framekit.bodies.model import Expression
from framekit.constraints.law import Branch, Form
from framekit.constraints.namespaces import FLOATS

Values = Mapping[str, float]
_NAME = re.compile("«([^»]+)»")
_SUM = re.compile(r"[ /·]")


class Said(NamedTuple):
    """Something that can be worked out: plain text, LaTeX, and its value from values by name.

    `reading` says where it is read where no sum gives it; `words` name it in a choice, and
    `height` gives the height it is read at.
    """

    text: str
    latex: str
    value: Callable[[Values], float]
    words: str = ""
    reading: str = ""
    height: Callable[[Values], float] | None = None


def name(full: str) -> Said:
    """A quantity itself."""
    return Said(f"«{full}»", f"«{full}»", lambda values: values[full])


def at(expression: Expression, inputs: tuple[str, ...], height: Said, words: str = "") -> Said:
    """An expression at a height; `inputs` are the full names of what it takes."""
    text, latex = height.text, height.latex
    bare = expression.reading and "{0}·" not in expression.template
    if _SUM.search(_NAME.sub("x", text)) and not bare:
        text, latex = f"({text})", rf"\left({latex}\right)"
    places = [f"«{full}»" for full in inputs]

    def value(values: Values) -> float:
        given = (values[full] for full in inputs)
        return float(expression.function(FLOATS, height.value(values), *given))

    return Said(
        expression.template.format(text, *places),
        _filled(expression.latex, [latex, *places]),
        value,
        words,
        expression.reading,
        height.value,
    )


def extreme(which: str, pieces: tuple[Said, ...]) -> Said:
    """The least (`min`) or the greatest (`max`) of some pieces."""
    pick = min if which == "min" else max
    texts, latexes = ", ".join(p.text for p in pieces), ", ".join(p.latex for p in pieces)
    return Said(
        f"{which}({texts})",
        rf"\{which}\left({latexes}\right)",
        lambda values: pick(piece.value(values) for piece in pieces),
    )


def names_of(*pieces: Said) -> tuple[str, ...]:
    """The full names in the text of some pieces, each once."""
    found = (full for piece in pieces for full in _NAME.findall(piece.text))
    return tuple(dict.fromkeys(found))


def form_of(output: str, said: Said, values: Values, branches: tuple[Said, ...] = ()) -> Form:
    """The form that gives a quantity from the names in a piece; no LaTeX where it is a reading.

    `values` are those of what a piece needs beside the names in its text.
    """
    names = names_of(said, *branches)

    def function(piece: Said) -> Callable[..., Any]:
        return lambda m, *given: piece.value({**values, **dict(zip(names, given, strict=True))})

    reads = any(piece.reading for piece in (said, *branches))
    parts = tuple(
        Branch(
            piece.words,
            function(piece),
            _numbered(piece.text, names, "{{{}}}"),
            "" if piece.reading else _numbered(piece.latex, names, "<{}>"),
        )
        for piece in branches
    )
    latex = "" if reads else _numbered(said.latex, names, "<{}>")
    template = _numbered(said.text, names, "{{{}}}")
    return Form(output, names, function(said), template, latex, parts)


def written(said: Said, names: tuple[str, ...]) -> str:
    """The LaTeX of a piece with its names as numbered places."""
    return _numbered(said.latex, names, "<{}>")


def _numbered(text: str, names: tuple[str, ...], place: str) -> str:
    return _NAME.sub(lambda match: place.format(names.index(match[1])), text)


def _filled(latex: str, texts: list[str]) -> str:
    return re.sub(r"<(\d+)>", lambda match: texts[int(match[1])], latex)
