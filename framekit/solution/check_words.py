"""The one plain sentence of each check: what must hold, with its numbers."""

from __future__ import annotations

import re
from collections.abc import Mapping

from framekit.solution.margins import SKIN_ALLOWANCE, MarginUse


def sentence(use: MarginUse, values: Mapping[str, float], material: str) -> str:
    """What a check asks, in words; `values` has quantities and limits in mm."""
    v = values
    t, gap = v["sheet.thickness"], v["joint.gap"]
    disc = use.about.partition(" ")[0]

    def of(name: str) -> float:
        return v[f"{disc}.{name}"]

    if use.sentence:
        return _filled(use.sentence, disc, v)
    match use.law:
        case "slot-gap":
            return (
                f"The slot leaves {gap:.2f} mm beside the sheet; in {material} it must leave at "
                f"least {v['limit.least_gap']:.2f} mm to go together."
            )
        case "slot-slack":
            return (
                f"The slot leaves {gap:.2f} mm beside the sheet; in {material} more than "
                f"{v['limit.most_gap']:.2f} mm would rattle."
            )
        case "feature-slot":
            return (
                f"The slot is {v['joint.slot_width']:.2f} mm wide; it must be wider than the cut, "
                f"{v['cutter.kerf']:.2f} mm."
            )
        case "cut-spacing":
            return (
                f"Parts lie {v['limit.spacing']:.2f} mm apart on the sheet; the cut between them "
                f"is {v['cutter.kerf']:.2f} mm wide."
            )
        case "cut-margin":
            return (
                f"The sheet keeps {v['limit.margin']:.2f} mm at its edges; the cut round a part "
                f"reaches {v['cutter.kerf'] / 2:.2f} mm beyond it."
            )
        case "slot-seat":
            return (
                f"Slots run {v['joint.end_clearance']:.2f} mm past their seat; the round tool "
                f"leaves {v['cutter.kerf'] / 2:.2f} mm in their corners."
            )
        case "pole-clearance":
            return (
                f"The ribs stop {v['rib.pole_gap']:.2f} mm from the axis; neighbours must not "
                "touch there."
            )
        case "feature-rib":
            return (
                f"The ribs are {v['rib.width_least']:.1f} mm wide at least; they must be wider "
                "than the cut."
            )
        case "ligament":
            return (
                f"Behind {disc}'s notch the rib keeps {of('ligament'):.1f} mm; it needs "
                f"{v['limit.least_ligament']:.1f} mm not to break."
            )
        case "web":
            return (
                f"Between {disc}'s slots {of('slot_web'):.1f} mm of material are left; it needs "
                f"{v['limit.least_web']:.1f} mm not to break."
            )
        case "inside-skin-far" | "inside-skin-near":
            face = use.law.rpartition("-")[2]
            return (
                f"{disc}'s rim, radius {of('radius'):.2f} mm, must lie under the skin at its "
                f"{face} face; {SKIN_ALLOWANCE} mm proud is allowed."
            )
        case "engagement-rib" if use.renamed and use.governed == "ribs.alternate":
            return (
                f"{disc} must sit {t:.1f} mm deep in every other rib too, also where its notch is "
                "shallowest."
            )
        case "engagement-rib":
            return (
                f"{disc} must sit {t:.1f} mm deep in the rib, also where the notch is shallowest; "
                f"at its middle it sits {of('notch_depth'):.1f} mm deep."
            )
        case "engagement-disc":
            return f"{disc}'s slots are {of('slot_depth'):.1f} mm deep; they need {t:.1f} mm."
        case "bore-wall":
            return (
                f"{disc}'s ring must keep {v['limit.least_wall']:.1f} mm between its bore, radius "
                f"{of('bore_radius'):.1f} mm, and its joints."
            )
        case "feature-bore":
            return (
                f"{disc}'s bore is {2 * of('bore_radius'):.1f} mm wide; it must be wider than the "
                "cut."
            )
        case "rib-end":
            return f"Beyond {disc}'s notch the rib's end must keep {t:.1f} mm of height."
        case "rib-flake":
            return (
                f"Between {disc}'s notch and the rib's inner edge no flake thinner than "
                f"{t / 2:.1f} mm may stand."
            )
        case "inside-skin":
            return (
                f"{disc}'s rim, radius {of('radius'):.2f} mm, must lie under the skin over all its "
                f"thickness; {SKIN_ALLOWANCE} mm proud is allowed."
            )
        case "rib-end-low" | "rib-end-high":
            side = "Below" if use.law.endswith("low") else "Above"
            return f"{side} {disc}'s notch the rib's end must keep {t:.1f} mm of height."
        case "rib-flake-low" | "rib-flake-high":
            return (
                f"Between {disc}'s notch and the rib's inner edge no flake thinner than "
                f"{t / 2:.1f} mm may stand."
            )
        case "shoulder-rib":
            return (
                f"Every other rib's shoulders inside their tongues through {disc} need {t:.1f} mm."
            )
        case "end-room-low" | "end-room-high":
            side = "lower" if use.law.endswith("low") else "upper"
            return (
                f"At the body's {side} end the skin must leave the ribs {t:.1f} mm outside the "
                f"{v['rib.pole_gap']:.1f} mm that keep them apart."
            )
        case "tongue":
            return (
                f"The ribs' tongues through {disc} are {of('tongue_width'):.1f} mm wide; they need "
                f"two thicknesses, {2 * t:.1f} mm."
            )
        case "shoulder-outer" | "shoulder-inner":
            side = "outside" if use.law.endswith("outer") else "inside"
            return (
                f"The ribs' shoulders {side} their tongues, {of('tongue_width'):.1f} mm wide, "
                f"through {disc} need {t:.1f} mm."
            )
        case "mortise-rim":
            return f"Outside its mortises {disc} must keep a rim of {v['limit.least_web']:.1f} mm."
        case "mortise-web":
            return (
                f"Between {disc}'s mortises {v['limit.least_web']:.1f} mm of material must be left."
            )
        case "mortise-wall":
            return (
                f"{disc}'s ring must keep {v['limit.least_wall']:.1f} mm between its bore, radius "
                f"{of('bore_radius'):.1f} mm, and its mortises."
            )
        case "flange-ring":
            return (
                f"{disc}'s slots reach to {of('slot_radius'):.1f} mm, past the widest part of the "
                f"ribs; outside them its ring, radius {of('outer_radius'):.1f} mm, must keep "
                f"{v['limit.least_web']:.1f} mm."
            )
        case "flange-teeth":
            return (
                f"{disc}'s teeth at {of('seat_radius'):.1f} mm must be wider than a rib by "
                f"{v['limit.least_web']:.1f} mm, to lock it when it is turned."
            )
        case "flange-engagement":
            return f"{disc} sits {of('seat_depth'):.1f} mm deep in the ribs; it needs {t:.1f} mm."
        case "flange-ligament":
            return (
                f"Behind {disc}'s notch, at {of('seat_radius'):.1f} mm, the ribs must keep "
                f"{v['limit.least_ligament']:.1f} mm not to break."
            )
        case "flange-way":
            name, _, other = use.about.partition(" and ")
            return (
                f"{name} is dropped over from above, past {other}: its inner rim, "
                f"{of('seat_radius'):.1f} mm, must clear the disc, {v[f'{other}.radius']:.1f} mm. "
                "A setback makes the disc smaller."
            )
        case "flange-spacing":
            return (
                f"{use.about} lie too near each other, unless the disc is housed; slot and tooth "
                f"between them need {v['joint.slot_width'] + t:.1f} mm."
            )
        case "flange-over-disc":
            return (
                f"Between the notches of {use.about} the ribs must keep "
                f"{v['limit.least_ligament']:.1f} mm not to break, unless one lies above the other."
            )
        case "disc-spacing":
            upper = use.about.rpartition(" ")[2]
            apart = v[f"{upper}.height"] - of("height")
            return (
                f"{use.about} lie {apart:.1f} mm apart; slot and tooth between them need "
                f"{v['joint.slot_width'] + t:.1f} mm."
            )
    raise AssertionError(f"no words for the check {use.law}")


def _filled(text: str, disc: str, values: Mapping[str, float]) -> str:
    """A plug-in's sentence filled in: `{disc}` is the disc, `{disc.radius:.1f}` a number of it."""

    def number(match: re.Match[str]) -> str:
        name, form = match[1], match[2] or ".2f"
        if name == "disc":
            return disc
        full = name.replace("disc.", f"{disc}.", 1) if name.startswith("disc.") else name
        return format(values[full], form)

    return re.sub(r"\{([a-z_.]+)(?::(\.[0-9]f))?\}", number, text)
