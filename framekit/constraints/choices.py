"""Namespaces that keep what laws choose by: open choices on bands, tests on floats."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any, NamedTuple

from framekit.constraints.intervals import Band
from framekit.constraints.namespaces import BANDS, FLOATS

_PLAIN_WITHOUT_CHOICE = {name: f for name, f in vars(FLOATS).items() if name != "choose"}
_WITHOUT_CHOICE = {name: f for name, f in vars(BANDS).items() if name != "choose"}


class Choice(NamedTuple):
    """A choice that is open over a band: the hull of both sides, the sides, and what decides."""

    hull: Band
    first: Any
    second: Any
    test: Band


class Noting(SimpleNamespace):
    """The functions on bands; an open choice is noted under the identity of its hull."""

    def __init__(self, torn: Callable[..., Any] | None = None) -> None:
        """Start with no choice; `torn` does searches."""
        super().__init__(**_WITHOUT_CHOICE, torn=torn)
        self.open: dict[int, Choice] = {}

    def choose(self, test: Any, first: Any, second: Any) -> Any:
        """The first where the test is not negative, the hull of both where that is not certain."""
        result = BANDS.choose(test, first, second)
        if isinstance(test, Band) and test.low < 0 <= test.high:
            self.open[id(result)] = Choice(result, first, second, test)
        return result


class Asking(SimpleNamespace):
    """The functions on floats; the tests of choices are kept."""

    def __init__(self) -> None:
        """Start with no test."""
        super().__init__(**_PLAIN_WITHOUT_CHOICE)
        self.tests: list[float] = []

    def choose(self, test: float, first: Any, second: Any) -> Any:
        """The first where the test is not negative."""
        self.tests.append(test)
        return FLOATS.choose(test, first, second)
