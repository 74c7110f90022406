"""The narrow door between the files stage and its backends."""

from __future__ import annotations

from typing import Protocol

from framekit.files.model import Document
from framekit.sheets.model import Sheets


class Backend(Protocol):
    """Makes file bytes from finished sheets; registered under `framekit.backends`.

    The same sheets give the same bytes: no clock, no random numbers, no host names.
    """

    name: str
    """The name users pick the backend by, such as `svg`."""

    def render(self, sheets: Sheets) -> tuple[Document, ...]:
        """The files of all sheets; names are unique within one call."""
        ...
