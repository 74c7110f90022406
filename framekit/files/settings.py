"""The few settings of a spec that the cut-file backends need."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from framekit.parts.model import Part, kerf_name
from framekit.sheets.model import Sheets
from framekit.spec.defaults import STROKES

OPERATIONS = ("mark", "inside", "outside")
"""What is done to a part, in this order: lines drawn on it, holes in it, its own outline."""


@dataclass(frozen=True)
class CutSettings:
    """How cut files are drawn: kerf in mm, who makes up for it, colours, and what they are for.

    `kerf` is the first frame's; `kerfs` has every frame's by its id and the kind of part, since a
    kerf may follow from the material. With `compensate` `file` the file's paths are the cutter's
    middle line; with `machine` they are the finished outline. `strokes` has a colour `#rrggbb` for
    each of `OPERATIONS`.
    """

    kerf: float
    compensate: str
    process: str
    strokes: Mapping[str, str]
    id: str
    title: str
    kerfs: Mapping[tuple[str, str], float]

    def offset_of(self, part: Part) -> float:
        """How far in mm the paths of a part lie outward of the finished outline."""
        kerf = self.kerfs.get((part.frame, part.kind), self.kerf)
        return kerf / 2 if self.compensate == "file" else 0.0

    @property
    def kerf_words(self) -> str:
        """The kerf, or the least and greatest where frames differ, in mm."""
        least, most = (pick([*self.kerfs.values(), self.kerf]) for pick in (min, max))
        return f"{least:.4g} mm" if least == most else f"{least:.4g} to {most:.4g} mm"

    @property
    def offset(self) -> float:
        """How far in mm the file's paths lie outward of the finished outline."""
        return self.kerf / 2 if self.compensate == "file" else 0.0


def cut_settings(sheets: Sheets) -> CutSettings:
    """The cut settings of the spec behind the sheets; its frames share one cutter."""
    solution = sheets.parts.solution
    frame = solution.frames[0]
    cutter = frame.spec.cutter
    strokes: dict[str, str] = {}
    for operation in OPERATIONS:
        given: str | None = getattr(cutter.strokes, operation)
        strokes[operation] = given or STROKES[operation]
    return CutSettings(
        kerf=frame.value("cutter.kerf"),
        compensate=cutter.compensate,
        process=cutter.process,
        strokes=MappingProxyType(strokes),
        id=solution.spec.id,
        title=solution.spec.title,
        kerfs=MappingProxyType(
            {
                (f.solution.spec.id, part.kind): f.solution.value(kerf_name(f.solution, part.kind))
                for f in sheets.parts.frames
                for part in f.parts
            }
        ),
    )
