"""Refusals whose case stands in another room's tests: the code, a phrase, and the test's name."""

from __future__ import annotations

from typing import NamedTuple


class Elsewhere(NamedTuple):
    """A refusal's code, a phrase of its sentence, the test, and what its text shows of it."""

    code: str
    phrase: str
    file: str
    test: str
    shown: str


ELSEWHERE: list[Elsewhere] = []
