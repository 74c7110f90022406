"""Namespaces that keep what laws choose by: open choices on intervals, tests on floats."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any, NamedTuple

from framekit.constraints.intervals import Interval
from framekit.constraints.namespaces import FLOATS, INTERVALS

_PLAIN_WITHOUT_CHOICE = {name: f for name, f in vars(FLOATS).items() if name != "choose"}
_WITHOUT_CHOICE = {name: f for name, f in vars(INTERVALS).items() if name != "choose"}


class OpenChoice(NamedTuple):
    """A choice open over an interval: the hull of both sides, the sides, and what decides."""

    hull: Interval
    first: Any
    second: Any
    test: Interval


class RecordingIntervals(SimpleNamespace):
    """The functions on intervals; an open choice is noted under the identity of its hull."""

    def __init__(self, solve_loop: Callable[..., Any] | None = None) -> None:
        """Start with no choice; `solve_loop` does searches."""
        super().__init__(**_WITHOUT_CHOICE, solve_loop=solve_loop)
        self.open: dict[int, OpenChoice] = {}

    def choose(self, test: Any, first: Any, second: Any) -> Any:
        """The first where the test is not negative, the hull of both where that is not certain."""
        result = INTERVALS.choose(test, first, second)
        if isinstance(test, Interval) and test.low < 0 <= test.high:
            self.open[id(result)] = OpenChoice(result, first, second, test)
        return result


class RecordingFloats(SimpleNamespace):
    """The functions on floats; the tests of choices are kept."""

    def __init__(self) -> None:
        """Start with no test."""
        super().__init__(**_PLAIN_WITHOUT_CHOICE)
        self.tests: list[float] = []

    def choose(self, test: float, first: Any, second: Any) -> Any:
        """The first where the test is not negative."""
        self.tests.append(test)
        return FLOATS.choose(test, first, second)
