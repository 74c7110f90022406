"""What must hold before anything is cut: margins over the tolerances, and verdicts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from framekit.constraints.namespaces import FLOATS
from framekit.constraints.uncertainty import Spread, Toleranced, worst_case
from framekit.solution.check_words import filled
from framekit.solution.fitting import (
    disc_room,
    margin_of,
    rib_fit,
    room_of,
    round_parts,
    sheet_size,
    stock_size,
)
from framekit.solution.limits import lead_in_of, limit_values
from framekit.solution.margins_in_force import margin_uses
from framekit.solution.model import Check, MarginUse, Verdict
from framekit.solution.relations import as_meant
from framekit.solution.structure import Structure
from framekit.spec.model import FrameSpec
from framekit.spec.yaml_text import path_text

DECISIVE = 0.2
"""Share of the margin that a tolerance must be able to move before it is named as the limit."""
ROUNDING = 1e-9
"""mm below zero that floating point may leave of a margin that is exactly zero."""


def make_checks(
    structure: Structure, values: Mapping[str, float], toleranced: tuple[Toleranced, ...]
) -> tuple[Check, ...]:
    """Return all checks of a solved frame, those of the joint first, then by disc.

    `values` has every quantity by name, lengths in mm.
    """
    known = {**values, **limit_values(FLOATS, structure, values)}
    checks: dict[tuple[str, str], Check] = {}
    for use in margin_uses(structure, values):
        check = _margin_check(structure, use, known, toleranced)
        key = (check.code, check.about)
        checks[key] = _both(checks[key], check) if key in checks else check
    return (*checks.values(), *_stock_checks(structure, values))


def _both(first: Check, second: Check) -> Check:
    """Return the check of two laws of one name: the lesser margin, and the lesser ends of both."""
    least = first if first.margin <= second.margin else second
    low, high = min(first.low, second.low), min(first.high, second.high)
    untold = tuple(dict.fromkeys((*first.untold, *second.untold)))
    verdict = verdict_of(least.margin, low, bool(untold))
    return replace(least, low=low, high=high, untold=untold, verdict=verdict)


def _margin_check(
    structure: Structure,
    use: MarginUse,
    known: Mapping[str, float],
    toleranced: tuple[Toleranced, ...],
) -> Check:
    """Return a check by its law, over the tolerances."""
    form = use.form
    local = {
        name: known[full]
        for name, full in zip(form.inputs, use.names, strict=True)
        if not name.startswith("made.")
    }
    spread = worst_case(form, local, as_meant(toleranced, use.renamed))
    key = _key_of(use.governed, use.entry)
    reach = max(spread.high - spread.value, spread.value - spread.low)
    if spread.driver is not None and reach >= DECISIVE * abs(spread.value):
        key = tuple(spread.driver.split("."))
    plates = dict(use.plates)
    words = {"about": use.about, "material": structure.material.name, **plates}
    lead_in = lead_in_of(structure.spec)
    words["chamfer"] = f", less a chamfer of {lead_in:.2f} mm" if lead_in else ""
    words["chamfers"] = f", and chamfers of {lead_in:.2f} mm twice" if lead_in else ""
    text = filled(use.sentence, words, plates, known, use.renamed)
    untold = untold_inputs(use, as_meant(toleranced, use.renamed))
    return _check(structure.spec, use.code, use.about, spread, text, key, use, untold)


def untold_inputs(use: MarginUse, inputs: tuple[Toleranced, ...]) -> tuple[str, ...]:
    """Return the quantities that a margin depends on and whose tolerance nobody gave.

    `inputs` have the names that the margin's law has for them.
    """
    return tuple(i.quantity for i in inputs if not i.told and i.made in use.form.inputs)


def verdict_of(margin: float, low: float, untold: bool = False) -> Verdict:
    """Return the verdict on a margin as drawn, its low end over the tolerances, both in mm.

    `untold` says that the margin depends on an input whose tolerance nobody gave: then nobody
    knows whether it holds for what is made.
    """
    if margin < -ROUNDING:
        return "fail"
    return "pass" if low >= -ROUNDING and not untold else "undecided"


def _stock_checks(structure: Structure, values: Mapping[str, float]) -> list[Check]:
    frame, room = structure.spec, room_of(structure.spec)
    rib, turned = rib_fit(structure.skin, values, room)
    size = f"{values['rib.height']:.0f} mm high"
    how = f", turned by {turned:.0f}°" if turned and rib >= 0 else ""
    found = [fits_check("ribs", rib, f"A rib, {size}, must go on the sheet{how}", frame)]
    room = room_of(frame, discs=True)
    sheet = "the sheet" if frame.disc_sheet is None else "the discs' sheet"
    for about, name in round_parts(structure):
        radius = values[name]
        what = f"{about}, {2 * radius:.0f} mm across, must go on {sheet}"
        found.append(fits_check(about, disc_room(radius, room), what, frame, discs=True))
    return found


def fits_check(
    about: str, margin: float, what: str, frame: FrameSpec, discs: bool = False
) -> Check:
    """Return whether a part goes on its sheet, by the margin in mm; `what` is its sentence.

    `discs` as in `sheet_size`.
    """
    length, width = stock_size(frame, discs)
    text = f"{what}: {length:.0f} × {width:.0f} mm less {margin_of(frame):g} mm at each edge."
    bed, sheet = frame.cutter.bed, sheet_size(frame, discs)
    own = discs and frame.disc_sheet is not None and frame.disc_sheet.size is not None
    key = ("disc_sheet", "size") if own else ("sheet", "size")
    given = own or frame.sheet.size is not None
    if bed is not None and (not given or bed[0].value * bed[1].value < sheet[0] * sheet[1]):
        key = ("cutter", "bed")
    return _check(frame, "fits-stock", about, Spread(margin, margin, margin, 0.0, None), text, key)


def _key_of(governed: str, entry: int) -> tuple[str | int, ...]:
    """The spec key of an input; `discs.` stands for the disc at that place of the list."""
    first, _, rest = governed.partition(".")
    return (first, entry, rest) if first in ("discs", "flanges") else (first, rest)


def _check(
    frame: FrameSpec,
    code: str,
    about: str,
    spread: Spread,
    text: str,
    key: tuple[str | int, ...],
    use: MarginUse | None = None,
    untold: tuple[str, ...] = (),
) -> Check:
    verdict = verdict_of(spread.value, spread.low, bool(untold))
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
        sigma=spread.sigma,
        shares=spread.shares,
        curved=spread.curved,
        use=use,
        untold=untold,
    )
