"""Rows of the catalogue by name, from the generated module: no file is read.

Catalogues of others are looked into only for a name that framekit's own lacks.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from difflib import get_close_matches
from typing import TYPE_CHECKING, TypeVar

from framekit.catalogue.generated import BODIES, CAUTIONS, MATERIALS, REFUSED
from framekit.catalogue.model import BodyRow, Caution, MaterialRow
from framekit.errors import Fault, PluginError, UnknownNameError, Where

if TYPE_CHECKING:
    from framekit.catalogue.protocol import Catalogue

STANDARD = "standard"
"""The name of framekit's own catalogue."""

Row = TypeVar("Row", BodyRow, MaterialRow)


class StandardCatalogue:
    """framekit's own catalogue, as a plug-in would give it."""

    name = STANDARD

    def bodies(self) -> tuple[BodyRow, ...]:
        """Every body, as `bodies`."""
        return bodies()

    def materials(self) -> tuple[MaterialRow, ...]:
        """Every material, as `materials`."""
        return materials()


def bodies() -> tuple[BodyRow, ...]:
    """Every body of framekit's own catalogue, in the order of the data file."""
    return tuple(make() for make in BODIES.values())


def materials() -> tuple[MaterialRow, ...]:
    """Every material of framekit's own catalogue, in the order of the data file."""
    return tuple(make() for make in MATERIALS.values())


def cautions() -> tuple[Caution, ...]:
    """The cautions that go with every material and machine."""
    return CAUTIONS


def body(name: str, where: Where | None = None) -> BodyRow:
    """The body called `name`; `where` is the place in the spec that an error shows.

    >>> str(body("saturn").polar_radius)
    '54364 ± 10 km'

    Raises:
        UnknownNameError: there is no such body.
        PluginError: two catalogues have the body, or one cannot be loaded.
    """
    if name in BODIES:
        return BODIES[name]()
    return _elsewhere("body", "bodies", name, BODIES, lambda book: book.bodies(), where)


def material(name: str, where: Where | None = None) -> MaterialRow:
    """The material called `name`; `where` is the place in the spec that an error shows.

    >>> str(material("card").snug)
    '-0.05 mm'

    Raises:
        UnknownNameError: there is no such material, or it is left out because it is dangerous.
        PluginError: two catalogues have the material, or one cannot be loaded.
    """
    if name in MATERIALS:
        return MATERIALS[name]()
    if name.lower() in REFUSED:
        refused = REFUSED[name.lower()]()
        raise UnknownNameError(
            Fault(
                "material-refused",
                f"the material '{name}' is left out on purpose: {refused.reason}",
                where or Where(),
                f"Use one of {', '.join(MATERIALS)}.",
            )
        )
    return _elsewhere("material", "materials", name, MATERIALS, lambda b: b.materials(), where)


def _elsewhere(
    one: str,
    many: str,
    name: str,
    own: Mapping[str, Callable[[], Row]],
    rows: Callable[[Catalogue], tuple[Row, ...]],
    where: Where | None,
) -> Row:
    """The row of the one other catalogue that has it; raises UnknownNameError, PluginError."""
    found: dict[str, Row] = {}
    known = dict.fromkeys(own)
    for book in _others():
        for row in rows(book):
            known[row.name] = None
            if row.name == name:
                found[book.name] = row
    if len(found) > 1:
        raise PluginError(
            Fault(
                f"doubled-{one}",
                f"the {one} '{name}' is in the catalogues {' and '.join(sorted(found))}",
                where or Where(),
                "Uninstall the package of one of them.",
            )
        )
    if found:
        return next(iter(found.values()))
    near = get_close_matches(name.lower(), known, n=3, cutoff=0.6)
    hint = f"The {many} are: {', '.join(known)}."
    if near:
        hint = f"Did you mean {' or '.join(repr(n) for n in near)}? {hint}"
    message = f"the catalogue has no {one} called '{name}'"
    raise UnknownNameError(Fault(f"unknown-{one}", message, where or Where(), hint))


def _others() -> tuple[Catalogue, ...]:
    """The catalogues of plug-ins."""
    # Only a name that is not framekit's own asks for them, so a usual start pays nothing.
    from framekit.plugins import CATALOGUES, load, names

    return tuple(load(CATALOGUES, name) for name in names(CATALOGUES) if name != STANDARD)
