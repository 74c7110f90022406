"""Which laws hold in a frame: a spec's structure, without its numbers."""

from __future__ import annotations

from typing import NamedTuple

from framekit.bodies.build import skin_of
from framekit.bodies.model import Skin
from framekit.constraints.plan import Relation
from framekit.constraints.uncertainty import Toleranced
from framekit.joints.build import TENON_LAWS, style_of
from framekit.solution.book import Book
from framekit.spec.model import FrameSpec

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
    """A disc of the frame: its number, its entry in the spec, its original when mirrored."""

    number: int
    entry: int
    original: int


def placed_discs(frame: FrameSpec) -> tuple[PlacedDisc, ...]:
    """The frame's discs in the order of the spec, mirrored ones after their original."""
    discs: list[PlacedDisc] = []
    for entry, disc in enumerate(frame.discs):
        discs.append(PlacedDisc(len(discs) + 1, entry, 0))
        if disc.mirrored:
            discs.append(PlacedDisc(len(discs) + 1, entry, len(discs)))
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
    )
)
"""What a law about a rib's width means for every other rib."""


def disc_sheet(frame: FrameSpec) -> Renaming:
    """The renaming of laws that speak of a disc's thickness."""
    return () if frame.disc_sheet is None else TWO_SHEETS


def laws_of(frame: FrameSpec) -> tuple[LawUse, ...]:
    """The laws that hold in the frame."""
    skin = skin_of(frame)
    names = _spheroid_laws(frame) if skin is None else list(skin.laws)
    names += ["rib-pole-gap", "rib-proud", "slot-width", "joint-gap"]
    names.append("slot-width-drawn-" + frame.cutter.compensate)
    if frame.disc_sheet is not None:
        names += ["notch-width", "notch-width-drawn-" + frame.cutter.compensate]
    hubs = [disc for disc in frame.discs if disc.hub]
    if skin is None and hubs:
        names += ["rib-high-bend", "rib-low-bend"]
    uses = [LawUse(name) for name in names]
    if skin is not None and frame.ribs.alternate is not None and skin.polar:
        inner = ("rib-inner-equator", "rib-inner-pole")
        uses += [LawUse(name, renamed=ALTERNATE) for name in inner]
    for disc in placed_discs(frame):
        uses += _disc_laws(frame, disc, skin)
    for number in range(1, len(frame.flanges) + 1):
        uses += _flange_laws(frame, number)
    return tuple(uses)


def _spheroid_laws(frame: FrameSpec) -> list[str]:
    """The laws of a whole sphere's or spheroid's sizes."""
    body = frame.body
    laws = ["body-equatorial-diameter", "body-polar-diameter", "body-flattening"]
    if body.shape == "sphere":
        laws.append("body-is-sphere")
    if body.mean_radius is not None or body.mean_diameter is not None:
        laws.append("body-mean-diameter")
        means = {None: "of-sphere", "arithmetic": "arithmetic", "volumetric": "volumetric"}
        laws.append("body-mean-" + means[body.mean_kind])
    return [
        *laws,
        "scale-equatorial",
        "scale-flattening",
        "scale-polar",
        "model-equatorial-diameter",
        "model-height",
        "rib-inner-equator",
        "rib-inner-pole",
        "rib-height",
    ]


def _disc_laws(frame: FrameSpec, placed: PlacedDisc, skin: Skin | None) -> list[LawUse]:
    disc = frame.discs[placed.entry]
    place = _place_law(frame, placed, skin)
    laws = [place] if place else []
    if disc.at is not None or disc.hub or placed.original:
        laws.append("disc-side" if skin is None or skin.polar else "disc-half")
    if skin is None:
        laws += ["disc-far-height", "disc-skin", "disc-mid-skin", "disc-rib-inner"]
    else:
        laws += ["skin-disc", "skin-middle", "skin-rib-inner"]
    laws.append("disc-joint")
    laws += TENON_LAWS if is_tenoned(frame, placed) else style_of(frame).disc_laws
    if disc.bore == "auto":
        after = "-tenon" if is_tenoned(frame, placed) else ""
        laws += [f"disc-bore-wall{after}", f"disc-bore-auto{after}"]
    elif disc.bore == "none":
        laws.append("disc-bore-none")
    renamed = disc_sheet(frame)
    return [
        LawUse(law, placed.number, placed.original, 0, () if law in _BY_RIB else renamed)
        for law in laws
    ]


