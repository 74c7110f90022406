"""What must hold before anything is cut: margins over the tolerances, and verdicts."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import NamedTuple

from framekit.catalogue.model import MaterialRow
from framekit.solution.fitting import best_fit, margin_of, rib_hull, stock_size
from framekit.solution.model import Check, Verdict
from framekit.solution.relations import MADE_FORMS, PlacedDisc, full_name, placed_discs
from framekit.solution.tolerance import Spread, Toleranced, worst_case
from framekit.spec.model import FrameSpec
from framekit.spec.yaml_text import path_text

SKIN_ALLOWANCE = 0.25
"""mm a disc's rim may stand proud of the skin: what sanding takes off (common practice, no
source)."""

DECISIVE = 0.2
"""Share of the margin that a tolerance must be able to move before it is named as the limit."""
ROUNDING = 1e-9
"""mm below zero that floating point may leave of a margin that is exactly zero."""


class _Case(NamedTuple):
    """Everything a check looks at."""

    frame: FrameSpec
    values: Mapping[str, float]
    toleranced: tuple[Toleranced, ...]
    material: MaterialRow


def make_checks(
    frame: FrameSpec,
    values: Mapping[str, float],
    toleranced: tuple[Toleranced, ...],
    material: MaterialRow,
) -> tuple[Check, ...]:
    """All checks of a solved frame, those of the joint first, then by disc.

    `values` has every quantity by name, lengths in mm.
    """
    t = values["sheet.thickness"]
    limits = {
        "limit.least_gap": material.least_gap.value,
        "limit.most_gap": material.most_gap.value,
        "limit.least_ligament": material.ligament.value * t,
        "limit.least_web": material.web.value * t,
        "limit.least_wall": material.wall.value * t,
        "limit.skin_allowance": SKIN_ALLOWANCE,
        "rib.width_least": min(values["rib.width_equator"], values["rib.width_pole"]),
    }
    case = _Case(frame, {**values, **limits}, toleranced, material)
    checks = [*_joint_checks(case), *_rib_checks(case)]
    for placed in placed_discs(frame):
        checks += _disc_checks(case, placed)
    checks += _spacing_checks(case)
    checks += _stock_checks(case)
    return tuple(checks)


def _joint_checks(case: _Case) -> list[Check]:
    gap = case.values["joint.gap"]
    least, most = case.material.least_gap.value, case.material.most_gap.value
    name = case.material.name
    return [
        _check(
            case, "slot-gap", "joint", "slot-gap", "joint.clearance",
            f"The slot leaves {gap:.2f} mm beside the sheet; in {name} it must leave at least "
            f"{least:.2f} mm to go together.",
        ),
        _check(
            case, "slot-slack", "joint", "slot-slack", "joint.clearance",
            f"The slot leaves {gap:.2f} mm beside the sheet; in {name} more than {most:.2f} mm "
            "would rattle.",
        ),
        _check(
            case, "smallest-feature", "joint", "feature-slot", "cutter.kerf",
            f"The slot is {case.values['joint.slot_width']:.2f} mm wide; it must be wider than "
            f"the cut, {case.values['cutter.kerf']:.2f} mm.",
        ),
    ]  # fmt: skip


def _rib_checks(case: _Case) -> list[Check]:
    gap = case.values["rib.pole_gap"]
    return [
        _check(
            case, "pole-clearance", "ribs", "pole-clearance", "ribs.pole_allowance",
            f"The ribs stop {gap:.2f} mm from the axis; neighbours must not touch there.",
        ),
        _check(
            case, "smallest-feature", "ribs", "feature-rib", "ribs.width",
            f"The ribs are {case.values['rib.width_least']:.1f} mm wide at least; they must be "
            "wider than the cut.",
        ),
    ]  # fmt: skip


def _disc_checks(case: _Case, placed: PlacedDisc) -> list[Check]:
    number, disc, values = placed.number, f"disc-{placed.number}", case.values
    t = values["sheet.thickness"]
    cross_lap = case.frame.joint.style == "cross-lap"
    held = values["joint.end_clearance"] if cross_lap else 0.0
    local = case._replace(values={**values, f"{disc}.held_depth": held})

    def check(code: str, about: str, law: str, governed: str, text: str) -> Check:
        return _check(local, code, about, law, governed, text, number, placed.entry)

    found = [
        check(
            "ligament", disc, "ligament", "ribs.width",
            f"Behind {disc}'s notch the rib keeps {values[disc + '.ligament']:.1f} mm; it needs "
            f"{values['limit.least_ligament']:.1f} mm not to break.",
        )
    ]  # fmt: skip
    if cross_lap:
        web = values[disc + ".slot_web"]
        found.append(
            check(
                "web", disc, "web", "ribs.count",
                f"Between {disc}'s slots {web:.1f} mm of material are left; it needs "
                f"{values['limit.least_web']:.1f} mm not to break.",
            )
        )  # fmt: skip
    for face in ("far", "near"):
        found.append(
            check(
                "inside-skin", f"{disc} {face} face", f"inside-skin-{face}", "discs.setback",
                f"{disc}'s rim, radius {values[disc + '.radius']:.2f} mm, must lie under the skin "
                f"at its {face} face; {SKIN_ALLOWANCE} mm proud is allowed.",
            )
        )  # fmt: skip
    engagement = check(
        "engagement", disc, "engagement-rib", "joint.engagement",
        f"{disc} must sit {t:.1f} mm deep in the rib, also where the notch is shallowest; at its "
        f"middle it sits {values[disc + '.notch_depth']:.1f} mm deep.",
    )  # fmt: skip
    if cross_lap:
        slot = check(
            "engagement", disc, "engagement-disc", "joint.engagement",
            f"{disc}'s slots are {values[disc + '.slot_depth']:.1f} mm deep; they need {t:.1f} "
            "mm.",
        )  # fmt: skip
        engagement = min(engagement, slot, key=lambda c: c.margin)
    found.append(engagement)
    if values[disc + ".bore_radius"] > 0:
        bore = values[disc + ".bore_radius"]
        found.append(
            check(
                "bore-wall", disc, "bore-wall", "discs.bore",
                f"{disc}'s ring must keep {values['limit.least_wall']:.1f} mm between its bore, "
                f"radius {bore:.1f} mm, and its joints.",
            )
        )  # fmt: skip
        found.append(
            check(
                "smallest-feature", disc, "feature-bore", "discs.bore",
                f"{disc}'s bore is {2 * bore:.1f} mm wide; it must be wider than the cut.",
            )
        )  # fmt: skip
    found.append(
        check(
            "rib-end", disc, "rib-end", "discs.at",
            f"Beyond {disc}'s notch the rib's end must keep {t:.1f} mm of height.",
        )
    )  # fmt: skip
    found.append(
        check(
            "rib-flake", disc, "rib-flake", "discs.at",
            f"Between {disc}'s notch and the rib's inner edge no flake thinner than {t / 2:.1f} "
            "mm may stand.",
        )
    )  # fmt: skip
    return found


def _spacing_checks(case: _Case) -> list[Check]:
    """The rib's tooth between neighbouring notches, counted from the lowest disc."""
    entries = {placed.number: placed.entry for placed in placed_discs(case.frame)}
    ranked = sorted(entries, key=lambda n: (case.values[f"disc-{n}.height"], n))
    found = []
    for lower, upper in pairwise(ranked):
        values = {**case.values, "next.height": case.values[f"disc-{upper}.height"]}
        local = case._replace(values=values)
        distance = values["next.height"] - values[f"disc-{lower}.height"]
        found.append(
            _check(
                local, "disc-spacing", f"disc-{lower} and disc-{upper}", "disc-spacing",
                "discs.at",
                f"disc-{lower} and disc-{upper} lie {distance:.1f} mm apart; slot and tooth "
                f"between them need {values['joint.slot_width'] + values['sheet.thickness']:.1f} "
                "mm.",
                lower,
                entries[max(lower, upper)],
            )
        )  # fmt: skip
    return found


