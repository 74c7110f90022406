"""The nester `tight`: the layout of `quick`, made denser for as long as the user allows.

The search is spyrrow's, an optional package, run in a process of its own. It is not repeatable;
the layout file keeps what it found. Whatever comes from it is verified on the exact outlines.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from framekit.errors import Fault, NestError
from framekit.sheets.check import find_faults
from framekit.sheets.nest.compaction import used_right
from framekit.sheets.nest.packing_job import check_job, make_stock, placed
from framekit.sheets.nest.quick.nester import Heard, best_sheets, make_room, merit
from framekit.sheets.nest.quick.packing import Effort
from framekit.sheets.nest.tight.engine import check_engine
from framekit.sheets.nest.tight.search import Clock, Tightener
from framekit.sheets.protocol import NestJob, NestProgress, NestResult

SECONDS = 30.0
"""How long it takes unless told otherwise."""


@dataclass(frozen=True)
class TightNester:
    """A nester that searches for `seconds` where the job does not say for how long.

    The time counts from the start, but the quick layout with `effort` is always made whole.
    """

    seconds: float = SECONDS
    effort: Effort = field(default_factory=Effort)
    name: str = "tight"

    def nest(self, job: NestJob, progress: Heard | None = None) -> NestResult:
        """A legal layout of every copy in the job, never worse than the quick one.

        `progress` is called several times a second with the best length so far. KeyboardInterrupt
        ends the search; the best layout so far comes back with `stopped` set. Before there is
        one, it is raised. With no time nothing is searched for.

        Raises:
            NestError: The job is not sound, spyrrow is not installed, a part cannot lie on the
                sheet at any rotation, or no legal layout came out.
        """
        seconds = self.seconds if job.seconds is None else job.seconds
        check_job(job)
        check_seconds(seconds)
        if seconds > 0:
            check_engine()
        clock = Clock(seconds)
        tell = progress or (lambda _: None)

        def start_told(state: NestProgress) -> None:
            total = max(1, math.ceil(seconds))
            done = min(total, int(clock.spent))
            tell(NestProgress(done, total, state.best, f"first layout: {state.note}"))

        stock = make_stock(job)
        if not stock.units:
            return NestResult(())
        room = make_room(job, stock, self.effort)
        start = best_sheets(job, room, stock.wanted, start_told)
        search = Tightener(room, job.spacing, start, clock, tell)
        stopped = False
        try:
            search.run()
        except KeyboardInterrupt:
            stopped = True
        notes = [f"spyrrow: {trouble}" for trouble in search.notes]
        if seconds > 0 and not search.searched and not stopped:
            notes.append("no time was left for a search after the first layout")
        if stopped:
            notes.append("stopped early with the best layout so far")
        for sheets in sorted((search.sheets, start), key=lambda found: merit(job, room, found)):
            ordered = sorted(sheets, key=lambda spots: -used_right(spots, room.fine))
            result = placed(stock, ordered)
            faults = find_faults(job, result)
            if not faults:
                return NestResult(result.sheets, tuple(notes), stopped)
            notes.append("an illegal layout was refused")
        raise NestError(*(Fault("nest-illegal", sentence) for sentence in faults))


def check_seconds(seconds: float) -> None:
    """Nothing; raises NestError when the seconds are no time."""
    if not math.isfinite(seconds) or seconds < 0:
        raise NestError(
            Fault(
                "nest-seconds",
                f"A search of {seconds:g} seconds is no search.",
                hint="Give seconds that are finite and not negative.",
            )
        )
