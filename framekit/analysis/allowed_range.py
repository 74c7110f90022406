"""The range of an input over which every check passes, proved, and what limits each end."""

from __future__ import annotations

from dataclasses import replace

from framekit.analysis.feasibility import Feasibility
from framekit.analysis.inputs import images_of, input_named, refuse_unknown, variable_inputs
from framekit.analysis.model import AllowedRange, Limit, NoRange, Others
from framekit.constraints.feasible_range import RangeSearch
from framekit.errors import Fault, SolveError
from framekit.solution.checks import ROUNDING
from framekit.solution.model import FrameSolution
from framekit.solution.quantities import ANY
from framekit.solution.relations import followers
from framekit.solution.symbols import described


def rangeable_inputs(frame: FrameSolution) -> tuple[str, ...]:
    """The inputs a range can be asked of: those of what is made, then those of the design."""
    following = followers(frame.spec).values()
    made = tuple(i.quantity for i in frame.toleranced if i.quantity not in following)
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
    moved = (varied, *images_of(frame, varied))
    moving = tuple(
        item
        for item in frame.toleranced
        if others == "anywhere" and item.made not in moved and item.tolerance > 0
    )
    feasibility = Feasibility(frame, varied, moving)
    _refuse_made_edge(feasibility, name)
    nominal = frame.value(name)
    common = (name, nominal, frame.quantities[name].unit, others, name in made)
    regardless = feasibility.failing_regardless()
    if regardless:
        return NoRange(*common, regardless)
    search = _search(feasibility, name)
    failing = search.failing(nominal)
    start = search.elsewhere(nominal) if failing else nominal
    if start is None:
        return NoRange(*common, failing)
    (low, low_limit), (high, high_limit) = (search.end(start, sign) for sign in (-1, 1))
    return AllowedRange(
        name, nominal, low, high, common[2], low_limit, high_limit, others, name in made, failing
    )


def _refuse_made_edge(feasibility: Feasibility, name: str) -> None:
    """Raise SolveError where the input moves an inner edge that has no interval over sizes."""
    frame = feasibility.frame
    skin = frame.structure.skin
    if not skin.made_edge or feasibility.changing.isdisjoint(skin.inner.inputs):
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


def _search(feasibility: Feasibility, name: str) -> RangeSearch[Limit]:
    """The search for the range of an input: what its steps are counted in, what it can take."""
    value, unit = feasibility.frame.value(name), described(name).unit
    size = max(abs(value), feasibility.frame.value("sheet.thickness") / 10 if unit == "mm" else 0.1)
    least, most = described(name).takes or ANY
    return RangeSearch(
        judge=feasibility,
        size=size,
        span=(max(least, size * 1e-6) if least > 0 else least, most),
        rounding=ROUNDING,
        edge=Limit("spec", "no-value", name, f"{name} takes nothing beyond"),
        unproved=lambda x: Limit(
            "proof", "not-proved", name, f"beyond {x:.9g} it could not be proved"
        ),
    )
