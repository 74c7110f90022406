"""Sympy equations → the text of a plain Python module of laws, one line a form.

The module needs no sympy. Each equation is solved for every quantity in it; which of several roots
is the right one, or whether none is, consistent values made by hand decide: the witnesses.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import sympy

from framekit.constraints.symbolic.equation import Bend, Equation
from framekit.constraints.symbolic.printing import code, identifier, latex, words

IMPORTS = """
# ruff: noqa
# fmt: off
# mypy: allow-untyped-defs
from framekit.constraints.law import Branch, Form, Law

"""

AGREES = 1e-9
"""Relative difference within which a closed form gives a witness back."""

Point = Mapping[str, float]


@dataclass(frozen=True)
class Table:
    """Equations that become one tuple of laws, called `name` in the module.

    `witnesses` gives consistent values of all quantities in an equation; None reads each equation
    from right to left only. The names of `kept` are never solved for. `unproved` names equations
    whose right side the witnesses do not judge, `bends` what an equation chooses from.
    """

    name: str
    equations: Sequence[Equation]
    witnesses: Callable[[Equation], Sequence[Point]] | None = None
    kept: Sequence[str] = ()
    unproved: Sequence[str] = ()
    bends: Mapping[str, Sequence[Bend]] = field(default_factory=dict)


def render(docstring: str, *tables: Table) -> str:
    """Return the text of a module with the docstring and the tables.

    Raises ValueError for an equation that does not give its witnesses back, and for a bend that
    the equation does not have.
    """
    functions: list[str] = []
    text = ""
    for table in tables:
        laws = [_law(equation, table, functions) for equation in table.equations]
        text += f"\n{table.name}: tuple[Law, ...] = (\n{''.join(laws)})\n"
    return f'"""{docstring}"""\n{IMPORTS}{"".join(functions)}{text}'


def directions(equation: Equation, table: Table) -> list[tuple[str, Any]]:
    """Return each quantity that the equation gives, and the expression that gives it.

    It is read each way that a closed form and the witness points settle.
    """
    forms = [(str(equation.left), equation.right)]
    if table.witnesses is None:
        return forms
    points = table.witnesses(equation)
    if equation.name not in table.unproved and not _gives_back(points, *forms[0]):
        raise ValueError(f"law {equation.name} does not give its witness back")
    if not equation.both_ways:
        return forms
    for wanted in sorted(equation.right.free_symbols, key=str):
        if str(wanted) in table.kept:
            continue
        roots = [_plain(root) for root in sympy.solve(equation.left - equation.right, wanted)]
        fitting = [root for root in roots if _gives_back(points, str(wanted), root)]
        if len(fitting) == 1:
            forms.append((str(wanted), fitting[0]))
    return forms


def _plain(root: Any) -> Any:
    """The root with a denominator that does not start with a minus."""
    top, bottom = sympy.fraction(sympy.together(root))
    return min(root, -top / -bottom, key=lambda form: (str(form).count("-"), str(form)))


def _gives_back(points: Sequence[Point], output: str, expression: Any) -> bool:
    for values in points:
        given = {s: values[s.name] for s in expression.free_symbols}
        result = complex(expression.evalf(subs=given) if given else expression)
        if abs(result - values[output]) > AGREES * (1.0 + abs(values[output])):
            return False
    return True


def _law(equation: Equation, table: Table, functions: list[str]) -> str:
    names = tuple(sorted({s.name for s in equation.right.free_symbols} | {str(equation.left)}))
    head = f"{equation.name!r}, {equation.words!r}, {equation.source!r},"
    text = f"    Law({head}\n        {names!r}, (\n"
    for output, expression in directions(equation, table):
        inputs = tuple(sorted(s.name for s in expression.free_symbols))
        function = f"_{table.name.lower()}_{identifier(equation.name)}__{identifier(output)}"
        functions.append(_function(function, inputs, expression))
        form = f"{output!r}, {inputs!r}, {_printed(function, expression, inputs)}"
        bends = table.bends.get(equation.name, ()) if output == str(equation.left) else ()
        branches = [
            _branch(equation, b, f"{function}__{n}", inputs) for n, b in enumerate(bends, 1)
        ]
        functions += [made for made, _ in branches]
        if branches:
            form += f", (\n{''.join(row for _, row in branches)}        )"
        text += f"        Form({form}),\n"
    return text + "    )),\n"


def _branch(
    equation: Equation, bend: Bend, function: str, inputs: tuple[str, ...]
) -> tuple[str, str]:
    """A branch of an equation that chooses: its function and its row in the form."""
    if bend.expression not in _ends(equation.right):
        raise ValueError(f"law {equation.name} has no branch '{bend.words}'")
    shown = bend.expression if bend.shown is None else bend.shown
    row = f"            Branch({bend.words!r}, {_printed(function, shown, inputs)}),\n"
    return _function(function, inputs, bend.expression), row


def _ends(expression: Any) -> tuple[Any, ...]:
    """What a greatest value or a case distinction chooses from."""
    if isinstance(expression, sympy.Piecewise):
        return tuple(branch for branch, _ in expression.args)
    return tuple(expression.args) if isinstance(expression, sympy.Max) else ()


def _printed(function: str, expression: Any, inputs: tuple[str, ...]) -> str:
    """What a form and a branch have alike: function, template and LaTeX."""
    return f"{function}, {words(expression, inputs)!r}, {latex(expression, inputs)!r}"


def _function(name: str, inputs: tuple[str, ...], expression: Any) -> str:
    arguments = ", ".join(("m", *map(identifier, inputs)))
    text = code(expression)
    shared: list[str] = []
    # Calls that stand twice are made once; what is left keeps its order, and so its rounding.
    nodes = [n for n in sympy.preorder_traversal(expression) if isinstance(n, sympy.Expr)]
    calls = {code(node) for node in nodes if node.args}
    for call in sorted(calls, key=lambda call: (-len(call), call)):
        if call.startswith("m.") and _is_one_call(call) and text.count(call) > 1:
            part = f"x{len(shared)}"
            text, shared = text.replace(call, part), [s.replace(call, part) for s in shared]
            shared.append(f"{part} = {call}")
    steps = "; ".join([*reversed(shared), f"return {text}"])
    return f"def {name}({arguments}): {steps}\n"


def _is_one_call(text: str) -> bool:
    """Return whether a text is one call of a function, from its name to its last bracket."""
    depth = 0
    for place, letter in enumerate(text):
        depth += (letter == "(") - (letter == ")")
        if letter == ")" and depth == 0:
            return place == len(text) - 1
    return False
