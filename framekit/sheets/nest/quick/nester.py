"""The nester `quick`: repeatable, a counted number of passes, about a second for one frame.

Bores are filled first. What is left is packed by a search on a grid and squeezed on the exact
outlines. A job too large for one sheet is laid out twice: sheet by sheet, and, where the copies
allow it, as one sheet of whole sets that is repeated; the better layout is kept.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field

from framekit.errors import Fault, NestError, Where
from framekit.sheets.check import find_faults
from framekit.sheets.nest.compaction import Spot, used_right
from framekit.sheets.nest.packing_job import PackingJob, check_job, make_packing_job, placements_of
from framekit.sheets.nest.quick.packing import Effort, Packer
from framekit.sheets.nest.shapes import SearchShape, make_shape
from framekit.sheets.nest.turns import turns_for
from framekit.sheets.protocol import NestItem, NestJob, NestProgress, NestResult, Place, Progress

FINE = 0.1
"""How far in mm the outlines of the last squeeze may lie outside the exact ones."""
_DENSEST = 0.85
"""A set of parts that would fill more of a sheet than this is not tried."""


@dataclass(frozen=True)
class QuickNester:
    """A nester whose layout depends on the job and the `effort` alone."""

    effort: Effort = field(default_factory=Effort)
    name: str = "quick"

    def nest(self, job: NestJob, progress: Progress | None = None) -> NestResult:
        """A legal layout of every copy in the job.

        `progress` is called now and then; it does not change the layout.

        Raises:
            NestError: The job is not sound, a part cannot lie on the sheet at any rotation, or no
                legal layout came out.
        """
        check_job(job)
        report = progress or (lambda _: None)
        packing = make_packing_job(job)
        if not packing.units:
            return NestResult(())
        packer = make_packer(job, packing, self.effort)
        sheets = best_sheets(job, packer, packing.wanted, report)
        sheets.sort(key=lambda spots: -used_right(spots, packer.fine))
        result = placements_of(packing, sheets)
        faults = find_faults(job, result)
        if faults:
            hint = "Report it: the nester is at fault."
            raise NestError(*(Fault("nest-illegal", what, hint=hint) for what in faults))
        return result


def make_packer(job: NestJob, packing: PackingJob, effort: Effort) -> Packer:
    """Return the packer of a job's sheet; raise NestError for a part that fits at no turn."""
    size = job.width - 2 * job.margin, job.height - 2 * job.margin
    shapes = packing.shapes
    turns = turns_for(shapes, size)
    items = [job.items[group[0][0]] for group in packing.members]
    small = [
        _too_large(job, item, shape)
        for item, shape, angles in zip(items, shapes, turns, strict=True)
        if not angles
    ]
    if small:
        raise NestError(*small)
    fine = [
        shape if shape.round else make_shape(item.outer, job.spacing, FINE)
        for item, shape in zip(items, shapes, strict=True)
    ]

    def is_legal(spots: list[Spot], beyond: float = 0.0) -> bool:
        solid = tuple(
            NestItem(str(i), tuple((float(x), float(y)) for x, y in shapes[s.shape].exact))
            for i, s in enumerate(spots)
        )
        places = tuple(Place(i, 0, s.x, s.y, s.angle) for i, s in enumerate(spots))
        alone = NestJob(solid, job.width + beyond, job.height, job.margin, job.spacing)
        return not find_faults(alone, NestResult((places,)))

    return Packer(shapes, fine, turns, size, job.margin, effort, is_legal)


def _too_large(job: NestJob, item: NestItem, shape: SearchShape) -> Fault:
    x0, y0, x1, y1 = shape.extent(0.0)
    return Fault(
        "nest-too-large",
        f"{item.key} ({x1 - x0:.1f} × {y1 - y0:.1f} mm) does not fit a sheet of "
        f"{job.width:g} × {job.height:g} mm with a margin of {job.margin:g} mm at any rotation.",
        Where(path=item.key),
        "Use a larger sheet, a smaller margin or a smaller model.",
    )


def best_sheets(
    job: NestJob, packer: Packer, wanted: list[int], progress: Progress
) -> list[list[Spot]]:
    """The spots on each sheet of the better of the layouts tried; raises NestError."""
    alone = _packed(packer, wanted, progress, "packing one sheet")
    if alone is not None:
        return [alone]
    repeated = _repeated(packer, wanted, progress)
    if repeated is None:
        return _filled(packer, wanted, progress)
    most = len(repeated) if job.objective == "sheets" else None
    filled = _filled(packer, wanted, progress, most)
    if not filled:
        return repeated
    return min((filled, repeated), key=lambda sheets: merit(job, packer, sheets))


def merit(job: NestJob, packer: Packer, sheets: list[list[Spot]]) -> tuple[float, ...]:
    """What the objective wants least of."""
    used = [used_right(spots, packer.fine) + job.margin for spots in sheets]
    if job.objective == "length":
        return (sum(used),)
    return len(sheets), min(used)


def _packed(packer: Packer, wanted: list[int], progress: Progress, note: str) -> list[Spot] | None:
    def report(done: int, total: int, best: float | None) -> None:
        progress(NestProgress(done, total, best, note))

    return packer.pack(wanted, report)


def _filled(
    packer: Packer, wanted: list[int], progress: Progress, most: int | None = None
) -> list[list[Spot]]:
    """Sheets filled one after another, the last one packed short; raises NestError.

    No sheets as soon as it seems that they will be more than `most`: what is left is more than
    the sheets left would take if filled like the one before, and the first ones are the fullest.
    """
    sheets: list[list[Spot]] = []
    left = wanted
    while left:
        if most is not None and sheets:
            taken = _area(packer, [spot.shape for spot in sheets[-1]])
            if _area(packer, left) > (most - len(sheets)) * taken:
                return []
        note = f"filling sheet {len(sheets) + 1}"
        progress(NestProgress(len(wanted) - len(left), len(wanted), None, note))
        last = _packed(packer, left, progress, note) if sheets else None
        if last is not None:
            return [*sheets, last]
        spots, left = packer.fill(left)
        if not spots:
            what = "A part found no place on an empty sheet."
            raise NestError(Fault("nest-stuck", what, hint="Report it: the nester is at fault."))
        sheets.append(spots)
    return sheets


def _area(packer: Packer, shapes: list[int]) -> float:
    return sum(packer.fine[shape].solid for shape in shapes)


def _repeated(packer: Packer, wanted: list[int], progress: Progress) -> list[list[Spot]] | None:
    """One sheet of as many whole sets as it takes, repeated, and the rest packed; or None."""
    counts = Counter(wanted)
    sets = math.gcd(*counts.values())
    if sets < 2:
        return None
    one_set = [shape for shape in counts for _ in range(counts[shape] // sets)]
    area = sum(packer.fine[shape].solid for shape in one_set)
    most = int(_DENSEST * packer.size[0] * packer.size[1] / area)
    for each in range(min(most, sets - 1), 0, -1):
        spots = _packed(packer, one_set * each, progress, f"packing {each} sets on a sheet")
        if spots is None:
            continue
        full, rest = divmod(sets, each)
        sheets = [spots] * full
        if rest:
            last = _packed(packer, one_set * rest, progress, "packing the last sheet")
            sheets += [last] if last is not None else _filled(packer, one_set * rest, progress)
        return sheets
    return None
