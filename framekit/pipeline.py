"""The recipe: spec → solution → parts → sheets → files, top to bottom.

The last two stages stand on numpy and shapely, 100 ms to import, and are imported when they are
reached: a check goes no farther than the parts.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from framekit.analysis.build import attempt_spec
from framekit.errors import BuildError
from framekit.parts.build import make_parts
from framekit.parts.model import AssemblyReport, Parts
from framekit.parts.tested import assembly_report as assembly_report
from framekit.parts.tested import checked_parts, tested_parts
from framekit.solution.check_words import failure_faults
from framekit.solution.model import Attempt, Solution
from framekit.spec.build import load_spec
from framekit.spec.model import Spec

if TYPE_CHECKING:
    from framekit.files.model import Files
    from framekit.sheets.model import Sheets
    from framekit.sheets.protocol import NestProgress

STANDARD_BACKENDS = ("svg", "dxf")
"""The kinds of file a build writes unless told otherwise."""

Progress = Callable[[str, float | None], None]
"""Told what goes on and how much of it is done, 0 to 1, None when that is not known."""


@dataclass(frozen=True)
class Verified:
    """A solved spec whose parts passed the assembly test; `parts` is None where a check failed."""

    solution: Solution
    parts: Parts | None

    @property
    def reports(self) -> tuple[AssemblyReport, ...]:
        """The report of each frame's assembly test; none where a check failed."""
        return () if self.parts is None else self.parts.reports


def solve_file(
    spec_file: str | Path, batch: str | None = None, progress: Progress | None = None
) -> Attempt:
    """Return what became of a file's frames when solved, for a batch of the spec if one is named.

    Raises SpecError, SolveError or UnknownNameError.
    """
    (progress or _silent)("solving", None)
    return attempt_spec(spec_for(spec_file, batch))


def verify(spec: str | Path | Solution, progress: Progress | None = None) -> Verified:
    """Return a spec file or a solution built and tested as solids, if every check passes.

    Raises SpecError, SolveError, UnknownNameError, GeometryError or BuildError.
    """
    solution = spec if isinstance(spec, Solution) else solve_file(spec, None, progress).whole()
    checked, parts = made_of(solution)
    if parts is None or checked.failed:
        return Verified(checked, None)
    return Verified(checked, verify_parts(parts, progress))


def made_of(solution: Solution) -> tuple[Solution, Parts | None]:
    """Return a solution with the checks of its parts, and the parts.

    A solution that fails without them comes back as it is, with None. Raises GeometryError.
    """
    if solution.failed:
        return solution, None
    parts = check_parts(make_parts(solution))
    return parts.solution, parts


def check_parts(parts: Parts) -> Parts:
    """Return the parts with the checks of what was made among those of their solution.

    They say whether the cutter can run each outline, whether a stand goes on the sheet, and whether
    bridges find an edge.
    """
    bridged = [f for f in parts.frames if f.solution.spec.cutter.bridges is not None]
    if not bridged:
        return checked_parts(parts)
    from framekit.sheets.route.bridges import bridge_checks  # it stands on shapely

    return checked_parts(parts, {f.solution.spec.id: bridge_checks(f) for f in bridged})


def verify_parts(parts: Parts, progress: Progress | None = None) -> Parts:
    """Return the parts with their checks and the report of each frame's assembly test.

    Only such parts are written. Raises BuildError where a check failed, or where the solids do not
    go together.
    """
    report = progress or _silent

    def forward(number: int, count: int) -> None:
        report(f"testing the solids{_of(number, count)}", number / count)

    return tested_parts(check_parts(parts), forward)


def nest(parts: Parts, nester: str = "quick") -> Sheets:
    """The parts placed on sheets, labelled and in cutting order; raises NestError."""
    from framekit.sheets.build import nest_parts

    return nest_parts(parts, nester).sheets


def write(
    sheets: Sheets,
    folder: str | Path,
    backends: Sequence[str] = STANDARD_BACKENDS,
    *,
    despite_failures: bool = False,
) -> Files:
    """The files of finished sheets, written to `folder`.

    Unless `despite_failures`, raises BuildError where a check failed or the solids of the parts
    were not tested, and StockError where parts found no place. Raises WriteError,
    UnknownNameError for an unknown backend, and GeometryError where a part is too fine for the
    kerf.
    """
    from framekit.files.build import write_sheets

    return write_sheets(_allowed(sheets, despite_failures), folder, backends)


def _allowed(sheets: Sheets, despite_failures: bool) -> Sheets:
    return replace(sheets, despite_failures=True) if despite_failures else sheets


