"""What pages in plain text and in Markdown share: how formulas are set, and sentences."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from framekit.explain.model import DerivationStep, Substitution
from framekit.explain.ranking import ranking
from framekit.explain.rounding import unit_latex, unit_text

ROUNDING = "Numbers are rounded for reading; unrounded values are carried from step to step."
"""What every derivation says about its numbers."""

DIGITS_NOTE = "The numbers in a sum have the digits that give its result."

AS_MADE_NOTE = (
    "As made, thickness, kerf and clearance may lie anywhere in their tolerances; a prime marks "
    "the real ones, t′, k′ and g′. Printed ranges are proved and rounded outward, so they hold. "
    "Shares are of the variance, in whole per cent."
)
"""What an explanation says about ranges and rankings."""

SAMPLED = "It bends over the tolerances: sigma and shares come from sampling, not from slopes."

VERDICTS = {
    "pass": "pass.",
    "undecided": "undecided: it holds as drawn, but not over the whole of the tolerances.",
    "fail": "fail: it does not hold as drawn.",
}


def value_text(step: DerivationStep) -> str:
    """Return a step's result with its unit as plain text."""
    return step.result + unit_text(step.unit)


def _value_latex(step: DerivationStep) -> str:
    return step.result.replace("−", "-") + unit_latex(step.unit)


def escaped(text: str) -> str:
    r"""Return foreign text for Markdown, on one line and with nothing in it that is marked up.

    >>> escaped("a *b* <c>")
    'a \\*b\\* \\<c\\>'
    """
    return re.sub(r"([\\`*_\[\]<>$|#~])", r"\\\1", " ".join(text.split()))


class Style(NamedTuple):
    """How a page sets a step's formulas and value, a formula in a line, a name, and words."""

    math: Callable[[DerivationStep], Substitution]
    value: Callable[[DerivationStep], str]
    inline: Callable[[str], str]
    strong: Callable[[str], str]
    words: Callable[[str], str]

    def equation(self, step: DerivationStep, *middle: str) -> str:
        """Return symbol, parts and value as an equation, no part twice."""
        parts = [part for part in middle if part and part != step.result]
        return " = ".join([self.math(step).symbol, *parts, self.value(step)])


TEXT = Style(lambda step: step.plain, value_text, str, str, str)
MARKDOWN = Style(
    lambda step: step.latex,
    _value_latex,
    lambda formula: f"${formula}$",
    lambda name: f"**{name}**",
    escaped,
)


def ending(style: Style, step: DerivationStep) -> Iterator[str]:
    """Yield what a requested step comes to over the tolerances, a sentence at a time."""
    made, check = step.as_made, step.check
    if not step.requested:
        return
    name = style.strong(step.name)
    if check is not None:
        line = check.where.line
        yield f"{name}: {VERDICTS[check.verdict]} {style.words(check.text)}"
        over = f"as made {made}" if made else "no tolerance is in it"
        drawn = f"Margin {step.result} mm as drawn; {over}"
        limit = style.words(check.limited_by + ("" if line is None else f", spec line {line}"))
        yield from (
            (f"{drawn}.", f"Limited by {limit}.")
            if style is TEXT
            else (f"{drawn}; limited by {limit}.",)
        )
    elif made is not None:
        formula = made.formula if style is TEXT else made.latex_formula
        law = f", by {style.inline(formula)}" if formula else ""
        yield f"{name} as made{law}: {made}."
    if made is not None and made.shares:
        yield f"Moved by: {ranking(made.shares)}."
    if made is not None and made.curved:
        yield SAMPLED


def has_ranges(steps: Sequence[DerivationStep]) -> bool:
    """Tell whether a range as made is printed of any of the steps."""
    return any(step.requested and step.as_made is not None for step in steps)


def origin_words(step: DerivationStep) -> str:
    """Return where a step's numbers come from: `given, spec line 4`; empty if only from others."""
    lines = lines_words(step.lines)
    if step.is_derived:
        return f"from spec {lines}" if lines else ""
    if step.origin == "default":
        return f"default: {step.source}"
    return f"{step.origin}, spec {lines}" if lines else step.origin


def lines_words(lines: Sequence[int]) -> str:
    """Return lines of a spec in words: `lines 4, 9 and 12`."""
    if not lines:
        return ""
    *most, last = map(str, lines)
    return f"lines {', '.join(most)} and {last}" if most else f"line {last}"


def givens_table(steps: Sequence[DerivationStep]) -> list[str]:
    """Return the lines of a Markdown table of the steps that start a derivation."""
    lines = ["| symbol | value | what it is | where from |", "| --- | --- | --- | --- |"]
    for step in steps:
        if step.is_derived:
            continue
        origin = escaped(origin_words(step))
        if step.origin == "catalogue":
            origin += f"; {escaped(step.source)}"
        cells = (f"${step.latex.symbol}$", value_text(step), escaped(step.words), origin)
        lines.append(f"| {' | '.join(cells)} |")
    return lines
