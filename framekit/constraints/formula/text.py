"""A formula's tree as canonical text, as people write it, and in LaTeX; angles in radians."""

from __future__ import annotations

from typing import Any

from framekit.constraints.formula.tree import ATOM, LEVEL, Node


def _figures(value: float) -> str:
    return str(int(value)) if value % 1 == 0 and value < 1e15 else repr(value)


def _enclosed(text: str, level: int, least: int) -> str:
    return text if level >= least else f"({text})"


def text_of(node: Node) -> str:
    """The canonical text, which parses back to an equal tree.

    >>> from framekit.constraints.formula.tree import number
    >>> text_of(Node("**", parts=(number(-2), number(3))))
    '(-2)**3'
    """
    return _plain(node)[0]


def _plain(node: Node) -> tuple[str, int]:
    """The text and how tightly it binds."""
    match node.kind:
        case "number":
            return _figures(float(node.value)), ATOM
        case "name":
            return str(node.value), ATOM
        case "pi":
            return "pi", ATOM
        case "call":
            return f"{node.value}({', '.join(map(text_of, node.parts))})", ATOM
    level = LEVEL[node.kind]
    first = _plain(node.parts[0])
    if node.kind == "neg":
        return f"-{_enclosed(*first, level)}", level
    second = _plain(node.parts[1])
    if node.kind == "**":
        return f"{_enclosed(*first, ATOM)}**{_enclosed(*second, 3)}", level
    gap = " " if level == 1 else ""
    right = _enclosed(*second, level + 1)
    if right.startswith("-"):
        right = f"({right})"
    return f"{_enclosed(*first, level)}{gap}{node.kind}{gap}{right}", level


_SIGNS = {"+": " + ", "-": " − ", "*": "·", "/": "/"}
_RAISED: dict[Any, str] = {2: "²", 3: "³", 4: "⁴"}
_ROOTS = {"sqrt": "√", "cbrt": "∛"}


def words_of(node: Node, names: tuple[str, ...]) -> str:
    """The formula as people write it, `{0}` standing for the first of `names`; radians."""
    return _words(node, names)[0]


def _words(node: Node, names: tuple[str, ...]) -> tuple[str, int]:
    match node.kind:
        case "number":
            return _figures(float(node.value)), ATOM
        case "name":
            return f"{{{names.index(str(node.value))}}}", ATOM
        case "pi":
            return "π", ATOM
        case "call":
            return _spoken(node, [_words(part, names)[0] for part in node.parts]), ATOM
    level = LEVEL[node.kind]
    first = _words(node.parts[0], names)
    if node.kind == "neg":
        return f"−{_enclosed(*first, level)}", level
    second = _words(node.parts[1], names)
    if node.kind == "**":
        power = node.parts[1]
        if power.kind == "number" and power.value in _RAISED:
            return f"{_enclosed(*first, ATOM)}{_RAISED[float(power.value)]}", level
        return f"{_enclosed(*first, ATOM)}^{_enclosed(*second, ATOM)}", level
    right = _enclosed(*second, level + 1)
    if right.startswith("−"):
        right = f"({right})"
    return f"{_enclosed(*first, level)}{_SIGNS[node.kind]}{right}", level


def _spoken(node: Node, values: list[str]) -> str:
    name = str(node.value)
    if name == "abs":
        return f"|{values[0]}|"
    if name == "step":
        return f"({values[1]} if {values[0]} ≥ 0, else {values[2]})"
    return f"{_ROOTS.get(name, name)}({', '.join(values)})"


def latex_of(node: Node, names: tuple[str, ...]) -> str:
    """The formula in LaTeX, `<0>` standing for the first of `names`; radians."""
    return _latex(node, names)[0]


def _latex(node: Node, names: tuple[str, ...]) -> tuple[str, int]:
    match node.kind:
        case "number":
            figures, _, power = _figures(float(node.value)).partition("e")
            if power:
                return rf"{figures} \cdot 10^{{{int(power)}}}", 2
            return figures, ATOM
        case "name":
            return f"<{names.index(str(node.value))}>", ATOM
        case "pi":
            return r"\pi", ATOM
        case "call":
            return _set(node, [_latex(part, names)[0] for part in node.parts]), ATOM
    level = LEVEL[node.kind]
    first = _latex(node.parts[0], names)
    if node.kind == "neg":
        return f"- {_bracketed(*first, level)}", level
    second = _latex(node.parts[1], names)
    if node.kind == "**":
        return f"{_bracketed(*first, ATOM)}^{{{second[0]}}}", level
    if node.kind == "/":
        return rf"\frac{{{first[0]}}}{{{second[0]}}}", level
    right = _bracketed(*second, level + 1)
    if right.startswith("-"):
        right = rf"\left({right}\right)"
    sign = rf" \cdot {right}" if node.kind == "*" else f" {node.kind} {right}"
    return f"{_bracketed(*first, level)}{sign}", level


def _bracketed(text: str, level: int, least: int) -> str:
    return text if level >= least else rf"\left({text}\right)"


_SET = {"asin": "arcsin", "acos": "arccos", "atan": "arctan", "log": "ln"}


def _set(node: Node, values: list[str]) -> str:
    name = str(node.value)
    match name:
        case "sqrt":
            return rf"\sqrt{{{values[0]}}}"
        case "cbrt":
            return rf"\sqrt[3]{{{values[0]}}}"
        case "abs":
            return rf"\left\lvert {values[0]} \right\rvert"
        case "step":
            return (
                rf"\begin{{cases}} {values[1]} & \text{{if }} {values[0]} \geq 0 \cr "
                rf"{values[2]} & \text{{else}} \end{{cases}}"
            )
    return rf"\{_SET.get(name, name)}\left({', '.join(values)}\right)"
