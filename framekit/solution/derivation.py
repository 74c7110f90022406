"""How a quantity follows from the spec: formula, numbers, words and lines, step by step."""

from __future__ import annotations

import difflib
from dataclasses import dataclass

from framekit.errors import Fault, UnknownNameError, Where
from framekit.solution.model import FrameSolution, Origin, Quantity
from framekit.solution.quantities import described, symbol
from framekit.spec.measure import LENGTH_UNITS


@dataclass(frozen=True)
class DerivationStep:
    """One line of a derivation; `value` in `unit` (1: plain).

    `formula` and `substituted` are empty for what is given. `source` is the law's, or says where
    a default or a catalogue row comes from.
    """

    name: str
    symbol: str
    formula: str
    substituted: str
    value: float
    unit: str
    words: str
    source: str
    origin: Origin
    where: Where


def derive(frame: FrameSolution, name: str) -> tuple[DerivationStep, ...]:
    """The steps to a quantity, each after what it needs, the quantity itself last.

    Numbers in `substituted` are rounded for reading; unrounded values are carried. Raises
    UnknownNameError with near misses.
    """
    if name not in frame.quantities:
        close = difflib.get_close_matches(name, list(frame.quantities), n=4, cutoff=0.4)
        raise UnknownNameError(
            Fault(
                "unknown-quantity",
                f"this frame has no quantity '{name}'",
                Where(frame.spec.where().file),
                f"Near: {', '.join(close)}." if close else "See 'framekit check SPEC --all'.",
            )
        )
    order: dict[str, None] = {}
    _visit(frame, name, order)
    return tuple(_step(frame, frame.quantities[n]) for n in order)


def _visit(frame: FrameSolution, name: str, order: dict[str, None]) -> None:
    if name in order:
        return
    step = frame.quantities[name].step
    if step is not None:
        for needed in step.inputs:
            _visit(frame, needed, order)
    order[name] = None


def _step(frame: FrameSolution, quantity: Quantity) -> DerivationStep:
    about = described(quantity.name)
    formula = substituted = ""
    words, source = about.words, quantity.note
    if quantity.step is not None:
        form = quantity.step.form
        inputs = quantity.step.inputs
        formula = form.template.format(*(symbol(n) for n in inputs))
        if inputs:
            substituted = form.template.format(*(_number(frame.quantities[n]) for n in inputs))
        law = quantity.step.relation.law
        words, source = f"{about.words}: {law.words}", law.source
    return DerivationStep(
        quantity.name,
        symbol(quantity.name),
        formula,
        substituted,
        quantity.value / LENGTH_UNITS.get(quantity.unit, 1.0),
        quantity.unit,
        words,
        source,
        quantity.origin,
        quantity.where,
    )


def _number(quantity: Quantity) -> str:
    value = quantity.value / LENGTH_UNITS.get(quantity.unit, 1.0)
    text = f"{value:.10g}" if quantity.step is None else f"{value:.8g}"
    text += {"1": "", "mm": "", "deg": "°"}.get(quantity.unit, f" {quantity.unit}")
    return f"({text})" if value < 0 else text


def derivation_text(steps: tuple[DerivationStep, ...]) -> str:
    """The derivation as lines of plain text, aligned at the first equals sign."""
    left = max(len(step.symbol) for step in steps)
    lines = []
    for step in steps:
        unit = {"1": "", "deg": "°"}.get(step.unit, f" {step.unit}")
        value = f"{step.value:.4f}" if step.unit == "mm" else f"{step.value:.10g}"
        middle = [part for part in (step.formula, step.substituted) if part]
        if middle and middle[-1] == value:
            middle.pop()
        chain = " = ".join([step.symbol.ljust(left), *dict.fromkeys(middle), value + unit])
        lines.append(f"{chain}\n{' ' * left}   {step.name}: {_origin(step)}")
    rounding = "Numbers are rounded for reading; unrounded values are carried from step to step."
    return "\n".join([*lines, rounding])


def _origin(step: DerivationStep) -> str:
    line = f"spec line {step.where.line}" if step.where.line is not None else "the spec"
    if step.origin == "given":
        return f"{step.words}; given, {line}"
    if step.origin == "default":
        return f"{step.words}; default ({step.source})"
    if step.origin == "catalogue":
        return f"{step.words}; catalogue by {line} ({step.source})"
    return f"{step.words} [{step.source}]"
