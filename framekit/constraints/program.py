"""A frame's laws in the order of its plan, as one straight run over a list of slots.

The same run serves plain floats, intervals and numpy arrays: it knows nothing of numbers, only
which function reads which slots. It is what sweeps, allowed ranges and quick re-solves stand on.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from framekit.constraints.law import Form
from framekit.constraints.loops import LoopSearch
from framekit.constraints.plan import Step


class Instruction(NamedTuple):
    """Put `function(m, *slots[sources])` into the slot `target`."""

    function: Callable[..., Any]
    target: int
    sources: tuple[int, ...]


@dataclass(frozen=True)
class Program:
    """Instructions over named slots: the first `inputs` are given, the others computed."""

    names: tuple[str, ...]
    inputs: int
    instructions: tuple[Instruction, ...]

    @property
    def searches(self) -> bool:
        """Whether anything in it is found by a search."""
        return any(isinstance(step.function, LoopSearch) for step in self.instructions)

    def run(self, m: Any, given: Mapping[str, Any]) -> dict[str, Any]:
        """Every value by name, in mm, degrees or plain; `given` has a value for every input.

        `m` is a namespace of functions such as `namespaces.FLOATS`. Raises what it raises, such as
        ValueError for the square root of a negative number.
        """
        slots: list[Any] = [given[name] for name in self.names[: self.inputs]]
        slots += [None] * (len(self.names) - self.inputs)
        for function, target, sources in self.instructions:
            slots[target] = function(m, *[slots[i] for i in sources])
        return dict(zip(self.names, slots, strict=True))


def make_program(
    given: Sequence[str],
    steps: Sequence[Step],
    results: Sequence[tuple[str, Form, tuple[str, ...]]] = (),
) -> Program:
    """The program for what is given, a plan's steps, and results such as check margins.

    Each result has its own name, its form and the full names of the form's inputs. Raises
    KeyError when a step or result needs a name that nothing before it gives.
    """
    names = list(dict.fromkeys(given))
    count = len(names)
    slot = {name: i for i, name in enumerate(names)}
    instructions = []
    for output, form, inputs in (*((s.output, s.form, s.inputs) for s in steps), *results):
        sources = tuple(slot[name] for name in inputs)
        slot[output] = len(names)
        names.append(output)
        instructions.append(Instruction(form.function, slot[output], sources))
    return Program(tuple(names), count, tuple(instructions))
