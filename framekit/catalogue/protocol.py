"""The door for catalogues of others: rows of bodies and materials."""

from __future__ import annotations

from typing import Protocol

from framekit.catalogue.model import BodyRow, MaterialRow


class Catalogue(Protocol):
    """A catalogue, registered under `framekit.catalogues`.

    Every figure of its rows has a unit and a source. Its names are its own: framekit's rows come
    first, and a name that two other catalogues have is an error.
    """

    name: str
    """The name of the catalogue, as messages show it."""

    def bodies(self) -> tuple[BodyRow, ...]:
        """Every body, in reading order; radii in km."""
        ...

    def materials(self) -> tuple[MaterialRow, ...]:
        """Every material, in reading order; as `MaterialRow` says, mm and kg/m³."""
        ...
