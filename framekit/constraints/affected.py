"""What follows some inputs of a solved plan, and which laws keep them from varying."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from framekit.constraints.law import NO_VALUE
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import Plan, Relation, Step
from framekit.constraints.program import Program, make_program

NUDGE = 1e-6
"""Share of its value that an input is moved by to see whether a law holds it."""


def affected_steps(plan: Plan, varied: Collection[str]) -> tuple[Step, ...]:
    """Return the steps of a plan whose result changes with the varied inputs, in order."""
    changing = set(varied)
    steps = []
    for step in plan.steps:
        if changing.isdisjoint(step.inputs):
            continue
        changing.add(step.output)
        steps.append(step)
    return tuple(steps)


def affected_program(varied: Collection[str], steps: Sequence[Step]) -> Program:
    """Return the program of such steps: its inputs are the varied ones and what else they need."""
    changing = {step.output for step in steps}
    needed = dict.fromkeys(varied)
    needed.update(dict.fromkeys(n for step in steps for n in step.inputs if n not in changing))
    return make_program(tuple(needed), steps)


def overdetermined_by(
    plan: Plan, varied: Collection[str], steps: Iterable[Step], values: Mapping[str, float]
) -> Relation | None:
    """Return a surplus law that breaks once the varied inputs move a little, None without one.

    `steps` are those that follow them.
    """
    steps = tuple(steps)
    changing = {*varied, *(step.output for step in steps)}
    surplus = [r for r in plan.surplus if not changing.isdisjoint(r.names)]
    if not surplus:
        return None
    try:
        after = _nudged(values, varied, steps, NUDGE)
    except NO_VALUE:  # at the edge of what can be
        after = _nudged(values, varied, steps, -NUDGE)
    for relation in surplus:
        before, moved = (_misfit(relation, at) for at in (values, after))
        if abs(moved - before) > NUDGE / 1000:
            return relation
    return None


def sides_of(relation: Relation, values: Mapping[str, float]) -> tuple[float, float]:
    """Return what a law gives for the quantity it is written for, and that quantity's value."""
    form = relation.law.forms[0]
    given = form.function(FLOATS, *(values[relation.name_of(n)] for n in form.inputs))
    return float(given), values[relation.name_of(form.output)]


def _misfit(relation: Relation, values: Mapping[str, float]) -> float:
    """How far a law is from overdetermined_by, as a share of its values."""
    given, found = sides_of(relation, values)
    return (given - found) / max(abs(given), abs(found), 1e-300)


def _nudged(
    before: Mapping[str, float], varied: Collection[str], steps: Iterable[Step], nudge: float
) -> dict[str, float]:
    """The values once each varied input is moved a little, each by another share."""
    after = dict(before)
    for n, name in enumerate(varied, 1):
        after[name] = before[name] * (1 + nudge * n) if before[name] else nudge * n
    for step in steps:
        after[step.output] = step.form.function(FLOATS, *(after[n] for n in step.inputs))
    return after
