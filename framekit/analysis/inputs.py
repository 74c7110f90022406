"""A solved frame as a function of some of its inputs: which can vary and what follows them."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from framekit.constraints.affected import affected_program, affected_steps, overdetermined_by
from framekit.constraints.program import Program
from framekit.errors import Fault, SolveError, UnknownNameError
from framekit.solution.givens import givable
from framekit.solution.model import FrameSolution
from framekit.solution.relations import followers
from framekit.solution.structure import Structure
from framekit.solution.symbols import described
from framekit.spec.made_terms import MADE_INPUTS


def variable_inputs(frame: FrameSolution) -> tuple[str, ...]:
    """The names of the inputs that can take any value, given or by default.

    What a disc and its mirror image share is an input of the disc alone, and what the second sheet
    has from the first one of the first alone.
    """
    images = {disc.name for disc in frame.structure.discs if disc.original}
    following = followers(frame.spec).values()
    return tuple(
        name
        for name, quantity in frame.quantities.items()
        if quantity.origin != "derived"
        and described(name).takes is not None
        and name.partition(".")[0] not in images
        and name not in following
    )


def images_of(frame: FrameSolution, name: str) -> tuple[str, ...]:
    """The same input of a disc's mirror image or of the second sheet, where that has it too."""
    same = followers(frame.spec)
    same |= {MADE_INPUTS[first]: MADE_INPUTS[second] for first, second in same.items()}
    if name in same:
        derived = (
            same[name] in frame.quantities and frame.quantities[same[name]].origin == "derived"
        )
        return () if derived else (same[name],)
    head, _, part = name.partition(".")
    kind, _, number = head.partition("-")
    if kind != "disc":
        return ()
    images = [d.number for d in frame.structure.discs if d.original == int(number)]
    names = (f"disc-{image}.{part}" for image in images)
    return tuple(
        n for n in names if n in frame.quantities and frame.quantities[n].origin != "derived"
    )


def input_named(frame: FrameSolution, text: str) -> str:
    """The name of the input that a name or a spec key means: `scale`, `ribs.width.equator`."""
    if text in frame.quantities:
        return text
    keys = {key: name for name, key in givable(frame.structure).items() if name in frame.quantities}
    return keys.get(text, text)


def refuse_unknown(frame: FrameSolution, name: str, known: Iterable[str]) -> None:
    """Raise UnknownNameError with a remedy unless the name is among the known ones."""
    names = tuple(known)
    if name in names:
        return
    near = difflib.get_close_matches(name, names, n=2)
    hint = f"Did you mean {' or '.join(near)}? " if near else ""
    what = f"there is no input '{name}'"
    if name in frame.quantities:
        what = f"{name} is no input: it follows from others"
        if frame.quantities[name].origin != "derived":
            what = f"{name} is that of the disc it mirrors"
            first = {second: one for one, second in followers(frame.spec).items()}.get(name)
            if first is not None:
                what = f"{name} is as {first} says"
        if described(name).takes is None:
            what = f"{name} is no input that could take any value in between"
    raise UnknownNameError(
        Fault(
            "unknown-input", what, frame.spec.where(), f"{hint}Its inputs are {', '.join(names)}."
        )
    )


def program_of(frame: FrameSolution, varied: Collection[str]) -> Program:
    """Return the program from the frame's values to those that change with the varied inputs.

    Its inputs are the varied ones and what else the steps need. Raises SolveError where the varied
    inputs are also held by other values of the spec.
    """
    values = {name: quantity.value for name, quantity in frame.quantities.items()}
    steps = affected_steps(frame.plan, varied)
    relation = overdetermined_by(frame.plan, varied, steps, values)
    if relation is None:
        return affected_program(varied, steps)
    name = min({*varied, *(step.output for step in steps)}.intersection(relation.names))
    raise SolveError(
        Fault(
            "held-by-others",
            f"{' and '.join(sorted(varied))} cannot vary: other values of the spec say the same "
            f"of {name} ({relation.law.words})",
            frame.quantities[name].where,
            "Remove the values that only confirm others.",
        )
    )


def frame_values(frame: FrameSolution) -> dict[str, float]:
    """Every quantity by name in mm, degrees or plain, and the as-made inputs at their design."""
    values = {name: quantity.value for name, quantity in frame.quantities.items()}
    values.update({item.made: values[item.quantity] for item in frame.toleranced})
    return values


def domain_margins(
    m: Any, structure: Structure, values: Mapping[str, Any], names: Iterable[str]
) -> dict[str, Any]:
    """Return by name what must be above zero for the frame to exist; `m` as in `Program.run`.

    Only the named quantities are looked at.
    """
    found: dict[str, Any] = {}
    for name in names:
        domain = described(name).domain
        if domain is not None and domain.needs(structure) is not None:
            found[name] = domain.margin(m, name, values, structure)
    return found
