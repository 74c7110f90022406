"""What a spec tells: sizes with their tolerances, and what the catalogue's pages promise.

A spec's own text is all that is read; a length is plain mm, with its ± if known.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, NamedTuple

Values = dict[str, Any]


class Material(NamedTuple):
    """A row of docs/reference/catalogue.md: kerf and its ±, clearances, gaps, limits in t."""

    kerf: float
    kerf_spread: float
    fits: dict[str, float]
    least_gap: float
    most_gap: float
    ligament: float
    web: float
    wall: float


def _fits(slip: float, snug: float, press: float) -> dict[str, float]:
    return {"slip": slip, "snug": snug, "press": press}


_WOOD = Material(0.2, 0.0, _fits(0.1, 0.05, 0.0), 0.0, 0.25, 1.5, 1.0, 1.5)
_FIBRE = _WOOD._replace(kerf=0.165, kerf_spread=0.015)
_ACRYLIC = Material(0.19, 0.04, _fits(0.15, 0.1, 0.05), 0.0, 0.3, 2.0, 1.0, 1.5)
_CARD = Material(0.08, 0.0, _fits(0.0, -0.05, -0.1), -0.15, 0.1, 1.5, 1.0, 1.5)
MATERIALS = {
    "birch-plywood": _WOOD,
    "sanded-plywood": _WOOD,
    "mdf": _FIBRE,
    "hdf": _FIBRE,
    "cast-acrylic": _ACRYLIC,
    "extruded-acrylic": _ACRYLIC,
    "card": _CARD,
    "cardboard": _CARD,
}
"""The tables *Materials*, *Fits* and *Least material* of docs/reference/catalogue.md, copied by
hand: common practice and choices of the project, as that page says."""


UNTOLD = 0.03
"""± mm of a kerf of which neither spec nor catalogue says how it varies: framekit's choice, no
source."""


class Spread(NamedTuple):
    """A size in mm as drawn and the ± about it."""

    value: float
    off: float = 0.0
    stated: bool = False

    def at(self, side: float) -> float:
        """The size at −1, 0 or 1 of its tolerance."""
        return self.value + side * self.off


@dataclass(frozen=True)
class Told:
    """All that the judge takes from a spec."""

    spec: Values
    sheets: dict[str, Spread]
    """The thickness by the kind of part: `rib`, `stand`, `disc`, `flange`."""
    materials: dict[str, Material]
    """The material by the kind of part."""
    kerfs: dict[str, Spread]
    """The kerf by the kind of part; a router's is its tool."""
    clearances: dict[str, Spread]
    """Slot less sheet, by the kind of part that goes into it."""
    by_file: bool
    round_tool: bool
    margin: float
    spacing: float
    bridges: tuple[int, float] | None
    lead_in: float
    """The chamfer of every mouth in mm."""

    @property
    def silent(self) -> list[str]:
        """The thicknesses of which the spec gives no ±: no figure of any page stands in."""
        return [f"{k}s: no ± of the thickness" for k, s in self.sheets.items() if not s.stated]


def spread(given: Any) -> Spread:
    """Return a length of a spec with its tolerance; raise ValueError for other units."""
    if isinstance(given, dict):
        return Spread(float(given["value"]), float(given["tolerance"]), True)
    if not isinstance(given, str):
        return Spread(float(given))
    found = re.fullmatch(r"\s*([-\d.]+)(?:\s*(?:±|\+/?-)\s*([\d.]+))?(?:\s*mm)?\s*", given)
    if found is None:
        raise ValueError(f"{given!r} is no length in plain mm")
    value, off = found.groups()
    return Spread(float(value), float(off or 0.0), off is not None)


def told_by(spec: Values) -> Told:
    """Return what a spec of one frame tells."""
    sheet = spec["sheet"]
    plates = spec.get("disc_sheet", sheet)
    name = sheet.get("material", "birch-plywood")
    names = {"rib": name, "stand": name}
    names |= dict.fromkeys(("disc", "flange"), plates.get("material", name))
    cutter, joint = spec.get("cutter", {}), spec.get("joint", {})
    process = cutter.get("process", "laser")
    kinds = {kind: MATERIALS[material] for kind, material in names.items()}
    kerfs = {kind: _kerf(cutter, process, material) for kind, material in kinds.items()}
    bridges = cutter.get("bridges")
    return Told(
        spec,
        {
            kind: spread((sheet if kind in ("rib", "stand") else plates)["thickness"])
            for kind in kinds
        },
        kinds,
        kerfs,
        {kind: _clearance(joint, material) for kind, material in kinds.items()},
        cutter.get("compensate", "file") == "file",
        process == "router",
        float(cutter.get("margin", _at_least(5.0, process, 0.75 * kerfs["rib"].value))),
        float(cutter.get("spacing", _at_least(2.0, process, 1.25 * kerfs["rib"].value))),
        None
        if not bridges
        else (
            int(bridges.get("count", 3)),
            float(bridges.get("width", 3.0 if process == "router" else 0.6)),
        ),
        float(joint.get("lead_in", 0.0)),
    )


def _at_least(default: float, process: str, cut: float) -> float:
    """A distance where the spec gives none: for a router 1 mm more than its cut, if more."""
    return max(default, 1.0 + cut) if process == "router" else default


def _kerf(cutter: Values, process: str, material: Material) -> Spread:
    given = cutter.get("kerf", cutter.get("tool_diameter"))
    if given is not None:
        kerf = spread(given)
    elif process == "laser":
        kerf = Spread(material.kerf, material.kerf_spread, material.kerf_spread > 0)
    else:
        return Spread(0.0, 0.0, True)
    return kerf if kerf.stated else Spread(kerf.value, min(UNTOLD, kerf.value), True)


def _clearance(joint: Values, material: Material) -> Spread:
    if "clearance" in joint:
        return spread(joint["clearance"])
    return Spread(material.fits[joint.get("fit", "snug")], 0.0, True)
