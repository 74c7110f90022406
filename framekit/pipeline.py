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
from framekit.errors import BuildError, Fault, StockError
from framekit.parts.build import make_parts
from framekit.parts.model import AssemblyReport, FrameParts, Parts
from framekit.parts.verify.check import check_assembly
from framekit.solution.meridian import meridian_of
from framekit.solution.model import Attempt, FrameSolution, Solution
from framekit.spec.build import load_spec
from framekit.spec.model import Spec

if TYPE_CHECKING:
    from framekit.files.model import Files
    from framekit.sheets.model import Sheets, Shortage
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
    reports: tuple[AssemblyReport, ...]


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
    if solution.failed:
        return Verified(solution, None, ())
    return Verified(solution, *_tested_parts(solution, progress or _silent))


def _tested_parts(solution: Solution, report: Progress) -> tuple[Parts, tuple[AssemblyReport, ...]]:
    """The parts of a solution and the report of each frame's assembly test; raises BuildError."""
    parts = make_parts(solution)
    reports = []
    for number, frame in enumerate(parts.frames):
        report(f"testing the solids{_of(number, len(parts.frames))}", number / len(parts.frames))
        reports.append(assembly_report(frame))
    return replace(parts, reports=tuple(reports)), tuple(reports)


def assembly_report(frame: FrameParts) -> AssemblyReport:
    """Return the report of a frame's assembly test; raises BuildError."""
    return check_assembly(frame, meridian_of(frame.solution))


def nest(parts: Parts, nester: str = "quick") -> Sheets:
    """The parts placed on sheets, labelled and in cutting order; raises NestError."""
    from framekit.sheets.build import nest_parts

    return nest_parts(parts, nester).sheets


def write(sheets: Sheets, folder: str | Path, backends: Sequence[str] = STANDARD_BACKENDS) -> Files:
    """The files of finished sheets, written to `folder`; raises WriteError."""
    from framekit.files.build import write_sheets

    return write_sheets(sheets, folder, backends)


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
    solution = solved.whole()
    if solution.failed and not despite_failures:
        if len(solution.frames) > 1 and planned is not None:
            _plan_passing(solution, nester, planned)
        raise BuildError(
            *(
                Fault(
                    "check-failed",
                    f"{_frame_prefix(frame, solution)}{check.code} of {check.about}: "
                    f"{check.margin:+.2f} mm. {check.text}",
                    check.where,
                    f"It depends most on {check.limited_by}.",
                )
                for frame in solution.frames
                for check in frame.failed
            )
        )
    parts = make_parts(solution) if solution.failed else _tested_parts(solution, report)[0]
    kept = layout_file(spec_file, batch)
    report("nesting", 0.0)
    nested = nest_parts(parts, nester, kept, nest_again, _nesting(report), seconds)
    log.info("%d sheets, layout %s", len(nested.sheets.sheets), nested.sheets.why)
    if planned is not None:
        planned(nested.sheets)
    if nested.sheets.short and not despite_failures:
        raise StockError(*map(_shortage, nested.sheets.short))
    report("writing", None)
    target = Path(folder) if folder is not None else Path(spec_file).parent / solution.spec.id
    elsewhere: dict[str, tuple[Path, Document]] = {}
    if not _has(kept, nested.layout):
        elsewhere["layout"] = (kept.parent, Document(kept.name, nested.layout.encode()))
    return write_sheets(nested.sheets, target, backends, elsewhere)


def _frame_prefix(frame: FrameSolution, solution: Solution) -> str:
    """Which of several frames a sentence is about; nothing for one alone."""
    return f"{frame.spec.id}: " if len(solution.frames) > 1 else ""


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


def _shortage(short: Shortage) -> Fault:
    return Fault(
        "stock-runs-out",
        short.text,
        hint="Add sheets to 'stock', make the models smaller, or take frames out of the set.",
    )


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
