"""What a check's margin is made from, as quantities: limits, real sizes, and the margin itself.

A margin's law names limits of the material, sizes as they really are and what comes of two widths.
Here each of them is a quantity with its own small law or its source, so that a margin is derived
as any other number.
"""

from __future__ import annotations

from collections.abc import Mapping

from framekit.catalogue.model import Figure
from framekit.constraints.formula.text_law import text_law
from framekit.constraints.law import Law
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import Relation, Step
from framekit.errors import Where
from framekit.explain.rounding import rounded_outward
from framekit.solution.generated import AS_MADE
from framekit.solution.limits import RELIEF_ROOM, RIB_WIDTHS, limit_values
from framekit.solution.model import Check, FrameSolution, MarginUse, Quantity
from framekit.solution.symbols import described, template_name
from framekit.spec.given import Origin

PAGE = "docs/reference/checks.md"
"""Where limits are described that have no other source."""

GEOMETRY = "docs/explanation/geometry.md"
"""Where the laws of what is made are derived."""

LAWS: dict[str, Law] = {law.name: law for law in AS_MADE}


def margin_quantities(frame: FrameSolution, check: Check, use: MarginUse) -> dict[str, Quantity]:
    """A check's margin by the check's name, and what its law names beside the frame's quantities.

    Lengths in mm.
    """
    values: dict[str, float] = {name: q.value for name, q in frame.quantities.items()}
    limits = limit_values(FLOATS, frame.structure, values)
    found = {name: _term(frame, name, limits) for name in use.names if name not in frame.quantities}
    standard = LAWS.get(use.law)
    source = standard.source if standard and standard.forms[0] is use.form else GEOMETRY
    law = Law(use.law, use.words, source, (*use.form.inputs, use.form.output), (use.form,))
    relation = Relation(law, (*use.names, check.name))
    found[check.name] = Quantity(
        name=check.name,
        value=check.margin,
        low=check.low,
        high=check.high,
        sigma=check.sigma,
        unit="mm",
        origin="derived",
        where=check.where,
        step=Step(check.name, relation, use.form, use.names),
        shares=check.shares,
        curved=check.curved,
    )
    return found


def _term(frame: FrameSolution, name: str, limits: Mapping[str, float]) -> Quantity:
    """Return one of the names that only margins know."""
    spec, material = frame.spec, frame.material
    real = {item.made: item for item in frame.toleranced}
    discs, of_discs = frame.disc_material, frame.structure.disc_thickness
    factors = {
        "limit.least_ligament": (material.ligament, material.title, "sheet.thickness"),
        "limit.least_web": (discs.web, discs.title, of_discs),
        "limit.least_wall": (discs.wall, discs.title, of_discs),
    }
    gaps = {
        "limit.least_gap": max(material.least_gap, discs.least_gap, key=lambda f: f.value),
        "limit.most_gap": min(material.most_gap, discs.most_gap, key=lambda f: f.value),
    }
    if name in real:
        item = real[name]
        low, high = rounded_outward(item.value - item.tolerance, item.value + item.tolerance, 4)
        reach = f", {low} to {high} mm at its limits" if item.tolerance else ""
        words = f"here as drawn{reach}".replace("-", "−")
        return _derived(name, item.value, item.quantity, words, GEOMETRY)
    value = limits[name]
    if name in factors:
        reliefs = RELIEVED[name] if frame.structure.is_relieved else 0
        return _thicknesses(name, value, *factors[name], reliefs)
    if name in gaps:
        place = spec.where("sheet", "material")
        return _plain(name, value, "catalogue", place, gaps[name].source)
    match template_name(name):
        case "rib.width_least":
            widths = ", ".join(width for width in RIB_WIDTHS if width in frame.quantities)
            words = "the least of the ribs' widths"
            return _derived(name, value, f"min({widths})", words, "definition")
        case "disc.held_depth" if frame.structure.slotted:
            return _derived(name, value, "joint.end_clearance", "the slots' end clearance", PAGE)
        case "disc.held_depth":
            return _derived(name, value, "0", "the disc has no slots", PAGE)
        case "limit.skin_allowance":
            note = "what sanding takes off (common practice, no source)"
            return _plain(name, value, "default", spec.where(), note)
        case "limit.layers":
            note = "one sheet unless the stand says otherwise"
            return _plain(name, value, "given", spec.where("stand", "layers"), note)
        case "limit.spacing" | "limit.margin":
            key = name.removeprefix("limit.")
            if getattr(spec.cutter, key) is not None:
                return _plain(name, value, "given", spec.where("cutter", key), "")
            return _plain(name, value, "default", spec.where("cutter"), CUTTER_DEFAULTS[key])
    return _plain(name, value, "default", spec.where(), PAGE)


CUTTER_DEFAULTS = {
    "spacing": "2 mm, or 1.25 times a router's tool and 1 mm",
    "margin": "5 mm, or 0.75 times a router's tool and 1 mm",
}

RELIEVED = {"limit.least_ligament": 1, "limit.least_web": 2, "limit.least_wall": 1}
"""How many reliefs of inside corners eat into each least width."""


def _thicknesses(
    name: str, value: float, factor: Figure, material: str, thickness: str, reliefs: int
) -> Quantity:
    """Return a least width: thicknesses of a material, and the cut beyond inside corners."""
    number = f"{factor.value:g}"
    words = f"{number} sheet thickness{'es' * (number != '1')} of {material}"
    formula = f"{number}*{thickness}"
    if reliefs:
        words += ", and how far the relief of a corner goes beyond its sides"
        times = "2*" if reliefs == 2 else ""
        formula += f" + {times}(1 - sqrt(0.5))*(cutter.kerf/2 + {RELIEF_ROOM:g})"
    return _derived(name, value, formula, words, factor.source)


def _derived(name: str, value: float, formula: str, words: str, source: str) -> Quantity:
    law = text_law("", name, formula, words, source)
    form = law.forms[0]
    step = Step(name, Relation(law, law.quantities), form, form.inputs)
    return Quantity(name, value, value, value, 0.0, _unit(name), "derived", Where(), step=step)


def _plain(name: str, value: float, origin: Origin, where: Where, note: str) -> Quantity:
    return Quantity(name, value, value, value, 0.0, _unit(name), origin, where, note)


def _unit(name: str) -> str:
    return described(name).unit


def extent_names(frame: FrameSolution, check: Check) -> tuple[str, ...]:
    """The quantities that a check without a law looks at: the part's extent, or the kerf."""
    if check.code != "fits-stock":
        return ("cutter.kerf",)
    ribs = ("model.equatorial_radius", "model.polar_radius", "rib.pole_gap", "rib.height")
    plate = (f"{check.about}.radius", f"{check.about}.outer_radius")
    names = ribs if check.about == "ribs" else plate
    return tuple(name for name in names if name in frame.quantities)
