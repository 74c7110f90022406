"""An author's formula, such as `40 + 12*cos(pi*z/90)`: text to a tree by a whitelist.

The text goes through Python's parser only, never its compiler. Everything but numbers, the names
given, `pi`, + - * / **, parentheses and a few functions is refused. Angles are radians.
"""

from __future__ import annotations

import ast
import math
import re
import warnings
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from typing import Any, NoReturn

from framekit.constraints.formula.text import latex_of, text_of, words_of
from framekit.constraints.formula.tree import (
    FUNCTIONS,
    Node,
    constant,
    depth,
    function_of,
    names_in,
    number,
    size,
)
from framekit.errors import Fault, SpecError

LARGEST_NUMBER = 1e12
LARGEST_POWER = 64
LARGEST_POWERS = 1024
"""Greatest product of the powers that stand one in another, as in ((z**2)**3)**4."""

AUTHORS = (500, 200, 40)
"""Most characters, nodes and levels of an author's formula."""
INTERNAL = (200_000, 40_000, 400)
"""Most characters, nodes and levels of a formula that framekit wrote itself."""

_PLAIN = re.compile(r"[A-Za-z0-9_.+\-*/(), ]*")
_NUMBER = re.compile(r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_OPERATORS: dict[type[ast.AST], str] = {
    ast.Add: "+",
    ast.Sub: "-",
    ast.Mult: "*",
    ast.Div: "/",
    ast.Pow: "**",
}
_INSTEAD = {
    "^": "Write ** for a power.",
    "²": "Write **2 for a square.",
    "³": "Write **3 for a third power.",
    "−": "Write a plain hyphen for minus.",
    "–": "Write a plain hyphen for minus.",
    "·": "Write * for a product.",
    "×": "Write * for a product.",
    "÷": "Write / for a quotient.",
    "π": "Write pi.",
    "√": "Write sqrt(…).",
    ";": "Write commas between the values of a function.",
    "[": "Write round brackets.",
    "{": "Write round brackets.",
    "|": "Write abs(…).",
    "=": "Write only what stands right of the equals sign.",
}
_WHAT = "A formula takes numbers, pi, + - * / **, brackets and {names}; functions are {functions}."


@dataclass(frozen=True)
class Formula:
    """A formula as a tree, and the names it uses in the order they were given."""

    tree: Node
    names: tuple[str, ...]

    @property
    def function(self) -> Callable[..., Any]:
        """The function f(m, *values) of the values of `names`, m being a namespace of functions."""
        return function_of(self.tree, self.names)

    def checked_over(self, names: Sequence[str]) -> Callable[..., Any]:
        """As `over` without a floor, quotients and powers as `m.over(a, b)` and `m.power(a, n)`."""
        return function_of(self.tree, tuple(names), None, True)

    def over(self, names: Sequence[str], floor: float | None = None) -> Callable[..., Any]:
        """The function of the values of `names`, which are those of the formula and maybe more.

        With a `floor`, what a root or broken power takes is held at that or above, and what an arc
        sine or cosine takes within one: for use where only rounding can pass the domain's edge.
        """
        return function_of(self.tree, tuple(names), floor)

    def on(self, m: Any, **values: Any) -> Any:
        """The value in a namespace, from values by name.

        >>> from types import SimpleNamespace
        >>> parse_formula("3*z**2", ["z"]).on(SimpleNamespace(square=lambda x: x * x), z=2.0)
        12.0
        """
        return self.function(m, *(values[name] for name in self.names))

    @property
    def template(self) -> str:
        """The formula as people write it, `{0}` standing for the first name; radians.

        >>> parse_formula("sqrt(90**2 - z**2)/2", ["z"]).template
        '√(90² − {0}²)/2'
        """
        return words_of(self.tree, self.names)

    @property
    def latex(self) -> str:
        """The formula in LaTeX, `<0>` standing for the first name; radians."""
        return latex_of(self.tree, self.names)

    def text(self) -> str:
        """The canonical text, which parses back to an equal formula.

        >>> parse_formula("  (40)+12 * cos((pi*z)/90)", ["z"]).text()
        '40 + 12*cos(pi*z/90)'
        """
        return text_of(self.tree)


def parse_formula(text: str, names: Collection[str], *, internal: bool = False) -> Formula:
    """The formula that a text says, in the names given; those with dots are taken if listed.

    An author's text has at most 500 characters, 200 nodes and 40 levels, numbers up to 1e12, and
    powers that hold no name and lie within ±64. `internal` text, which framekit wrote, may be
    longer and use `step(test, first, second)`: the first where the test is not negative.

    Raises:
        SpecError: the text is no such formula; the sentence names the piece and its column.
    """
    if not isinstance(text, str):
        _refuse("this is not text", "", "Write a formula in quotes, such as '40 + z/3'.")
    reader = _Reader(text, names, internal)
    tree = reader.tree()
    order = names if isinstance(names, (list, tuple)) else sorted(names)
    used = names_in(tree)
    return Formula(tree, tuple(name for name in dict.fromkeys(order) if name in used))


def _refuse(message: str, where: str, hint: str) -> NoReturn:
    place = f"the formula, {where}: " if where else "the formula: "
    raise SpecError(Fault("formula", place + message, hint=hint))


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "…"


class _Reader:
    """Reads one text; columns count from 1."""

    def __init__(self, text: str, names: Collection[str], internal: bool) -> None:
        self.whole = text
        self.text = text.translate({9: " ", 10: " ", 13: " "})
        self.start = len(self.text) - len(self.text.lstrip(" "))
        self.text = self.text.strip(" ")
        self.names = frozenset(names)
        self.internal = internal
        self.limits = INTERNAL if internal else AUTHORS
        functions = ", ".join(f for f in FUNCTIONS if internal or f != "step")
        listed = ", ".join(sorted(self.names)) or "no names"
        self.what = _WHAT.format(names=listed, functions=functions)

    def tree(self) -> Node:
        """The checked tree."""
        most = self.limits[0]
        if len(self.whole) > most:
            _refuse(
                f"it has {len(self.whole)} characters, and {most} are the most",
                "",
                "Give the skin as points, or write it shorter.",
            )
        if not self.text:
            _refuse("it is empty", "", self.what)
        good = _PLAIN.match(self.text)
        end = good.end() if good else 0
        if end < len(self.text):
            character = self.text[end]
            shown = f"'{character}'" if character.isprintable() else "a character not seen"
            if not character.isascii() or not character.isprintable():
                shown += f" (U+{ord(character):04X})"
            hint = _INSTEAD.get(character, self.what)
            _refuse(f"{shown} has no place in a formula", self.column(end), hint)
        tree = self.node(self.parsed(), 0)
        if size(tree) > self.limits[1]:
            self.too_much()
        if depth(tree) > self.limits[2]:
            _refuse(
                f"it is nested more than {self.limits[2]} deep", "", "Write it with less brackets."
            )
        return tree

    def too_much(self) -> NoReturn:
        """Refuse a formula with too many pieces."""
        _refuse(
            f"it has more than {self.limits[1]} numbers, names and operations",
            "",
            "Give the skin as points, or write it shorter.",
        )

    def column(self, offset: int) -> str:
        """The place of a character of the stripped text, in words."""
        return f"column {self.start + offset + 1}"

    def parsed(self) -> ast.expr:
        """Python's own tree of the text, of which nothing is checked yet."""
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                found = ast.parse(self.text, mode="eval").body
        except SyntaxError as error:
            offset = min(max((error.offset or 1) - 1, 0), len(self.text) - 1)
            _refuse(
                f"it cannot be read at '{_short(self.text[offset:])}'",
                self.column(offset),
                "Look for a missing bracket, or a missing * between a number and a name.",
            )
        except (RecursionError, MemoryError, ValueError, OverflowError):
            _refuse("it is nested too deep to be read", "", "Write it with less brackets.")
        nodes = sum(isinstance(node, ast.expr) for node in ast.walk(found))
        if nodes > 2 * self.limits[1]:  # functions' names count here
            self.too_much()
        return found

    def bad(self, node: ast.expr, reason: str, hint: str = "") -> NoReturn:
        """Refuse a piece, which the sentence quotes."""
        piece = _short(self.text[node.col_offset : node.end_col_offset])
        _refuse(f"'{piece}' {reason}", self.column(node.col_offset), hint or self.what)

    def node(self, node: ast.expr, level: int) -> Node:
        """The piece as our own node, when the whitelist has it."""
        if level > 4 * self.limits[2]:
            _refuse("it is nested too deep", "", "Write it with less brackets.")
        match node:
            case ast.Constant():
                return self.number(node)
            case ast.Name() | ast.Attribute():
                return self.name(node)
            case ast.UnaryOp(op=ast.UAdd()):
                return self.node(node.operand, level + 1)
            case ast.UnaryOp(op=ast.USub()):
                return Node("neg", parts=(self.node(node.operand, level + 1),))
            case ast.BinOp() if type(node.op) in _OPERATORS:
                parts = (self.node(node.left, level + 1), self.node(node.right, level + 1))
                made = Node(_OPERATORS[type(node.op)], parts=parts)
                if made.kind == "**":
                    self.check_power(node, made)
            case ast.Call():
                made = self.call(node, level)
            case _:
                self.bad(node, "is not part of a formula")
        self.check_constant(node, made)
        return made

    def check_constant(self, node: ast.expr, made: Node) -> None:
        """Refuse a piece without names that is no finite number, and a divisor that is zero."""
        try:
            constant(made)
            divides = made.kind == "/" and constant(made.parts[1]) == 0
        except ZeroDivisionError:
            divides = True
        except (ValueError, ArithmeticError):
            self.bad(node, "is not a finite number", "Check the numbers in it.")
        if divides:
            self.bad(node, "divides by zero", "Check what stands under the line.")

    def number(self, node: ast.Constant) -> Node:
        """The node of a number."""
        value = node.value
        piece = self.text[node.col_offset : node.end_col_offset]
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            self.bad(node, "is not a real number")
        if not _NUMBER.fullmatch(piece):
            self.bad(node, "is not a plain decimal number", "Write it as 12, 0.5 or 1.5e3.")
        if self.internal:
            if abs(value) > 1e308:
                self.bad(node, "is not a finite number")
        elif not abs(value) <= LARGEST_NUMBER:
            self.bad(node, "is beyond 1e12", "Lengths are millimetres; check the number.")
        return number(float(value))

    def name(self, node: ast.Name | ast.Attribute) -> Node:
        """The node of a name, or of pi."""
        piece = self.text[node.col_offset : node.end_col_offset]
        if piece in self.names:
            return Node("name", piece)
        if piece in FUNCTIONS:
            self.bad(node, "is a function without its brackets", f"Write {piece}(…).")
        if piece != "pi":
            self.bad(node, "is not a name that a formula knows")
        return Node("pi")

    def call(self, node: ast.Call, level: int) -> Node:
        """The node of a function with its values."""
        if not isinstance(node.func, ast.Name):
            self.bad(node.func, "is not a function", "Write * between two factors.")
        name = node.func.id
        if name not in FUNCTIONS or (name == "step" and not self.internal):
            known = name in self.names or name == "pi"
            self.bad(
                node.func, "is not a function", "Write * between two factors." if known else ""
            )
        if node.keywords or any(isinstance(value, ast.Starred) for value in node.args):
            self.bad(node, "has values that are not plain", f"Write {name}(…) with plain values.")
        least, most = FUNCTIONS[name]
        count = len(node.args)
        if not least <= count <= most:
            takes = f"{least} value{'s' * (least > 1)}"
            if most != least:
                takes = f"{least} to {most} values"
            self.bad(node, f"has {count} values", f"{name} takes {takes}.")
        return Node("call", name, tuple(self.node(value, level + 1) for value in node.args))

    def check_power(self, node: ast.BinOp, made: Node) -> None:
        """Refuse a power that holds a name, is too large or is stacked too high."""
        try:
            power = constant(made.parts[1])
        except (ValueError, ArithmeticError):
            self.bad(node.right, "is not a finite number", "Check the numbers in it.")
        if power is None:
            self.bad(node.right, "is a power that holds a name", "Write exp(power*log(base)).")
        if self.internal:
            return
        if not abs(power) <= LARGEST_POWER:
            self.bad(node.right, "is a power beyond ±64", "Write a smaller power.")
        if powers(made) > LARGEST_POWERS:
            self.bad(
                node, "has powers of powers beyond 1024 in all", "Multiply them, and write one."
            )


def powers(node: Node) -> float:
    """The greatest product of the powers, of one and more, that stand one in another."""
    inner = max(map(powers, node.parts), default=1.0)
    if node.kind != "**":
        return inner
    return inner * max(1.0, math.fabs(constant(node.parts[1]) or 0.0))
