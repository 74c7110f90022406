"""A worksheet as Markdown, as plain text and as plain values for JSON."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import TypedDict

from framekit.explain.build import DIGITS_NOTE, DerivationStep, origin_words
from framekit.explain.json_values import StepValues, derivation_values
from framekit.explain.markdown import escaped, givens_table, latex_result, latex_sum
from framekit.explain.rounding import unit_text
from framekit.explain.worksheet import COPY, ROUNDED, Task, Worksheet

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


class TaskValues(TypedDict):
    """One task in JSON: round to `decimals`, accept `low` to `high` in the step's unit."""

    number: int
    section: str
    decimals: int
    low: float
    high: float
    step: StepValues


class MirroredValues(TypedDict):
    """A disc that is the mirror image of another, by their numbers, in JSON."""

    disc: int
    original: int


class WorksheetValues(TypedDict):
    """A worksheet in JSON."""

    title: str
    rounding: str
    marking: str
    givens: list[StepValues]
    notes: list[StepValues]
    tasks: list[TaskValues]
    mirrored: list[MirroredValues]


def worksheet_values(sheet: Worksheet) -> WorksheetValues:
    """The worksheet as plain values, ready for JSON."""
    return WorksheetValues(
        title=sheet.title,
        rounding=TASK_ROUNDING,
        marking=MARKING,
        givens=derivation_values(sheet.givens),
        notes=derivation_values(sheet.notes),
        tasks=[
            TaskValues(
                number=task.number,
                section=task.section,
                decimals=task.decimals,
                low=task.low,
                high=task.high,
                step=derivation_values([task.step])[0],
            )
            for task in sheet.tasks
        ],
        mirrored=[MirroredValues(disc=disc, original=twin) for disc, twin in sheet.mirrored],
    )


def worksheet_markdown(sheet: Worksheet) -> str:
    """The worksheet as Markdown with LaTeX: what is given, the tasks, and the answer key."""
    lines = [f"# {escaped(sheet.title)}: worksheet", ""]
    lines += [f"Name: {BLANK}{BLANK} Date: {BLANK}", "", TASK_ROUNDING, ""]
    lines += ["## What is given", "", *givens_table(sheet.givens), ""]
    for note in sheet.notes:
        same = COPY.fullmatch(note.formula) and note.inputs
        equation = f"{note.latex.symbol} = {note.latex.formula}" if same else latex_result(note)
        fits = f": ${note.latex.formula}$" if is_searched(note) else ""
        lines += [f"${equation}$: {escaped(_note(note))}{fits}.", ""]
    for section, tasks in groupby(sheet.tasks, lambda task: task.section):
        lines += [f"## {section}", ""]
        for task in tasks:
            lines += _task_markdown(sheet, task)
    for disc, twin in sheet.mirrored:
        height = f"${sheet.heights[disc][1].formula}$"
        lines += [_mirror_words(disc, twin, height), ""]
    lines += ["---", "", "## Answer key", "", MARKING, ""]
    lines += ["| task | sum | accept |", "| --- | --- | --- |"]
    lines += [
        f"| {task.number} | ${latex_sum(task.step)}${_chosen(task)} | {_accept(task)} |"
        for task in sheet.tasks
    ]
    return "\n".join(lines)


def _task_markdown(sheet: Worksheet, task: Task) -> Iterator[str]:
    step = task.step
    needed = ", ".join(_input_markdown(sheet, other) for other in _inputs(sheet, task))
    yield f"**{task.number}.** {escaped(step.words)}. You need {needed}."
    yield ""
    yield f"$${step.latex.symbol} = {step.latex.formula}$$"
    yield ""
    if step.choice is not None:
        yield f"Work out each. Which holds, {escaped(_options(step))}? {BLANK}"
        yield ""
    if step.conversion:
        yield f"{step.conversion}."
        yield ""
    yield f"${step.latex.symbol}$ = {BLANK}{unit_text(step.unit)}{_rounding(task)}"
    yield ""


