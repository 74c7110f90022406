"""The kit for catalogues: every row complete, in its unit, with a source, under a free name."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields
from typing import get_args

from framekit.catalogue import load as own
from framekit.catalogue.generated import REFUSED
from framekit.catalogue.load import Row
from framekit.catalogue.model import BodyRow, Figure, Kind, MaterialRow, columns
from framekit.catalogue.protocol import Catalogue
from framekit.errors import FramekitError
from framekit.plugins import CATALOGUES
from framekit.testing.common import check_installed, check_name


def check_catalogue(catalogue: Catalogue) -> None:
    """Pass when a catalogue keeps its contract, else raise AssertionError.

    It gives the same rows each time; names are plain, its own and not those of framekit or of
    materials that are left out on purpose; every figure has its unit, a source and no tolerance
    below zero; sizes, fits and limits make sense; framekit finds every row.
    """
    check_name(catalogue.name)
    bodies, materials = catalogue.bodies(), catalogue.materials()
    again = (catalogue.bodies(), catalogue.materials())
    assert (bodies, materials) == again, "the rows are not the same each time"
    assert bodies or materials, "the catalogue is empty"
    foreign = catalogue.name != own.STANDARD
    _names_are_free([row.name for row in bodies], [b.name for b in own.bodies()] * foreign)
    _names_are_free([row.name for row in materials], [m.name for m in own.materials()] * foreign)
    near = {row.name for row in (*bodies, *own.bodies())}
    for body in bodies:
        _body_makes_sense(body, near)
    for material in materials:
        assert material.name not in REFUSED, f"'{material.name}' is left out on purpose"
        _material_makes_sense(material)
    check_installed(CATALOGUES, catalogue)
    for body in bodies:
        _is_found(body, own.body)
    for material in materials:
        _is_found(material, own.material)


def _is_found(row: Row, find: Callable[[str], Row]) -> None:
    try:
        found = find(row.name)
    except FramekitError as error:
        raise AssertionError(f"framekit does not find '{row.name}': {error}") from error
    assert found == row, f"framekit finds another '{row.name}'"


def _names_are_free(names: Sequence[str], reserved: Sequence[str]) -> None:
    for name in names:
        check_name(name)
        assert name not in reserved, f"'{name}' is framekit's own and would never be reached"
    assert len(set(names)) == len(names), f"two rows have one name: {sorted(names)}"


def _figures(place: str, row: object) -> Iterator[tuple[str, Figure, str]]:
    """Every figure of a row and of the rows in it: its place, itself, the unit it must have."""
    for name, column in columns(type(row)).items():
        figure = getattr(row, name)
        if figure is not None:
            yield f"{place}.{name}", figure, column.unit
    for field in fields(row):  # type: ignore[arg-type]  # every row is a dataclass
        if field.name in ("rings", "sheets"):
            for inner in getattr(row, field.name):
                yield from _figures(f"{place}.{field.name}", inner)


def _figures_are_whole(row: BodyRow | MaterialRow) -> None:
    assert row.title.strip(), f"{row.name} has no title"
    for place, figure, unit in _figures(row.name, row):
        assert figure.unit == unit, f"{place} is in {figure.unit}, not in {unit}"
        assert math.isfinite(figure.value), f"{place} is {figure.value}"
        spread = figure.tolerance
        assert spread is None or spread >= 0, f"{place} has the tolerance {spread}, below zero"
        assert figure.source.strip(), f"{place} has no source"


def _body_makes_sense(row: BodyRow, near: set[str]) -> None:
    _figures_are_whole(row)
    assert row.kind in get_args(Kind), f"{row.name} is a '{row.kind}'"
    radii = (row.equatorial_radius.value, row.polar_radius.value)
    assert min(radii) > 0, f"{row.name} has a radius of {min(radii):g} km"
    assert (row.kind == "moon") == (row.around is not None), (
        f"{row.name} is a {row.kind} and goes round {row.around}: a moon, and only it, goes round "
        "another body"
    )
    assert row.around in (None, *near), f"{row.name} goes round '{row.around}', which is no row"
    assert (row.mean_radius is None) == (row.mean_kind is None), (
        f"{row.name} has a mean radius without its kind, or a kind without it"
    )
    for ring in row.rings:
        assert 0 < ring.inner.value < ring.outer.value, (
            f"the ring {ring.name} of {row.name} does not lie from its inner to its outer radius"
        )


def _material_makes_sense(row: MaterialRow) -> None:
    _figures_are_whole(row)
    assert row.density.value > 0, f"{row.name} has no density"
    stiff = row.modulus is None or row.modulus.value > 0
    assert stiff, f"{row.name} has a modulus that is not above zero"
    fits = (row.press.value, row.snug.value, row.slip.value)
    assert list(fits) == sorted(fits), f"{row.name}: press, snug and slip do not rise: {fits}"
    gaps = (row.least_gap.value, row.most_gap.value)
    assert gaps[0] < gaps[1], f"{row.name}: the least gap is not below the most: {gaps}"
    assert gaps[0] <= fits[1] <= gaps[1], f"{row.name}: a snug fit is not within the gaps {gaps}"
    least = min(row.ligament.value, row.web.value, row.wall.value)
    assert least > 0, f"{row.name}: a least ligament, web or wall is not above zero"
    assert row.kerf.value >= 0, f"{row.name} has a kerf below zero"
