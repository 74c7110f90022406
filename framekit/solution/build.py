"""Spec → Solution: every quantity solved, checked and traced to its line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from framekit.bodies.build import body_of
from framekit.catalogue.load import material as catalogue_material
from framekit.constraints.law import Law
from framekit.constraints.plan import Plan, Step
from framekit.constraints.uncertainty import Spread, Toleranced, worst_case
from framekit.errors import Fault, SolveError
from framekit.joints.build import joint_of
from framekit.solution.book import book_of
from framekit.solution.checks import make_checks
from framekit.solution.evaluate import body_unit, evaluated
from framekit.solution.givens import defaults_of, givens_of
from framekit.solution.laws_in_force import laws_of
from framekit.solution.longitudes import longitudes_of
from framekit.solution.model import (
    Attempt,
    FrameSolution,
    MadeLaw,
    Quantity,
    SetScale,
    Solution,
)
from framekit.solution.placement import refuse_misplaced
from framekit.solution.quantities import QUANTITIES
from framekit.solution.relations import (
    as_meant,
    full_name,
    made_law,
    place_discs,
    renamed,
)
from framekit.solution.structure import Structure
from framekit.solution.symbols import described, template_name
from framekit.spec.given import Given, Origin
from framekit.spec.made_terms import MADE_INPUTS, MEASURED
from framekit.spec.model import FrameSpec, Spec


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
    ... sheet: {thickness: 3 ± 0.05 mm, size: [600, 400]}
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


def find_structure(frame: FrameSpec) -> Structure:
    """Return the structure of a frame.

    Raise UnknownNameError for a body, joint or material that there is none of, SpecError for a
    profile that is none, and SolveError for discs, ribs or sizes that do not go together.
    """
    material = catalogue_material(frame.material, frame.where("sheet", "material"))
    joint, body = joint_of(frame), body_of(frame)
    skin = body.skin(frame)
    discs = place_discs(frame, joint)
    refuse_misplaced(frame, skin, joint, discs)
    disc_material = material
    if frame.disc_sheet is not None:
        where = frame.where("disc_sheet", "material")
        disc_material = catalogue_material(frame.disc_material, where)
    book = book_of(skin, joint)
    return Structure(
        spec=frame,
        body=body,
        skin=skin,
        joint=joint,
        discs=discs,
        longitudes=longitudes_of(frame),
        material=material,
        disc_material=disc_material,
        laws=laws_of(frame, skin, discs, book),
        book=book,
    )


def solve_frame(frame: FrameSpec) -> FrameSolution:
    """Return one frame's solution; raises SolveError or UnknownNameError."""
    structure = find_structure(frame)
    given = {g.name: g for g in givens_of(structure)}
    defaults = {g.name: g for g in defaults_of(structure)}
    plan, values = evaluated(structure, given, defaults)
    toleranced = tuple(
        Toleranced(
            made,
            name,
            given[name].measure.value,
            given[name].measure.tolerance,
            given[name].measure.sigma,
            name not in MEASURED or given[name].measure.told,
        )
        if name in given
        else Toleranced(made, name, values[name], 0.0, 0.0, name not in MEASURED)
        for name, made in MADE_INPUTS.items()
        if name in values
    )
    return FrameSolution(
        structure=structure,
        quantities=_quantities(structure, plan, given, values, toleranced),
        checks=make_checks(structure, values, toleranced),
        plan=plan,
        toleranced=toleranced,
    )


def _quantities(
    structure: Structure,
    plan: Plan,
    given: Mapping[str, Given],
    values: Mapping[str, float],
    toleranced: tuple[Toleranced, ...],
) -> dict[str, Quantity]:
    steps = {step.output: step for step in plan.steps}
    unit_of_body = body_unit(given)
    made = structure.book.made
    own = {law.name for law in structure.joint.laws if isinstance(law, Law)}
    result: dict[str, Quantity] = {}
    for name in sorted(values, key=_reading_order):
        source = given.get(name)
        spread = Spread(values[name], values[name], values[name], 0.0, None)
        as_made: MadeLaw | None = None
        law, meant = made_law(structure.spec, template_name(name))
        # A joint's own law for a quantity is not what framekit's law of what is made starts from.
        form = None if _law_of(steps.get(name)) in own else made.get(law)
        absent = template_name(name) == "disc.bore_radius" and values[name] == 0
        if form is not None and not absent:
            number = name.partition(".")[0].partition("-")[2]
            names = tuple(renamed(meant, _full(n, number)) for n in form.inputs)
            as_made = MadeLaw(form, names)
            local = {
                n: values[full]
                for n, full in zip(form.inputs, names, strict=True)
                if "made." not in n
            }
            spread = worst_case(form, local, as_meant(toleranced, meant))
        unit = described(name).unit
        if name.startswith("body.") and unit == "mm":
            unit = unit_of_body
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
            where=source.where if source else structure.place_of(name),
            note=source.note if source else "",
            step=None if source else step,
            made=as_made,
            shares=spread.shares,
            curved=spread.curved,
        )
    return result


def _law_of(step: Step | None) -> str:
    return "" if step is None else step.relation.law.name


def _full(name: str, number: str) -> str:
    return full_name(name, int(number)) if number else name


_ORDER = {name: position for position, name in enumerate(QUANTITIES)}


def _reading_order(name: str) -> tuple[int, int, int]:
    head, _, number = name.partition(".")[0].partition("-")
    return (
        {"disc": 1, "flange": 2}.get(head, 0),
        int(number or 0),
        _ORDER.get(template_name(name), len(_ORDER)),
    )
