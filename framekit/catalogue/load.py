"""Rows of the catalogue by name, from the generated module: no file is read."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from framekit.catalogue.generated import BODIES, CAUTIONS, MATERIALS, REFUSED
from framekit.catalogue.model import BodyRow, Caution, MaterialRow
from framekit.errors import Fault, UnknownNameError, Where


def bodies() -> tuple[BodyRow, ...]:
    """Every body of the catalogue, in the order of the data file."""
    return tuple(make() for make in BODIES.values())


def materials() -> tuple[MaterialRow, ...]:
    """Every material of the catalogue, in the order of the data file."""
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
    """
    if name in BODIES:
        return BODIES[name]()
    raise _unknown("body", "bodies", name, list(BODIES), where)


def material(name: str, where: Where | None = None) -> MaterialRow:
    """The material called `name`; `where` is the place in the spec that an error shows.

    >>> str(material("card").snug)
    '-0.05 mm'

    Raises:
        UnknownNameError: there is no such material, or it is left out because it is dangerous.
    """
    if name in MATERIALS:
        return MATERIALS[name]()
    known = list(MATERIALS)
    if name.lower() in REFUSED:
        refused = REFUSED[name.lower()]()
        raise UnknownNameError(
            Fault(
                "material-refused",
                f"the material '{name}' is left out on purpose: {refused.reason}",
                where or Where(),
                f"Use one of {', '.join(known)}.",
            )
        )
    raise _unknown("material", "materials", name, known, where)


def _unknown(
    one: str, many: str, name: str, known: Sequence[str], where: Where | None
) -> UnknownNameError:
    near = get_close_matches(name.lower(), known, n=3, cutoff=0.6)
    hint = f"The {many} are: {', '.join(known)}."
    if near:
        hint = f"Did you mean {' or '.join(repr(n) for n in near)}? {hint}"
    message = f"the catalogue has no {one} called '{name}'"
    return UnknownNameError(Fault(f"unknown-{one}", message, where or Where(), hint))