def _stock_checks(case: _Case) -> list[Check]:
    frame, values = case.frame, case.values
    length, width = stock_size(frame)
    margin = margin_of(frame)
    room = (length - 2 * margin, width - 2 * margin)
    hull = rib_hull(
        values["model.equatorial_radius"], values["model.polar_radius"], values["rib.pole_gap"]
    )
    rib, turned = best_fit(hull, *room)
    size = f"{values['rib.height']:.0f} mm high"
    how = f", turned by {turned:.0f}°" if turned and rib >= 0 else ""
    found = [_fits("ribs", rib, f"A rib, {size}, must go on the sheet{how}", frame)]
    for placed in placed_discs(frame):
        radius = values[f"disc-{placed.number}.radius"]
        found.append(
            _fits(
                f"disc-{placed.number}",
                min(room) - 2 * radius,
                f"disc-{placed.number}, {2 * radius:.0f} mm across, must go on the sheet",
                frame,
            )
        )
    return found


def _fits(about: str, margin: float, what: str, frame: FrameSpec) -> Check:
    length, width = stock_size(frame)
    text = f"{what}: {length:.0f} × {width:.0f} mm less {margin_of(frame):g} mm at each edge."
    bed, sheet = frame.cutter.bed, frame.sheet.size
    key = ("sheet", "size") if sheet is not None else ("cutter", "bed")
    if bed is not None and sheet is not None:
        smaller = bed[0].value * bed[1].value < sheet[0].value * sheet[1].value
        key = ("cutter", "bed") if smaller else ("sheet", "size")
    return _verdict(
        frame, "fits-stock", about, Spread(margin, margin, margin, 0.0, None), text, key
    )


def _check(
    case: _Case,
    code: str,
    about: str,
    law: str,
    governed: str,
    text: str,
    disc: int = 0,
    entry: int = 0,
) -> Check:
    """One margin by its law, over the tolerances; `governed` is the input that decides it when
    no toleranced one does."""
    form = MADE_FORMS[law]
    local = {
        name: case.values[full_name(name, disc)]
        for name in form.inputs
        if not name.startswith("made.")
    }
    spread = worst_case(form, local, case.toleranced)
    key = _key_of(governed, entry)
    reach = max(spread.high - spread.value, spread.value - spread.low)
    if spread.driver is not None and reach >= DECISIVE * abs(spread.value):
        key = tuple(spread.driver.split("."))
    return _verdict(case.frame, code, about, spread, text, key)


def _key_of(governed: str, entry: int) -> tuple[str | int, ...]:
    """The spec key of an input; `discs.` stands for the disc at that place of the list."""
    first, _, rest = governed.partition(".")
    return (first, entry, rest) if first == "discs" else (first, rest)


def _verdict(
    frame: FrameSpec,
    code: str,
    about: str,
    spread: Spread,
    text: str,
    key: tuple[str | int, ...],
) -> Check:
    verdict: Verdict = "undecided"
    if spread.value < -ROUNDING:
        verdict = "fail"
    elif spread.low >= -ROUNDING:
        verdict = "pass"
    return Check(
        code=code,
        about=about,
        verdict=verdict,
        margin=spread.value,
        low=spread.low,
        high=spread.high,
        text=text,
        limited_by=path_text(key),
        where=frame.where(*key),
    )
