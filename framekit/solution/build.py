"""Spec → Solution: every quantity solved, checked and traced to its line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from framekit.bodies.build import book_of
from framekit.catalogue.load import material as catalogue_material
from framekit.catalogue.model import MaterialRow
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import Plan, Relation, Step, make_plan
from framekit.constraints.uncertainty import Spread, Toleranced, worst_case
from framekit.errors import Fault, SolveError, Where
from framekit.joints.build import style_of
from framekit.solution.book import Book
from framekit.solution.checks import make_checks
from framekit.solution.domain import guard, needs
from framekit.solution.given import Given
from framekit.solution.givens import (
    defaults_of,
    givable,
    givens_of,
    longitudes_of,
)
from framekit.solution.model import (
    Attempt,
    FrameSolution,
    MadeLaw,
    Origin,
    Quantity,
    SetScale,
    Solution,
)
from framekit.solution.placement import refuse_misplaced
from framekit.solution.quantities import QUANTITIES, described, template_name
from framekit.solution.relations import (
    IMPLIED,
    LawUse,
    as_meant,
    bind,
    full_name,
    laws_of,
    made_law,
    placed_discs,
    renamed,
)
from framekit.solution.search_spans import SEARCHES
from framekit.spec.measure import LENGTH_UNITS
from framekit.spec.model import FrameSpec, Spec

AGREEMENT = 2e-4
"""Relative rounding allowance of a value that only confirms others: figures are often quoted to
four digits."""

MADE_INPUTS = {
    "sheet.thickness": "made.thickness",
    "cutter.kerf": "made.kerf",
    "joint.clearance": "made.clearance",
    "disc_sheet.thickness": "made.disc_thickness",
}
"""The toleranced inputs and their as-made symbols."""


def solve(spec: Spec, scale: SetScale | None = None) -> Solution:
    """Return the solution of every frame of a spec, at `scale` where it was found for the set.

    Raises SolveError when a number is missing, values disagree or a part cannot exist,
    UnknownNameError for a body or material the catalogue lacks, and ValueError for a set whose
    largest scale is still to be found, which `framekit.solve` does.

    >>> from framekit.spec.build import parse_spec
    >>> solution = solve(parse_spec('''
    ... framekit: 1
    ... body: {shape: sphere, diameter: 190 mm}
    ... ribs: {count: 6, width: 23}
    ... discs: [{at: {height: 0}}]
    ... joint: {style: housed}
    ... sheet: {thickness: 3 mm, size: [600, 400]}
    ... '''))
    >>> solution.frames[0].value("disc-1.radius")
    83.5
    """
    return attempt(spec, scale).whole()


def attempt(spec: Spec, scale: SetScale | None = None) -> Attempt:
    """Return the solution of those frames that have one and the faults of the others.

    Of several frames, every fault names its frame. Raises UnknownNameError and ValueError as
    `solve` does.
    """
    found: list[FrameSolution] = []
    faults: list[Fault] = []
    for frame in _at_scale(spec, scale):
        try:
            found.append(solve_frame(frame))
        except SolveError as error:
            whose = f"{frame.id}: " if len(spec.frames) > 1 else ""
            faults += [replace(f, message=f"{whose}{f.message}") for f in error.faults]
    return Attempt(Solution(spec, tuple(found), scale), tuple(faults))


def _at_scale(spec: Spec, scale: SetScale | None) -> tuple[FrameSpec, ...]:
    """Return the frames at the scale of their set, as they are where it has none."""
    if spec.plan is None or spec.plan.scale is None:
        return spec.frames
    denominator = spec.plan.scale if scale is None else scale.denominator
    if denominator == "largest":
        raise ValueError("the set's largest scale is still to be found: use framekit.solve")
    where = spec.plan.where
    return tuple(
        replace(frame, scale=denominator, places={**frame.places, ("scale",): where})
        for frame in spec.frames
    )


def solve_frame(frame: FrameSpec) -> FrameSolution:
    """Return one frame's solution; raises SolveError or UnknownNameError."""
    material = catalogue_material(frame.material, frame.where("sheet", "material"))
    refuse_misplaced(frame)
    given = {g.name: g for g in givens_of(frame, material)}
    defaults = {g.name: g for g in defaults_of(frame, material)}
    uses = laws_of(frame)
    plan, values = _solved(frame, uses, given, defaults)
    _cross_check(frame, plan, given, values)
    toleranced = tuple(
        Toleranced(
            made,
            name,
            given[name].measure.value,
            given[name].measure.tolerance,
            given[name].measure.sigma,
        )
        if name in given
        else Toleranced(made, name, values[name], 0.0, 0.0)
        for name, made in MADE_INPUTS.items()
        if name in values
    )
    quantities = _quantities(frame, plan, given, values, toleranced)
    checks = make_checks(frame, values, toleranced, material, _disc_material(frame, material))
    return FrameSolution(
        spec=frame,
        quantities=quantities,
        checks=checks,
        material=material,
        disc_material=_disc_material(frame, material),
        longitudes=longitudes_of(frame),
        disc_count=len(placed_discs(frame)),
        plan=plan,
        toleranced=toleranced,
    )


