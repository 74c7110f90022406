"""Which law gives which quantity: structural matching, holes, surplus and order.

The method is the Dulmage–Mendelsohn decomposition of the bipartite graph of relations and
unknowns (Dulmage and Mendelsohn, Coverings of bipartite graphs, Canad. J. Math. 10, 1958): a
greatest matching, what alternating paths reach from an unmatched unknown (too little is given),
what is left unmatched among the relations (surplus, kept as cross-checks), and the order in which
the rest is solved. It looks at names only, never at values, so a plan serves every spec of the
same structure.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from framekit.constraints.law import Form, Law
from framekit.constraints.loops import (
    Loop,
    LoopSearch,
    LoopStep,
    Searches,
    loop_template,
)


class Relation(NamedTuple):
    """A law among quantities by their full names, in the order of `law.quantities`."""

    law: Law
    names: tuple[str, ...]

    def name_of(self, template: str) -> str:
        """The full name of one of the law's quantities."""
        return self.names[self.law.quantities.index(template)]

    def form_for(self, name: str) -> Form | None:
        """The law read so that it gives that quantity, None where it cannot be."""
        for form in self.law.forms:
            if self.name_of(form.output) == name:
                return form
        return None


class Step(NamedTuple):
    """One evaluation: `output` by `form` of a relation from the quantities `inputs`."""

    output: str
    relation: Relation
    form: Form
    inputs: tuple[str, ...]


@dataclass(frozen=True)
class Plan:
    """How to solve one structure.

    `steps` in order; `defaults` are the names whose default was needed; `surplus` relations must
    hold by themselves; `missing` are unknowns nothing settles, `unsolved_loops` groups of
    quantities that depend on each other.
    """

    steps: tuple[Step, ...]
    defaults: tuple[str, ...]
    surplus: tuple[Relation, ...]
    missing: tuple[str, ...]
    unsolved_loops: tuple[tuple[str, ...], ...]


NO_SEARCHES = Searches()
"""Nothing may be searched for."""


def make_plan(
    relations: Sequence[Relation],
    given: Iterable[str],
    defaults: Sequence[str],
    closed_forms_only: bool = False,
    implied: Collection[str] = (),
    searches: Searches = NO_SEARCHES,
) -> Plan:
    """The plan for relations, the names given, and the names that have a default.

    A default is used only where a hole remains, in the order of `defaults`. Where a law has no
    closed form for what it must give, and where quantities depend on each other in a circle, a
    search for one of the `searches` is planned, unless `closed_forms_only`. Laws named in `implied`
    follow from the others: they shorten the way or confirm, but do not count when asking whether
    enough is given.
    """
    known = set(given)
    used: list[str] = []
    chain = _Chain(relations)
    while True:
        chain.extend(known)
        rest = chain.unused()
        counted = [r for r in rest if r.law.name not in implied]
        graph = _Graph(counted, known, closed_forms_only)
        open_names = graph.underdetermined()
        chosen = next((name for name in defaults if name in open_names), None)
        if chosen is None:
            break
        used.append(chosen)
        known.add(chosen)
    steps, loops = _order(graph, searches)
    steps = [*chain.steps, *steps]
    matched = {id(counted[index]) for index in graph.relation_of.values()}
    settled = known | {s.output for s in steps}
    surplus = (r for r in rest if id(r) not in matched)
    cross_checks = tuple(r for r in surplus if all(n in settled for n in r.names))
    return Plan(tuple(steps), tuple(used), cross_checks, tuple(sorted(open_names)), loops)


class _Chain:
    """What follows one after another: relations with one unknown left and a closed form for it.

    Taken first, so that a surplus relation elsewhere cannot push these into a circle.
    """

    def __init__(self, relations: Sequence[Relation]) -> None:
        self.relations = relations
        self.steps: list[Step] = []
        self._taken: set[int] = set()
        self._with: dict[str, list[int]] = {}
        for index, relation in enumerate(relations):
            for name in relation.names:
                self._with.setdefault(name, []).append(index)

    def extend(self, known: set[str]) -> None:
        """Take every step that follows from what is known, adding its output to it."""
        queue = list(range(len(self.relations)))
        while queue:
            again: list[int] = []
            for index in queue:
                relation = self.relations[index]
                if index in self._taken:
                    continue
                unknown = [n for n in relation.names if n not in known]
                form = relation.form_for(unknown[0]) if len(unknown) == 1 else None
                if form is None:
                    continue
                inputs = tuple(relation.name_of(n) for n in form.inputs)
                self.steps.append(Step(unknown[0], relation, form, inputs))
                self._taken.add(index)
                known.add(unknown[0])
                again += self._with[unknown[0]]
            queue = again

    def unused(self) -> list[Relation]:
        """The relations that no step was taken from, in order."""
        return [r for i, r in enumerate(self.relations) if i not in self._taken]


