"""Which laws hold in a frame: a spec's structure, without its numbers."""

from __future__ import annotations

from framekit.bodies.model import Skin
from framekit.solution.book import Book
from framekit.solution.quantities import QUANTITIES
from framekit.solution.relations import (
    ALTERNATE,
    DESIGNED,
    LawUse,
    PlacedDisc,
    Renaming,
    cut_in,
    sets_slots,
)
from framekit.spec.model import FrameSpec
from framekit.spec.sections import AlternateRibs


def laws_of(
    frame: FrameSpec, skin: Skin, discs: tuple[PlacedDisc, ...], book: Book
) -> tuple[LawUse, ...]:
    """Return the laws that hold in the frame; those of a rib's edge hold for each distinct rib."""
    names = [*skin.laws, "rib-pole-gap", "rib-proud", "slot-width", "joint-gap"]
    if frame.disc_sheet is not None:
        names += ["notch-width", "notch-width-drawn-" + frame.cutter.compensate]
        if sets_slots(frame):
            names.append("notch-clearance")
    uses = [LawUse(name) for name in names]
    drawn = "slot-width-drawn-" + frame.cutter.compensate
    uses.append(LawUse(drawn, renamed=cut_in(frame, "slot")))
    if frame.ribs.alternate is not None:
        own = {name for name, _ in ALTERNATE}
        uses += [
            LawUse(name, renamed=ALTERNATE)
            for name in names
            if not own.isdisjoint(book.design[name].quantities)
        ]
    for disc in discs:
        uses += _disc_laws(frame, disc, skin)
    if frame.flanges:
        from framekit.joints.flange import FLANGE_LAWS  # few frames have one

        for number in range(1, len(frame.flanges) + 1):
            renaming = _designed(frame)
            uses += [LawUse(law, flange=number, renamed=renaming) for law in FLANGE_LAWS]
    return tuple(uses)


def _disc_laws(frame: FrameSpec, placed: PlacedDisc, skin: Skin) -> list[LawUse]:
    disc = placed.disc
    place = _place_law(placed, skin, frame.ribs.alternate)
    laws = [place] if place else []
    if disc.at is not None or disc.hub or placed.original:
        laws.append("disc-side" if skin.polar else "disc-half")
    laws += [*skin.disc_laws, "disc-joint", *placed.joint.disc_laws]
    if disc.bore == "auto":
        laws += placed.joint.bore_laws
    elif disc.bore == "none":
        laws.append("disc-bore-none")
    renamed = _designed(frame)
    own = {"disc-slot-web": cut_in(frame, "slot")}
    own |= {law: cut_in(frame, "tooth") for law in laws if law.startswith("disc-hub")}
    return [LawUse(law, placed.number, placed.original, 0, own.get(law, renamed)) for law in laws]


def _designed(frame: FrameSpec) -> Renaming:
    """Return what laws about discs and flanges mean in the frame."""
    return () if frame.disc_sheet is None else DESIGNED


def _place_law(placed: PlacedDisc, skin: Skin, alternate: AlternateRibs | None) -> str | None:
    """Return the law that gives a disc's height from what the spec says of its place."""
    disc, at = placed.disc, placed.disc.at
    if placed.original:
        about_equator = skin.polar and placed.end is None
        return "disc-mirror" if about_equator else "disc-mirror-span"
    if disc.hub:
        side = "low" if disc.side == "south" else "high"
        return f"disc-hub-{side}{'' if alternate is None else '-alternate'}"
    if at is None:
        return None
    if at.end is not None:
        return "disc-low-flush" if at.end == "bottom" else "disc-high-flush"
    for row in QUANTITIES.values():
        if row.place is not None and getattr(at, row.keys[0].removeprefix("at.")) is not None:
            return row.place[0 if skin.polar else 1].format(kind=at.kind or "parametric")
    return None
