"""Laws solved from what is given: planned, searched where needed, and confirmed."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from framekit.constraints.affected import sides_of
from framekit.constraints.law import NO_VALUE
from framekit.constraints.loops import Searches
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import NO_SEARCHES, Plan, Relation, Step, make_plan
from framekit.errors import Fault, SolveError

AGREEMENT = 1e-9
"""Share of the largest value in a law within which values that say the same agree."""


def solve_relations(
    relations: Sequence[Relation],
    given: Mapping[str, float],
    defaults: Mapping[str, float],
    searches: Searches = NO_SEARCHES,
    implied: Collection[str] = (),
) -> tuple[Plan, dict[str, float]]:
    """Return the plan that was used and every value by name.

    A law left over from a circle may say nothing new, since structure is not independence; then it
    only confirms, and another law or a default takes its place. Raises SolveError as
    `System.solve`.
    """
    idle: list[Relation] = []
    while True:
        asked = [relation for relation in relations if relation not in idle]
        plan = make_plan(asked, given, tuple(defaults), implied=implied, searches=searches)
        _refuse_holes(plan)
        spare = {name: defaults[name] for name in plan.defaults}
        values = {name: float(value) for name, value in {**given, **spare}.items()}
        says_nothing = evaluate(plan.steps, values)
        if says_nothing is None:
            break
        idle.append(says_nothing)
    plan = replace(plan, surplus=(*plan.surplus, *idle))
    for relation in plan.surplus:
        expected, found = sides_of(relation, values)
        size = max(abs(values[name]) for name in relation.names)
        if abs(expected - found) > AGREEMENT * size:
            told = ", ".join(f"{n} = {values[n]:.6g}" for n in relation.names)
            what = f"these disagree: {told} ({relation.law.words})"
            raise SolveError(Fault("values-disagree", what, hint="Remove or correct one of them."))
    return plan, values


def evaluate(steps: Sequence[Step], values: dict[str, float]) -> Relation | None:
    """Put each step's output into `values`, in order.

    Return the relation of a search that holds for any value, which ends it, else None. Raises
    SolveError where a step has no value or several.
    """
    for step in steps:
        try:
            found = step.form.function(FLOATS, *(values[name] for name in step.inputs))
        except SolveError as error:
            if error.code == "does-not-determine":
                return step.relation
            raise
        except NO_VALUE:
            told = ", ".join(f"{name} = {values[name]:.6g}" for name in step.inputs)
            what = f"{step.output} has no value at {told}"
            hint = f"It follows from: {step.relation.law.words}."
            raise SolveError(Fault("no-solution", what, hint=hint)) from None
        values[step.output] = float(found)
    return None


def _refuse_holes(plan: Plan) -> None:
    if plan.missing:
        what = f"{', '.join(plan.missing)} cannot be found: too little is given"
        raise SolveError(Fault("too-little-given", what, hint="Give one of them."))
    if plan.unsolved_loops:
        names = ", ".join(name for loop in plan.unsolved_loops for name in loop)
        what = f"{names} depend on each other and none of them may be searched for"
        raise SolveError(Fault("too-little-given", what, hint="Give one of them."))