def _disc_material(frame: FrameSpec, material: MaterialRow) -> MaterialRow:
    if frame.disc_sheet is None:
        return material
    return catalogue_material(frame.disc_material, frame.where("disc_sheet", "material"))


def _solved(
    frame: FrameSpec,
    uses: tuple[LawUse, ...],
    given: dict[str, Given],
    defaults: Mapping[str, Given],
) -> tuple[Plan, dict[str, float]]:
    """The plan that was used and every value; defaults that were needed join `given`.

    A law left over from a circle may say nothing new, since structure is not independence; then
    it only confirms, and another law, a default or a question takes its place.
    """
    written = dict(given)
    idle: tuple[LawUse, ...] = ()
    book = book_of(frame)
    while True:
        asked = tuple(u for u in uses if u not in idle)
        plan = _plan(asked, book, frozenset(written), tuple(defaults))
        given.clear()
        given.update(written)
        given.update({name: defaults[name] for name in plan.defaults})
        found = {*given, *(step.output for step in plan.steps)}
        for name in ("cutter.kerf", "joint.end_clearance"):
            if name not in found:
                # No law of the design needs it, yet parts and checks do.
                given[name] = defaults[name]
        _refuse_holes(frame, plan)
        values = {name: g.measure.value for name, g in given.items()}
        try:
            _evaluate(frame, plan, given, values)
        except _IdleLawError as error:
            idle += tuple(u for u in uses if bind(u, book) == error.relation)
            continue
        confirming = tuple(bind(use, book) for use in idle)
        return replace(plan, surplus=(*plan.surplus, *confirming)), values


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
    return make_plan(_relations(uses, book), given, defaults, implied=IMPLIED, searches=SEARCHES)


def _refuse_holes(frame: FrameSpec, plan: Plan) -> None:
    open_names = {*plan.missing, *(name for loop in plan.unsolved_loops for name in loop)}
    if not open_names:
        return
    keys = givable(frame)
    ways = [key for name, key in keys.items() if name in open_names]
    missing = [n for n in keys if n in plan.missing]
    missing += [n for n in plan.missing if template_name(n) in QUANTITIES]
    what = (
        f"{described(missing[0]).words} ({missing[0]}) cannot be found: too little is given"
        if missing
        else f"{', '.join(sorted(open_names)[:4])} depend on each other and cannot be parted"
    )
    entry = _entry_of(frame, missing[0]) if missing else None
    head = missing[0].partition(".")[0] if missing else "body"
    where = frame.where(*(("discs", entry) if entry is not None else (SECTION.get(head, head),)))
    hint = f"Give one of: {', '.join(dict.fromkeys(ways))}." if ways else "Give one of them."
    raise SolveError(Fault("too-little-given", what, where, hint))


SECTION = {"rib": "ribs", "alternate": "ribs", "scale": "body", "model": "body"}
"""The spec's section for a quantity whose name starts otherwise."""


def _entry_of(frame: FrameSpec, name: str) -> int | None:
    head, _, number = name.partition(".")[0].partition("-")
    if head != "disc" or not number:
        return None
    return placed_discs(frame)[int(number) - 1].entry


def _evaluate(
    frame: FrameSpec, plan: Plan, given: Mapping[str, Given], values: dict[str, float]
) -> None:
    faults: list[Fault] = []
    waiting = _judge(frame, list(given), values, faults)
    for step in plan.steps:
        try:
            value = float(step.form.function(FLOATS, *(values[n] for n in step.inputs)))
        except SolveError as error:
            raise _rib_end_fault(frame, step, values) or _placed(
                frame, given, step, error
            ) from None
        except (ValueError, ZeroDivisionError, OverflowError):
            if faults:
                break
            inputs = ", ".join(f"{n} = {values[n]:.4g}" for n in step.inputs)
            raise SolveError(
                Fault(
                    "no-solution",
                    f"{step.output} has no value at {inputs}",
                    frame.where(),
                    f"It follows from: {step.relation.law.words}. Check those values.",
                )
            ) from None
        values[step.output] = value
        waiting = _judge(frame, [*waiting, step.output], values, faults)
    if faults:
        # What follows from a part of the body that is not there says nothing more.
        first = [f for f in faults if f.code == "span-outside-body"] or faults
        raise SolveError(*dict.fromkeys(first))


