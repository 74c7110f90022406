"""A formula's tree, and the plain function that is made of it.

The tree holds no text of the author's but names, and those become `x0`, `x1` … before Python
compiles anything, so no foreign text is ever run.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable
from functools import lru_cache
from typing import Any, NamedTuple

FUNCTIONS: dict[str, tuple[int, int]] = {
    "sqrt": (1, 1),
    "cbrt": (1, 1),
    "sin": (1, 1),
    "cos": (1, 1),
    "tan": (1, 1),
    "asin": (1, 1),
    "acos": (1, 1),
    "atan": (1, 1),
    "exp": (1, 1),
    "log": (1, 1),
    "abs": (1, 1),
    "min": (2, 20),
    "max": (2, 20),
    "step": (3, 3),
}
"""The functions with the fewest and most values each takes. `step(test, first, second)` is the
first of two where the test is not negative; an author's formula may not use it."""

_ON_FLOATS: dict[str, Callable[..., float]] = {
    **{n: getattr(math, n) for n in FUNCTIONS if hasattr(math, n)},
    "abs": abs,
    "min": min,
    "max": max,
    "step": lambda test, first, second: first if test >= 0 else second,
}


class Node(NamedTuple):
    """A piece of a formula.

    `kind` is `number`, `name`, `pi`, `call`, `neg` or one of `+ - * / **`; `value` the number (from
    zero up), the name or the function's name; `parts` the pieces below.
    """

    kind: str
    value: float | str = 0.0
    parts: tuple[Node, ...] = ()


def number(value: float) -> Node:
    """The node of a number, which may be negative.

    >>> number(-2.0).kind
    'neg'
    """
    if value < 0 or (value == 0 and math.copysign(1, value) < 0):
        return Node("neg", parts=(Node("number", -float(value)),))
    return Node("number", float(value))


def constant(node: Node) -> float | None:
    """The value of a piece without names, None where it has some.

    Raises ValueError or ArithmeticError where there is no such number, OverflowError among them.

    >>> constant(Node("/", parts=(number(1), number(4))))
    0.25
    """
    if node.kind == "number":
        return float(node.value)
    if node.kind == "pi":
        return math.pi
    if node.kind == "name":
        return None
    values = []
    for part in node.parts:
        value = constant(part)
        if value is None:
            return None
        values.append(value)
    found = _apply(node, values)
    if not math.isfinite(found):
        raise OverflowError("not a finite number")
    return found


def _apply(node: Node, values: list[float]) -> float:
    match node.kind:
        case "neg":
            return -values[0]
        case "+":
            return values[0] + values[1]
        case "-":
            return values[0] - values[1]
        case "*":
            return values[0] * values[1]
        case "/":
            return values[0] / values[1]
        case "**":
            return values[0] * values[0] if values[1] == 2 else math.pow(values[0], values[1])
        case _:
            return float(_ON_FLOATS[str(node.value)](*values))


def names_in(node: Node) -> set[str]:
    """The names in a piece."""
    if node.kind == "name":
        return {str(node.value)}
    return set().union(*map(names_in, node.parts))


def size(node: Node) -> int:
    """How many nodes a piece has."""
    return 1 + sum(map(size, node.parts))


LEVEL = {"+": 1, "-": 1, "*": 2, "/": 2, "neg": 3, "**": 4}
ATOM = 5
"""How tightly a piece binds; what is not listed is an atom."""


def depth(node: Node) -> int:
    """How deep a piece is nested; a sum or product of many terms is one level."""
    if not node.parts:
        return 1
    level = LEVEL.get(node.kind, 0)
    first, *rest = node.parts
    chained = level in (1, 2) and LEVEL.get(first.kind) == level
    return max(depth(first) + (not chained), *(1 + depth(part) for part in rest), 1)


def _power(base: Any, power: float) -> Any:
    """The power; a plain negative number has no broken one."""
    return math.pow(base, power) if type(base) in (float, int) else base**power


