"""A program as single operations, each done once however many laws need it.

The functions of a program are run on traced values, which keep no number but note what is done to
them. Sums are kept as terms with factors, so that a design value and an as-made value that are one
and the same cancel. What comes out is a list of operations that numpy can do on whole arrays.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import SimpleNamespace
from typing import Any, NamedTuple

from framekit.constraints.loops import Loop, solve_loop
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.program import Program


class Operation(NamedTuple):
    """One thing to do with earlier slots.

    `name` is a function of the namespaces in `numeric`, or `input`, `constant`, `scale`, `sum`,
    `times`, `over`, `power`, `loop`. `parameter` is the input's name, the constant, the factor, the
    power, for a sum its signs and the constant in it, for a search its loop, for a curve the
    curve or what makes it.
    """

    name: str
    sources: tuple[int, ...]
    parameter: Any = None


@dataclass(frozen=True)
class Trace:
    """Operations, one a slot; where each named value lies; and the slots not needed any more.

    `done[i]` are the slots that nothing after operation i reads and that hold no named value and
    no input.
    """

    operations: tuple[Operation, ...]
    slots: Mapping[str, int]
    done: tuple[tuple[int, ...], ...]


class _Graph:
    """The operations so far, each kept once."""

    def __init__(self) -> None:
        self.operations: list[Operation] = []
        self.known: dict[Operation, int] = {}

    def slot(self, name: str, sources: tuple[int, ...] = (), parameter: Any = None) -> int:
        operation = Operation(name, sources, parameter)
        found = self.known.get(operation)
        if found is None:
            found = self.known[operation] = len(self.operations)
            self.operations.append(operation)
        return found

    def slot_of(self, value: Any) -> int:
        """The slot that holds a number or a traced value."""
        if not isinstance(value, _Traced):
            return self.slot("constant", (), float(value))
        single = value.single()
        if single is not None and single[0] == 1.0:
            return single[1]
        signs, sources = [], []
        for source, factor in value.terms.items():
            size = abs(factor)
            sources.append(source if size == 1.0 else self.slot("scale", (source,), size))
            signs.append(1 if factor > 0 else -1)
        return self.slot("sum", tuple(sources), (tuple(signs), value.constant))


class _Traced:
    """A sum of slots with factors and a constant."""

    __slots__ = ("constant", "graph", "terms")

    def __init__(self, graph: _Graph, terms: dict[int, float], constant: float = 0.0) -> None:
        self.graph = graph
        self.terms = terms
        self.constant = constant

    def single(self) -> tuple[float, int] | None:
        """Factor and slot where the sum has one term and no constant."""
        if self.constant or len(self.terms) != 1:
            return None
        ((slot, factor),) = self.terms.items()
        return factor, slot

    def part(self) -> tuple[float, int]:
        """A factor and a slot whose product this is."""
        return self.single() or (1.0, self.graph.slot_of(self))

    def __add__(self, other: Any) -> Any:
        if not isinstance(other, _Traced):
            return _Traced(self.graph, self.terms, self.constant + other)
        terms = dict(self.terms)
        for slot, factor in other.terms.items():
            total = terms.pop(slot, 0.0) + factor
            if total:
                terms[slot] = total
        constant = self.constant + other.constant
        return _Traced(self.graph, terms, constant) if terms else constant

    __radd__ = __add__

    def __neg__(self) -> Any:
        return self * -1.0

    def __sub__(self, other: Any) -> Any:
        return self + -other

    def __rsub__(self, other: Any) -> Any:
        return -self + other

    def __mul__(self, other: Any) -> Any:
        if not isinstance(other, _Traced):
            if not other:
                return 0.0
            terms = {slot: factor * other for slot, factor in self.terms.items()}
            return _Traced(self.graph, terms, self.constant * other)
        (first, left), (second, right) = self.part(), other.part()
        product = self.graph.slot("times", (min(left, right), max(left, right)))
        return _Traced(self.graph, {product: first * second})

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Any:
        if not isinstance(other, _Traced):
            return self * (1.0 / other)
        (first, left), (second, right) = self.part(), other.part()
        return _Traced(self.graph, {self.graph.slot("over", (left, right)): first / second})

    def __rtruediv__(self, other: Any) -> Any:
        if not other:
            return 0.0
        factor, slot = self.part()
        one = self.graph.slot_of(1.0)
        return _Traced(self.graph, {self.graph.slot("over", (one, slot)): other / factor})

    def __pow__(self, power: float) -> Any:
        if power in (2, 4):
            return _square(self) if power == 2 else _square(_square(self))
        return _Traced(
            self.graph, {self.graph.slot("power", (self.graph.slot_of(self),), power): 1.0}
        )


def _square(x: Any) -> Any:
    if not isinstance(x, _Traced):
        return x * x
    factor, slot = x.part()
    return _Traced(x.graph, {x.graph.slot("square", (slot,)): factor * factor})


def _function(name: str) -> Any:
    plain = getattr(FLOATS, name)

    def traced(*values: Any) -> Any:
        graph = next((v.graph for v in values if isinstance(v, _Traced)), None)
        if graph is None:
            return plain(*values)
        return _Traced(graph, {graph.slot(name, tuple(map(graph.slot_of, values))): 1.0})

    return traced


_NAMESPACE: Any = SimpleNamespace(
    **{name: _function(name) for name in vars(FLOATS) if name != "pi"}
)


def _solve_loop(loop: Loop, values: Mapping[str, Any]) -> Any:
    graph = next((v.graph for v in values.values() if isinstance(v, _Traced)), None)
    if graph is None:
        return solve_loop(loop, values)
    slots = tuple(graph.slot_of(values[name]) for name in loop.outside)
    return _Traced(graph, {graph.slot("loop", slots, loop): 1.0})


def _curve(name: str) -> Any:
    plain = getattr(FLOATS, name)

    def traced(curve: Any, *parts: Any) -> Any:
        x = parts[-1]
        sizes = parts[0] if len(parts) > 1 else ()
        graph = next((v.graph for v in (*sizes, x) if isinstance(v, _Traced)), None)
        if graph is None:
            return plain(curve, *parts)
        slots = tuple(map(graph.slot_of, (*sizes, x)))
        return _Traced(graph, {graph.slot(name, slots, curve): 1.0})

    return traced


for _name in ("curve", "curve_slope", "made_curve"):
    setattr(_NAMESPACE, _name, _curve(_name))
_NAMESPACE.solve_loop = _solve_loop
_NAMESPACE.pi = FLOATS.pi
_NAMESPACE.square = _square


@lru_cache(maxsize=64)
def trace(
    program: Program, same: tuple[tuple[str, str], ...] = (), wanted: tuple[str, ...] = ()
) -> Trace:
    """The operations of a program; `same` names inputs that are always equal to others before.

    Of the named values only the `wanted` ones are kept, all where none is.
    Raises TypeError where a function of the program looks at the numbers it is given.
    """
    graph = _Graph()
    equal = dict(same)
    slots: dict[str, int] = {}
    values: list[Any] = []
    for name in program.names[: program.inputs]:
        slots[name] = slots[equal[name]] if name in equal else graph.slot("input", (), name)
        values.append(_Traced(graph, {slots[name]: 1.0}))
    for function, target, sources in program.instructions:
        value = function(_NAMESPACE, *(values[i] for i in sources))
        slot = slots[program.names[target]] = graph.slot_of(value)
        values.append(_Traced(graph, {slot: 1.0}) if isinstance(value, _Traced) else value)
    last = {slot: i for i, step in enumerate(graph.operations) for slot in step.sources}
    if wanted:
        slots = {name: slots[name] for name in wanted}
    named = set(slots.values())
    named.update(i for i, step in enumerate(graph.operations) if step.name == "input")
    done: list[list[int]] = [[] for _ in graph.operations]
    for slot, step in last.items():
        if slot not in named:
            done[step].append(slot)
    return Trace(tuple(graph.operations), slots, tuple(map(tuple, done)))
