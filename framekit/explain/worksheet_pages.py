"""A worksheet as plain text, and as Markdown with LaTeX formulas."""

from __future__ import annotations

from itertools import groupby

from framekit.explain.model import DerivationStep, Task, Worksheet
from framekit.explain.rounding import ROUNDED, unit_text
from framekit.explain.style import (
    DIGITS_NOTE,
    MARKDOWN,
    TEXT,
    Style,
    escaped,
    givens_table,
    origin_words,
    value_text,
)

BLANK = "………………………"
"""Where a pupil writes."""

TASK_ROUNDING = (
    f"Round lengths to {ROUNDED.decimals} decimals of a mm unless a task says otherwise, and go on "
    "with the rounded numbers. Angles are in degrees unless a task says radians; max is the "
    "greatest and min the least of what follows it."
)
MARKING = (
    "The key carries unrounded values from step to step and rounds what it shows. "
    f"{DIGITS_NOTE} A pupil who rounds each answer and goes on with the rounded one comes within "
    "the limits; so does one who carries every digit. Accept what lies within them. An answer "
    "without limits comes out exactly."
)


def worksheet_markdown(sheet: Worksheet) -> str:
    """Return the worksheet as Markdown with LaTeX: what is given, the tasks, and the answer key."""
    lines = [f"# {escaped(sheet.title)}: worksheet", ""]
    lines += [f"Name: {BLANK}{BLANK} Date: {BLANK}", "", TASK_ROUNDING, ""]
    lines += ["## What is given", "", *givens_table(sheet.givens), ""]
    for note in sheet.notes:
        value, words = _note(MARKDOWN, note)
        lines += [f"${note.latex.symbol} = {value}$: {words}.", ""]
    for section, tasks in groupby(sheet.tasks, lambda task: task.section):
        lines += [f"## {section}", ""]
        for task in tasks:
            head, formula, *rest = _task(MARKDOWN, sheet, task)
            for line in (f"**{task.number}.** {head}", f"$${formula}$$", *rest):
                lines += [line, ""]
    for disc, twin in sheet.mirrored:
        lines += [_mirror_words(disc, twin, f"${sheet.heights[disc][1].formula}$"), ""]
    lines += ["---", "", "## Answer key", "", MARKING, ""]
    lines += ["| task | sum | accept |", "| --- | --- | --- |"]
    for task in sheet.tasks:
        answer = MARKDOWN.equation(task.step, task.step.latex.substituted)
        lines.append(f"| {task.number} | ${answer}${_chosen(task)} | {_accept(task)} |")
    return "\n".join(lines)


def worksheet_text(sheet: Worksheet) -> str:
    """Return the worksheet as plain text: what is given, the tasks, and the answer key."""
    lines = [f"{sheet.title}: worksheet", "", TASK_ROUNDING, "", "What is given", ""]
    left = max(len(step.symbol) for step in _steps(sheet))
    for step in sheet.givens:
        words = f"{step.words}; {origin_words(step)}"
        lines.append(f"{step.symbol:{left}} = {value_text(step):16} {words}")
    for note in sheet.notes:
        value, words = _note(TEXT, note)
        lines.append(f"{note.symbol:{left}} = {value:16} {words}")
    for section, tasks in groupby(sheet.tasks, lambda task: task.section):
        lines += ["", section]
        for task in tasks:
            head, *rest = _task(TEXT, sheet, task)
            lines += ["", f"{task.number:3}. {head}", *(f"     {line}" for line in rest)]
    for disc, twin in sheet.mirrored:
        lines += ["", _mirror_words(disc, twin, sheet.heights[disc][0].formula)]
    lines += ["", "Answer key", "", MARKING, ""]
    for task in sheet.tasks:
        accept = _accept(task)
        limits = f"; accept {accept}" if accept else ""
        answer = TEXT.equation(task.step, task.step.substituted)
        lines.append(f"{task.number:3}. {answer}{_chosen(task)}{limits}")
    return "\n".join(lines)


def _steps(sheet: Worksheet) -> tuple[DerivationStep, ...]:
    return (*sheet.givens, *sheet.notes, *(task.step for task in sheet.tasks))


def _note(style: Style, step: DerivationStep) -> tuple[str, str]:
    """Return the value and the words of a quantity that needs no sum."""
    formula = style.math(step).formula
    value = formula if step.is_copy else style.value(step)
    if step.is_searched:
        words = style.words(f"{step.words}; found by trying values until it fits")
        return value, f"{words}: {style.inline(formula)}"
    fixed = step.choice is not None and not step.reading
    return value, style.words(step.choice.taken.words if fixed and step.choice else step.words)


def _task(style: Style, sheet: Worksheet, task: Task) -> list[str]:
    """Return the lines of a task: what it is, its formula, what to know, and the answer's place."""
    step = task.step
    by_name = {step.name: step for step in _steps(sheet)}
    needed = ", ".join(_input(style, sheet, by_name[name]) for name in step.inputs)
    symbol, formula, _ = style.math(step)
    lines = [f"{style.words(step.words)}. You need {needed}.", f"{symbol} = {formula}"]
    if step.choice is not None:
        # In alphabetical order rather than by what holds.
        options = sorted(option.words for option in (step.choice.taken, *step.choice.others))
        words = " or ".join(f"“{option}”" for option in options)
        lines.append(f"Work out each. Which holds, {style.words(words)}? {BLANK}")
    if step.conversion:
        lines.append(f"{step.conversion}.")
    answer = f"{BLANK}{unit_text(step.unit)}{_rounding(task)}"
    return [*lines, f"{style.inline(symbol)} = {answer}"]


def _input(style: Style, sheet: Worksheet, step: DerivationStep) -> str:
    symbol, formula, _ = style.math(step)
    number = sheet.task_of.get(step.name)
    if number is not None:
        return f"{style.inline(symbol)} (task {number})"
    if not step.is_copy:
        return style.inline(style.equation(step))
    number = sheet.task_of.get(step.inputs[0])
    return style.inline(f"{symbol} = {formula}") + ("" if number is None else f" (task {number})")


def _rounding(task: Task) -> str:
    if task.low == task.high:
        return ""
    if task.step.unit == "mm" and task.decimals == ROUNDED.decimals:
        return ""
    if task.decimals == 0:
        return " (to the whole number)"
    return f" ({task.decimals} decimals)"


def _chosen(task: Task) -> str:
    return "" if task.step.choice is None else f"; here {task.step.choice}"


def _accept(task: Task) -> str:
    low, high = task.accepted
    return "" if task.low == task.high else f"{low} to {high}{unit_text(task.step.unit)}"


def _mirror_words(disc: int, twin: int, height: str) -> str:
    return (
        f"Disc {disc} is the mirror image of disc {twin}: its sizes are the same, and its height "
        f"is {height}."
    )
