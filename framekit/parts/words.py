"""Part ids as a sentence names them."""

from __future__ import annotations

from collections.abc import Sequence


def named(ids: Sequence[str]) -> str:
    """The ids in words: three or more that count on from each other as a range.

    >>> named(["rib-1", "rib-2", "rib-3", "rib-5", "disc-2"])
    'rib-1 to rib-3, rib-5 and disc-2'
    """
    runs: list[list[str]] = []
    for name in ids:
        if runs and _next(runs[-1][-1]) == name:
            runs[-1].append(name)
        else:
            runs.append([name])
    words: list[str] = []
    for run in runs:
        words += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else run
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _next(part: str) -> str:
    kind, _, number = part.rpartition("-")
    return f"{kind}-{int(number) + 1}" if number.isdigit() else ""
