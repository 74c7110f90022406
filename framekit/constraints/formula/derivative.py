"""The derivative of an author's formula, as a formula again.

sympy differentiates a tree that is built node by node from ours, and its answer is read back by
the whitelist. The text is kept in memory and in a folder, so that a run seldom imports sympy. What
the folder holds is never trusted: it passes the same whitelist, and its values have to agree with
the formula's own slopes, or it is made anew.
"""

from __future__ import annotations

import hashlib
import math
import os
import sys
import tempfile
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

from framekit.constraints.formula.parse import Formula, parse_formula
from framekit.constraints.formula.tree import Node
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.series import along
from framekit.errors import SpecError

LANGUAGE = "framekit formula 1"
"""The version of the formula language; a cache of another one is not looked at."""

LARGEST_FILE = 200_000
TRIED = (0.0123, 0.137, 0.71, 1.71, 5.31, 13.3, 41.7, 88.9, 317.3)
"""Sizes of the values at which a derivative from the folder is compared, both signs."""
AGREES = 1e-6
"""Share by which the two slopes may differ: far over rounding, far under a wrong formula."""


@lru_cache(maxsize=256)
def derivative(formula: Formula, name: str) -> Formula:
    """The derivative of a formula by one of its names, in the formula's other names too.

    At a kink of abs, min, max or step it is that of the first branch.

    Raises:
        SpecError: the derivative is too large to write down.

    >>> derivative(parse_formula("40", ["z"]), "z").text()
    '0'
    """
    if name not in formula.names:
        return Formula(Node("number", 0.0), ())
    path = _path(formula, name)
    known = _read(path, formula, name) if path else None
    if known is not None:
        return known
    from framekit.constraints.formula.differentiate import differentiated  # sympy takes 0.3 s

    found = parse_formula(differentiated(formula, name), formula.names, internal=True)
    if path:
        _write(path, found.text())
    return found


def cache_folder() -> Path | None:
    """The folder that keeps derivatives, None where there is none.

    It is FRAMEKIT_CACHE where that is set (empty: none), else `framekit` in the platform's folder
    for caches.
    """
    ours = os.environ.get("FRAMEKIT_CACHE")
    if ours is not None:
        return Path(ours) if ours else None
    key = "LOCALAPPDATA" if sys.platform == "win32" else "XDG_CACHE_HOME"
    kept = os.environ.get(key)
    if kept and Path(kept).is_absolute():
        return Path(kept) / "framekit"
    try:
        return Path.home() / ".cache" / "framekit"
    except RuntimeError:
        return None


def _path(formula: Formula, name: str) -> Path | None:
    folder = cache_folder()
    if folder is None:
        return None
    content = "\n".join((LANGUAGE, name, ",".join(formula.names), formula.text()))
    return folder / f"{hashlib.sha256(content.encode()).hexdigest()}.txt"


def _read(path: Path, formula: Formula, name: str) -> Formula | None:
    """The derivative in a file, None where there is none that agrees with the formula."""
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
        text = raw.decode("ascii")
    except (OSError, ValueError):
        return None
    if len(raw) > LARGEST_FILE:
        return None
    try:
        found = parse_formula(text, formula.names, internal=True)
    except SpecError:
        return None
    return found if _agrees(formula, found, name) else None


def _agrees(formula: Formula, slope: Formula, name: str) -> bool:
    """Whether the slopes agree wherever both exist, which has to be at two places or more."""
    names = formula.names
    steep = slope.over(names)
    direction = [1.0 if n == name else 0.0 for n in names]
    agreeing = 0
    for tried in (*TRIED, *(-t for t in TRIED)):
        # Each name gets another size.
        values = [tried * (1 + 0.37 * i) for i in range(len(names))]
        try:
            value = along(formula.function, values, direction)
            other = float(steep(FLOATS, *values))
        except (ValueError, ArithmeticError):
            continue
        if not (math.isfinite(value.c1) and math.isfinite(other)):
            continue
        size = max(abs(value.c1), abs(other), abs(value.c0) / max(1.0, abs(tried)))
        if abs(value.c1 - other) > AGREES * size:
            return False
        agreeing += 1
    return agreeing >= 2


def _write(path: Path, text: str) -> None:
    """Put the text in the file at once or not at all; a folder that takes none is no fault."""
    if len(text) > LARGEST_FILE:
        return
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, made = tempfile.mkstemp(dir=path.parent, suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="ascii") as file:
                file.write(text)
            Path(made).replace(path)
        except OSError:
            Path(made).unlink(missing_ok=True)
            raise
