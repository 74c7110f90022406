"""Every value of a frame from what is given: planned, searched where needed, judged, confirmed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import Plan, Relation, Step, make_plan
from framekit.errors import Fault, SolveError
from framekit.solution.book import Book
from framekit.solution.domain import not_finite
from framekit.solution.givens import givable
from framekit.solution.quantities import QUANTITIES
from framekit.solution.relations import IMPLIED, LawUse, bind
from framekit.solution.structure import Structure
from framekit.solution.symbols import SEARCHES, described, template_name
from framekit.spec.given import Given
from framekit.spec.measure import LENGTH_UNITS
from framekit.spec.model import FrameSpec

ALWAYS = ("cutter.kerf", "joint.end_clearance")
SECOND = ("disc_sheet.kerf", "joint.notch_clearance")
"""What parts and checks need, also where no law of the design does; SECOND with a second sheet."""
AGREEMENT = 2e-4
"""Relative rounding allowance of a value that only confirms others: figures are often quoted to
four digits."""


def evaluated(
    structure: Structure, given: dict[str, Given], defaults: Mapping[str, Given]
) -> tuple[Plan, dict[str, float]]:
    """Return the plan that was used and every value; defaults that were needed join `given`.

    Raise SolveError where too little is given, values disagree, or a value is outside its domain.

    A law left over from a circle may say nothing new, since structure is not independence; then
    it only confirms, and another law, a default or a question takes its place.
    """
    written = dict(given)
    idle: tuple[LawUse, ...] = ()
    uses, book = structure.laws, structure.book
    while True:
        asked = tuple(u for u in uses if u not in idle)
        plan = _plan(asked, book, frozenset(written), tuple(defaults))
        given.clear()
        given.update(written)
        given.update({name: defaults[name] for name in plan.defaults})
        found = {*given, *(step.output for step in plan.steps)}
        second = structure.spec.disc_sheet is not None
        for name in (*ALWAYS, *(SECOND if second else ())):
            if name not in found:
                given[name] = defaults[name]
        _refuse_holes(structure, plan)
        values = {name: g.measure.value for name, g in given.items()}
        try:
            _evaluate(structure, plan, given, values)
        except _IdleLawError as error:
            idle += tuple(u for u in uses if bind(u, book) == error.relation)
            continue
        confirming = tuple(bind(use, book) for use in idle)
        plan = replace(plan, surplus=(*plan.surplus, *confirming))
        _cross_check(structure, plan, given, values)
        return plan, values


class _IdleLawError(SolveError):
    """A search found that its law holds for every value."""

    def __init__(self, relation: Relation, *faults: Fault) -> None:
        super().__init__(*faults)
        self.relation = relation


@lru_cache(maxsize=256)
def _relations(uses: tuple[LawUse, ...], book: Book) -> tuple[Relation, ...]:
    return tuple(bind(use, book) for use in uses)


@lru_cache(maxsize=256)
def _plan(
    uses: tuple[LawUse, ...], book: Book, given: frozenset[str], defaults: tuple[str, ...]
) -> Plan:
    relations = _relations(uses, book)
    return make_plan(relations, given, defaults, implied=IMPLIED, searches=SEARCHES)


def _refuse_holes(structure: Structure, plan: Plan) -> None:
    open_names = {*plan.missing, *(name for loop in plan.unsolved_loops for name in loop)}
    if not open_names:
        return
    keys = givable(structure)
    ways = [key for name, key in keys.items() if name in open_names]
    missing = [n for n in keys if n in plan.missing]
    missing += [n for n in plan.missing if template_name(n) in QUANTITIES]
    what = (
        f"{described(missing[0]).words} ({missing[0]}) cannot be found: too little is given"
        if missing
        else f"{', '.join(sorted(open_names)[:4])} depend on each other and cannot be parted"
    )
    where = structure.spec.where("body")
    if missing and missing[0].partition(".")[0] not in ("scale", "model"):
        where = structure.place_of(missing[0])
    hint = f"Give one of: {', '.join(dict.fromkeys(ways))}." if ways else "Give one of them."
    raise SolveError(Fault("too-little-given", what, where, hint))


def _evaluate(
    structure: Structure, plan: Plan, given: Mapping[str, Given], values: dict[str, float]
) -> None:
    faults: list[Fault] = []
    waiting = _judge(structure, list(given), values, faults)
    for step in plan.steps:
        try:
            value = float(step.form.function(FLOATS, *(values[n] for n in step.inputs)))
        except SolveError as error:
            raise _rib_end_fault(structure.spec, step, values) or _placed(
                structure, given, step, error
            ) from None
        except (ValueError, ZeroDivisionError, OverflowError):
            if faults:
                break
            inputs = ", ".join(f"{n} = {values[n]:.4g}" for n in step.inputs)
            raise _rib_end_fault(structure.spec, step, values) or SolveError(
                Fault(
                    "no-solution",
                    f"{step.output} has no value at {inputs}",
                    structure.spec.where(),
                    f"It follows from: {step.relation.law.words}. Check those values.",
                )
            ) from None
        values[step.output] = value
        waiting = _judge(structure, [*waiting, step.output], values, faults)
    if faults:
        # What follows from a part of the body that is not there says nothing more.
        first = [f for f in faults if f.code == "span-outside-body"] or faults
        raise SolveError(*dict.fromkeys(first))


def _rib_end_fault(frame: FrameSpec, step: Step, values: Mapping[str, float]) -> SolveError | None:
    """What it means that the skin or the inner edge does not come to the pole gap; else None."""
    head, _, part = step.output.partition(".")
    if head not in ("rib", "alternate") or part.partition("_")[2] not in ("end", "bend"):
        return None
    gap = values["rib.pole_gap"]
    if part.endswith("_end"):
        return SolveError(
            Fault(
                "too-many-ribs",
                f"ribs of {values['sheet.thickness']:.4g} mm sheet must each stop {gap:.4g} mm "
                "from the axis, and the body is nowhere that wide, or narrower again on the way",
                frame.where("ribs"),
                "Use fewer ribs or ribs farther apart, thinner sheet, or a larger model.",
            )
        )
    return SolveError(
        Fault(
            "rib-too-wide",
            f"the ribs' inner edge does not come to the {gap:.4g} mm that ribs keep from the axis "
            "in one place only: they are too wide for this body",
            frame.where("ribs", "width"),
            "Make the ribs narrower or the model larger.",
        )
    )


def _placed(
    structure: Structure, given: Mapping[str, Given], step: Step, error: SolveError
) -> SolveError:
    """Return the error of a search, with the place of the disc or value it is about."""
    frame, entry = structure.spec, structure.entry_of(step.output)
    near = [given[n].where for n in step.inputs if n in given and given[n].origin == "given"]
    where = frame.where("discs", entry) if entry is not None else (near or [frame.where()])[0]
    key = givable(structure).get(step.output, step.output)
    written = ", ".join(
        _key(given[n]) for n in step.inputs if n in given and given[n].origin == "given"
    )
    faults = [
        Fault(
            f.code,
            f"no {step.output} agrees with the given {written}"
            if f.code == "no-solution" and written
            else f.message,
            where,
            f.hint.replace(step.output, key),
        )
        for f in error.faults
    ]
    if error.code == "does-not-determine":
        return _IdleLawError(step.relation, *faults)
    return SolveError(*faults)


def _judge(
    structure: Structure, names: Sequence[str], values: Mapping[str, float], faults: list[Fault]
) -> list[str]:
    """Return the names that wait for others before they can be judged.

    What is wrong with the rest joins `faults`.
    """
    waiting = []
    for name in names:
        fault = not_finite(name, values[name], structure)
        row = None if fault else described(name)
        if row is not None and row.domain is not None:
            needs = row.domain.needs(structure)
            if needs is None:
                continue
            if any(other not in values for other in needs):
                waiting.append(name)
            elif not row.domain.margin(FLOATS, name, values, structure) > 0:
                fault = row.domain.fault(name, row.words, values, structure)
        if fault is not None:
            faults.append(fault)
    return waiting


def _cross_check(
    structure: Structure, plan: Plan, given: Mapping[str, Given], values: Mapping[str, float]
) -> None:
    for relation in plan.surplus:
        form = relation.law.forms[0]
        output = relation.name_of(form.output)
        expected = float(form.function(FLOATS, *(values[relation.name_of(n)] for n in form.inputs)))
        size = max(abs(expected), abs(values[output]))
        scale = 1.0 if described(output).unit == "1" else size
        if abs(expected - values[output]) <= AGREEMENT * scale:
            continue
        roots = _roots(relation.names, plan, given)
        unit = described(output).unit
        size = LENGTH_UNITS.get(body_unit(given), 1.0) if output.startswith("body.") else 1.0
        unit = body_unit(given) if output.startswith("body.") and unit == "mm" else unit
        size = 1.0 if unit == "1" else size
        gap = abs(expected - values[output]) / size
        lines = sorted({g.where.line for g in roots if g.where.line is not None})
        word = "line" if len(lines) == 1 else "lines"
        raise SolveError(
            Fault(
                "values-disagree",
                f"these disagree: {', '.join(_key(g) for g in roots)}: {output} is "
                f"{values[output] / size:.6g} by one and {expected / size:.6g} by the others, "
                f"{gap:.3g}{'' if unit == '1' else ' ' + unit} apart"
                + (f" ({word} {', '.join(map(str, lines))})" if lines else ""),
                roots[-1].where if roots else structure.spec.where(),
                "Remove or mend one of them.",
            )
        )


def _key(given: Given) -> str:
    return given.where.path or given.name


def _roots(names: Sequence[str], plan: Plan, given: Mapping[str, Given]) -> list[Given]:
    """The given values that some names follow from."""
    by_output = {step.output: step for step in plan.steps}
    queue, seen = list(names), set[str]()
    found: list[Given] = []
    while queue:
        name = queue.pop()
        if name in seen:
            continue
        seen.add(name)
        if name in given:
            found.append(given[name])
        elif name in by_output:
            queue.extend(by_output[name].inputs)
    return sorted(found, key=lambda g: (g.where.line or 0, g.where.column or 0))


def body_unit(given: Mapping[str, Given]) -> str:
    """Return the unit the author or the catalogue writes the body's sizes in."""
    units = (g.measure.unit for g in given.values() if g.name.startswith("body."))
    return next((unit for unit in units if unit != "1"), "mm")