_BY_RIB = ("disc-slot-web",)
"""Laws of a disc that speak of the ribs' thickness: its slots take ribs."""


def _place_law(frame: FrameSpec, placed: PlacedDisc, skin: Skin | None) -> str | None:
    """The law that gives a disc's height from what the spec says of its place."""
    disc = frame.discs[placed.entry]
    if placed.original:
        about_equator = skin is None or (skin.polar and end_of(frame, placed) is None)
        return "disc-mirror" if about_equator else "disc-mirror-span"
    if disc.hub:
        return "disc-hub-low" if disc.side == "south" else "disc-hub-high"
    if disc.at is None:
        return None
    if disc.at.fraction is not None:
        return "disc-fraction" if skin is None or skin.polar else "disc-share"
    if disc.at.latitude is not None:
        return f"disc-latitude-{disc.at.kind or 'parametric'}"
    if disc.at.end is not None:
        return "disc-low-flush" if disc.at.end == "bottom" else "disc-high-flush"
    return None


def is_tenoned(frame: FrameSpec, placed: PlacedDisc) -> bool:
    """Whether the ribs' tongues go through that disc."""
    return frame.joint.style == "tenon" and end_of(frame, placed) is not None


def end_of(frame: FrameSpec, placed: PlacedDisc) -> str | None:
    """The open end a disc is flush with: `bottom`, `top` or None."""
    at = frame.discs[placed.entry].at
    if at is None or at.end is None or not placed.original:
        return None if at is None else at.end
    return "top" if at.end == "bottom" else "bottom"


def _flange_laws(frame: FrameSpec, number: int) -> list[LawUse]:
    laws = ("flange-scale-inner", "flange-scale-outer", "skin-flange", "flange-seat", "flange-slot")
    renamed = disc_sheet(frame)
    return [LawUse(law, flange=number, renamed=renamed) for law in laws]


def bind(use: LawUse, book: Book) -> Relation:
    """The law with the full names of its quantities."""
    law = book.design[use.law]
    names = (full_name(n, use.disc, use.original, use.flange) for n in law.quantities)
    return Relation(law, tuple(renamed(use.renamed, name) for name in names))


def renamed(renaming: Renaming, name: str) -> str:
    """The name that is meant where a law says `name`.

    >>> renamed(TWO_SHEETS, "sheet.thickness")
    'disc_sheet.thickness'
    """
    return dict(renaming).get(name, name)


def made_law(frame: FrameSpec, template: str) -> tuple[str, Renaming]:
    """The name of the law of what is made for a quantity, and what that law means in the frame."""
    back = {there: here for here, there in TWO_SHEETS}
    if template in back:
        return back[template], TWO_SHEETS
    of_disc = template.startswith("disc.") and template != "disc.slot_web"
    return template, disc_sheet(frame) if of_disc else ()


def as_meant(toleranced: tuple[Toleranced, ...], renaming: Renaming) -> tuple[Toleranced, ...]:
    """The toleranced inputs under the names that a renamed law has for them."""
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
    """The full name of a law's quantity for one disc or flange.

    >>> full_name("disc.radius", 3)
    'disc-3.radius'
    """
    kind, _, rest = template.partition(".")
    numbers = {"disc": ("disc", disc), "original": ("disc", original), "flange": ("flange", flange)}
    if kind in numbers:
        return "{}-{}.{}".format(*numbers[kind], rest)
    return template
