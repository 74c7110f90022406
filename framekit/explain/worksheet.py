"""A worksheet: what a frame is made from, sums for pupils in an order that builds up, and answers.

A pupil rounds each answer and goes on with the rounded one. How far that may lead away from the
unrounded value is worked out for every task, so a teacher knows what to accept.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from framekit.constraints.namespaces import FLOATS
from framekit.explain.build import DerivationStep, derive
from framekit.explain.rounding import PrintedNumber, Rounding, places, shows_all
from framekit.explain.skin_laws import explained_quantities
from framekit.explain.substitution import Sum, branch_taken, is_search, sums_of
from framekit.solution.model import FrameSolution, Quantity
from framekit.solution.relations import PlacedDisc
from framekit.spec.measure import LENGTH_UNITS

ROUNDED = Rounding(decimals=2, digits=7, small=4)
"""How a pupil rounds: 0.01 mm, four decimals of a length under 0.1 mm, seven digits otherwise."""

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

COPY = re.compile(r"\w+(\[\d+\])?")
"""A formula that is the symbol of another quantity and nothing more."""


@dataclass(frozen=True)
class Task:
    """One sum to do: its number, heading, step, and how to round and mark it.

    The answer has `decimals` and is in the step's unit, as are `low` and `high`, the least and
    greatest to accept.
    """

    number: int
    section: str
    step: DerivationStep
    decimals: int
    low: float
    high: float

    @property
    def accepted(self) -> tuple[str, str]:
        """The least and the greatest answer to accept, as text."""
        low, high = (f"{x:.{self.decimals}f}".replace("-", "−") for x in (self.low, self.high))
        return low, high


@dataclass(frozen=True)
class Worksheet:
    """What a frame is made from, tasks in order, and the quantities that need no sum.

    `notes` are settled by a law without a sum, such as a disc's side. `mirrored` tells which disc
    is the mirror image of which, by their numbers, and `heights` how a mirrored disc's height
    follows, as plain text and in LaTeX.
    """

    title: str
    givens: tuple[DerivationStep, ...]
    notes: tuple[DerivationStep, ...]
    tasks: tuple[Task, ...]
    mirrored: tuple[tuple[int, int], ...]
    heights: Mapping[int, tuple[Sum, Sum]]

    @property
    def task_of(self) -> Mapping[str, int]:
        """The number of the task that gives a quantity, by the quantity's name."""
        return {task.step.name: task.number for task in self.tasks}


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
            figure = PrintedNumber(step.value, step.unit)
            decimals = places(figure, ROUNDED)
            low, high = _band(step, decimals, errors[step.name])
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
            image: sums_of(known, known[f"disc-{image}.height"], ROUNDED) for image, _ in mirrored
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
    return bool(step.substituted) and not fixed and not COPY.fullmatch(step.formula)


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
        shown = float(step.result.replace("−", "-"))
        return 0.0 if math.isclose(shown, step.value, rel_tol=1e-12) else abs(shown - step.value)
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


def _band(step: DerivationStep, decimals: int, error: float) -> tuple[float, float]:
    """The answers to accept: all that rounding on the way can give, one alone where it gives none.

    Two numbers less than n units apart are at most n units apart once both are rounded.
    """
    middle = Decimal(step.result.replace("−", "-"))
    unit = Decimal(1).scaleb(-decimals)
    rounded = not shows_all(PrintedNumber(step.value, step.unit), decimals)
    spread = unit * max(math.ceil(error / float(unit) - 1e-9), rounded)
    return float(middle - spread), float(middle + spread)
