"""A derivation as Markdown with LaTeX formulas."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from framekit.explain.as_made import NOTE
from framekit.explain.build import (
    DIGITS_NOTE,
    ROUNDING,
    DerivationStep,
    limit_words,
    lines_words,
    origin_words,
    varies,
    verdict_words,
)
from framekit.explain.rounding import unit_latex, unit_text


def derivation_markdown(steps: Sequence[DerivationStep]) -> str:
    """The derivation as Markdown: a table of what is given, then one formula after another.

    At the end stand the ranges as made of what was asked for, and the verdicts of checks.
    """
    lines = ["## What is given", "", *givens_table(steps), ""]
    derived = [step for step in steps if is_derived(step)]
    if derived:
        lines += ["## What follows", ""]
    for number, step in enumerate(derived, 1):
        lines += [f"**{number}.** {escaped(step.words)} (`{step.name}`):", ""]
        if step.formula:
            lines += [f"$${step.latex.symbol} = {step.latex.formula}$$", ""]
        if step.latex.substituted:
            lines += [f"$${latex_sum(step)}$$", ""]
        elif step.latex.formula != step.result:
            lines += [f"$${latex_result(step)}$$", ""]
        remarks = [f"Here {escaped(str(step.choice))}."] if step.choice else []
        remarks += [f"{step.conversion}."] if step.conversion else []
        remarks.append(f"Source: {escaped(step.source)}.")
        remarks += [f"Spec {lines_words(step.lines)}."] if step.lines else []
        lines += [" ".join(remarks), ""]
    ends = [line for step in steps for line in _end(step)]
    if ends:
        lines += ["## As made", "", *ends]
    if varies(steps):
        lines += [NOTE, ""]
    return "\n".join([*lines, f"{ROUNDING} {DIGITS_NOTE}"])


def is_derived(step: DerivationStep) -> bool:
    """Whether the step follows from others or from a law, rather than being given."""
    return step.origin == "derived"


def _end(step: DerivationStep) -> Iterator[str]:
    """What a step that was asked for comes to over the tolerances, as Markdown."""
    if not step.asked:
        return
    made = step.as_made
    if step.check is not None:
        yield f"**{step.name}**: {verdict_words(step.check)} {escaped(step.check.text)}"
        drawn = f"Margin {step.result} mm as drawn"
        over = f"as made {made}" if made else "no tolerance is in it"
        yield f"{drawn}; {over}; limited by {escaped(limit_words(step.check))}."
    elif made is not None:
        law = f", by ${made.latex_formula}$" if made.latex_formula else ""
        yield f"**{step.name}** as made{law}: {made}."
    if made is not None:
        yield from made.remarks
    if made is not None or step.check is not None:
        yield ""


def latex_sum(step: DerivationStep) -> str:
    """A derived quantity with its numbers and its result in LaTeX, without the dollars."""
    result = _latex_number(step)
    if step.latex.substituted == step.result:
        return latex_result(step)
    return f"{step.latex.symbol} = {step.latex.substituted} = {result}"


def latex_result(step: DerivationStep) -> str:
    """A quantity and its value in LaTeX, without the dollars."""
    return f"{step.latex.symbol} = {_latex_number(step)}"


def _latex_number(step: DerivationStep) -> str:
    return step.result.replace("−", "-") + unit_latex(step.unit)


def givens_table(steps: Sequence[DerivationStep]) -> list[str]:
    """The lines of a Markdown table of the steps that start a derivation."""
    lines = ["| symbol | value | what it is | where from |", "| --- | --- | --- | --- |"]
    for step in steps:
        if is_derived(step):
            continue
        value = step.result + unit_text(step.unit)
        words, origin = escaped(step.words), escaped(origin_words(step))
        if step.origin == "catalogue":
            origin += f"; {escaped(step.source)}"
        lines.append(f"| ${step.latex.symbol}$ | {value} | {words} | {origin} |")
    return lines


def escaped(text: str) -> str:
    r"""Foreign text for Markdown, on one line and with nothing in it that is marked up.

    >>> escaped("a *b* <c>")
    'a \\*b\\* \\<c\\>'
    """
    return re.sub(r"([\\`*_\[\]<>$|#~])", r"\\\1", " ".join(text.split()))
