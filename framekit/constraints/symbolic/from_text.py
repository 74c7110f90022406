"""Laws written as text → sympy equations, from which closed forms are generated."""

from __future__ import annotations

import re
from typing import Any

import sympy

from framekit.constraints.formula.differentiate import expression_of
from framekit.constraints.formula.parse import parse_formula
from framekit.constraints.formula.tree import Node
from framekit.constraints.law import LawText
from framekit.constraints.symbolic.equation import Bend, Equation, quantity

_NAME = re.compile(r"[a-z_]+\.[a-z_0-9]+")


def equation_of(law: LawText) -> Equation:
    """Return the equation that a text says; raise SpecError for what is no formula."""
    right = _expression(law.formula)
    return Equation(law.name, quantity(law.output), right, law.words, law.source, law.both_ways)


def bends_of(law: LawText) -> tuple[Bend, ...]:
    """Return what a law written as text chooses from."""
    return tuple(
        Bend(b.words, _expression(b.formula), _expression(b.shown) if b.shown else None)
        for b in law.branches
    )


def _expression(formula: str) -> Any:
    names = tuple(dict.fromkeys(_NAME.findall(formula)))
    symbols = {name: quantity(name) for name in names}
    return expression_of(parse_formula(formula, names, internal=True).tree, symbols, _call)


def _call(node: Node, parts: list[Any], symbols: dict[str, Any]) -> Any:
    """Return a function of sympy's own, so that it is solved and printed as such."""
    match str(node.value):
        case "abs":
            return sympy.Abs(parts[0])
        case "max":
            return sympy.Max(*parts)
        case "min":
            return sympy.Min(*parts)
        case "step":
            test, first, second = parts
            left, right = test, sympy.Integer(0)
            if node.parts[0].kind == "-":
                left, right = (expression_of(p, symbols, _call) for p in node.parts[0].parts)
            case_holds = (first, sympy.Ge(left, right))
            return sympy.Piecewise(case_holds, (second, True), evaluate=False)
    return getattr(sympy, str(node.value))(*parts)
