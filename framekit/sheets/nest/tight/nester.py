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
from framekit.sheets.nest.packing_job import check_job, make_packing_job, placements_of
from framekit.sheets.nest.quick.nester import best_sheets, make_packer, merit
from framekit.sheets.nest.quick.packing import Effort
from framekit.sheets.nest.tight.engine import check_engine
from framekit.sheets.nest.tight.search import Clock, Tightener
from framekit.sheets.protocol import NestJob, NestProgress, NestResult, Progress

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

    def nest(self, job: NestJob, progress: Progress | None = None) -> NestResult:
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
        report = progress or (lambda _: None)

        def report_start(state: NestProgress) -> None:
            total = max(1, math.ceil(seconds))
            done = min(total, int(clock.spent))
            report(NestProgress(done, total, state.best, f"first layout: {state.note}"))

        packing = make_packing_job(job)
        if not packing.units:
            return NestResult(())
        packer = make_packer(job, packing, self.effort)
        start = best_sheets(job, packer, packing.wanted, report_start)
        search = Tightener(packer, job.spacing, start, clock, report)
        stopped = False
        try:
            search.run()
        except KeyboardInterrupt:
            stopped = True
        notes = [f"spyrrow: {failure}" for failure in search.notes]
        if seconds > 0 and not search.searched and not stopped:
            notes.append("no time was left for a search after the first layout")
        if stopped:
            notes.append("stopped early with the best layout so far")
        for sheets in sorted((search.sheets, start), key=lambda found: merit(job, packer, found)):
            ordered = sorted(sheets, key=lambda spots: -used_right(spots, packer.fine))
            result = placements_of(packing, ordered)
            faults = find_faults(job, result)
            if not faults:
                return NestResult(result.sheets, tuple(notes), stopped)
            notes.append("an illegal layout was refused")
        hint = "Report it: the nester is at fault. Or use the nester 'quick'."
        raise NestError(*(Fault("nest-illegal", what, hint=hint) for what in faults))


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
