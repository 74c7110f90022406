"""What every section of a spec has in common."""

import difflib
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, field_validator

from framekit.own_plugins import OWN
from framekit.plugins import names
from framekit.spec.measure import MeasureError
from framekit.spec.migrations import CURRENT, Current


class Section(BaseModel):
    """A mapping of the spec; unknown keys are errors."""

    # Deferred: only the whole document's validator is built, once, with all sections in it.
    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class SpecDocument(Section):
    """A whole spec, of one frame or of a set: what both start with."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=False)

    framekit: Current = Field(description=f"The version of the spec language: {CURRENT}.")
    id: str | None = Field(
        None,
        pattern=r"^[A-Za-z0-9][A-Za-z0-9_-]{0,23}$",
        description="A short name for files and labels: letters, digits, - and _. Default the "
        "file's name.",
    )
    title: str | None = Field(None, max_length=120, description="A name for people.")

    @field_validator("framekit", mode="before")
    @classmethod
    def _known_version(cls, raw: Any) -> Any:
        hint = f"Write 'framekit: {CURRENT}'."
        if type(raw) is not int:
            raise MeasureError(f"the version is not the whole number {CURRENT}", hint)
        if raw != CURRENT:
            raise MeasureError(f"the spec language has no version {raw}", hint)
        return raw

    @field_validator("title", mode="after")
    @classmethod
    def _printable(cls, title: str | None) -> str | None:
        if title is not None and not title.isprintable():
            raise MeasureError("the title has line breaks or control characters", "Remove them.")
        return title


def known_name(raw: str, group: str, what: str) -> str:
    """The name, when it is one of framekit's own or of the plug-ins of a group.

    Raises MeasureError that lists the known ones and those that are near.
    """
    if raw in OWN[group]:
        return raw
    known = (*OWN[group], *(n for n in names(group) if n not in OWN[group]))
    if raw in known:
        return raw
    close = difflib.get_close_matches(raw, known, n=2)
    near = f" Did you mean {' or '.join(map(repr, close))}?" if close else ""
    raise MeasureError(f"there is no {what} named '{raw:.40}'", f"Write {', '.join(known)}.{near}")