class _Graph:
    """The bipartite graph of relations and unknowns, and its greatest matching."""

    def __init__(
        self, relations: Sequence[Relation], known: set[str], closed_forms_only: bool
    ) -> None:
        self.closed_forms_only = closed_forms_only
        self.known = known
        self.relations = relations
        self.unknowns: list[str] = []
        self.edges: dict[str, list[int]] = {}
        self.outputs: list[list[str]] = []
        for index, relation in enumerate(relations):
            outputs = [relation.name_of(f.output) for f in relation.law.forms]
            if not closed_forms_only:
                outputs += [n for n in relation.names if n not in outputs]
            self.outputs.append([n for n in outputs if n not in known])
            for name in relation.names:
                if name not in known and name not in self.edges:
                    self.edges[name] = []
                    self.unknowns.append(name)
            for name in self.outputs[index]:
                self.edges[name].append(index)
        self.relation_of: dict[str, int] = {}
        self.output_of: dict[int, str] = {}
        for index, outputs in enumerate(self.outputs):
            if outputs and outputs[0] not in self.relation_of:
                self._match(outputs[0], index)
        for name in self.unknowns:
            if name not in self.relation_of:
                self._augment(name)

    def _match(self, name: str, index: int) -> None:
        self.relation_of[name] = index
        self.output_of[index] = name

    def _augment(self, name: str) -> bool:
        """Find a relation for the unknown, moving others along an alternating path."""
        came_from: dict[int, str] = {}
        queue = [name]
        while queue:
            current = queue.pop(0)
            for index in self.edges[current]:
                if index in came_from:
                    continue
                came_from[index] = current
                holder = self.output_of.get(index)
                if holder is not None:
                    queue.append(holder)
                    continue
                while True:
                    mover = came_from[index]
                    previous = self.relation_of.get(mover)
                    self._match(mover, index)
                    if previous is None:
                        return True
                    index = previous
        return False

    def underdetermined(self) -> set[str]:
        """The unknowns that alternating paths reach from an unmatched one."""
        queue = [name for name in self.unknowns if name not in self.relation_of]
        reached = set(queue)
        while queue:
            for index in self.edges[queue.pop()]:
                holder = self.output_of.get(index)
                if holder is not None and holder not in reached:
                    reached.add(holder)
                    queue.append(holder)
        return reached


def _order(graph: _Graph, searches: Searches) -> tuple[list[Step], tuple[tuple[str, ...], ...]]:
    """The steps so that inputs come first, and the groups that go in circles (Tarjan, 1972)."""
    needs: dict[str, tuple[str, ...]] = {}
    steps: dict[str, Step] = {}
    for name, index in graph.relation_of.items():
        relation = graph.relations[index]
        form = relation.form_for(name)
        if form is not None:
            inputs = tuple(relation.name_of(n) for n in form.inputs)
            steps[name] = Step(name, relation, form, inputs)
        needs[name] = tuple(n for n in relation.names if n in graph.edges and n != name)
    order: list[Step] = []
    loops: list[tuple[str, ...]] = []
    for group in strong_components(needs):
        searched = group[0] in graph.relation_of and group[0] not in steps
        if len(group) > 1 or searched:
            relations = [graph.relations[graph.relation_of[name]] for name in group]
            solved = (
                []
                if graph.closed_forms_only
                else _loop_steps(relations, group, graph.known, searches)
            )
            if solved:
                order += solved
            else:
                loops.append(tuple(sorted(group)))
        elif group[0] in steps:
            order.append(steps[group[0]])
    return order, tuple(loops)


def _loop_steps(
    relations: Sequence[Relation], group: Sequence[str], known: set[str], searches: Searches
) -> list[Step]:
    """Steps that solve a loop: the unknown first, then what follows; none if none can."""
    outside = tuple(dict.fromkeys(n for r in relations for n in r.names if n not in group))
    for unknown in searches.order(group):
        search = searches.rows[searches.row_name(unknown)]
        if not any(needed <= set(outside) for needed in search.needs):
            continue
        for left_over in relations:
            rest = [r for r in relations if r is not left_over]
            plan = make_plan(rest, [*outside, unknown], (), closed_forms_only=True)
            if plan.missing or plan.unsolved_loops or len(plan.steps) != len(group) - 1:
                continue
            residual = left_over.law.forms[0]
            narrowing = (searches.full_name(name, unknown) for name in search.narrowed_by)
            hints = [name for name in narrowing if name in known]
            needed = tuple(dict.fromkeys((*outside, *hints)))
            loop = Loop(
                unknown=unknown,
                search=search,
                follows=tuple(LoopStep(s.output, s.form, s.inputs) for s in plan.steps),
                residual=residual,
                residual_name=left_over.name_of(residual.output),
                residual_inputs=tuple(left_over.name_of(n) for n in residual.inputs),
                outside=needed,
                told=tuple(n for n in needed if searches.told(n)),
            )
            form = Form(unknown, needed, LoopSearch(loop), loop_template(loop, searches.symbol))
            return [Step(unknown, left_over, form, needed), *plan.steps]
    return []


def strong_components(needs: Mapping[str, Sequence[str]]) -> list[list[str]]:
    """The strongly connected groups, each after all it needs (Tarjan, SIAM J. Comput. 1, 1972).

    >>> strong_components({"a": ["b"], "b": []})
    [['b'], ['a']]
    """
    number: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    on_stack: set[str] = set()
    groups: list[list[str]] = []
    for root in needs:
        if root in number:
            continue
        work = [(root, iter(needs[root]))]
        number[root] = low[root] = len(number)
        stack.append(root)
        on_stack.add(root)
        while work:
            node, rest = work[-1]
            for after in rest:
                if after not in number:
                    number[after] = low[after] = len(number)
                    stack.append(after)
                    on_stack.add(after)
                    work.append((after, iter(needs.get(after, ()))))
                    break
                if after in on_stack:
                    low[node] = min(low[node], number[after])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == number[node]:
                    group = []
                    while True:
                        member = stack.pop()
                        on_stack.discard(member)
                        group.append(member)
                        if member == node:
                            break
                    groups.append(group)
    return groups