def _rib_end_fault(frame: FrameSpec, step: Step, values: Mapping[str, float]) -> SolveError | None:
    """What it means that the skin or the inner edge does not come to the pole gap; else None."""
    head, _, part = step.output.partition(".")
    if head != "rib" or part.partition("_")[2] not in ("end", "bend"):
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
    frame: FrameSpec, given: Mapping[str, Given], step: Step, error: SolveError
) -> SolveError:
    """The error of a search, with the place of the disc or value it is about."""
    entry = _entry_of(frame, step.output)
    near = [given[n].where for n in step.inputs if n in given and given[n].origin == "given"]
    where = frame.where("discs", entry) if entry is not None else (near or [frame.where()])[0]
    key = givable(frame).get(step.output, step.output)
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
    frame: FrameSpec, names: Sequence[str], values: Mapping[str, float], faults: list[Fault]
) -> list[str]:
    """The names that must wait for others before they can be judged; what is wrong with the rest
    joins `faults`."""
    waiting = []
    for name in names:
        if any(other not in values for other in needs(name, frame)):
            waiting.append(name)
            continue
        fault = guard(name, values, frame, _entry_of(frame, name))
        if fault is not None:
            faults.append(fault)
    return waiting


def _cross_check(
    frame: FrameSpec, plan: Plan, given: Mapping[str, Given], values: Mapping[str, float]
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
        size = LENGTH_UNITS.get(_body_unit(given), 1.0) if output.startswith("body.") else 1.0
        unit = _body_unit(given) if output.startswith("body.") and unit == "mm" else unit
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
                roots[-1].where if roots else frame.where(),
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


def _quantities(
    frame: FrameSpec,
    plan: Plan,
    given: Mapping[str, Given],
    values: Mapping[str, float],
    toleranced: tuple[Toleranced, ...],
) -> dict[str, Quantity]:
    steps = {step.output: step for step in plan.steps}
    body_unit = _body_unit(given)
    made = book_of(frame).made
    own = {law.name for law in style_of(frame).laws}
    result: dict[str, Quantity] = {}
    for name in sorted(values, key=_reading_order):
        source = given.get(name)
        spread = Spread(values[name], values[name], values[name], 0.0, None)
        band_law: MadeLaw | None = None
        law, meant = made_law(frame, template_name(name))
        # A joint's own law for a quantity is not what framekit's law of what is made starts from.
        form = None if _law_of(steps.get(name)) in own else made.get(law)
        absent = template_name(name) == "disc.bore_radius" and values[name] == 0
        if form is not None and not absent:
            number = name.partition(".")[0].partition("-")[2]
            names = tuple(renamed(meant, _full(n, number)) for n in form.inputs)
            band_law = MadeLaw(form, names)
            local = {
                n: values[full]
                for n, full in zip(form.inputs, names, strict=True)
                if "made." not in n
            }
            spread = worst_case(form, local, as_meant(toleranced, meant))
        unit = described(name).unit
        if name.startswith("body.") and unit == "mm":
            unit = body_unit
        step: Step | None = steps.get(name)
        origin: Origin = source.origin if source else "derived"
        result[name] = Quantity(
            name=name,
            value=values[name],
            low=spread.low,
            high=spread.high,
            sigma=spread.sigma,
            unit=unit,
            origin=origin,
            where=source.where if source else _origin_place(frame, name),
            note=source.note if source else "",
            step=None if source else step,
            made=band_law,
            shares=spread.shares,
            curved=spread.curved,
        )
    return result


def _body_unit(given: Mapping[str, Given]) -> str:
    """The unit the author or the catalogue writes the body's sizes in."""
    units = (g.measure.unit for g in given.values() if g.name.startswith("body."))
    return next((unit for unit in units if unit != "1"), "mm")


def _law_of(step: Step | None) -> str:
    return "" if step is None else step.relation.law.name


def _full(name: str, number: str) -> str:
    return full_name(name, int(number)) if number else name


def _origin_place(frame: FrameSpec, name: str) -> Where:
    entry = _entry_of(frame, name)
    if entry is not None:
        return frame.where("discs", entry)
    head = name.partition(".")[0]
    section = {"rib": "ribs", "alternate": "ribs"}.get(head, head)
    return frame.where(section)


_ORDER = {name: position for position, name in enumerate(QUANTITIES)}


def _reading_order(name: str) -> tuple[int, int, int]:
    head, _, number = name.partition(".")[0].partition("-")
    return (
        {"disc": 1, "flange": 2}.get(head, 0),
        int(number or 0),
        _ORDER.get(template_name(name), len(_ORDER)),
    )