def worksheet_text(sheet: Worksheet) -> str:
    """The worksheet as plain text: what is given, the tasks, and the answer key."""
    lines = [f"{sheet.title}: worksheet", "", TASK_ROUNDING, "", "What is given", ""]
    left = max(len(s.symbol) for s in (*sheet.givens, *sheet.notes, *(t.step for t in sheet.tasks)))
    for step in sheet.givens:
        value = step.result + unit_text(step.unit)
        lines.append(f"{step.symbol:{left}} = {value:16} {step.words}; {origin_words(step)}")
    for note in sheet.notes:
        same = COPY.fullmatch(note.formula) and note.inputs
        value = note.formula if same else note.result + unit_text(note.unit)
        fits = f": {note.formula}" if is_searched(note) else ""
        lines.append(f"{note.symbol:{left}} = {value:16} {_note(note)}{fits}")
    for section, tasks in groupby(sheet.tasks, lambda task: task.section):
        lines += ["", section]
        for task in tasks:
            lines += ["", *_task_text(sheet, task)]
    for disc, twin in sheet.mirrored:
        lines += ["", _mirror_words(disc, twin, sheet.heights[disc][0].formula)]
    lines += ["", "Answer key", "", MARKING, ""]
    for task in sheet.tasks:
        step = task.step
        middle = "" if step.substituted == step.result else f"{step.substituted} = "
        answer = f"{step.symbol} = {middle}{step.result}{unit_text(step.unit)}"
        accept = _accept(task)
        limits = f"; accept {accept}" if accept else ""
        lines.append(f"{task.number:3}. {answer}{_chosen(task)}{limits}")
    return "\n".join(lines)


def _task_text(sheet: Worksheet, task: Task) -> Iterator[str]:
    step = task.step
    needed = ", ".join(_input_text(sheet, other) for other in _inputs(sheet, task))
    yield f"{task.number:3}. {step.words}. You need {needed}."
    yield f"     {step.symbol} = {step.formula}"
    if step.choice is not None:
        yield f"     Work out each. Which holds, {_options(step)}? {BLANK}"
    if step.conversion:
        yield f"     {step.conversion}."
    yield f"     {step.symbol} = {BLANK}{unit_text(step.unit)}{_rounding(task)}"


def _inputs(sheet: Worksheet, task: Task) -> list[DerivationStep]:
    """The steps a task is made from, in the order of the formula's inputs."""
    steps = (*sheet.givens, *sheet.notes, *(t.step for t in sheet.tasks))
    by_name = {step.name: step for step in steps}
    return [by_name[name] for name in task.step.inputs]


def _input_markdown(sheet: Worksheet, step: DerivationStep) -> str:
    number = sheet.task_of.get(step.name)
    if number is not None:
        return f"${step.latex.symbol}$ (task {number})"
    if COPY.fullmatch(step.formula) and step.inputs:
        return f"${step.latex.symbol} = {step.latex.formula}${_task_of_input(sheet, step)}"
    return f"${latex_result(step)}$"


def _input_text(sheet: Worksheet, step: DerivationStep) -> str:
    number = sheet.task_of.get(step.name)
    if number is not None:
        return f"{step.symbol} (task {number})"
    if COPY.fullmatch(step.formula) and step.inputs:
        return f"{step.symbol} = {step.formula}{_task_of_input(sheet, step)}"
    return f"{step.symbol} = {step.result}{unit_text(step.unit)}"


def _task_of_input(sheet: Worksheet, step: DerivationStep) -> str:
    """The task behind a quantity that is the same as another."""
    number = sheet.task_of.get(step.inputs[0])
    return "" if number is None else f" (task {number})"


def _options(step: DerivationStep) -> str:
    """What a law chooses from, in the order it is written rather than by what holds."""
    if step.choice is None:
        return ""
    options = sorted(option.words for option in (step.choice.taken, *step.choice.others))
    return " or ".join(f"“{option}”" for option in options)


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


def _note(step: DerivationStep) -> str:
    """A quantity that needs no sum, in words."""
    if is_searched(step):
        return f"{step.words}; found by trying values until it fits"
    if step.reading:
        return step.words
    return step.words if step.choice is None else step.choice.taken.words


def is_searched(step: DerivationStep) -> bool:
    """Whether the number was found by trying, having no formula."""
    return bool(step.inputs) and not step.substituted and not step.reading


def _mirror_words(disc: int, twin: int, height: str) -> str:
    return (
        f"Disc {disc} is the mirror image of disc {twin}: its sizes are the same, and its height "
        f"is {height}."
    )
