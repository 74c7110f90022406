"""The laws that hold for a frame: those of every frame, and those its skin brings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from framekit.bodies.laws import general_laws
from framekit.bodies.made_laws import made_laws
from framekit.bodies.model import Skin
from framekit.constraints.law import Form, Law, LawText
from framekit.joints.protocol import JointStyle
from framekit.solution.generated import AS_MADE, DESIGN

LAWS: dict[str, Law] = {law.name: law for law in DESIGN}
"""The laws of the design by name."""
_MADE: dict[str, Law] = {law.name: law for law in AS_MADE}
MADE_FORMS: dict[str, Form] = {law.name: law.forms[0] for law in AS_MADE}
"""The laws of what is made, by the quantity or check they give."""
MADE_WORDS: dict[str, str] = {law.name: law.words for law in AS_MADE}
"""What each law of what is made says."""


@dataclass(frozen=True, eq=False)
class Book:
    """Laws by name: of the design, and of what is made with the words of each."""

    design: Mapping[str, Law]
    made: Mapping[str, Form]
    words: Mapping[str, str]


STANDARD = Book(LAWS, MADE_FORMS, MADE_WORDS)
"""The laws that have closed forms, of every body and joint of framekit."""


def with_laws(book: Book, design: tuple[Law, ...] = (), made: tuple[Law, ...] = ()) -> Book:
    """Return the book with more laws; one of the same name takes the other's place."""
    return Book(
        {**book.design, **{law.name: law for law in design}},
        {**book.made, **{law.name: law.forms[0] for law in made}},
        {**book.words, **{law.name: law.words for law in made}},
    )


@lru_cache(maxsize=64)
def skin_book(skin: Skin) -> Book:
    """Return the book of a frame whose body has that skin."""
    made = tuple(law for law in made_laws(skin) if law.name not in skin.closed_forms)
    return with_laws(STANDARD, (*general_laws(skin), *skin.own), made)


def law_of(law: Law | LawText) -> Law:
    """Return the law that a text says: framekit's own in closed form, else read from the text."""
    if isinstance(law, Law):
        return law
    found = LAWS.get(law.name) or _MADE.get(law.name)
    if found is not None:
        return found
    from framekit.constraints.formula.text_law import text_law  # only plug-ins need it

    return text_law(*law[:5])


def book_of(skin: Skin, joint: JointStyle) -> Book:
    """Return the laws of a frame: of its body, and of a joint that framekit has not itself."""
    own = tuple(law for law in map(law_of, joint.laws) if law.name not in LAWS)
    texts = (
        law for m in joint.margins for law in (m.law, m.two) if law and not isinstance(law, str)
    )
    margins = tuple(law for law in map(law_of, texts) if law.name not in _MADE)
    return _joint_book(skin, own, margins) if own or margins else skin_book(skin)


@lru_cache(maxsize=64)
def _joint_book(skin: Skin, design: tuple[Law, ...], made: tuple[Law, ...]) -> Book:
    return with_laws(skin_book(skin), design, made)
