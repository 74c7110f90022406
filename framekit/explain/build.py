"""How a quantity follows from the spec step by step, and a worksheet of such steps.

A pupil rounds each answer and goes on with the rounded one. How far that may lead away from the
unrounded value is worked out for every task, so a teacher knows what to accept.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import Step
from framekit.explain.as_made import as_made
from framekit.explain.lookup import find_named
from framekit.explain.margin_terms import PAGE, extent_names, margin_quantities
from framekit.explain.model import DerivationStep, Substitution, Task, Worksheet
from framekit.explain.rounding import (
    ROUNDED,
    STANDARD,
    PrintedNumber,
    Rounding,
    is_exact_in,
    places,
    printed,
    with_minus,
)
from framekit.explain.skin_laws import explained, explained_quantities
from framekit.explain.substitution import (
    MARGIN,
    branch_taken,
    choice_of,
    conversion_of,
    is_margin,
    is_reading,
    is_search,
    notation,
    number_of,
    substitutions,
)
from framekit.solution.law_terms import LAW_TERMS
from framekit.solution.model import Check, FrameSolution, Quantity
from framekit.solution.relations import PlacedDisc
from framekit.solution.symbols import described, symbol
from framekit.spec.measure import LENGTH_UNITS

SECTIONS = {
    "body": "The body and its model",
    "scale": "The body and its model",
    "model": "The body and its model",
    "rib": "The ribs",
    "sheet": "The joint",
    "cutter": "The joint",
    "joint": "The joint",
}
"""The heading that a quantity's task stands under, by the first part of its name."""


def derive(
    frame: FrameSolution, *names: str, rounding: Rounding = STANDARD
) -> tuple[DerivationStep, ...]:
    """The steps to some quantities and check margins, each once and after what it needs.

    A check is named `slot-gap of joint`, or by its code where only one has it. The last step is
    the last that was named, unless an earlier one needs it. Unrounded values are carried;
    `rounding` says how they are printed. Raises UnknownNameError with near misses.
    """
    known = explained_quantities(frame)
    order: dict[str, None] = {}
    checks: dict[str, Check] = {}
    requested: set[str] = set()
    for name in names:
        found = find_named(frame, name)
        requested.add(found.name)
        if isinstance(found, Check):
            checks[found.name] = found
            if found.use is None:
                for needed in extent_names(frame, found):
                    _visit(known, needed, order)
                order[found.name] = None
                continue
            known |= margin_quantities(frame, found, found.use)
            known |= explained(frame.structure, known, known[found.name])
        _visit(known, found.name, order)
    return tuple(
        replace(
            _step(known, known[name], rounding)
            if name in known
            else _without_law(checks[name], extent_names(frame, checks[name]), rounding),
            check=checks.get(name),
            requested=name in requested,
        )
        for name in order
    )


def _visit(known: Mapping[str, Quantity], name: str, order: dict[str, None]) -> None:
    if name in order:
        return
    step = known[name].step
    if step is not None:
        for needed in step.inputs:
            _visit(known, needed, order)
    order[name] = None


def _without_law(check: Check, names: tuple[str, ...], rounding: Rounding) -> DerivationStep:
    """Return the step of a margin that no law gives: its number and where that comes from."""
    laid = check.code == "fits-stock"
    how = (
        "the part as drawn is laid on the sheet" if laid else "it is measured on the finished edge"
    )
    return DerivationStep(
        name=check.name,
        symbol=MARGIN,
        formula="",
        substituted="",
        value=check.margin,
        unit="mm",
        words=f"{_about(check.name)}: it has no law; {how}",
        source=PAGE,
        origin="derived",
        where=check.where,
        result=with_minus(printed(PrintedNumber(check.margin, "mm"), rounding)),
        latex=Substitution(MARGIN),
        inputs=names,
    )


def _about(name: str) -> str:
    return f"the margin of {name}" if is_margin(name) else described(name).words


def _step(known: Mapping[str, Quantity], quantity: Quantity, rounding: Rounding) -> DerivationStep:
    step, where = quantity.step, quantity.where
    about = _about(quantity.name)
    number = number_of(quantity)
    text, latex = substitutions(known, quantity, rounding)
    line: tuple[int, ...] = () if where.line is None else (where.line,)
    words, source = about, quantity.note
    if step is None and quantity.origin == "given" and source:
        words, source = f"{about}; {source}", ""
    if step is not None:
        law = step.relation.law
        named = f"{law.words};".startswith(f"{about};")
        words = law.words if named else f"{about}: {law.words}"
        words += _other_discs(step)
        words += notation(step)
        source = law.source
        inputs = [known[n] for n in step.inputs]
        line = tuple(
            sorted({q.where.line for q in inputs if q.step is None and q.where.line is not None})
        )
    return DerivationStep(
        name=quantity.name,
        symbol=text.symbol,
        formula=text.formula,
        substituted=text.substituted,
        value=number.value,
        unit=quantity.unit,
        words=words,
        source=source,
        origin=quantity.origin,
        where=where,
        result=with_minus(printed(number, rounding)),
        latex=latex,
        law="" if step is None else step.relation.law.name,
        inputs=() if step is None else step.inputs,
        choice=choice_of(known, quantity, rounding),
        lines=line,
        conversion=conversion_of(known, quantity),
        as_made=as_made(quantity),
        reading=step is not None and is_reading(step),
    )


