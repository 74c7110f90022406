"""Find every place in the package that makes a refusal, by reading its source."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import framekit

PACKAGE = Path(framekit.__file__).parent
ANY = ".*"


@dataclass(frozen=True)
class Site:
    """A place that makes a refusal: a pattern for its code, and one for its sentence."""

    place: str
    code: str
    message: str

    def made(self, code: str, message: str) -> bool:
        """Return whether a fault with this code and sentence can come from here."""
        return bool(re.fullmatch(self.code, code) and re.search(self.message, message, re.DOTALL))

    def named(self, code: str, phrase: str) -> bool:
        """Return whether a row with this code and phrase means this place."""
        return bool(re.fullmatch(self.code, code)) and re.escape(phrase) in self.message


def pattern(node: ast.expr | None) -> str:
    """Return a regular expression for the text that an expression gives."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return re.escape(node.value)
    if isinstance(node, ast.JoinedStr):
        return "".join(pattern(part) for part in node.values)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        return pattern(node.left) + pattern(node.right)
    if isinstance(node, ast.IfExp):
        return f"(?:{pattern(node.body)}|{pattern(node.orelse)})"
    return ANY


def named(call: ast.Call) -> str:
    """Return the last part of the called name."""
    function = call.func
    return getattr(function, "id", getattr(function, "attr", ""))


def argument(call: ast.Call, position: int, name: str) -> ast.expr | None:
    """Return the expression of an argument, given by position or by name."""
    if len(call.args) > position:
        return call.args[position]
    return next((k.value for k in call.keywords if k.arg == name), None)


@cache
def sites() -> list[Site]:
    """Return every place that makes a Fault or a MeasureError.

    Where a function makes a fault from its own arguments, its callers are the places.
    """
    found: list[Site] = []
    for name, tree in _modules():
        for call, inside in calls(tree):
            if named(call) == "Fault":
                code, message = argument(call, 0, "code"), argument(call, 1, "message")
            elif named(call) == "MeasureError":
                code, message = ast.Constant("spec-value-error"), argument(call, 0, "message")
            else:
                continue
            found += _resolve(name, tree, call, inside, code, message)
    return found


def _resolve(
    name: str,
    tree: ast.AST,
    call: ast.Call,
    inside: ast.FunctionDef | None,
    code: ast.expr | None,
    message: ast.expr | None,
) -> list[Site]:
    """Return the places that a call stands for: itself, or the callers of the function it is in."""
    parameters = [a.arg for a in (*inside.args.args, *inside.args.kwonlyargs)] if inside else []
    if inside is None or not (isinstance(code, ast.Name) and code.id in parameters):
        return [Site(f"{name}:{call.lineno}", pattern(code), pattern(message))]
    shift = 1 if parameters[0] in ("self", "cls") else 0
    found = []
    for caller, around in calls(tree):
        if named(caller) != inside.name:
            continue
        told = message
        if isinstance(message, ast.Name) and message.id in parameters:
            told = argument(caller, parameters.index(message.id) - shift, message.id)
        of = argument(caller, parameters.index(code.id) - shift, code.id)
        found += _resolve(name, tree, caller, around, of, told)
    return found


def hintless() -> list[str]:
    """Return the places that make a fault without saying what to do."""
    found = []
    for name, tree in _modules():
        for call, _ in calls(tree):
            position = {"Fault": 3, "MeasureError": 1}.get(named(call))
            hint = None if position is None else argument(call, position, "hint")
            if position is not None and (
                hint is None or (isinstance(hint, ast.Constant) and not hint.value)
            ):
                found.append(f"{name}:{call.lineno}")
    return found


@cache
def _modules() -> list[tuple[str, ast.Module]]:
    return [
        (path.relative_to(PACKAGE).as_posix(), ast.parse(path.read_text("utf-8")))
        for path in sorted(PACKAGE.rglob("*.py"))
    ]


def calls(
    tree: ast.AST, inside: ast.FunctionDef | None = None
) -> Iterator[tuple[ast.Call, ast.FunctionDef | None]]:
    """Yield each call with the function that it is in."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Call):
            yield node, inside
        yield from calls(node, node if isinstance(node, ast.FunctionDef) else inside)
