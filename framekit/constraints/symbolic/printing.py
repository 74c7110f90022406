"""A law's expression as Python, as plain text and as LaTeX."""

from __future__ import annotations

import keyword
import re
from typing import Any

import sympy
from sympy.printing.latex import LatexPrinter
from sympy.printing.pycode import PythonCodePrinter
from sympy.printing.str import StrPrinter

PRETTY = {
    "**2": "²",
    "**3": "³",
    "**4": "⁴",
    "sqrt(": "√(",
    "cbrt(": "∛(",
    "Max(": "max(",
    "Min(": "min(",
    "*": "·",
    " - ": " − ",
}
"""How sympy's plain text is written for people."""


def code(expression: Any) -> str:
    """The expression as Python over a namespace `m`, so floats and intervals share it."""
    return str(_Code().doprint(expression))


def words(expression: Any, inputs: tuple[str, ...]) -> str:
    """The expression as people write it, with `{0}` for the first input."""
    text = str(_Words(inputs).doprint(expression))
    for plain, pretty in PRETTY.items():
        text = text.replace(plain, pretty)
    return re.sub(r"(?<![\w)}])-", "−", text)


def latex(expression: Any, inputs: tuple[str, ...]) -> str:
    """The expression in LaTeX, with `<0>` for the first input."""
    return str(_Latex(inputs).doprint(expression))


def identifier(name: str) -> str:
    """The quantity's name as a Python name.

    >>> identifier("disc.skin_radius")
    'disc_skin_radius'
    """
    text = re.sub(r"\W", "_", name)
    return text + "_" if keyword.iskeyword(text) else text


def _minus_last(expression: Any) -> Any:
    """The sum with the terms that are taken away at its end."""
    terms = sorted(expression.args, key=lambda term: bool(term.could_extract_minus_sign()))
    return sympy.Add(*terms, evaluate=False)


def _degrees(expression: Any) -> Any:
    """The argument of a sine or cosine, in degrees."""
    return sympy.nsimplify(expression.args[0] * 180 / sympy.pi)


class _Code(PythonCodePrinter):  # type: ignore[misc]  # sympy has no types
    def __init__(self) -> None:
        super().__init__({"fully_qualified_modules": False})

    def _print_Symbol(self, expr: Any) -> str:  # noqa: N802
        return identifier(expr.name)

    def _print_Function(self, expr: Any) -> str:  # noqa: N802
        arguments = ", ".join(self._print(a) for a in expr.args)
        return f"m.{type(expr).__name__.lower()}({arguments})"

    _print_sin = _print_cos = _print_tan = _print_asin = _print_acos = _print_Function
    _print_atan = _print_Abs = _print_Max = _print_Min = _print_Function  # noqa: N815

    def _print_Pi(self, expr: Any) -> str:  # noqa: N802
        return "m.pi"

    def _print_Rational(self, expr: Any) -> str:  # noqa: N802
        return f"{expr.p} / {expr.q}"

    def _print_Pow(self, expr: Any, rational: bool = False) -> str:  # noqa: N802
        base = self._print(expr.base)
        if expr.exp == sympy.Rational(1, 2):
            return f"m.sqrt({base})"
        if expr.exp == -sympy.Rational(1, 2):
            return f"1 / m.sqrt({base})"
        if expr.exp == sympy.Rational(1, 3):
            return f"m.cbrt({base})"
        if expr.exp == -sympy.Rational(1, 3):
            return f"1 / m.cbrt({base})"
        if expr.exp == 2:
            return f"m.square({base})"
        if expr.exp.is_Integer and expr.exp > 0:
            return f"m.power({base}, {expr.exp})"
        return str(super()._print_Pow(expr, rational=rational))

    def _print_Piecewise(self, expr: Any) -> str:  # noqa: N802
        (first, condition), (second, _) = expr.args
        test = self._print(condition.lhs - condition.rhs)
        return f"m.choose({test}, {self._print(first)}, {self._print(second)})"


class _Words(StrPrinter):  # type: ignore[misc]  # sympy has no types
    def __init__(self, inputs: tuple[str, ...]) -> None:
        super().__init__({"order": "none"})
        self.inputs = inputs

    def _print_Symbol(self, expr: Any) -> str:  # noqa: N802
        return f"{{{self.inputs.index(expr.name)}}}"

    def _print_Abs(self, expr: Any) -> str:  # noqa: N802
        return f"|{self._print(expr.args[0])}|"

    def _print_Add(self, expr: Any, order: Any = None) -> str:  # noqa: N802
        return str(super()._print_Add(_minus_last(expr), order="none"))

    def _print_Pow(self, expr: Any, rational: bool = False) -> str:  # noqa: N802
        if expr.exp == sympy.Rational(1, 3):
            return f"∛({self._print(expr.base)})"
        return str(super()._print_Pow(expr, rational=rational))

    def _trig(self, expr: Any) -> str:
        return f"{type(expr).__name__}({self._print(_degrees(expr))})"

    _print_sin = _print_cos = _print_tan = _trig

    def _print_Piecewise(self, expr: Any) -> str:  # noqa: N802
        (first, condition), (second, _) = expr.args
        test = f"{self._print(condition.lhs)} ≥ {self._print(condition.rhs)}"
        return f"({self._print(first)} if {test}, else {self._print(second)})"


class _Latex(LatexPrinter):  # type: ignore[misc]  # sympy has no types
    """Keeps off backslashes before punctuation, which Markdown takes for escapes."""

    def __init__(self, inputs: tuple[str, ...]) -> None:
        super().__init__({"order": "none", "mul_symbol": "dot"})
        self.inputs = inputs

    def _print_Symbol(self, expr: Any, style: str = "plain") -> str:  # noqa: N802
        return f"<{self.inputs.index(expr.name)}>"

    def _print_Add(self, expr: Any, order: Any = None) -> str:  # noqa: N802
        return str(super()._print_Add(_minus_last(expr), order="none"))

    def _print_Abs(self, expr: Any, exp: str | None = None) -> str:  # noqa: N802
        power = "" if exp is None else f"^{{{exp}}}"
        return rf"\left\lvert {self._print(expr.args[0])} \right\rvert{power}"

    def _trig(self, expr: Any, exp: str | None = None) -> str:
        power = "" if exp is None else f"^{{{exp}}}"
        inside = self._print(_degrees(expr))
        return rf"\{type(expr).__name__}{power}\left({inside}\right)"

    _print_sin = _print_cos = _print_tan = _trig

    def _print_Piecewise(self, expr: Any) -> str:  # noqa: N802
        (first, condition), (second, _) = expr.args
        test = rf"{self._print(condition.lhs)} \geq {self._print(condition.rhs)}"
        return (
            rf"\begin{{cases}} {self._print(first)} & \text{{if }} {test} \cr "
            rf"{self._print(second)} & \text{{else}} \end{{cases}}"
        )
