"""The catalogue's YAML files → rows, every key and figure checked."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields
from typing import Any, get_args

from ruamel.yaml import YAML

from framekit.catalogue.model import (
    BodyRow,
    Caution,
    Figure,
    Kind,
    MaterialRow,
    MeanKind,
    NominalSheet,
    RefusedRow,
    RingRow,
    ThicknessRule,
    columns,
)
from framekit.errors import Fault, FramekitError

_FIGURE = re.compile(
    r"(?P<value>-?[0-9]+(\.[0-9]+)?)( ± (?P<tolerance>[0-9]+(\.[0-9]+)?))?"
    r" (?P<unit>\S+)(?P<exact> exactly)?"
)


def read_bodies(text: str) -> tuple[BodyRow, ...]:
    """The bodies of the YAML `text`, in its order.

    Raises:
        FramekitError: a key is missing or unknown, or a figure cannot be read.
    """
    page = _Table("bodies.yaml", YAML(typ="safe", pure=True).load(text), {})
    sources = page.take("sources")
    tables = {
        name: dict(_Table(name, page.take(name), sources).tables())
        for name in ("bodies", "mean_radii", "obliquities", "orbits", "rings")
    }
    page.end()
    names = list(tables["bodies"])
    for name, table in tables.items():
        for key in table:
            if key not in names:
                raise _fault(f"{name}.{key}", "is not the name of a body")
    return tuple(_body(name, tables) for name in names)


def read_materials(
    text: str,
) -> tuple[tuple[MaterialRow, ...], tuple[RefusedRow, ...], tuple[Caution, ...]]:
    """The materials, the refused materials and the cautions of the YAML `text`, in its order.

    Raises:
        FramekitError: a key is missing or unknown, or a figure cannot be read.
    """
    page = _Table("materials.yaml", YAML(typ="safe", pure=True).load(text), {})
    sources = page.take("sources")
    rows = _Table("materials", page.take("materials"), sources)
    materials = tuple(_material(name, table) for name, table in rows.tables())
    refused = []
    for name, table in _Table("refused", page.take("refused"), sources).tables():
        refused.append(RefusedRow(name, table.text("reason"), table.source()))
        table.end()
    cautions = []
    for i, raw in enumerate(page.take("cautions")):
        table = _Table(f"cautions[{i}]", raw, sources)
        cautions.append(Caution(table.text("text"), table.source()))
        table.end()
    page.end()
    return materials, tuple(refused), tuple(cautions)


def _body(name: str, tables: dict[str, dict[str, _Table]]) -> BodyRow:
    row = tables["bodies"][name]
    mean = tables["mean_radii"].get(name)
    mean_kind: MeanKind | None = None
    mean_radius = None
    if mean is not None:
        mean_kind = mean.choice("mean_kind", get_args(MeanKind))
        mean_radius = mean.row("km")
    obliquity = tables["obliquities"].get(name)
    orbit = tables["orbits"].get(name)
    rings = []
    if name in tables["rings"]:
        for ring, table in tables["rings"][name].tables():
            inner = table.figure("inner", "km", table.source("inner_source"))
            outer = table.figure("outer", "km", table.source("outer_source"))
            table.end()
            rings.append(RingRow(ring, inner, outer))
    source = row.source()
    kind: Kind = row.choice("kind", get_args(Kind))
    around = row.text("around") if kind == "moon" else None
    if around is not None and around not in tables["bodies"]:
        raise _fault(f"bodies.{name}", f"goes round '{around}', which is not a body here")
    result = BodyRow(
        name=name,
        title=row.text("title"),
        kind=kind,
        around=around,
        equatorial_radius=row.figure("equatorial", "km", source),
        polar_radius=row.figure("polar", "km", source),
        stand_in=bool(row.take("stand_in", False)),
        mean_radius=mean_radius,
        mean_kind=mean_kind,
        obliquity=obliquity.row("deg") if obliquity else None,
        orbit=orbit.row("AU") if orbit else None,
        rings=tuple(rings),
    )
    row.end()
    return result


def _material(name: str, table: _Table) -> MaterialRow:
    optional = {field.name for field in fields(MaterialRow) if field.default is None}
    figures = {
        key: _Table(f"{table.place}.{key}", table.take(key), table.sources).row(column.unit)
        for key, column in columns(MaterialRow).items()
        if key in table.raw or key not in optional
    }
    sheets, rules = [], []
    for i, raw in enumerate(table.take("sheets", [])):
        row = _Table(f"{table.place}.sheets[{i}]", raw, table.sources)
        source = row.source()
        sheets.append(
            NominalSheet(
                nominal=row.figure("nominal", "mm", source),
                density=row.figure("density", "kg/m³", source),
                low=row.figure("low", "mm", source) if "low" in row.raw else None,
                high=row.figure("high", "mm", source) if "high" in row.raw else None,
            )
        )
        row.end()
    for i, raw in enumerate(table.take("thickness", [])):
        row = _Table(f"{table.place}.thickness[{i}]", raw, table.sources)
        rules.append(
            ThicknessRule(
                float(row.take("from")), row.pair("plus"), row.pair("minus"), row.source()
            )
        )
        row.end()
    result = MaterialRow(
        name=name,
        title=table.text("title"),
        sheets=tuple(sheets),
        thickness=tuple(rules),
        notes=tuple(str(note) for note in table.take("notes")),
        **figures,
    )
    table.end()
    return result


def _fault(place: str, text: str) -> FramekitError:
    return FramekitError(
        Fault("catalogue-data", f"{place} {text}", hint="Mend the catalogue's data file.")
    )


class _Table:
    """A mapping of the data file; `end` refuses keys that nobody took."""

    def __init__(self, place: str, raw: Any, sources: dict[str, str]) -> None:
        if not isinstance(raw, dict):
            raise _fault(place, "is not a mapping")
        self.place = place
        self.raw = raw
        self.sources = sources
        self._taken: set[str] = set()

    def take(self, key: str, default: Any = None) -> Any:
        self._taken.add(key)
        value = self.raw.get(key, default)
        if value is None:
            raise _fault(self.place, f"has no '{key}'")
        return value

    def tables(self) -> Iterator[tuple[str, _Table]]:
        for key in self.raw:
            yield key, _Table(f"{self.place}.{key}", self.take(key), self.sources)

    def text(self, key: str) -> str:
        value = self.take(key)
        if not isinstance(value, str) or not value:
            raise _fault(f"{self.place}.{key}", "is not text")
        return value

    def choice(self, key: str, allowed: tuple[str, ...]) -> Any:
        value = self.text(key)
        if value not in allowed:
            raise _fault(f"{self.place}.{key}", f"is '{value}', not one of {', '.join(allowed)}")
        return value

    def pair(self, key: str) -> tuple[float, float]:
        first, second = self.take(key)
        return (float(first), float(second))

    def source(self, key: str = "source") -> str:
        name = self.text(key)
        if name not in self.sources:
            raise _fault(f"{self.place}.{key}", f"is '{name}', which is not under sources")
        return self.sources[name]

    def figure(self, key: str, unit: str, source: str) -> Figure:
        text = self.text(key)
        match = _FIGURE.fullmatch(text)
        if not match or match["unit"] != unit or (match["exact"] and match["tolerance"]):
            raise _fault(
                f"{self.place}.{key}", f"is '{text}', not like '12.3 {unit}' or '12.3 ± 0.1 {unit}'"
            )
        tolerance = float(match["tolerance"]) if match["tolerance"] else None
        return Figure(float(match["value"]), unit, 0.0 if match["exact"] else tolerance, source)

    def row(self, unit: str) -> Figure:
        figure = self.figure("value", unit, self.source())
        self.end()
        return figure

    def end(self) -> None:
        surplus = [key for key in self.raw if key not in self._taken]
        if surplus:
            raise _fault(self.place, f"has the unknown key '{surplus[0]}'")
