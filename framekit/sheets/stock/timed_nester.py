"""A nester with its time for each layout, and its notes on them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from framekit.sheets.protocol import Nester, NestJob, NestResult, Progress


@dataclass
class TimedNester:
    """The nester `engine` with `seconds` for each layout, none once the user ends its search."""

    engine: Nester
    seconds: float | None = None
    stopped: bool = False
    notes: list[str] = field(default_factory=list)

    @property
    def name(self) -> str:
        """The engine's name."""
        return self.engine.name

    def nest(self, job: NestJob, progress: Progress | None = None) -> NestResult:
        """The engine's layout of the job; raises NestError."""
        seconds = 0.0 if self.stopped else self.seconds
        result = self.engine.nest(replace(job, seconds=seconds), progress)
        self.notes += [note for note in result.notes if note not in self.notes]
        self.stopped = self.stopped or result.stopped
        return result

    def with_notes(self, why: str) -> str:
        """Return the reason with the engine's notes since the last reason."""
        text = ", ".join((why, *self.notes))
        self.notes.clear()
        return text
