"""What explain hands on: the steps of a derivation, and a worksheet's tasks."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from framekit.constraints.uncertainty import Share
from framekit.errors import Where
from framekit.explain.rounding import unit_text, with_minus
from framekit.solution.model import Check
from framekit.spec.given import Origin

COPY = re.compile(r"\w+(\[\d+\])?")
"""A symbol and nothing more."""


class Substitution(NamedTuple):
    """A formula and the same with its numbers, as plain text or in LaTeX; empty for what is given.

    The numbers have the digits that give the result as it is printed.
    """

    symbol: str
    formula: str = ""
    substituted: str = ""


@dataclass(frozen=True)
class Alternative:
    """What a law chooses from: its words, its value, and the value as text with its unit.

    The text is empty for a value that is always the same.
    """

    words: str
    value: float
    text: str


@dataclass(frozen=True)
class Choice:
    """What a law took, and what it did not take."""

    taken: Alternative
    others: tuple[Alternative, ...]

    def __str__(self) -> str:
        """The choice in words: `the inner ellipse (85.5551 mm), not the pole gap (4.1817 mm)`."""
        taken, *others = (
            f"{a.words} ({a.text})" if a.text else a.words for a in (self.taken, *self.others)
        )
        return f"{taken}, not {' or '.join(others)}"


@dataclass(frozen=True)
class AsMade:
    """What a result comes to over the tolerances, in its unit; `low` and `high` are proved.

    `printed` has both ends rounded outward, and sigma, as text. `formula` is the law of what is
    made, empty where it is the step's own. `shares` and `curved` as in `Spread`.
    """

    low: float
    high: float
    sigma: float
    unit: str
    printed: tuple[str, str, str]
    formula: str
    latex_formula: str
    shares: tuple[Share, ...]
    curved: bool

    def __str__(self) -> str:
        """The range and sigma: `0.0000 to 0.1000 mm (proved), sigma 0.0208 mm`."""
        low, high, sigma = map(with_minus, self.printed)
        unit = unit_text(self.unit)
        return f"{low} to {high}{unit} (proved), sigma {sigma}{unit}"


@dataclass(frozen=True)
class DerivationStep:
    """One line of a derivation; `value` in `unit` (1: plain), `result` as it is printed.

    `formula` and `substituted` are empty for what is given; where a law chooses, `substituted` has
    the branch that holds and `choice` says which. `source` is the law's, or says where a default
    or a catalogue row comes from. `lines` are those of the spec that the step reads from directly.
    `conversion` says how units are turned into each other where the step needs it. `as_made` is its
    range over the tolerances, None where nothing moves it; `check` the check whose margin this is.
    `requested` tells the steps that were asked for from those they need; `reading` says that the
    value is read off a curve, `formula` being only a way to write that.
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
    latex: Substitution
    law: str = ""
    inputs: tuple[str, ...] = ()
    choice: Choice | None = None
    lines: tuple[int, ...] = ()
    conversion: str = ""
    as_made: AsMade | None = None
    check: Check | None = None
    requested: bool = False
    reading: bool = False

    @property
    def plain(self) -> Substitution:
        """Return symbol, formula and numbers as plain text, as `latex` has them in LaTeX."""
        return Substitution(self.symbol, self.formula, self.substituted)

    @property
    def is_derived(self) -> bool:
        """Tell whether the step follows from others or from a law, rather than being given."""
        return self.origin == "derived"

    @property
    def is_copy(self) -> bool:
        """Tell whether the formula is the symbol of another quantity and nothing more."""
        return bool(self.inputs) and COPY.fullmatch(self.formula) is not None

    @property
    def is_searched(self) -> bool:
        """Tell whether the number was found by trying, having no formula."""
        return bool(self.inputs) and not self.substituted and not self.reading


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
        low, high = (with_minus(f"{x:.{self.decimals}f}") for x in (self.low, self.high))
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
    heights: Mapping[int, tuple[Substitution, Substitution]]

    @property
    def task_of(self) -> Mapping[str, int]:
        """The number of the task that gives a quantity, by the quantity's name."""
        return {task.step.name: task.number for task in self.tasks}
