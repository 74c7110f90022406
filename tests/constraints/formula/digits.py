"""The tests' own formulas at mpmath's precision, which share no code with what is tested."""

from __future__ import annotations

from typing import Any

import mpmath

DIGITS = {
    **{
        n: getattr(mpmath, n) for n in ("sqrt", "cbrt", "sin", "cos", "tan", "asin", "acos", "atan")
    },
    "exp": mpmath.exp,
    "log": mpmath.log,
    "abs": abs,
    "min": min,
    "max": max,
    "pi": mpmath.pi,
}


def exact(text: str, z: Any) -> Any:
    """The test's own texts, by mpmath."""
    return eval(text, {"__builtins__": {}}, {**DIGITS, "z": z})
