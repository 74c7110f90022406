"""A solved frame as a function of some of its inputs: which can vary and what follows them."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import Relation, Step
from framekit.constraints.program import Program, make_program
from framekit.errors import Fault, SolveError, UnknownNameError
from framekit.solution.givens import givable
from framekit.solution.model import FrameSolution
from framekit.solution.quantities import template_name
from framekit.solution.relations import placed_discs

WHOLE = ("rib.count", "rib.angle", "disc.side")
"""Inputs that are no lengths or ratios which could take any value in between."""

FLUSH = 2e-9
"""mm that rounding may put a disc flush with an end beyond it."""
NUDGE = 1e-6
"""Share of its value that an input is moved by to see whether others hold it."""


def variable_inputs(frame: FrameSolution) -> tuple[str, ...]:
    """The names of the inputs that can take any value, given or by default.

    What a disc and its mirror image share is an input of the disc alone.
    """
    images = {f"disc-{disc.number}" for disc in placed_discs(frame.spec) if disc.original}
    return tuple(
        name
        for name, quantity in frame.quantities.items()
        if quantity.origin != "derived"
        and template_name(name) not in WHOLE
        and name.partition(".")[0] not in images
    )


def images_of(frame: FrameSolution, name: str) -> tuple[str, ...]:
    """The same input of a disc's mirror image, where that has it too."""
    head, _, part = name.partition(".")
    kind, _, number = head.partition("-")
    if kind != "disc":
        return ()
    images = [d.number for d in placed_discs(frame.spec) if d.original == int(number)]
    names = (f"disc-{image}.{part}" for image in images)
    return tuple(
        n for n in names if n in frame.quantities and frame.quantities[n].origin != "derived"
    )


def input_named(frame: FrameSolution, text: str) -> str:
    """The name of the input that a name or a spec key means: `scale`, `ribs.width.equator`."""
    if text in frame.quantities:
        return text
    keys = {key: name for name, key in givable(frame.spec).items() if name in frame.quantities}
    return keys.get(text, text)


def refuse_unknown(frame: FrameSolution, name: str, known: Iterable[str]) -> None:
    """Nothing when the name is among the known ones, else UnknownNameError with a remedy."""
    names = tuple(known)
    if name in names:
        return
    near = difflib.get_close_matches(name, names, n=2)
    hint = f"Did you mean {' or '.join(near)}? " if near else ""
    what = f"there is no input '{name}'"
    if name in frame.quantities:
        what = f"{name} is no input: it follows from others"
        if frame.quantities[name].origin != "derived":
            what = f"{name} is that of the disc it mirrors"
        if template_name(name) in WHOLE:
            what = f"{name} is no input that could take any value in between"
    raise UnknownNameError(
        Fault(
            "unknown-input", what, frame.spec.where(), f"{hint}Its inputs are {', '.join(names)}."
        )
    )


def following(frame: FrameSolution, varied: Collection[str]) -> tuple[Step, ...]:
    """The steps of the plan whose result changes with the varied inputs, in order.

    Raises SolveError where the varied inputs are also held by other values of the spec.
    """
    changing = set(varied)
    steps = []
    for step in frame.plan.steps:
        if changing.isdisjoint(step.inputs):
            continue
        changing.add(step.output)
        steps.append(step)
    _refuse_held(frame, varied, steps, changing)
    return tuple(steps)


def _refuse_held(
    frame: FrameSolution, varied: Collection[str], steps: Iterable[Step], changing: set[str]
) -> None:
    """SolveError where a law that only confirms the values breaks once the inputs move a little."""
    held = [r for r in frame.plan.surplus if not changing.isdisjoint(r.names)]
    if not held:
        return
    before = {name: quantity.value for name, quantity in frame.quantities.items()}
    try:
        after = _nudged(before, varied, steps, NUDGE)
    except (ValueError, ZeroDivisionError, OverflowError):  # at the edge of what can be
        after = _nudged(before, varied, steps, -NUDGE)
    for relation in held:
        misfits = [_misfit(relation, values) for values in (before, after)]
        if abs(misfits[1] - misfits[0]) > NUDGE / 1000:
            name = min(changing.intersection(relation.names))
            raise SolveError(
                Fault(
                    "held-by-others",
                    f"{' and '.join(sorted(varied))} cannot vary: other values of the spec say "
                    f"the same of {name} ({relation.law.words})",
                    frame.quantities[name].where,
                    "Remove the values that only confirm others.",
                )
            )


def _nudged(
    before: Mapping[str, float], varied: Collection[str], steps: Iterable[Step], nudge: float
) -> dict[str, float]:
    """The values once each varied input is moved a little, each by another share."""
    after = dict(before)
    for n, name in enumerate(varied, 1):
        after[name] = before[name] * (1 + nudge * n) if before[name] else nudge * n
    for step in steps:
        after[step.output] = step.form.function(FLOATS, *(after[n] for n in step.inputs))
    return after


def _misfit(relation: Relation, values: Mapping[str, float]) -> float:
    """How far a law is from holding, as a share of its values."""
    form = relation.law.forms[0]
    found = values[relation.name_of(form.output)]
    expected = form.function(FLOATS, *(values[relation.name_of(n)] for n in form.inputs))
    return float((expected - found) / max(abs(expected), abs(found), 1e-300))


def program_of(frame: FrameSolution, varied: Collection[str]) -> Program:
    """The program from the frame's values to those that change with the varied inputs.

    Its inputs are the varied ones and what else the steps need. Raises as `following`.
    """
    steps = following(frame, varied)
    changing = {step.output for step in steps}
    needed = dict.fromkeys(varied)
    needed.update(dict.fromkeys(n for step in steps for n in step.inputs if n not in changing))
    return make_program(tuple(needed), steps)


def frame_values(frame: FrameSolution) -> dict[str, float]:
    """Every quantity by name in mm, degrees or plain, and the as-made inputs at their design."""
    values = {name: quantity.value for name, quantity in frame.quantities.items()}
    values.update({item.made: values[item.quantity] for item in frame.toleranced})
    return values


def domain_margins(m: Any, values: Mapping[str, Any], names: Iterable[str]) -> dict[str, Any]:
    """By name, what must be above zero for the frame to exist at all; `m` as in `Program.run`.

    Only the named quantities are looked at: a body and a model of some size, ribs narrower than
    the model and wider than nothing, discs inside it.
    """
    found: dict[str, Any] = {}
    for name in names:
        match template_name(name):
            case (
                "body.equatorial_radius"
                | "body.polar_radius"
                | "scale.denominator"
                | "model.equatorial_radius"
                | "model.polar_radius"
                | "joint.slot_width"
                | "rib.inner_equatorial_radius"
                | "rib.inner_polar_radius"
            ):
                found[name] = values[name]
            case "rib.pole_gap":
                found[name] = values["model.equatorial_radius"] - values[name]
            case "disc.far_height":
                found[name] = values["model.polar_radius"] - values[name]
            case "disc.height" | "flange.height" if "model.high_end" in values:
                half = values.get("disc_sheet.thickness", values["sheet.thickness"]) / 2
                low = values[name] - half - values["model.low_end"]
                high = values["model.high_end"] - half - values[name]
                found[name] = m.min(low, high) + FLUSH
            case "rib.width_equator" | "rib.width_bottom" | "rib.width_top" if (
                "rib.width_bottom" in values
            ):
                room = values["model.equatorial_radius"] - values["rib.pole_gap"]
                found[name] = m.min(values[name], room - values[name])
            case "model.height" | "body.height" | "body.base_radius" | "disc_sheet.thickness":
                found[name] = values[name]
    return found
