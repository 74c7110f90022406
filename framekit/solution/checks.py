"""What must hold before anything is cut: margins over the tolerances, and verdicts."""

from __future__ import annotations

from collections.abc import Mapping

from framekit.catalogue.model import MaterialRow
from framekit.solution.check_words import sentence
from framekit.solution.fitting import disc_room, margin_of, rib_fit, room_of, stock_size
from framekit.solution.margins import MarginUse, limit_values, margin_uses
from framekit.solution.model import Check, Verdict
from framekit.solution.numeric import FLOATS
from framekit.solution.relations import placed_discs
from framekit.solution.tolerance import Spread, Toleranced, worst_case
from framekit.spec.model import FrameSpec
from framekit.spec.yaml_text import path_text

DECISIVE = 0.2
"""Share of the margin that a tolerance must be able to move before it is named as the limit."""
ROUNDING = 1e-9
"""mm below zero that floating point may leave of a margin that is exactly zero."""


def make_checks(
    frame: FrameSpec,
    values: Mapping[str, float],
    toleranced: tuple[Toleranced, ...],
    material: MaterialRow,
) -> tuple[Check, ...]:
    """All checks of a solved frame, those of the joint first, then by disc.

    `values` has every quantity by name, lengths in mm.
    """
    known = {**values, **limit_values(FLOATS, frame, values, material)}
    checks: dict[tuple[str, str], Check] = {}
    for use in margin_uses(frame, values):
        check = _margin_check(frame, use, known, toleranced, material)
        key = (check.code, check.about)
        if key not in checks or check.margin < checks[key].margin:
            checks[key] = check
    return (*checks.values(), *_stock_checks(frame, values))


def _margin_check(
    frame: FrameSpec,
    use: MarginUse,
    known: Mapping[str, float],
    toleranced: tuple[Toleranced, ...],
    material: MaterialRow,
) -> Check:
    """A check by its law, over the tolerances."""
    form = use.form
    local = {
        name: known[full]
        for name, full in zip(form.inputs, use.names, strict=True)
        if not name.startswith("made.")
    }
    spread = worst_case(form, local, toleranced)
    key = _key_of(use.governed, use.entry)
    reach = max(spread.high - spread.value, spread.value - spread.low)
    if spread.driver is not None and reach >= DECISIVE * abs(spread.value):
        key = tuple(spread.driver.split("."))
    text = sentence(use, known, material.name)
    return _verdict(frame, use.code, use.about, spread, text, key)


def _stock_checks(frame: FrameSpec, values: Mapping[str, float]) -> list[Check]:
    room = room_of(frame)
    rib, turned = rib_fit(values, room)
    size = f"{values['rib.height']:.0f} mm high"
    how = f", turned by {turned:.0f}°" if turned and rib >= 0 else ""
    found = [_fits("ribs", rib, f"A rib, {size}, must go on the sheet{how}", frame)]
    for placed in placed_discs(frame):
        radius = values[f"disc-{placed.number}.radius"]
        found.append(
            _fits(
                f"disc-{placed.number}",
                disc_room(radius, room),
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
