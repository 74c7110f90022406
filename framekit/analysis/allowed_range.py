"""The range of an input over which every check passes, proved, and what limits each end.

From the value in the spec steps go outward until a check fails; the place where it begins to fail
is bracketed; and the interval in between is proved, halved where the proof asks for it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from framekit.analysis.feasibility import Limit, Question
from framekit.analysis.inputs import input_named, refuse_unknown, variable_inputs
from framekit.errors import Fault, SolveError
from framekit.solution.checks import ROUNDING
from framekit.solution.model import FrameSolution
from framekit.solution.quantities import ANY
from framekit.solution.symbols import described

Others = Literal["nominal", "anywhere"]

FIRST_STEP = 1e-3
"""Of the input's size: the first step outward; each is twice the one before."""
NEAR = 1e-10
"""Of the input's size: how near to where a check fails a range must end."""
SCAN = 1.01
"""Ratio of the values looked at when the spec's own fails, up to `FARTHEST` times it."""
FARTHEST = 4.0


@dataclass(frozen=True)
class AllowedRange:
    """From `low` to `high` every check passes; in mm, degrees or plain, whatever `unit` says.

    `unit` is what people read the input in. `low_limit` and `high_limit` say what fails just
    outside, None where nothing does as far as was looked. `nominal` is the value in the spec; when
    it lies outside, `failing` are the checks that fail there. `as_made` tells that the drawn file
    stays and only what is made differs; else the file is drawn anew for each value.
    """

    name: str
    nominal: float
    low: float
    high: float
    unit: str
    low_limit: Limit | None
    high_limit: Limit | None
    others: Others
    as_made: bool
    failing: tuple[Limit, ...] = ()


@dataclass(frozen=True)
class NoRange:
    """No value was found at which every check passes; `failing` fail at the spec's own."""

    name: str
    nominal: float
    unit: str
    others: Others
    as_made: bool
    failing: tuple[Limit, ...]


def rangeable_inputs(frame: FrameSolution) -> tuple[str, ...]:
    """The inputs a range can be asked of: those of what is made, then those of the design."""
    made = tuple(item.quantity for item in frame.toleranced)
    scale = ("scale.denominator",) if _size_of(frame) is not None else ()
    return (*made, *scale, *(n for n in variable_inputs(frame) if n not in made))


def allowed_range(
    frame: FrameSolution, name: str, others: Others = "nominal"
) -> AllowedRange | NoRange:
    """The interval of an input, in mm, degrees or plain, that keeps every check passing.

    `sheet.thickness`, `cutter.kerf` and `joint.clearance` are what is made: the drawn file stays.
    Any other input is of the design: the frame is solved anew. `others` says whether the other
    two or three things made are at the values in the spec, or anywhere within their tolerances.
    That every check holds over the whole of the interval is proved; it ends where one fails.

    `name` may also be the spec's key, such as `scale`. Raises UnknownNameError for a name that is
    no such input, and SolveError where the input cannot vary alone, or where it moves an inner
    edge that is made for given sizes.
    """
    name = input_named(frame, name)
    refuse_unknown(frame, name, rangeable_inputs(frame))
    size = _size_of(frame)
    if name == "scale.denominator" and size is not None:
        return _through_size(frame, size, others)
    made = {item.quantity: item.made for item in frame.toleranced}
    varied = made.get(name, name)
    moving = tuple(
        item
        for item in frame.toleranced
        if others == "anywhere" and item.made != varied and item.tolerance > 0
    )
    question = Question(frame, varied, moving)
    _refuse_made_edge(question, name)
    nominal = frame.value(name)
    common = (name, nominal, frame.quantities[name].unit, others, name in made)
    hopeless = question.failing_whatever()
    if hopeless:
        return NoRange(*common, hopeless)
    search = _Search(question, name)
    failing = search.failing(nominal)
    start = search.elsewhere() if failing else nominal
    if start is None:
        return NoRange(*common, failing)
    (low, low_limit), (high, high_limit) = (search.end(start, sign) for sign in (-1, 1))
    return AllowedRange(
        name, nominal, low, high, common[2], low_limit, high_limit, others, name in made, failing
    )


def _refuse_made_edge(question: Question, name: str) -> None:
    """Raise SolveError where the input moves an inner edge that has no interval over sizes."""
    frame = question.frame
    skin = frame.structure.skin
    if not skin.made_edge or question.changing.isdisjoint(skin.inner.inputs):
        return
    raise SolveError(
        Fault(
            "edge-made-for-sizes",
            f"no range of {name} can be proved: the ribs' inner edge under this body is made anew "
            "for each size",
            frame.quantities[name].where,
            "Try values with framekit.solve_many, or in the spec with 'framekit check'.",
        )
    )


def _size_of(frame: FrameSolution) -> str | None:
    """The model's size that gives the scale, where the spec has that and no scale."""
    if frame.quantities["scale.denominator"].origin != "derived":
        return None
    for name, quantity in frame.quantities.items():
        if name.startswith("model.") and quantity.origin == "given":
            return name
    return None


def _through_size(frame: FrameSolution, size: str, others: Others) -> AllowedRange | NoRange:
    """The range of the scale where a size of the model decides it: the larger, the less."""
    found = allowed_range(frame, size, others)
    scale, nominal = "scale.denominator", frame.value("scale.denominator")
    if isinstance(found, NoRange):
        return replace(found, name=scale, nominal=nominal, unit="1")
    product = nominal * found.nominal
    return replace(
        found,
        name=scale,
        nominal=nominal,
        unit="1",
        low=product / found.high,
        high=product / found.low,
        low_limit=found.high_limit,
        high_limit=found.low_limit,
    )


