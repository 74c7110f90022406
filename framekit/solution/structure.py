"""A frame's structure: body, joint, placed discs, flanges and the laws in force, found once."""

from __future__ import annotations

from dataclasses import dataclass

from framekit.bodies.build import body_of
from framekit.bodies.model import Skin
from framekit.bodies.protocol import BodyShape
from framekit.catalogue.load import material as catalogue_material
from framekit.catalogue.model import MaterialRow
from framekit.errors import Fault, SolveError, Where
from framekit.joints.build import joint_of
from framekit.joints.protocol import JointStyle
from framekit.solution.book import Book, book_of
from framekit.solution.placement import refuse_misplaced
from framekit.solution.relations import (
    ALTERNATE,
    LawUse,
    PlacedDisc,
    Renaming,
    laws_of,
    place_discs,
)
from framekit.spec.model import FrameSpec

SECTION = {"rib": "ribs", "alternate": "ribs", "scale": "body", "model": "body"}
"""The spec's section for a quantity whose name starts otherwise."""


@dataclass(frozen=True, eq=False)
class Structure:
    """What a frame is made of, before any number is known.

    `body` is the kind of its body, `skin` that body's skin, `joint` how its ribs and discs hold
    each other, `discs` its discs with their ends and joints, `longitudes` those of its ribs in
    degrees. `material` is the ribs', `disc_material` the discs' and flanges'. `laws` hold in it,
    `book` has their formulas.
    """

    spec: FrameSpec
    body: BodyShape
    skin: Skin
    joint: JointStyle
    discs: tuple[PlacedDisc, ...]
    longitudes: tuple[float, ...]
    material: MaterialRow
    disc_material: MaterialRow
    laws: tuple[LawUse, ...]
    book: Book

    @property
    def slotted(self) -> bool:
        """Whether ribs enter slots in the discs between the body's ends."""
        return self.joint.at(None).slotted

    @property
    def flanges(self) -> range:
        """The numbers of the flanges, from 1."""
        return range(1, len(self.spec.flanges) + 1)

    @property
    def disc_thickness(self) -> str:
        """The name of the thickness of the discs' sheet."""
        return "sheet.thickness" if self.spec.disc_sheet is None else "disc_sheet.thickness"

    @property
    def rib_kinds(self) -> tuple[Renaming, ...]:
        """What laws about a rib mean for each distinct rib: the first, and every other one."""
        return ((),) if self.spec.ribs.alternate is None else ((), ALTERNATE)

    @property
    def is_relieved(self) -> bool:
        """Whether inside corners of the frame are cut beyond for a router's round tool."""
        joint = self.spec.joint
        if self.spec.cutter.process != "router":
            return False
        asked = self.joint.at_ends or bool(self.spec.flanges)
        return joint.relief == "all" or (joint.relief == "auto" and asked)

    def entry_of(self, name: str) -> int | None:
        """Return the place in the spec's list of the disc that a quantity's name is of."""
        head, _, number = name.partition(".")[0].partition("-")
        if head != "disc" or not number:
            return None
        return self.discs[int(number) - 1].entry

    def place_of(self, name: str) -> Where:
        """Return the place in the spec of what a quantity's name is of."""
        entry = self.entry_of(name)
        if entry is not None:
            return self.spec.where("discs", entry)
        head = name.partition(".")[0]
        return self.spec.where(SECTION.get(head, head))


def find_structure(frame: FrameSpec) -> Structure:
    """Return the structure of a frame.

    Raise UnknownNameError for a body, joint or material that there is none of, SpecError for a
    profile that is none, and SolveError for discs, ribs or sizes that do not go together.
    """
    material = catalogue_material(frame.material, frame.where("sheet", "material"))
    joint, body = joint_of(frame), body_of(frame)
    skin = body.skin(frame)
    discs = place_discs(frame, joint)
    refuse_misplaced(frame, skin, joint, discs)
    disc_material = material
    if frame.disc_sheet is not None:
        where = frame.where("disc_sheet", "material")
        disc_material = catalogue_material(frame.disc_material, where)
    return Structure(
        spec=frame,
        body=body,
        skin=skin,
        joint=joint,
        discs=discs,
        longitudes=longitudes_of(frame),
        material=material,
        disc_material=disc_material,
        laws=laws_of(frame, skin, discs),
        book=book_of(skin, joint),
    )


def longitudes_of(frame: FrameSpec) -> tuple[float, ...]:
    """Return the longitude of each rib in degrees, less a sector cut away.

    Raise SolveError where the sector leaves fewer than two ribs.
    """
    ribs = frame.ribs
    found = ribs.longitudes
    if found is None:
        count = ribs.count or 0
        found = tuple(360.0 * i / count for i in range(count))
    if ribs.cut_away is None:
        return tuple(found)
    start, stop = ribs.cut_away
    wide = (stop - start) % 360.0
    kept = tuple(x for x in found if not 1e-9 < (x - start) % 360.0 < wide - 1e-9)
    if len(kept) < 2:
        raise SolveError(
            Fault(
                "too-few-ribs",
                f"the sector cut away leaves {len(kept)} of {len(found)} ribs",
                frame.where("ribs", "cut_away"),
                "Cut away less, or use more ribs.",
            )
        )
    return kept


def least_angle(longitudes: tuple[float, ...]) -> float:
    """Return the least angle between neighbours in degrees; `longitudes` has shape (n,), n ≥ 2."""
    turned = sorted(angle % 360.0 for angle in longitudes)
    return min(
        second - first
        for first, second in zip(turned, [*turned[1:], turned[0] + 360.0], strict=True)
    )
