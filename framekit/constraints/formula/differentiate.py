"""Differentiation by sympy; the one module of a run that imports it, when a formula is new."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import sympy

from framekit.constraints.formula.parse import Formula
from framekit.constraints.formula.text import text_of
from framekit.constraints.formula.tree import Node, constant, number
from framekit.errors import Fault, SpecError


class _Step(sympy.Function):  # type: ignore[misc]  # sympy has no types
    """The first of two where a test is not negative."""

    nargs = 3

    def _eval_derivative(self, symbol: Any) -> Any:
        test, first, second = self.args
        return _step(test, first.diff(symbol), second.diff(symbol))


class _Abs(sympy.Function):  # type: ignore[misc]  # sympy has no types
    """The size; sympy's own is rewritten at each step."""

    nargs = 1

    def fdiff(self, argindex: int = 1) -> Any:
        return _Step(self.args[0], sympy.Integer(1), sympy.Integer(-1))


class _Max(sympy.Function):  # type: ignore[misc]  # sympy has no types
    """The greater of two; sympy's own compares its arguments at length."""

    nargs = 2

    def _eval_derivative(self, symbol: Any) -> Any:
        first, second = self.args
        return _step(first - second, first.diff(symbol), second.diff(symbol))


class _Min(sympy.Function):  # type: ignore[misc]  # sympy has no types
    """The lesser of two."""

    nargs = 2

    def _eval_derivative(self, symbol: Any) -> Any:
        first, second = self.args
        return _step(second - first, first.diff(symbol), second.diff(symbol))


class _Cbrt(sympy.Function):  # type: ignore[misc]  # sympy has no types
    """The real third root."""

    nargs = 1

    def fdiff(self, argindex: int = 1) -> Any:
        return 1 / (3 * _Cbrt(self.args[0]) ** 2)


def differentiated(formula: Formula, name: str) -> str:
    """The text of a formula's derivative by one of its names, in framekit's own formulas' language.

    Raises:
        SpecError: the derivative holds numbers too large to write down.
    """
    symbols = {n: sympy.Symbol(f"x{i}", real=True) for i, n in enumerate(formula.names)}
    try:
        slope = expression_of(formula.tree, symbols, _function).diff(symbols[name])
        named = {symbol: n for n, symbol in symbols.items()}
        return text_of(_node(slope, named))
    except (ValueError, ArithmeticError, RecursionError) as error:
        raise SpecError(
            Fault(
                "formula",
                f"the slope of the formula {formula.text()[:60]} cannot be written down",
                hint="Write the formula simpler, or give the skin as points.",
            )
        ) from error


def _step(test: Any, first: Any, second: Any) -> Any:
    return first if first == second else _Step(test, first, second)


def _number(value: float) -> Any:
    """A whole number or simple fraction as such, others as they are."""
    top, bottom = value.as_integer_ratio()
    if bottom <= 64 and abs(top) < 1e15:
        return sympy.Rational(top, bottom)
    return sympy.Float(value, 17)


Call = Callable[[Node, list[Any], dict[str, Any]], Any]
"""A function's node, its arguments as sympy expressions, and the symbols by name → sympy."""


def expression_of(node: Node, symbols: dict[str, Any], call: Call) -> Any:
    """Return the node as a sympy expression; functions and powers of numbers are worked out.

    `call` makes the functions.
    """
    if node.kind == "number":
        return _number(float(node.value))
    if node.kind == "pi":
        return sympy.pi
    if node.kind == "name":
        return symbols[str(node.value)]
    if node.kind in ("call", "**"):
        value = constant(node)
        if value is not None:
            return _number(value)
    if node.kind == "**":
        base = expression_of(node.parts[0], symbols, call)
        return base ** _number(constant(node.parts[1]) or 0.0)
    parts = [expression_of(part, symbols, call) for part in node.parts]
    match node.kind:
        case "neg":
            return -parts[0]
        case "+":
            return parts[0] + parts[1]
        case "-":
            return parts[0] - parts[1]
        case "*":
            return parts[0] * parts[1]
        case "/":
            return parts[0] / parts[1]
    return call(node, parts, symbols)


