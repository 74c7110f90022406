"""Laws with the full names of their quantities, and the discs that they are about."""

from __future__ import annotations

from typing import NamedTuple

from framekit.constraints.plan import Relation
from framekit.constraints.uncertainty import Toleranced
from framekit.joints.protocol import End, JointStyle
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


TWO_SHEETS: Renaming = (
    ("sheet.thickness", "disc_sheet.thickness"),
    ("joint.slot_width", "joint.notch_width"),
    ("made.thickness", "made.disc_thickness"),
)
"""What a law about a disc's own thickness, or a notch that takes it, means with a second sheet."""

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


def disc_sheet(frame: FrameSpec) -> Renaming:
    """Return the renaming of laws that speak of a disc's thickness."""
    return () if frame.disc_sheet is None else TWO_SHEETS


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
    back = {there: here for here, there in TWO_SHEETS}
    if template in back:
        return back[template], TWO_SHEETS
    of_disc = template.startswith("disc.") and template != "disc.slot_web"
    return template, disc_sheet(frame) if of_disc else ()


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
