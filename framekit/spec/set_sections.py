"""A set of frames as its author wrote it: what they share, and each frame's own keys."""

from typing import Annotated, Any

from pydantic import Field

from framekit.spec.fields import SetScale
from framekit.spec.section import Section, SpecDocument
from framekit.spec.stock import MOST_STOCK, AtHand

MOST_FRAMES = 200


class SetSheets(Section):
    """How the parts of a set lie on the sheets."""

    keep_together: bool = Field(
        False,
        description="`true`: a frame's parts on as few sheets as can be. `false`: densest.",
    )


class SetDocument(SpecDocument):
    """A spec of several frames, as written in YAML."""

    scale: SetScale | None = Field(
        None,
        description="One scale for all: a ratio, or `largest`, at which every frame can be built. "
        "Default each frame's own.",
    )
    shared: dict[str, Any] = Field(
        {},
        description="Sections that every frame has, such as `sheet`, `cutter`, `joint`, `ribs` "
        "and `discs`; a frame's own keys win, key by key.",
    )
    frames: Annotated[list[dict[str, Any]], Field(min_length=1, max_length=MOST_FRAMES)] = Field(
        description="The frames, each with its own `id` and sections, or with `use`: another "
        "file's."
    )
    sheets: SetSheets = Field(
        SetSheets.model_construct(), description="How the parts lie on the sheets."
    )

    stock: tuple[AtHand, ...] | None = Field(
        None,
        min_length=1,
        max_length=MOST_STOCK,
        description="The sheets at hand for the whole set. Default as many of the sheet's size as "
        "it takes.",
    )
