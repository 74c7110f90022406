"""How a quantity follows from the spec: formula, numbers, words and lines, step by step."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from framekit.constraints.plan import Step
from framekit.errors import Where
from framekit.explain.as_made import NOTE, AsMade, as_made
from framekit.explain.lookup import asked_for
from framekit.explain.margin_terms import PAGE, margin_quantities, stock_names
from framekit.explain.rounding import PrintedNumber, Rounding, shown, unit_text
from framekit.explain.skin_laws import explained_margin, explained_quantities
from framekit.explain.substitution import (
    MARGIN,
    Choice,
    Sum,
    choice_of,
    conversion_of,
    figure_of,
    is_margin,
    is_reading,
    notation,
    sums_of,
    with_minus,
)
from framekit.solution.law_terms import LAW_TERMS
from framekit.solution.model import Check, FrameSolution, Quantity
from framekit.solution.symbols import described, symbol
from framekit.spec.given import Origin

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
    `conversion` says how units are turned into each other where the step needs it. `as_made` is its
    range over the tolerances, None where nothing moves it; `check` the check whose margin this is.
    `asked` tells the steps that were asked for from those they need; `reading` says that the value
    is read off a curve, `formula` being only a way to write that.
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
    as_made: AsMade | None = None
    check: Check | None = None
    asked: bool = False
    reading: bool = False


def derive(
    frame: FrameSolution, *names: str, rounding: Rounding = SHOWN
) -> tuple[DerivationStep, ...]:
    """The steps to some quantities and check margins, each once and after what it needs.

    A check is named `slot-gap of joint`, or by its code where only one has it. The last step is
    the last that was named, unless an earlier one needs it. Unrounded values are carried;
    `rounding` says how they are printed. Raises UnknownNameError with near misses.
    """
    known = explained_quantities(frame)
    order: dict[str, None] = {}
    checks: dict[str, Check] = {}
    asked: set[str] = set()
    for name in names:
        found = asked_for(frame, name)
        asked.add(found.name)
        if isinstance(found, Check):
            checks[found.name] = found
            if found.use is None:
                for needed in stock_names(frame, found):
                    _visit(known, needed, order)
                order[found.name] = None
                continue
            known |= margin_quantities(frame, found, found.use)
            known |= explained_margin(frame, known, known[found.name])
        _visit(known, found.name, order)
    return tuple(
        replace(
            _step(known, known[name], rounding)
            if name in known
            else _lawless(checks[name], stock_names(frame, checks[name]), rounding),
            check=checks.get(name),
            asked=name in asked,
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


def _lawless(check: Check, names: tuple[str, ...], rounding: Rounding) -> DerivationStep:
    """The step of a margin that no law gives: its number and where that comes from."""
    return DerivationStep(
        name=check.name,
        symbol=MARGIN,
        formula="",
        substituted="",
        value=check.margin,
        unit="mm",
        words=f"{_about(check.name)}: it has no law; the part as drawn is laid on the sheet",
        source=PAGE,
        origin="derived",
        where=check.where,
        result=with_minus(shown(PrintedNumber(check.margin, "mm"), rounding)),
        latex=Sum(MARGIN, "", ""),
        inputs=names,
    )


def _about(name: str) -> str:
    return f"the margin of {name}" if is_margin(name) else described(name).words


def _step(known: Mapping[str, Quantity], quantity: Quantity, rounding: Rounding) -> DerivationStep:
    step, where = quantity.step, quantity.where
    about = _about(quantity.name)
    figure = figure_of(quantity)
    text, latex = sums_of(known, quantity, rounding)
    line: tuple[int, ...] = () if where.line is None else (where.line,)
    words, source = about, quantity.note
    if step is not None:
        law = step.relation.law
        said = f"{law.words};".startswith(f"{about};")
        words = law.words if said else f"{about}: {law.words}"
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


def derivation_text(steps: Sequence[DerivationStep]) -> str:
    """The derivation as lines of plain text: symbol, formula, numbers, result, words, lines.

    Equals signs are aligned, and so are the words; numbers in brackets refer to the sources below.
    At the end stand the ranges as made of what was asked for, and the verdicts of checks.
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
    lines += [ROUNDING, DIGITS_NOTE]
    ends = [sentence for step in steps for sentence in _end(step)]
    if ends:
        lines += ["", *ends]
    if varies(steps):
        lines.append(NOTE)
    return "\n".join(lines)


def varies(steps: Sequence[DerivationStep]) -> bool:
    """Whether a range as made is printed of any of the steps."""
    return any(step.asked and step.as_made is not None for step in steps)


def _end(step: DerivationStep) -> Iterator[str]:
    """What a step that was asked for comes to over the tolerances, a line for each thing."""
    if not step.asked:
        return
    made = step.as_made
    if step.check is not None:
        yield f"{step.name}: {verdict_words(step.check)} {step.check.text}"
        over = f"as made {made}" if made else "no tolerance is in it"
        yield f"  Margin {step.result} mm as drawn; {over}."
        yield f"  Limited by {limit_words(step.check)}."
    elif made is not None:
        law = f", by {made.formula}" if made.formula else ""
        yield f"{step.name} as made{law}: {made}."
    if made is not None:
        yield from (f"  {remark}" for remark in made.remarks)


VERDICTS = {
    "pass": "pass.",
    "undecided": "undecided: it holds as drawn, but not over the whole of the tolerances.",
    "fail": "fail: it does not hold as drawn.",
}


def verdict_words(check: Check) -> str:
    """The verdict as a sentence."""
    return VERDICTS[check.verdict]


def limit_words(check: Check) -> str:
    """The input that limits a check, with its line in the spec where it has one."""
    line = check.where.line
    return check.limited_by if line is None else f"{check.limited_by}, spec line {line}"


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
