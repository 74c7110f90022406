"""Rows of the catalogue: bodies and sheet materials, every figure with unit and source."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal, NamedTuple, get_type_hints

from framekit.errors import Fault, UnknownNameError

Kind = Literal["star", "planet", "dwarf", "moon"]
MeanKind = Literal["arithmetic", "volumetric"]


@dataclass(frozen=True)
class Figure:
    """A value in `unit`, its ± tolerance in the same unit, and where it comes from.

    Tolerance 0 means exact by definition, None that none is stated.
    """

    value: float
    unit: str
    tolerance: float | None
    source: str

    def __str__(self) -> str:
        """The figure as the data files write it, without its source.

        >>> str(Figure(60268.0, "km", 4.0, "a report"))
        '60268 ± 4 km'
        """
        if self.tolerance is None:
            return f"{self.value:.12g} {self.unit}"
        if self.tolerance == 0.0:
            return f"{self.value:.12g} {self.unit} exactly"
        return f"{self.value:.12g} ± {self.tolerance:.12g} {self.unit}"


class Column(NamedTuple):
    """The unit that a field's figures have, and the page's table and head that show them.

    `t` is sheet thicknesses. A field without a table has a place of its own in the page.
    """

    unit: str
    table: Literal["", "Materials", "Fits", "Least material"] = ""
    head: str = ""


def columns(row: type) -> dict[str, Column]:
    """Return the column of each field of a kind of row that holds a figure, by the field's name."""
    hints = get_type_hints(row, include_extras=True).items()
    marks = ((name, mark) for name, hint in hints for mark in getattr(hint, "__metadata__", ()))
    return {name: mark for name, mark in marks if isinstance(mark, Column)}


Km = Annotated[Figure, Column("km")]
Mm = Annotated[Figure, Column("mm")]


@dataclass(frozen=True)
class RingRow:
    """A ring: its name, inner and outer radius in km from the planet's centre."""

    name: str
    inner: Km
    outer: Km


@dataclass(frozen=True)
class BodyRow:
    """A body of the sky as a spheroid: radii in km, obliquity in deg, orbit in AU.

    `around` names the body a moon goes round. `stand_in` tells that the real shape has three
    unequal axes and the row is the sphere of its mean radius. `mean_kind` tells which mean
    `mean_radius` is: arithmetic (2a + c)/3 or volumetric, cube root of a²c. `orbit` is the
    semi-major axis about the Sun.
    """

    name: str
    title: str
    kind: Kind
    around: str | None
    equatorial_radius: Km
    polar_radius: Km
    stand_in: bool
    mean_radius: Annotated[Figure | None, Column("km")]
    mean_kind: MeanKind | None
    obliquity: Annotated[Figure | None, Column("deg")]
    orbit: Annotated[Figure | None, Column("AU")]
    rings: tuple[RingRow, ...]

    @property
    def flattening(self) -> float:
        """The flattening (a − c)/a, no unit."""
        a, c = self.equatorial_radius.value, self.polar_radius.value
        return (a - c) / a


@dataclass(frozen=True)
class NominalSheet:
    """A datasheet's row: nominal thickness in mm, density in kg/m³, limits of thickness in mm."""

    nominal: Mm
    density: Annotated[Figure, Column("kg/m³")]
    low: Annotated[Figure | None, Column("mm")]
    high: Annotated[Figure | None, Column("mm")]


@dataclass(frozen=True)
class ThicknessRule:
    """Limits of a nominal thickness t, in mm, from `start` mm up.

    `plus` and `minus` are pairs (p in mm, q without unit): t + (p + q t) and t − (p + q t).
    """

    start: float
    plus: tuple[float, float]
    minus: tuple[float, float]
    source: str

    def limits(self, nominal: float) -> tuple[float, float]:
        """The least and greatest thickness in mm of a sheet called `nominal` mm.

        >>> ThicknessRule(0.0, (0.4, 0.1), (0.4, 0.1), "ISO 7823-1").limits(3.0)
        (2.3, 3.7)
        """
        low = nominal - (self.minus[0] + self.minus[1] * nominal)
        high = nominal + (self.plus[0] + self.plus[1] * nominal)
        return (round(low, 9), round(high, 9))


@dataclass(frozen=True)
class MaterialRow:
    """A sheet material: density in kg/m³, fits and gaps in mm, factors in sheet thicknesses.

    `slip`, `snug` and `press` are finished slot width less sheet thickness. `least_gap` and
    `most_gap` bound the play as made that still goes together and still holds. `ligament`,
    `web` and `wall` are the least material behind a slot, between slots and round a hole.
    `kerf` is the whole width of a laser's cut, to start from; `modulus` that of elasticity in
    bending, MPa, None where it is not known.

    A new property is a field here with its column, and a line of each material in
    `data/materials.yaml`; give it the default None, so that catalogues of others stay whole.
    """

    name: str
    title: str
    density: Annotated[Figure, Column("kg/m³", "Materials", "density")]
    sheets: tuple[NominalSheet, ...]
    thickness: tuple[ThicknessRule, ...]
    slip: Annotated[Figure, Column("mm", "Fits", "slip")]
    snug: Annotated[Figure, Column("mm", "Fits", "snug")]
    press: Annotated[Figure, Column("mm", "Fits", "press")]
    least_gap: Annotated[Figure, Column("mm", "Fits", "least gap")]
    most_gap: Annotated[Figure, Column("mm", "Fits", "most gap")]
    ligament: Annotated[Figure, Column("t", "Least material", "ligament")]
    web: Annotated[Figure, Column("t", "Least material", "web")]
    wall: Annotated[Figure, Column("t", "Least material", "wall")]
    kerf: Annotated[Figure, Column("mm", "Materials", "kerf of a laser")]
    notes: tuple[str, ...]
    modulus: Annotated[Figure | None, Column("MPa", "Materials", "modulus in bending")] = None

    def clearance(self, fit: str) -> Figure:
        """The clearance of the fit `slip`, `snug` or `press`, in mm.

        Raises:
            UnknownNameError: there is no such fit.
        """
        fits = {"slip": self.slip, "snug": self.snug, "press": self.press}
        if fit not in fits:
            raise UnknownNameError(
                Fault("unknown-fit", f"there is no fit '{fit}'", hint="Write slip, snug or press.")
            )
        return fits[fit]

    def thickness_limits(self, nominal: float) -> tuple[float, float] | None:
        """The least and greatest thickness in mm of a sheet sold as `nominal` mm, if a rule says.

        A datasheet's own limits win over a standard's. None means: measure.
        """
        for row in self.sheets:
            if row.nominal.value == nominal and row.low and row.high:
                return (row.low.value, row.high.value)
        rules = [rule for rule in self.thickness if rule.start <= nominal]
        return max(rules, key=lambda rule: rule.start).limits(nominal) if rules else None

    def density_at(self, thickness: float) -> Figure:
        """The density in kg/m³ of a sheet `thickness` mm thick.

        It is the datasheet's row whose limits hold the thickness, or else the default.
        """
        for row in self.sheets:
            limits = self.thickness_limits(row.nominal.value)
            if limits and limits[0] <= thickness <= limits[1]:
                return row.density
        return self.density

    def mass(self, area: float, thickness: float) -> float:
        """The mass in g of a piece of `area` mm² cut from a sheet `thickness` mm thick."""
        return area * thickness * self.density_at(thickness).value * 1e-6


@dataclass(frozen=True)
class RefusedRow:
    """A material that is left out on purpose, and why."""

    name: str
    reason: str
    source: str


@dataclass(frozen=True)
class Caution:
    """A caution for every material and machine, and its source."""

    text: str
    source: str
