"""Rows of the catalogue: bodies and sheet materials, every figure with unit and source."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

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


@dataclass(frozen=True)
class RingRow:
    """A ring: its name, inner and outer radius in km from the planet's centre."""

    name: str
    inner: Figure
    outer: Figure


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
    equatorial_radius: Figure
    polar_radius: Figure
    stand_in: bool
    mean_radius: Figure | None
    mean_kind: MeanKind | None
    obliquity: Figure | None
    orbit: Figure | None
    rings: tuple[RingRow, ...]

    @property
    def flattening(self) -> float:
        """The flattening (a − c)/a, no unit."""
        a, c = self.equatorial_radius.value, self.polar_radius.value
        return (a - c) / a


@dataclass(frozen=True)
class SheetRow:
    """A datasheet's row: nominal thickness in mm, density in kg/m³, limits of thickness in mm."""

    nominal: Figure
    density: Figure
    low: Figure | None
    high: Figure | None


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
    """

    name: str
    title: str
    density: Figure
    sheets: tuple[SheetRow, ...]
    thickness: tuple[ThicknessRule, ...]
    slip: Figure
    snug: Figure
    press: Figure
    least_gap: Figure
    most_gap: Figure
    ligament: Figure
    web: Figure
    wall: Figure
    kerf: Figure
    notes: tuple[str, ...]
    modulus: Figure | None = None

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
