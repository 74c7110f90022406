"""What the parts stage hands on: flat finished outlines, each with a pose in space."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from framekit.errors import Where
from framekit.geometry.path import Outline, Path
from framekit.solution.model import FrameSolution, Solution

if TYPE_CHECKING:
    from framekit.parts.display.build import Shown

Pose = tuple[
    tuple[float, float, float, float],
    tuple[float, float, float, float],
    tuple[float, float, float, float],
    tuple[float, float, float, float],
]
"""A 4 × 4 matrix, row by row, that takes a part's own mm axes to the frame's."""


@dataclass(frozen=True)
class Part:
    """One finished flat piece.

    `outline` is the piece after cutting, in its own plane, mm; the solid is that outline swept
    half the `thickness` (mm) to each side along its own z; `pose` takes it to the frame's axes,
    whose z is the body's axis. `marks` are drawn or scored lines, mm; `crossings` are closed paths
    about the places where other parts cross it, mm. `mass` is in grams.
    """

    id: str
    kind: str
    frame: str
    title: str
    thickness: float
    material: str
    outline: Outline
    marks: tuple[Path, ...]
    crossings: tuple[Path, ...]
    pose: Pose
    mass: float
    origin: Where


@dataclass(frozen=True)
class FrameParts:
    """The parts of one frame, ribs first, and the solution they came from.

    `shown` says how the frame stands or hangs, where the spec asks for it.
    """

    solution: FrameSolution
    parts: tuple[Part, ...]
    shown: Shown | None = None

    def part(self, part_id: str) -> Part:
        """The part of that id; raises KeyError when there is none."""
        for part in self.parts:
            if part.id == part_id:
                return part
        raise KeyError(part_id)


@dataclass(frozen=True)
class Parts:
    """The parts of every frame of a spec."""

    solution: Solution
    frames: tuple[FrameParts, ...]

    @property
    def all(self) -> tuple[Part, ...]:
        """All parts of all frames, in order."""
        return tuple(part for frame in self.frames for part in frame.parts)
