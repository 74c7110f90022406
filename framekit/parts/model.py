"""What the parts stage hands on: flat finished outlines, each with a pose in space."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from framekit.errors import Where
from framekit.geometry.path import Outline, Path, Point
from framekit.solution.model import FrameSolution, Solution

Point3 = tuple[float, float, float]
Pose = tuple[
    tuple[float, float, float, float],
    tuple[float, float, float, float],
    tuple[float, float, float, float],
    tuple[float, float, float, float],
]
"""A 4 × 4 matrix, row by row, that takes a part's own mm axes to the frame's."""


ROUND_KINDS = ("disc", "flange")
"""The kinds of part that are cut from `disc_sheet`, where there is one."""


def kerf_name(frame: FrameSolution, kind: str) -> str:
    """Return the name of the kerf that a kind of part is cut with."""
    own = kind in ROUND_KINDS and frame.spec.disc_sheet is not None
    return "disc_sheet.kerf" if own else "cutter.kerf"


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
class Remark:
    """What is to be known of an assembled frame and is no error.

    `code` is its kind, `parts` the ids of what it is about, `text` a sentence that stands alone.
    `loose` says in a few words what those parts can do that a pass promises they cannot, such as
    'can tip'; empty where the remark does not contradict a pass.
    """

    code: str
    parts: tuple[str, ...]
    text: str
    loose: str = ""

    @property
    def contradicts_pass(self) -> bool:
        """Whether the parts are not held by the cut alone, which a pass promises."""
        return bool(self.loose)


class Balance(NamedTuple):
    """The `mass` of a set of parts in g and their `centre` of mass in mm in the frame's axes."""

    mass: float
    centre: Point3


class Settled(NamedTuple):
    """How a hung frame comes to rest.

    `tilt` is the angle in degrees, 0 to 180, between the body's axis and straight up; `azimuth`
    is the frame's longitude in degrees, 0 to 360, that then lies uppermost, the hanging point's
    as seen from the centre of mass; 0 when the axis is plumb.
    """

    tilt: float
    azimuth: float


class HangHole(NamedTuple):
    """A hole in one part: its centre `at` in the part's own axes, the `point` in the frame's
    axes, and the least material left round it, `web`; mm."""

    part: str
    at: Point
    point: Point3
    web: float


class Hanging(NamedTuple):
    """The holes a frame hangs by, one or the two of a loop, and how it comes to rest.

    `point` is what lies above the centre of mass: the hole's centre, or the middle between the
    loop's holes. Tie a loop so that it cannot run through. `settled` is the tilt and azimuth;
    `remarks` say what else keeps the parts hung from in place.
    """

    holes: tuple[HangHole, ...]
    diameter: float
    point: Point3
    settled: Settled
    remarks: tuple[Remark, ...] = ()


class StandReport(NamedTuple):
    """What a stand comes to; lengths in mm, angles in degrees.

    `tilt` of the axis from upright; `pose` takes the stand's axes to the frame's; `margin` from
    the centre of mass's plumb line to the nearest edge of the feet's outline;
    `tipping_angle` by which body and stand may be tilted before they fall, the stand's own
    weight left out; `centre_height` of the body's centre of mass over the table; `height` of the
    stand; `reaches` of plate 1 to the side
    away from the lean and toward it, and of plate 2; `web` the least material over or under the
    lap; `remarks` on how it holds.
    """

    tilt: float
    pose: Pose
    margin: float
    tipping_angle: float
    centre_height: float
    height: float
    reaches: tuple[float, float, float]
    web: float
    remarks: tuple[Remark, ...]


class Contact(NamedTuple):
    """A place where a rib's outer edge meets a cradle.

    `rib` counts from 1 in the order of the longitudes; `plate` is 1 or 2; `point` in mm and unit
    `normal` out of the body are in the stand's axes. `protrusion` is how far in mm the rib's faces
    stick out of the skin there; `push` the share of the weight that it carries, of many
    possible shares one.
    """

    rib: int
    plate: int
    point: Point3
    normal: Point3
    protrusion: float
    push: float


class Contacts(NamedTuple):
    """How a frame rests: its contacts, the `margin` in mm from the plumb line of the centre of
    mass to the edge of their outline seen from above, the ways it is `free` to turn or slide
    without rubbing (0 to 6), and remarks on it."""

    contacts: tuple[Contact, ...]
    margin: float
    free: int
    remarks: tuple[Remark, ...]


class FrameDisplay(NamedTuple):
    """How a frame is shown: `balance` is that of the frame without its stand; `hanging`, `stand`
    and `contacts` are None where the spec asks for none."""

    balance: Balance
    hanging: Hanging | None
    stand: StandReport | None
    contacts: Contacts | None


@dataclass(frozen=True)
class FrameParts:
    """The parts of one frame, ribs first, and the solution they came from.

    `display` says how the frame stands or hangs, where the spec asks for it.
    """

    solution: FrameSolution
    parts: tuple[Part, ...]
    display: FrameDisplay | None = None

    @property
    def display_remarks(self) -> tuple[Remark, ...]:
        """The remarks on how the frame hangs, on its stand and on how it rests there."""
        if self.display is None:
            return ()
        shown = (self.display.hanging, self.display.stand, self.display.contacts)
        return tuple(remark for one in shown if one is not None for remark in one.remarks)

    def part(self, part_id: str) -> Part:
        """The part of that id; raises KeyError when there is none."""
        for part in self.parts:
            if part.id == part_id:
                return part
        raise KeyError(part_id)


@dataclass(frozen=True)
class AssemblyReport:
    """The result of the assembly test: which parts hold each part, the greatest `protrusion` of a
    rib's edge from the skin in mm, and remarks on what else the parts can do. `parts` are those
    that it tested."""

    holders: dict[str, tuple[str, ...]]
    protrusion: float
    remarks: tuple[Remark, ...]
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class Parts:
    """The parts of every frame of a spec, and the report of each frame's assembly test.

    `reports` is empty where the solids were not tested. `test_pieces` says that the parts are
    pieces to measure, such as a coupon's, which nobody puts together: no test of a frame is asked
    of them.
    """

    solution: Solution
    frames: tuple[FrameParts, ...]
    reports: tuple[AssemblyReport, ...] = ()
    test_pieces: bool = False

    @property
    def remarks(self) -> tuple[tuple[Remark, ...], ...]:
        """The remarks on each frame: of its assembly test, then on its stand."""
        return tuple((*self.tested_remarks(frame), *frame.display_remarks) for frame in self.frames)

    def tested_remarks(self, frame: FrameParts) -> tuple[Remark, ...]:
        """The remarks of a frame's assembly test, none where its solids were not tested."""
        of_frame = (r.remarks for r in self.reports if r.parts == frame.parts)
        return next(of_frame, ())

    @property
    def untested(self) -> tuple[FrameParts, ...]:
        """The frames whose parts, as they are now, no report is of."""
        return tuple(
            frame
            for frame in self.frames
            if not any(report.parts == frame.parts for report in self.reports)
        )

    @property
    def all(self) -> tuple[Part, ...]:
        """All parts of all frames, in order."""
        return tuple(part for frame in self.frames for part in frame.parts)