def _floored_power(base: Any, power: float, m: Any, floor: float) -> Any:
    return _power(m.max(base, floor), power)


_OPERATORS: dict[str, ast.operator] = {
    "+": ast.Add(),
    "-": ast.Sub(),
    "*": ast.Mult(),
    "/": ast.Div(),
}


class _Writer:
    """Writes a tree as Python's own tree over a namespace `m`.

    With a `floor`, what a root or broken power takes is at least that, and what an arc sine or
    cosine takes within one. `checked` writes quotients and powers as functions of `m` too.
    """

    def __init__(self, names: tuple[str, ...], floor: float | None, checked: bool) -> None:
        self.places = {name: f"x{i}" for i, name in enumerate(names)}
        self.floor = floor
        self.checked = checked

    def write(self, node: Node) -> ast.expr:
        value = constant(node)
        if value is not None:
            return ast.Constant(value)
        match node.kind:
            case "name":
                return _loaded(self.places[str(node.value)])
            case "neg":
                return ast.UnaryOp(ast.USub(), self.write(node.parts[0]))
            case "**":
                return self._power(node)
            case "call":
                return self._call(node)
        left, right = map(self.write, node.parts)
        if node.kind == "/" and self.checked:
            return _called("over", left, right)
        return ast.BinOp(left, _OPERATORS[node.kind], right)

    def _power(self, node: Node) -> ast.expr:
        power = constant(node.parts[1]) or 0.0
        base = self.write(node.parts[0])
        whole = power % 1 == 0
        exponent = ast.Constant(int(power) if whole else power)
        if power == 1:
            return base
        if power == 2:
            return _called("square", base)
        if power == 0.5:
            return self._held("sqrt", base)
        if self.checked:
            return _called("power", base, exponent)
        if self.floor is not None and not whole:
            floor = ast.Constant(self.floor)
            return ast.Call(
                _loaded("floored_power"), [base, exponent, _loaded("m"), floor], keywords=[]
            )
        return ast.Call(_loaded("power"), [base, exponent], keywords=[])

    def _call(self, node: Node) -> ast.expr:
        name = "choose" if node.value == "step" else str(node.value)
        return self._held(name, *map(self.write, node.parts))

    def _held(self, name: str, *values: ast.expr) -> ast.expr:
        if self.floor is None:
            return _called(name, *values)
        if name == "sqrt":
            return _called(name, _called("max", values[0], ast.Constant(self.floor)))
        if name in ("asin", "acos"):
            above = _called("max", values[0], ast.Constant(-1.0))
            return _called(name, _called("min", above, ast.Constant(1.0)))
        return _called(name, *values)


def _loaded(name: str) -> ast.Name:
    return ast.Name(name, ast.Load())


def _called(name: str, *values: ast.expr) -> ast.expr:
    return ast.Call(ast.Attribute(_loaded("m"), name, ast.Load()), list(values), keywords=[])


@lru_cache(maxsize=256)
def function_of(
    node: Node, names: tuple[str, ...], floor: float | None = None, checked: bool = False
) -> Callable[..., Any]:
    """The function f(m, *values) of a tree, the values being those of `names` in order.

    With `floor`, what a root takes is held at that or above. With `checked`, quotients and
    powers go through `m.over` and `m.power`.
    """
    places = [ast.arg(arg) for arg in ("m", *(f"x{i}" for i in range(len(names))))]
    arguments = ast.arguments(
        posonlyargs=[], args=places, kwonlyargs=[], kw_defaults=[], defaults=[]
    )
    body = _Writer(names, floor, checked).write(node)
    tree = ast.fix_missing_locations(ast.Expression(ast.Lambda(arguments, body)))
    inside = {"__builtins__": {}, "power": _power, "floored_power": _floored_power}
    made: Callable[..., Any] = eval(compile(tree, "<formula>", "eval"), inside)
    return made
