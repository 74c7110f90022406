"""A frame's structure: its body, joint, placed discs, flanges and the laws in force."""

from __future__ import annotations

from dataclasses import dataclass

from framekit.bodies.model import Skin
from framekit.bodies.protocol import BodyShape
from framekit.catalogue.model import MaterialRow
from framekit.errors import Where
from framekit.joints.protocol import JointStyle
from framekit.solution.book import Book
from framekit.solution.relations import ALTERNATE, LawUse, PlacedDisc, Renaming
from framekit.spec.model import FrameSpec

SECTION = {"rib": "ribs", "alternate": "ribs"}
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

    @property
    def relieves_slots(self) -> bool:
        """Whether the corners of slots are cut beyond as well as those of mortises and flanges."""
        return self.is_relieved and self.spec.joint.relief == "all"

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
