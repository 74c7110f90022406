"""How a law is written: a sympy equation with words and source."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import sympy


@dataclass(frozen=True)
class Equation:
    """One relation: `left = right`, what it says, where it comes from.

    `both_ways` is False where the right side bends (max, branches): such a law is read from
    right to left only, since solving through it gives wrong roots without a word.
    """

    name: str
    left: Any
    right: Any
    words: str
    source: str
    both_ways: bool = True


@dataclass(frozen=True)
class Bend:
    """One branch of a law: its words, its sympy expression and, where simpler, how it is shown."""

    words: str
    expression: Any
    shown: Any = None


def quantity(name: str) -> Any:
    """The sympy symbol of a quantity; angles and lengths are real."""
    return sympy.Symbol(name, real=True)


def sine(degrees: Any) -> Any:
    """The sine of an angle in degrees."""
    return sympy.sin(sympy.pi * degrees / 180)


def cosine(degrees: Any) -> Any:
    """The cosine of an angle in degrees."""
    return sympy.cos(sympy.pi * degrees / 180)
