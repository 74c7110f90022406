"""Laws with the full names of their quantities, and the discs that they are about."""

from __future__ import annotations

from typing import NamedTuple

from framekit.constraints.plan import Relation
from framekit.constraints.uncertainty import Toleranced
from framekit.joints.protocol import Cut, End, JointStyle
from framekit.solution.book import Book
from framekit.spec.model import FrameSpec
from framekit.spec.sections import Disc

IMPLIED = frozenset({"scale-flattening", "scale-height"})
"""Laws that follow from others and are kept because they give a shorter way."""


Renaming = tuple[tuple[str, str], ...]


class LawUse(NamedTuple):
    """A law that holds: for the frame (disc 0), a disc mirrored from `original` (0: not), a flange.

    `renamed` are pairs of names: where the law says the first, the second is meant.
    """

    law: str
    disc: int = 0
    original: int = 0
    flange: int = 0
    renamed: Renaming = ()


class PlacedDisc(NamedTuple):
    """A disc of the frame: its number, its entry in the spec, its original when mirrored.

    `disc` is what the spec says of it, `end` the open end it is flush with, `joint` how the ribs
    hold it.
    """

    number: int
    entry: int
    original: int
    disc: Disc
    end: End | None
    joint: JointStyle

    @property
    def name(self) -> str:
        """The disc's name, `disc-3`."""
        return f"disc-{self.number}"


def place_discs(frame: FrameSpec, joint: JointStyle) -> tuple[PlacedDisc, ...]:
    """Return the frame's discs in the order of the spec, mirrored ones after their original."""
    discs: list[PlacedDisc] = []
    for entry, disc in enumerate(frame.discs):
        end = None if disc.at is None else disc.at.end
        discs.append(PlacedDisc(len(discs) + 1, entry, 0, disc, end, joint.at(end)))
        if disc.mirrored:
            other: End | None = None if end is None else ("top" if end == "bottom" else "bottom")
            number = len(discs) + 1
            discs.append(PlacedDisc(number, entry, number - 1, disc, other, joint.at(other)))
    return tuple(discs)


_THICKNESS: Renaming = (
    ("sheet.thickness", "disc_sheet.thickness"),
    ("made.thickness", "made.disc_thickness"),
)
_NOTCH: Renaming = (
    ("joint.slot_width", "joint.notch_width"),
    ("joint.clearance", "joint.notch_clearance"),
    ("made.clearance", "made.notch_clearance"),
)
_KERF: Renaming = (("cutter.kerf", "disc_sheet.kerf"), ("made.kerf", "made.disc_kerf"))
TWO_SHEETS: Renaming = (*_THICKNESS, *_NOTCH)
"""What a law about a notch in a rib, and the disc in it, means with a second sheet."""
CUTS: dict[Cut, Renaming] = {
    "rib": (),
    "tooth": _NOTCH,
    "notch": TWO_SHEETS,
    "slot": _KERF,
    "disc": (*_THICKNESS, *_KERF),
}
"""What a law means where discs and flanges have a sheet of their own, by what it speaks of."""
FIRST_SHEET = {there: here for here, there in (*TWO_SHEETS, *_KERF)}
"""The names of the first sheet that those of a second one stand for where there is none."""
DESIGNED: Renaming = (*_THICKNESS, _NOTCH[0])
"""What a law of the design about a disc or flange means there: its thickness and its notch."""

ALTERNATE: Renaming = tuple(
    (f"rib.{name}", f"alternate.{name}")
    for name in (
        *("width_equator", "width_pole", "width_bottom", "width_top"),
        *("inner_equatorial_radius", "inner_polar_radius"),
        *("low_bend", "high_bend", "reach"),
    )
)
"""What a law about a rib's own edge means for every other rib."""
EVERY_OTHER = " in every other rib"
"""What the name of a check of every other rib ends in."""


def cut_in(frame: FrameSpec, cut: Cut) -> Renaming:
    """Return what a law means in the frame, by what it speaks of."""
    return () if frame.disc_sheet is None else CUTS[cut]


def followers(frame: FrameSpec) -> dict[str, str]:
    """Return what the second sheet has from the first, by the first's name.

    Its kerf is the cutter's where the spec gives that alone, and its notches are as loose as the
    slots where the spec says how loose those are, other than by a fit.
    """
    joint, cutter = frame.joint, frame.cutter
    if frame.disc_sheet is None:
        return {}
    found = {}
    if frame.disc_sheet.kerf is None and (cutter.kerf or cutter.tool_diameter):
        found["cutter.kerf"] = "disc_sheet.kerf"
    if joint.clearance is not None or sets_slots(frame):
        found["joint.clearance"] = "joint.notch_clearance"
    return found


def sets_slots(frame: FrameSpec) -> bool:
    """Whether the spec gives the slots' width and leaves the clearance to follow from it."""
    joint = frame.joint
    given = joint.slot_width is not None or joint.slot_width_drawn is not None
    return given and joint.clearance is None and joint.fit is None


def bind(use: LawUse, book: Book) -> Relation:
    """Return the law with the full names of its quantities."""
    law = book.design[use.law]
    names = (full_name(n, use.disc, use.original, use.flange) for n in law.quantities)
    return Relation(law, tuple(renamed(use.renamed, name) for name in names))


def renamed(renaming: Renaming, name: str) -> str:
    """Return the name that is meant where a law says `name`.

    >>> renamed(TWO_SHEETS, "sheet.thickness")
    'disc_sheet.thickness'
    """
    return dict(renaming).get(name, name)


def made_law(frame: FrameSpec, template: str) -> tuple[str, Renaming]:
    """Return the name of the law of what is made for a quantity, and what it means in the frame."""
    for renaming in (TWO_SHEETS, _KERF):
        back = {there: here for here, there in renaming}
        if template in back:
            return back[template], renaming
    cut = _MADE_CUTS.get(template, "notch" if template.startswith("disc.") else "rib")
    return template, cut_in(frame, cut)


_MADE_CUTS: dict[str, Cut] = {
    **dict.fromkeys(("disc.radius", "disc.bore_radius", "disc.joint_radius"), "disc"),
    **dict.fromkeys(("disc.slot_web", "joint.slot_width", "joint.gap"), "slot"),
}
"""Of what a quantity is cut, where that is neither a rib nor the notch of a disc."""


def as_meant(toleranced: tuple[Toleranced, ...], renaming: Renaming) -> tuple[Toleranced, ...]:
    """Return the toleranced inputs under the names that a renamed law has for them."""
    if not renaming:
        return toleranced
    back = {there: here for here, there in renaming}
    hidden = {here for here, _ in renaming}
    return tuple(
        item._replace(made=back.get(item.made, item.made))
        for item in toleranced
        if item.made not in hidden
    )


def full_name(template: str, disc: int, original: int = 0, flange: int = 0) -> str:
    """Return the full name of a law's quantity for one disc or flange.

    >>> full_name("disc.radius", 3)
    'disc-3.radius'
    """
    kind, _, rest = template.partition(".")
    numbers = {"disc": ("disc", disc), "original": ("disc", original), "flange": ("flange", flange)}
    if kind in numbers:
        return "{}-{}.{}".format(*numbers[kind], rest)
    return template