def _other_discs(step: Step) -> str:
    """Which discs a margin's law means beside its own, in words."""
    pairs = zip(step.form.inputs, step.inputs, strict=True)
    return "".join(
        f"; {symbol(full)} is {LAW_TERMS[term].words}"
        for term, full in pairs
        if term.startswith("next.")
    )


def make_worksheet(frame: FrameSolution) -> Worksheet:
    """The worksheet of a frame: a task for everything that follows by a sum.

    A mirrored disc that has the sizes of its original gets no tasks of its own.
    """
    placed = frame.structure.discs
    mirrored = tuple((p.number, p.original) for p in placed if _is_image(frame, p))
    images = tuple(f"disc-{image}." for image, _ in mirrored)
    names = [name for name in frame.quantities if not name.startswith(images)]
    steps = derive(frame, *names, rounding=ROUNDED)
    known = explained_quantities(frame)
    errors: dict[str, float] = {}
    tasks: list[Task] = []
    for step in steps:
        errors[step.name] = _error(known, step, errors)
        if is_task(step):
            number = PrintedNumber(step.value, step.unit)
            decimals = places(number, ROUNDED)
            low, high = _accepted(step, decimals, errors[step.name])
            if low < high:
                errors[step.name] += 0.5 * 10.0**-decimals
            tasks.append(Task(len(tasks) + 1, _section(step.name), step, decimals, low, high))
    made = {task.step.name for task in tasks}
    return Worksheet(
        title=frame.spec.title,
        givens=tuple(s for s in steps if not s.formula),
        notes=tuple(s for s in steps if s.formula and s.name not in made),
        tasks=tuple(tasks),
        mirrored=mirrored,
        heights={
            image: substitutions(known, known[f"disc-{image}.height"], ROUNDED)
            for image, _ in mirrored
        },
    )


PLACES = ("height", "side", "latitude", "fraction", "far_height")
"""What tells a disc from its mirror image."""


def _is_image(frame: FrameSolution, placed: PlacedDisc) -> bool:
    """Whether a disc is the mirror image of another in all its sizes."""
    if not placed.original:
        return False
    own, other = f"disc-{placed.number}.", f"disc-{placed.original}."
    pairs = (
        (quantity.value, frame.quantities.get(other + name.removeprefix(own)))
        for name, quantity in frame.quantities.items()
        if name.startswith(own) and name.removeprefix(own) not in PLACES
    )
    # 1e-9 mm: rounding
    return all(twin is not None and abs(value - twin.value) <= 1e-9 for value, twin in pairs)


def is_task(step: DerivationStep) -> bool:
    """Whether there is something to work out: not what is given, fixed or the same as another."""
    fixed = step.choice is not None and not any(
        option.text for option in (step.choice.taken, *step.choice.others)
    )
    return bool(step.substituted) and not fixed and not step.is_copy


def _section(name: str) -> str:
    head = name.partition(".")[0]
    kind, _, number = head.partition("-")
    return SECTIONS.get(head) or f"{kind.capitalize()} {number}".strip()


def _error(
    known: Mapping[str, Quantity], step: DerivationStep, errors: Mapping[str, float]
) -> float:
    """How far, in the step's unit, a sum with rounded inputs may be from the unrounded value."""
    quantity = known[step.name]
    if quantity.step is None or is_search(quantity.step):
        off = abs(float(step.result.replace("−", "-")) - step.value)
        return 0.0 if off <= 1e-12 * abs(step.value) else off
    part = branch_taken(known, quantity) or quantity.step.form
    inputs = [known[n] for n in quantity.step.inputs]
    values = [q.value for q in inputs]
    size = LENGTH_UNITS.get(step.unit, 1.0)
    total = 0.0
    for i, needed in enumerate(inputs):
        reach = errors[needed.name] * LENGTH_UNITS.get(needed.unit, 1.0)
        moved = [[*values[:i], values[i] + way * reach, *values[i + 1 :]] for way in (-1, 1)]
        try:
            total += max(abs(float(part.function(FLOATS, *m)) - quantity.value) for m in moved)
        except ValueError:  # rounding leads off the body, so any answer down to zero may come
            return abs(quantity.value) / size
    return total / size


def _accepted(step: DerivationStep, decimals: int, error: float) -> tuple[float, float]:
    """The answers to accept: all that rounding on the way can give, one alone where it gives none.

    Two numbers less than n units apart are at most n units apart once both are rounded.
    """
    middle = Decimal(step.result.replace("−", "-"))
    unit = Decimal(1).scaleb(-decimals)
    rounded = not is_exact_in(PrintedNumber(step.value, step.unit), decimals)
    spread = unit * max(math.ceil(error / float(unit) - 1e-9), rounded)
    return float(middle - spread), float(middle + spread)
