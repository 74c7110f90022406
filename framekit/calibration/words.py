"""A fit that was measured, as a short derivation that a pupil can follow with a calculator."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from framekit.calibration.model import ENOUGH, LEVEL, CrossCheck, Estimate, Fit

SOURCE = "[1] JCGM 100:2008 (GUM): 4.2 readings, 4.3.7 limits, 5.1.2 combining, G.6.4 the factor k"

QUANTITIES = {
    "thickness": "sheet.thickness",
    "kerf": "cutter.kerf",
    "clearance": "joint.clearance",
}


def fit_text(fit: Fit) -> str:
    """The derivation of all that was measured, sums with their numbers, mm."""
    blocks: tuple[tuple[Callable[[Fit, Any], list[str]], Any], ...] = (
        (_thickness, fit.thickness),
        (_kerf, fit.kerf),
        (_clearance, fit.clearance),
        (cross_check_lines, fit.cross_check),
    )
    texts = ["\n".join(write(fit, found)) for write, found in blocks if found is not None]
    return "\n\n".join([*texts, SOURCE])


def _thickness(fit: Fit, found: Estimate) -> list[str]:
    read = fit.readings.caliper
    count, spread = len(read), found.inputs[0].uncertainty
    lines = [f"The sheet, from {count} {'reading' if count == 1 else 'readings'}"]
    if count > 1:
        lines.append(f"  mean t = ({_sum(read)})/{count} = {_mm(found.value)} mm")
        lines.append(
            f"  the readings spread by s = {_mm(spread * math.sqrt(count))} mm, so their mean by "
            f"s/√{count} = {_mm(spread)} mm"
        )
    else:
        lines.append(f"  t = {_mm(found.value)} mm")
        lines.append(
            "  one reading says nothing of how sheets differ: the spec's own "
            f"{_mm(spread)} mm stands for it"
        )
    lines += _limit_lines(fit)
    lines.append(_root([i.uncertainty for i in found.inputs], found.uncertainty))
    if count > 1:
        lines.append(_level(found))
    if found.kept:
        lines.append(
            f"  the next sheet: ± {_up(found.tolerance)} mm, the spec's own or as wide as these "
            f"readings; measure {ENOUGH} sheets or more to know better"
        )
    else:
        lines.append(
            f"  the next sheet lies within ± {_up(found.tolerance)} mm of the mean in "
            f"{LEVEL * 100:g} of 100 cases, by s·√(1 + 1/{count})"
        )
    return lines


def _kerf(fit: Fit, found: Estimate) -> list[str]:
    plan, read = fit.plan, fit.readings.strips
    path, whole = plan.strip_path, plan.strips * plan.strip_path
    lines = [
        f"The kerf, from {plan.strips} strips",
        f"  the cuts of a strip lie {_short(plan.strip_width)} + {_short(plan.allowance)} = "
        f"{_short(path)} mm apart, those of all strips {plan.strips} × {_short(path)} = "
        f"{_short(whole)} mm",
    ]
    stack = found.inputs[0]
    if len(read) > 1:
        lines.append(
            f"  stack = ({_sum(read)})/{len(read)} = {_mm(stack.value)} mm, its mean known to "
            f"{_mm(stack.uncertainty)} mm"
        )
    lines.append(
        f"  each strip is a kerf narrower: k = ({_short(whole)} − {_short(stack.value)})"
        f"/{plan.strips} = {_mm(found.value)} mm"
    )
    lines += _limit_lines(fit)
    inner = _squares([i.uncertainty for i in found.inputs])
    lines.append(
        f"  together u = √({inner})/{plan.strips} = {_mm(found.uncertainty)} mm: "
        f"{plan.strips} strips make it {plan.strips} times as fine [1]"
    )
    lines.append(_level(found))
    lines.append(
        f"  that is the mean of {2 * plan.strips} cuts; a stack does not show how the kerf drifts "
        "over the bed and from day to day"
    )
    if len(read) < ENOUGH:
        lines.append(
            f"  {'one stack does' if len(read) == 1 else 'two stacks do'} not show how well it was "
            f"pressed together: measure {ENOUGH} times or more"
        )
    return lines


def _clearance(fit: Fit, found: Estimate) -> list[str]:
    plan, slot = fit.plan, fit.readings.slot or 0.0
    path = plan.slot_path(slot)
    pairs = (("kerf", fit.kerf, found.inputs[1]), ("thickness", fit.thickness, found.inputs[3]))
    kerf, sheet = (of_spec.value if read is None else read.value for _, read, of_spec in pairs)
    own = [name for name, read, _ in pairs if read is None]
    lines = [
        f"The clearance, from the slot {plan.label(slot)} that just fits",
        f"  its cuts lie {plan.label(slot)} − {_short(plan.allowance)} = {_short(path)} mm apart, "
        f"so the slot is {_short(path)} + {_mm(kerf)} = {_mm(path + kerf)} mm wide",
        f"  clearance g = {_mm(path + kerf)} − {_mm(sheet)} = {_mm(found.value)} mm",
    ]
    if own:
        lines.append(f"  {' and '.join(own)} not read: as in the spec")
    lines.append(
        f"  the slot is known to half a step, {_short(plan.step / 2)}/√3 = "
        f"{_mm(found.inputs[0].uncertainty)} mm"
    )
    parts = [c.uncertainty for c in found.contributions if c.uncertainty >= 5e-5]
    lines.append(_root(parts, found.uncertainty))
    names = ", ".join(
        f"{c.share * 100:.0f} % {c.name}" for c in found.contributions if c.share >= 0.005
    )
    lines.append(f"  it comes from: {names}")
    lines.append(_level(found))
    return lines


def cross_check_lines(fit: Fit, found: CrossCheck) -> list[str]:
    """Whether the kerf of the strips is the one the slot asks for, and by how much not."""
    strips = fit.kerf.value if fit.kerf is not None else 0.0
    wanted = found.expected
    lines = [
        "The kerf once more, from the slot",
        f"  if the slot that just fits has the clearance the spec wants, {_short(wanted.value)} mm "
        f"(u = {_mm(wanted.uncertainty)} mm), the kerf is {_mm(found.slot)} mm "
        f"± {_up(found.slot_half_width)} mm",
    ]
    apart = f"{abs(found.difference):.3f} mm"
    if found.agrees:
        lines.append(
            f"  the strips say {_mm(strips)} mm: {apart} apart, within the ± {_up(found.limit)} mm "
            "of the difference. They agree."
        )
    else:
        more = "more" if found.difference > 0 else "less"
        lines.append(
            f"  the strips say {_mm(strips)} mm, {apart} {more}: beyond the "
            f"± {_up(found.limit)} mm of the difference by "
            f"{abs(found.difference) - found.limit:.3f} mm. THEY DISAGREE. "
            "Either this fit is another than the spec wants, which the clearance above then says, "
            "or a reading is off: clean the edges, stack again, try the slots again."
        )
    return lines


def yaml_lines(changes: Sequence[tuple[str, str]]) -> list[str]:
    """The lines to paste into a spec, from dotted paths and values as YAML."""
    lines: list[str] = []
    above: list[str] = []
    for path, value in changes:
        *sections, key = path.split(".")
        for depth, section in enumerate(sections):
            if above[: depth + 1] != sections[: depth + 1]:
                lines.append(f"{'  ' * depth}{section}:")
        above = sections
        lines.append(f"{'  ' * len(sections)}{key}: {value}")
    return lines


def measure_text(estimate: Estimate) -> str:
    """Value and tolerance as the spec language writes them."""
    value, tolerance = estimate.written
    if estimate.spread == "limits":
        return f"{value:.3f} ± {tolerance:.3f}"
    return f"{{value: {value:.3f}, tolerance: {tolerance:.3f}, spread: normal}}"


def _limit_lines(fit: Fit) -> list[str]:
    read = fit.readings
    lines = [
        f"  the caliper shows steps of {_short(read.resolution)} mm: "
        f"{_short(read.resolution / 2)}/√3 = {_mm(read.resolution / 2 / math.sqrt(3))} mm [1]"
    ]
    if read.caliper_error:
        lines.append(
            f"  and may be off by {_short(read.caliper_error)} mm: {_short(read.caliper_error)}/√3 "
            f"= {_mm(read.caliper_error / math.sqrt(3))} mm [1]"
        )
    return lines


def _root(parts: Sequence[float], total: float) -> str:
    return f"  together u = √({_squares(parts)}) = {_mm(total)} mm [1]"


def _squares(parts: Sequence[float]) -> str:
    return " + ".join(f"{_mm(part)}²" for part in parts if part) or "0"


def _level(found: Estimate) -> str:
    freedom = f", {found.freedom:g} degrees of freedom" if math.isfinite(found.freedom) else ""
    freedom = ", 1 degree of freedom" if found.freedom == 1 else freedom
    return (
        f"  at {LEVEL * 100:g} %: ± {found.factor:.2f} × {_mm(found.uncertainty)} = "
        f"± {_up(found.half_width)} mm{freedom} [1]"
    )


def _sum(readings: Sequence[float]) -> str:
    return " + ".join(_short(x) for x in readings)


def _mm(value: float) -> str:
    return f"{value:.4f}".replace("-", "−")


def _short(value: float) -> str:
    return f"{round(value, 6):g}" if abs(value) < 1000 else f"{value:.3f}"


def _up(value: float) -> str:
    """A half-width in thousandths of a mm, rounded up."""
    return f"{math.ceil(value * 1000 - 1e-9) / 1000:.3f}"
