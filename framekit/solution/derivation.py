"""How a quantity follows from the spec: formula, numbers, words and lines, step by step."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass

from framekit.errors import Fault, UnknownNameError, Where
from framekit.solution.figures import Rounding, shown, unit_text
from framekit.solution.model import FrameSolution, Origin, Quantity
from framekit.solution.quantities import described
from framekit.solution.sums import (
    Choice,
    Sum,
    choice_of,
    conversion_of,
    figure_of,
    sums_of,
    with_minus,
)

SHOWN = Rounding()
"""How a derivation is rounded: 0.0001 mm, eight digits of everything else."""

ROUNDING = "Numbers are rounded for reading; unrounded values are carried from step to step."
"""What every derivation says about its numbers."""

DIGITS_NOTE = "The numbers in a sum have the digits that give its result."

WORDS_COLUMN = 52
"""Where the words of a line start; they go on a line of their own when the sum is longer."""


@dataclass(frozen=True)
class DerivationStep:
    """One line of a derivation; `value` in `unit` (1: plain), `result` as it is printed.

    `formula` and `substituted` are empty for what is given; where a law chooses, `substituted` has
    the branch that holds and `choice` says which. `source` is the law's, or says where a default
    or a catalogue row comes from. `lines` are those of the spec that the step reads from directly.
    `conversion` says how units are turned into each other where the step needs it.
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
    result: str
    latex: Sum
    law: str = ""
    inputs: tuple[str, ...] = ()
    choice: Choice | None = None
    lines: tuple[int, ...] = ()
    conversion: str = ""


def derive(
    frame: FrameSolution, *names: str, rounding: Rounding = SHOWN
) -> tuple[DerivationStep, ...]:
    """The steps to some quantities, each once and after what it needs.

    The last step is the last quantity, unless an earlier one needs it. Unrounded values are
    carried; `rounding` says how they are printed. Raises UnknownNameError with near misses.
    """
    order: dict[str, None] = {}
    for name in names:
        if name not in frame.quantities:
            raise UnknownNameError(_unknown(frame, name))
        _visit(frame, name, order)
    return tuple(_step(frame, frame.quantities[n], rounding) for n in order)


def _unknown(frame: FrameSolution, name: str) -> Fault:
    close = difflib.get_close_matches(name, list(frame.quantities), n=4, cutoff=0.4)
    return Fault(
        "unknown-quantity",
        f"this frame has no quantity '{name}'",
        Where(frame.spec.where().file),
        f"Near: {', '.join(close)}." if close else "See 'framekit check SPEC --all'.",
    )


def _visit(frame: FrameSolution, name: str, order: dict[str, None]) -> None:
    if name in order:
        return
    step = frame.quantities[name].step
    if step is not None:
        for needed in step.inputs:
            _visit(frame, needed, order)
    order[name] = None


def _step(frame: FrameSolution, quantity: Quantity, rounding: Rounding) -> DerivationStep:
    step, where = quantity.step, quantity.where
    about = described(quantity.name).words
    figure = figure_of(quantity)
    text, latex = sums_of(frame.quantities, quantity, rounding)
    line: tuple[int, ...] = () if where.line is None else (where.line,)
    words, source = about, quantity.note
    if step is not None:
        law = step.relation.law
        words = about if law.words == about else f"{about}: {law.words}"
        source = law.source
        inputs = [frame.quantities[n] for n in step.inputs]
        line = tuple(
            sorted({q.where.line for q in inputs if q.step is None and q.where.line is not None})
        )
    return DerivationStep(
        name=quantity.name,
        symbol=text.symbol,
        formula=text.formula,
        substituted=text.substituted,
        value=figure.value,
        unit=quantity.unit,
        words=words,
        source=source,
        origin=quantity.origin,
        where=where,
        result=with_minus(shown(figure, rounding)),
        latex=latex,
        law="" if step is None else step.relation.law.name,
        inputs=() if step is None else step.inputs,
        choice=choice_of(frame.quantities, quantity, rounding),
        lines=line,
        conversion=conversion_of(frame.quantities, quantity),
    )


def derivation_text(steps: Sequence[DerivationStep]) -> str:
    """The derivation as lines of plain text: symbol, formula, numbers, result, words, lines.

    Equals signs are aligned, and so are the words; numbers in brackets refer to the sources below.
    """
    left = max(len(step.symbol) for step in steps)
    sources = _sources(steps)
    chains = [_chain(step, left) for step in steps]
    column = min(WORDS_COLUMN, max(len(chain) for chain in chains) + 3)
    lines = []
    for step, chain in zip(steps, chains, strict=True):
        gap = " " * (column - len(chain)) if len(chain) + 2 <= column else "\n" + " " * column
        lines.append(f"{chain}{gap}{_remark(step, sources)}")
    lines += [f"[{number}] {source}" for source, number in sources.items()]
    return "\n".join([*lines, ROUNDING, DIGITS_NOTE])


def _chain(step: DerivationStep, left: int) -> str:
    result = step.result + unit_text(step.unit)
    bare = re.sub(r"\.?0+$", "", step.result) if "." in step.result else step.result
    middle = [part for part in (step.formula, step.substituted) if part]
    if middle and middle[-1] in (step.result, bare, result):
        middle.pop()
    return " = ".join([step.symbol.ljust(left), *middle, result])


def _sources(steps: Sequence[DerivationStep]) -> dict[str, int]:
    """The sources that need a number, in the order they come up."""
    cited = (s.source for s in steps if s.origin in ("derived", "catalogue") and s.source)
    return {source: number for number, source in enumerate(dict.fromkeys(cited), 1)}


def _remark(step: DerivationStep, sources: dict[str, int]) -> str:
    """What stands behind a line of text."""
    parts = [step.words]
    if step.choice is not None:
        parts.append(f"here {step.choice}")
    if step.conversion:
        parts.append(step.conversion)
    cited = "" if step.origin == "default" else f" [{sources[step.source]}]" if step.source else ""
    parts.append(origin_words(step))
    return "; ".join(part for part in parts if part) + cited


def origin_words(step: DerivationStep) -> str:
    """Where a step's numbers come from: `given, spec line 4`; empty when only from others."""
    lines = lines_words(step.lines)
    if step.origin == "derived":
        return f"from spec {lines}" if lines else ""
    if step.origin == "default":
        return f"default: {step.source}"
    kind = "given" if step.origin == "given" else "catalogue"
    return f"{kind}, spec {lines}" if lines else kind


def lines_words(lines: Sequence[int]) -> str:
    """Lines of a spec in words: `lines 4, 9 and 12`."""
    if not lines:
        return ""
    *most, last = map(str, lines)
    return f"lines {', '.join(most)} and {last}" if most else f"line {last}"
