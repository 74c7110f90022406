"""A nester with its time for each layout, and what it said of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from framekit.sheets.protocol import Nester, NestJob, NestProgress, NestResult


@dataclass
class Watched:
    """The nester `engine` with `seconds` for each layout, none once the user ends its search."""

    engine: Nester
    seconds: float | None = None
    stopped: bool = False
    notes: list[str] = field(default_factory=list)

    @property
    def name(self) -> str:
        """The engine's name."""
        return self.engine.name

    def nest(
        self, job: NestJob, progress: Callable[[NestProgress], None] | None = None
    ) -> NestResult:
        """The engine's layout of the job; raises NestError."""
        seconds = 0.0 if self.stopped else self.seconds
        result = self.engine.nest(replace(job, seconds=seconds), progress)
        self.notes += [note for note in result.notes if note not in self.notes]
        self.stopped = self.stopped or result.stopped
        return result

    def said(self, why: str) -> str:
        """The reason with what the engine said since the last reason."""
        text = ", ".join((why, *self.notes))
        self.notes.clear()
        return text