class _Search:
    """The way outward from a value, and the proof of what lies in between."""

    def __init__(self, question: Question, name: str) -> None:
        self.question = question
        self.name = name
        value = question.frame.value(name)
        length = described(name).unit == "mm"
        least = question.frame.value("sheet.thickness") / 10 if length else 0.1
        self.size = max(abs(value), least)
        self.value = value
        least, most = described(name).takes or ANY
        self.span = (max(least, self.size * 1e-6) if least > 0 else least, most)

    def failing(self, x: float) -> tuple[Limit, ...]:
        """The checks that fail at a value, or why there is no such frame; none where all pass."""
        found = self.question.margins(x)
        if isinstance(found, Limit):
            return (found,)
        worst = sorted((pair for pair in found if pair[0] < -ROUNDING), key=lambda pair: pair[0])
        return tuple(dict.fromkeys(limit for _, limit in worst))

    def passes(self, x: float) -> bool:
        """Whether every check passes at a value."""
        return not self.failing(x)

    def elsewhere(self) -> float | None:
        """The nearest value found at which every check passes."""
        far = int(math.log(FARTHEST) / math.log(SCAN))
        for n in range(1, far):
            step = self.size * (SCAN**n - 1)
            for x in (self.value + step, max(self.value - step, self.value / SCAN**n)):
                if self.span[0] <= x <= self.span[1] and self.passes(x):
                    return x
        return None

    def end(self, start: float, sign: int) -> tuple[float, Limit | None]:
        """The end of the proved range from a value that passes, downward or upward."""
        good, bad = self._outward(start, sign)
        end, limit = (good, self._outmost(good)) if bad is None else self._bracket(good, bad)
        return self._prove(start, end, limit)

    def _outward(self, start: float, sign: int) -> tuple[float, float | None]:
        """The last value that passes and the first that fails, None at the end of the span."""
        good, step = start, FIRST_STEP * self.size
        edge = self.span[0 if sign < 0 else 1]
        most = 1e6 * max(self.size, abs(start))
        while True:
            x = good + sign * step
            if self.span[0] > 0:
                x = max(x, good / 2)
            x = min(max(x, self.span[0]), self.span[1])
            if not self.passes(x):
                return good, x
            if x == edge or abs(x) > most:
                return x, None
            good, step = x, step * 2

    def _outmost(self, x: float) -> Limit | None:
        if x in self.span:
            return Limit("spec", "no-value", self.name, f"{self.name} takes nothing beyond")
        return None

    def _bracket(self, good: float, bad: float) -> tuple[float, Limit]:
        """Where it begins to fail between a value that passes and one that does not."""
        near = NEAR * self.size
        at_good, at_bad = self.question.margins(good), self.question.margins(bad)
        count = 0
        while abs(bad - good) > near:
            x = (good + bad) / 2
            share = _share(at_good, at_bad) if count % 3 < 2 else None
            if share is not None:
                # First just beyond where straight lines cross zero, then just before.
                aim = good + (bad - good) * share
                aim += (near if count % 3 == 0 else -near) / 4 * (1 if bad > good else -1)
                x = aim if min(good, bad) < aim < max(good, bad) else x
            count += 1
            found = self.question.margins(x)
            if isinstance(found, Limit) or min(found)[0] < -ROUNDING:
                bad, at_bad = x, found
            else:
                good, at_good = x, found
        limit = at_bad if isinstance(at_bad, Limit) else min(at_bad)[1]
        return self._rounded(good), limit

    def _rounded(self, good: float) -> float:
        """The end as a short number where one passes within rounding of it."""
        for digits in range(2, 7):
            short = round(good, digits)
            if abs(short - good) <= 10 * NEAR * self.size + 2 * ROUNDING and self.passes(short):
                return short
        return good

    def _prove(self, start: float, end: float, limit: Limit | None) -> tuple[float, Limit | None]:
        """The proved end of the range from `start` toward `end`, and what limits it."""
        sign = 1 if end > start else -1
        proved, pending = start, [end]
        while pending:
            goal = pending[-1]
            if self.question.proved(min(proved, goal), max(proved, goal)):
                proved = goal
                pending.pop()
                continue
            middle = (proved + goal) / 2
            if not self.passes(middle):
                new, limit = self._bracket(proved, middle)
                pending = [new] if (new - proved) * sign > 0 else []
            elif abs(goal - proved) <= NEAR * self.size:
                far = pending[0] if abs(pending[0] - proved) <= 100 * NEAR * self.size else None
                if far is None:
                    words = f"beyond {proved:.9g} it could not be proved"
                    limit = Limit("proof", "not-proved", self.name, words)
                break
            else:
                pending.append(middle)
        return proved, limit


def _share(
    at_good: list[tuple[float, Limit]] | Limit, at_bad: list[tuple[float, Limit]] | Limit
) -> float | None:
    """How far from the good toward the bad value a margin crosses zero, were all straight.

    None where the two values have not the same margins.
    """
    if isinstance(at_good, Limit) or isinstance(at_bad, Limit) or len(at_good) != len(at_bad):
        return None
    shares = [
        (one + ROUNDING) / (one - two)
        for (one, _), (two, _) in zip(at_good, at_bad, strict=True)
        if two < -ROUNDING <= one
    ]
    return max(0.0, min(shares)) if shares else None
