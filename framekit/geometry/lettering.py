"""Single-stroke letters: text as open paths that a machine draws in one pass, mm.

The letters are the Roman simplex of A. V. Hershey's repertory (National Bureau of Standards
Special Publication 424, 1976), from the package Hershey-Fonts: capitals stand 21 units high.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

from framekit.geometry.path import Path, Point, Vertex

_FONT = "rowmans"
_CAP_LINE, _BASE_LINE = -12, 9
"""Top and foot of capitals in the repertory's units, y down."""

_UNKNOWN = "?"
"""Drawn for a character that the repertory does not have."""


class _Glyph(NamedTuple):
    """A letter's width and strokes in the repertory's units, from its left foot, y up."""

    width: float
    strokes: tuple[tuple[Point, ...], ...]


def text_strokes(text: str, height: float) -> tuple[Path, ...]:
    """The text as open paths in mm, capitals `height` mm high, foot and left edge of ink at 0, 0.

    Letters lose accents that the repertory does not have, and other unknown characters become
    question marks. Text without ink, such as spaces, gives no paths.

    >>> [p.vertices for p in text_strokes("-", 21.0)]
    [(Vertex(x=0.0, y=9.0, bulge=0.0), Vertex(x=18.0, y=9.0, bulge=0.0))]
    """
    glyphs = _glyphs()
    chains: list[list[Point]] = []
    pen = 0.0
    for character in unicodedata.normalize("NFKD", text):
        if unicodedata.combining(character):
            continue
        glyph = glyphs.get(character, glyphs[_UNKNOWN])
        chains.extend([(pen + x, y) for x, y in stroke] for stroke in glyph.strokes)
        pen += glyph.width
    left = min((x for chain in chains for x, _ in chain), default=0.0)
    unit = height / (_BASE_LINE - _CAP_LINE)
    return tuple(
        Path(tuple(Vertex((x - left) * unit, y * unit) for x, y in chain), closed=False)
        for chain in chains
    )


@cache
def _glyphs() -> Mapping[str, _Glyph]:
    """The repertory's letters by character; read once, as unpacking it takes 20 ms."""
    from HersheyFonts import HersheyFonts  # lazily: only labels need it

    font = HersheyFonts()
    font.load_default_font(_FONT)
    glyphs = {}
    for character, glyph in font.all_glyphs.items():
        strokes = (
            tuple((x - glyph.left_offset, _BASE_LINE - y) for x, y in stroke)
            for stroke in glyph.strokes
        )
        # Chains without a length draw nothing.
        kept = tuple(stroke for stroke in strokes if len(set(stroke)) > 1)
        glyphs[character] = _Glyph(glyph.char_width, kept)
    return MappingProxyType(glyphs)
