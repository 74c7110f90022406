"""Progress of long work, shown on a terminal."""

from __future__ import annotations

import sys
import time
from typing import Any

from framekit.pipeline import Progress


class ProgressBar:
    """Shows stages and counts on standard error once work takes over a second."""

    def __init__(self, wanted: bool = True) -> None:
        """Show on a terminal alone, and only where that is wanted."""
        self.wanted = wanted and sys.stderr is not None and sys.stderr.isatty()
        self.started = time.monotonic()
        self.bar: Any = None
        self.task: Any = None

    def __enter__(self) -> Progress | None:
        """The callback to hand to the pipeline, None where nothing is shown."""
        return self.show if self.wanted else None

    def show(self, what: str, share: float | None) -> None:
        """Draw the bar, at first only after a second."""
        if self.bar is None:
            if time.monotonic() - self.started < 1.0:
                return
            # rich takes 60 ms to import, so only slow work pays for it.
            from rich.console import Console
            from rich.progress import Progress as Bar

            self.bar = Bar(console=Console(stderr=True), transient=True)
            self.bar.start()
            self.task = self.bar.add_task(what, total=1.0)
        self.bar.update(self.task, description=what, completed=share or 0.0)

    def __exit__(self, *_: object) -> None:
        """Take the bar away."""
        if self.bar is not None:
            self.bar.stop()