def build(
    spec_file: str | Path,
    folder: str | Path | None = None,
    *,
    backends: Sequence[str] = STANDARD_BACKENDS,
    nester: str = "quick",
    nest_again: bool = False,
    seconds: float | None = None,
    despite_failures: bool = False,
    progress: Progress | None = None,
    batch: str | None = None,
    planned: Callable[[Sheets], None] | None = None,
    solved: Attempt | None = None,
) -> Files:
    """Every file of a spec, in `folder` or a folder beside the spec named after its id.

    The layout is kept beside the spec and used again while nothing it depends on changes;
    `nest_again` looks for a better one, in `seconds` where the nester searches by the clock. With
    `batch` the sheets are those of a pile that the spec
    names, and files, folder and layout carry its name. Raises BuildError when a check fails, unless
    `despite_failures`; then the parts' assembly test is left out too. `planned` is told the sheets
    before anything is written. `solved` is what `solve_file` gave for the same file and batch, and
    saves solving them again. Raises StockError when the sheets at hand run out, unless
    `despite_failures`. Other errors as in `verify`, `nest` and `write`. Nothing is written unless
    everything can be.
    """
    import logging  # 4 ms to import, and a check has nothing to log

    from framekit.files.build import write_sheets
    from framekit.files.model import Document
    from framekit.sheets.build import nest_parts

    log = logging.getLogger("framekit")
    report = progress or _silent
    log.info("building %s", spec_file)
    solved = solved or solve_file(spec_file, batch, progress)
    if solved.faults and planned is not None:
        _plan_passing(solved.solution, nester, planned)
    solution, parts = made_of(solved.whole())
    if solution.failed and not despite_failures:
        if len(solution.frames) > 1 and planned is not None:
            _plan_passing(solution, nester, planned)
        raise BuildError(*failure_faults(solution))
    parts = parts or make_parts(solution)
    if not solution.failed:
        parts = verify_parts(parts, progress)
    kept = layout_file(spec_file, batch)
    report("nesting", 0.0)
    nested = nest_parts(parts, nester, kept, nest_again, _nesting(report), seconds)
    log.info("%d sheets, layout %s", len(nested.sheets.sheets), nested.sheets.why)
    if planned is not None:
        planned(nested.sheets)
    report("writing", None)
    target = Path(folder) if folder is not None else Path(spec_file).parent / solution.spec.id
    elsewhere: dict[str, tuple[Path, Document]] = {}
    if not _has(kept, nested.layout):
        elsewhere["layout"] = (kept.parent, Document(kept.name, nested.layout.encode()))
    return write_sheets(_allowed(nested.sheets, despite_failures), target, backends, elsewhere)


def _plan_passing(solution: Solution, nester: str, planned: Callable[[Sheets], None]) -> None:
    """Tell the sheets of the frames whose checks pass, where others of the set fail."""
    from framekit.sheets.build import nest_parts

    sound = tuple(frame for frame in solution.frames if not frame.failed)
    if sound:
        parts = make_parts(replace(solution, frames=sound))
        planned(nest_parts(parts, nester).sheets)


def _of(number: int, count: int) -> str:
    """Which of several, as a title says it; nothing for one alone."""
    return f", frame {number + 1} of {count}" if count > 1 else ""


def spec_for(spec_file: str | Path, batch: str | None = None) -> Spec:
    """The spec in a file, for one of its batches where that is named.

    Raises SpecError, or UnknownNameError for a batch it does not have.
    """
    spec = load_spec(spec_file)
    if batch is None:
        return spec
    from framekit.calibration.batches import for_batch  # few builds name one

    return for_batch(spec, batch)


def layout_file(spec_file: str | Path, batch: str | None = None) -> Path:
    """Where a layout is kept: beside the spec, `NAME.layout.json`, or `NAME-BATCH.layout.json`."""
    path = Path(spec_file)
    if batch is None:
        return path.with_name(path.stem + ".layout.json")
    from framekit.calibration.batches import plain_name

    return path.with_name(f"{path.stem}-{plain_name(batch)}.layout.json")


def _has(path: Path, text: str) -> bool:
    return path.is_file() and path.read_bytes() == text.encode()


def _silent(what: str, share: float | None) -> None:
    """Say nothing."""


def _nesting(report: Progress) -> Callable[[NestProgress], None]:
    def forward(state: NestProgress) -> None:
        share = state.done / state.total if state.total else None
        report(f"nesting: {state.note}" if state.note else "nesting", share)

    return forward
