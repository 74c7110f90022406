"""A derivation as plain text, and as Markdown with LaTeX formulas."""

from __future__ import annotations

import re
from collections.abc import Sequence

from framekit.explain.model import DerivationStep
from framekit.explain.style import (
    AS_MADE_NOTE,
    DIGITS_NOTE,
    MARKDOWN,
    ROUNDING,
    TEXT,
    ending,
    escaped,
    givens_table,
    has_ranges,
    lines_words,
    origin_words,
    value_text,
)

WORDS_COLUMN = 52
"""Where the words of a line start; they go on a line of their own when the sum is longer."""


def derivation_text(steps: Sequence[DerivationStep]) -> str:
    """Return the derivation as lines of plain text: symbol, formula, numbers, result, words, lines.

    Equals signs are aligned, and so are the words; numbers in brackets refer to the sources below.
    At the end stand the ranges as made of what was asked for, and the verdicts of checks.
    """
    left = max(len(step.symbol) for step in steps)
    cited = (s.source for s in steps if s.origin in ("derived", "catalogue") and s.source)
    sources = {source: number for number, source in enumerate(dict.fromkeys(cited), 1)}
    chains = [_chain(step, left) for step in steps]
    column = min(WORDS_COLUMN, max(len(chain) for chain in chains) + 3)
    lines = []
    for step, chain in zip(steps, chains, strict=True):
        gap = " " * (column - len(chain)) if len(chain) + 2 <= column else "\n" + " " * column
        lines.append(f"{chain}{gap}{_remark(step, sources)}")
    lines += [f"[{number}] {source}" for source, number in sources.items()]
    lines += [ROUNDING, DIGITS_NOTE]
    ends = ["\n  ".join(ending(TEXT, step)) for step in steps if step.requested]
    ends = [end for end in ends if end]
    if ends:
        lines += ["", *ends]
    if has_ranges(steps):
        lines.append(AS_MADE_NOTE)
    return "\n".join(lines)


def _chain(step: DerivationStep, left: int) -> str:
    result = value_text(step)
    bare = re.sub(r"\.?0+$", "", step.result) if "." in step.result else step.result
    middle = [part for part in (step.formula, step.substituted) if part]
    if middle and middle[-1] in (step.result, bare, result):
        middle.pop()
    return " = ".join([step.symbol.ljust(left), *middle, result])


def _remark(step: DerivationStep, sources: dict[str, int]) -> str:
    """Return the words, the branch that holds, the conversion and the source of a line of text."""
    choice = f"here {step.choice}" if step.choice else ""
    cited = "" if step.origin == "default" else f" [{sources[step.source]}]" if step.source else ""
    parts = (step.words, choice, step.conversion, origin_words(step))
    return "; ".join(filter(None, parts)) + cited


def derivation_markdown(steps: Sequence[DerivationStep]) -> str:
    """Return the derivation as Markdown: a table of what is given, then one formula after another.

    At the end stand the ranges as made of what was asked for, and the verdicts of checks.
    """
    lines = ["## What is given", "", *givens_table(steps), ""]
    derived = [step for step in steps if step.is_derived]
    if derived:
        lines += ["## What follows", ""]
    for number, step in enumerate(derived, 1):
        lines += [f"**{number}.** {escaped(step.words)} (`{step.name}`):", ""]
        if step.formula:
            lines += [f"$${step.latex.symbol} = {step.latex.formula}$$", ""]
        if step.latex.substituted or step.latex.formula != step.result:
            lines += [f"$${MARKDOWN.equation(step, step.latex.substituted)}$$", ""]
        remarks = [f"Here {escaped(str(step.choice))}."] if step.choice else []
        remarks += [f"{step.conversion}."] if step.conversion else []
        remarks.append(f"Source: {escaped(step.source)}.")
        remarks += [f"Spec {lines_words(step.lines)}."] if step.lines else []
        lines += [" ".join(remarks), ""]
    ends = [[*sentences, ""] for step in steps if (sentences := list(ending(MARKDOWN, step)))]
    if ends:
        lines += ["## As made", "", *(sentence for end in ends for sentence in end)]
    if has_ranges(steps):
        lines += [AS_MADE_NOTE, ""]
    return "\n".join([*lines, f"{ROUNDING} {DIGITS_NOTE}"])
