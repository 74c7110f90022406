"""Reads the LaTeX of a formula and works it out: an oracle that knows no sympy and no framekit.

It takes the LaTeX that a page prints, with numbers or with symbols that have a value, and raises
ValueError for anything it does not know, an unbalanced brace or a left-over placeholder.
"""

from __future__ import annotations

import math
import re

TOKEN = re.compile(r"\\[a-zA-Z]+|\\ |<\d+>|\d+(?:\.\d+)?|[A-Za-z]+'?|[{}()\[\]^_+\-=,&/]|\s+")
UNITS = {"mm": 1.0, "cm": 10.0, "m": 1e3, "km": 1e6, "in": 25.4}
FUNCTIONS = {
    **{rf"\{name}": getattr(math, name) for name in ("sin", "cos", "tan", "exp")},
    **{rf"\arc{name}": getattr(math, f"a{name}") for name in ("sin", "cos", "tan")},
    r"\ln": math.log,
}


class Reader:
    """One formula being read."""

    def __init__(self, text: str, values: dict[str, float]) -> None:
        self.tokens: list[str] = []
        at = 0
        while at < len(text):
            match = TOKEN.match(text, at)
            if match is None:
                raise ValueError(f"{text[at:]!r} is not known")
            at = match.end()
            if match[0].strip() or match[0] == "\\ ":
                self.tokens.append(match[0])
        self.at = 0
        self.values = values

    def peek(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self, *wanted: str) -> str:
        token = self.peek()
        if wanted and token not in wanted:
            raise ValueError(f"{token!r} where {wanted} is wanted, after {self.tokens[: self.at]}")
        self.at += 1
        return token

    def whole(self) -> float:
        value = self.sum()
        if self.peek():
            raise ValueError(f"{self.tokens[self.at :]} is left over")
        return value

    def sum(self) -> float:
        total = 0.0
        sign = 1.0
        if self.peek() == "-":
            self.take()
            sign = -1.0
        while True:
            total += sign * self.product()
            if self.peek() not in ("+", "-"):
                return total
            sign = 1.0 if self.take() == "+" else -1.0

    def product(self) -> float:
        value = self.power()
        while self.peek() in (r"\cdot", "/"):
            value = value * self.power() if self.take() == r"\cdot" else value / self.power()
        return value

    def power(self) -> float:
        value = self.atom()
        while self.peek() in ("^", "\\ "):
            if self.take() == "\\ ":
                self.take(r"\mathrm")
                value *= UNITS[self.braced_text()]
                continue
            self.take("{")
            if self.peek() == r"\circ":
                self.take()
                value *= math.pi / 180
            else:
                value **= self.sum()
            self.take("}")
        return value

    def braced(self) -> float:
        self.take("{")
        value = self.sum()
        self.take("}")
        return value

    def braced_text(self) -> str:
        self.take("{")
        text = ""
        while self.peek() != "}":
            text += self.take()
        self.take("}")
        return text

    def bracketed(self) -> list[float]:
        self.take(r"\left")
        self.take("(")
        values = [self.sum()]
        while self.peek() == ",":
            self.take()
            values.append(self.sum())
        self.take(r"\right")
        self.take(")")
        return values

    def atom(self) -> float:
        token = self.peek()
        if re.fullmatch(r"\d+(\.\d+)?", token):
            return float(self.take())
        if token == r"\left":
            if self.tokens[self.at + 1] == r"\lvert":
                self.at += 2
                value = abs(self.sum())
                self.take(r"\right")
                self.take(r"\rvert")
                return value
            (value,) = self.bracketed()
            return value
        if token == r"\frac":
            self.take()
            top = self.braced()
            return top / self.braced()
        if token == r"\sqrt":
            self.take()
            if self.peek() == "[":
                self.take("[")
                self.take("3")
                self.take("]")
                return math.cbrt(self.braced())
            return math.sqrt(self.braced())
        if token == r"\min":
            self.take()
            return min(self.bracketed())
        if token == r"\max":
            self.take()
            return max(self.bracketed())
        if token in FUNCTIONS:
            return self.function()
        if token == r"\pi":
            self.take()
            return math.pi
        if token == r"\begin":
            return self.cases()
        return self.symbol()

    def function(self) -> float:
        function = FUNCTIONS[self.take()]
        power = 1.0
        if self.peek() == "^":
            self.take()
            power = self.braced()
        (angle,) = self.bracketed()
        return float(function(angle) ** power)

    def cases(self) -> float:
        self.take(r"\begin")
        if self.braced_text() != "cases":
            raise ValueError("only cases are known")
        first = self.sum()
        self.take("&")
        self.take(r"\text")
        self.braced_text()
        left = self.sum()
        self.take(r"\geq")
        right = self.sum()
        self.take(r"\cr")
        second = self.sum()
        self.take("&")
        self.take(r"\text")
        self.braced_text()
        self.take(r"\end")
        self.braced_text()
        return first if left >= right else second

    def symbol(self) -> float:
        name = self.take()
        if self.peek() == "_":
            self.take()
            self.take("{")
            depth, text = 1, ""
            while depth:
                token = self.take()
                if not token:
                    raise ValueError("a brace is open")
                depth += {"{": 1, "}": -1}.get(token, 0)
                text += token
            name = f"{name}_{{{text[:-1]}}}"
        if name not in self.values:
            raise ValueError(f"{name!r} has no value")
        return self.values[name]


def read(text: str, values: dict[str, float] | None = None) -> float:
    """The value of a formula's right side."""
    return Reader(text, values or {}).whole()
