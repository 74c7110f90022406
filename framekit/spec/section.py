"""What every section of a spec has in common."""

import difflib

from pydantic import BaseModel, ConfigDict

from framekit.plugins import names
from framekit.spec.measure import MeasureError


class Section(BaseModel):
    """A mapping of the spec; unknown keys are errors."""

    # Deferred: only the whole document's validator is built, once, with all sections in it.
    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


def known_name(raw: str, built_in: tuple[str, ...], group: str, what: str) -> str:
    """The name, when it is one of framekit's own or of the plug-ins of a group.

    Raises MeasureError that lists the known ones and those that are near.
    """
    if raw in built_in:
        return raw
    known = (*built_in, *(n for n in names(group) if n not in built_in))
    if raw in known:
        return raw
    close = difflib.get_close_matches(raw, known, n=2)
    near = f" Did you mean {' or '.join(map(repr, close))}?" if close else ""
    raise MeasureError(f"there is no {what} named '{raw:.40}'", f"Write {', '.join(known)}.{near}")
