"""A derivation as Markdown with LaTeX formulas."""

from __future__ import annotations

import re
from collections.abc import Sequence

from framekit.solution.derivation import (
    DIGITS_NOTE,
    ROUNDING,
    DerivationStep,
    lines_words,
    origin_words,
)
from framekit.solution.figures import unit_latex, unit_text


def derivation_markdown(steps: Sequence[DerivationStep]) -> str:
    """The derivation as Markdown: a table of what is given, then one formula after another."""
    lines = ["## What is given", "", *givens_table(steps), ""]
    derived = [step for step in steps if step.formula]
    if derived:
        lines += ["## What follows", ""]
    for number, step in enumerate(derived, 1):
        lines += [f"**{number}.** {escaped(step.words)} (`{step.name}`):", ""]
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
    return "\n".join([*lines, f"{ROUNDING} {DIGITS_NOTE}"])


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
        if step.formula:
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