def _function(node: Node, parts: list[Any], symbols: dict[str, Any]) -> Any:
    name = str(node.value)
    match name:
        case "abs":
            return _Abs(parts[0])
        case "step":
            return _step(*parts)
        case "cbrt":
            return _Cbrt(parts[0])
        case "max" | "min":
            found = parts[0]
            for part in parts[1:]:
                found = _Max(found, part) if name == "max" else _Min(found, part)
            return found
    return getattr(sympy, name)(*parts)


_CALLS = {"exp": "exp", "log": "log", "_Step": "step", "_Cbrt": "cbrt", "Abs": "abs"}
_CALLS |= {"_Abs": "abs", "_Max": "max", "_Min": "min"}
_CALLS |= {name: name for name in ("sin", "cos", "tan", "asin", "acos", "atan")}


def _node(expression: Any, names: dict[Any, str]) -> Node:
    """The sympy expression as our node.

    Raises ValueError where it holds what a formula cannot say.
    """
    if expression.is_Symbol:
        return Node("name", names[expression])
    if expression is sympy.pi:
        return Node("pi")
    if expression is sympy.E:
        return number(math.e)
    if expression.is_Number:
        return _number_node(expression)
    if expression.is_Add:
        return _sum(expression, names)
    if expression.is_Mul:
        return _product(expression, names)
    if expression.is_Pow:
        return _power(expression, names)
    kind = type(expression).__name__
    if kind == "sign":
        inner = _node(expression.args[0], names)
        return Node("call", "step", (inner, number(1), number(-1)))
    if kind not in _CALLS:
        raise ValueError(f"{kind} is not part of a formula")
    return Node("call", _CALLS[kind], tuple(_node(a, names) for a in expression.args))


def _number_node(value: Any) -> Node:
    if value.is_Rational and value.q != 1 and max(abs(value.p), value.q) < 10**15:
        fraction = Node("/", parts=(number(abs(value.p)), number(value.q)))
        return Node("neg", parts=(fraction,)) if value.p < 0 else fraction
    plain = float(value)
    if not math.isfinite(plain):
        raise OverflowError("a number beyond floats")
    return number(plain)


def _sum(expression: Any, names: dict[Any, str]) -> Node:
    """The sum, terms that are taken away last."""
    terms = expression.as_ordered_terms()
    taken = [bool(term.could_extract_minus_sign()) for term in terms]
    plus = [t for t, away in zip(terms, taken, strict=True) if not away]
    minus = [-t for t, away in zip(terms, taken, strict=True) if away]
    found = _node(plus[0], names) if plus else Node("neg", parts=(_node(minus.pop(0), names),))
    for term in plus[1:]:
        found = Node("+", parts=(found, _node(term, names)))
    for term in minus:
        found = Node("-", parts=(found, _node(term, names)))
    return found


def _product(expression: Any, names: dict[Any, str]) -> Node:
    """The product, with what has a negative power under the line and the sign in front."""
    over: list[Node] = []
    under: list[Node] = []
    negative = False
    for factor in expression.as_ordered_factors():
        if factor.is_Number:
            negative ^= bool(factor < 0)
            size = abs(factor)
            top = sympy.Integer(size.p) if size.is_Rational else size
            bottom = size.q if size.is_Rational else 1
            over += [_number_node(top)] if top != 1 else []
            under += [_number_node(sympy.Integer(bottom))] if bottom != 1 else []
        elif factor.is_Pow and factor.exp.is_Number and factor.exp < 0:
            under.append(_node(factor.base ** (-factor.exp), names))
        else:
            over.append(_node(factor, names))
    over = over or [number(1)]
    if negative:
        over[0] = Node("neg", parts=(over[0],))
    found = _multiplied(over)
    return Node("/", parts=(found, _multiplied(under))) if under else found


def _multiplied(factors: list[Node]) -> Node:
    found = factors[0]
    for factor in factors[1:]:
        found = Node("*", parts=(found, factor))
    return found


def _power(expression: Any, names: dict[Any, str]) -> Node:
    base, power = expression.base, expression.exp
    if base is sympy.E:
        return Node("call", "exp", (_node(power, names),))
    if not power.is_Number:
        raise ValueError("a power that is no number")
    if power < 0:
        return Node("/", parts=(number(1), _node(base ** (-power), names)))
    if power == sympy.Rational(1, 2):
        return Node("call", "sqrt", (_node(base, names),))
    return Node("**", parts=(_node(base, names), _number_node(power)))
