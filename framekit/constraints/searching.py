"""Searches on any kind of number: floats, intervals, series, and whatever has its own."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from framekit.constraints.intervals import Interval
from framekit.constraints.loop_enclosure import enclose_loop_in_box
from framekit.constraints.loop_series import loop_series
from framekit.constraints.loops import Loop, solve_loop
from framekit.constraints.series import Series


class Searching:
    """A namespace of functions that also searches, on floats, on intervals and on series.

    Other kinds of numbers take the namespace's own `solve_loop`.
    """

    def __init__(self, namespace: Any) -> None:
        """Keep the namespace whose functions it has."""
        self._namespace = namespace

    def __getattr__(self, name: str) -> Any:
        """The namespace's own function."""
        return getattr(self._namespace, name)

    def solve_loop(self, loop: Loop, values: Mapping[str, Any]) -> Any:
        """The unknown of a loop, of the kind of the values outside it."""
        kinds = {type(x) for x in values.values()}
        if Interval in kinds:
            return enclose_loop_in_box(loop, values)
        if Series in kinds:
            return loop_series(loop, values)
        if kinds <= {float, int}:
            return solve_loop(loop, values)
        return self._namespace.solve_loop(loop, values)
