"""Which margins a frame has by its structure: those of the frame, of its discs and flanges."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from framekit.joints.protocol import FlangeMargin, JointMargin
from framekit.solution.margins import BORE, ENDS, FRAME, NEIGHBOURS, NOTCH, DiscMargin, FrameMargin
from framekit.solution.model import MarginUse
from framekit.solution.relations import EVERY_OTHER, PlacedDisc, cut_in, renamed
from framekit.solution.structure import Structure


def margin_uses(structure: Structure, values: Mapping[str, float]) -> tuple[MarginUse, ...]:
    """Return the margins of a frame's checks, those of the joint first, then by disc.

    `values` decides which disc lies next to which and whether an automatic bore is there.
    """
    found = (
        *_of_frame(structure),
        *(use for disc in structure.discs for use in _of_disc(structure, disc, values)),
        *(use for number in structure.flanges for use in _of_flange(structure, number)),
        *_of_neighbours(structure, values),
    )
    return tuple(use for first in found for use in _of_each_rib(structure, first))


def _of_each_rib(structure: Structure, use: MarginUse) -> Iterator[MarginUse]:
    """Yield a margin of the first rib, and of each distinct rib whose own edge its law looks at."""
    yield use
    for kind in structure.rib_kinds[1:]:
        names = tuple([renamed(kind, name) for name in use.names])
        if names != use.names:
            meant = (*use.renamed, *kind)
            governed = "ribs.alternate" if use.governed == "ribs.width" else use.governed
            about = use.about + EVERY_OTHER
            yield use._replace(about=about, names=names, governed=governed, renamed=meant)


def _use(
    structure: Structure,
    row: FrameMargin | DiscMargin | JointMargin | FlangeMargin,
    about: str,
    plates: tuple[tuple[str, str], ...] = (),
    entry: int = 0,
) -> MarginUse:
    """Return a margin of some plates, by the names they have in the law."""
    two = None if isinstance(row, FrameMargin) else row.two
    named = row.law if two is None or structure.spec.disc_sheet is None else two
    law = named if isinstance(named, str) else named.name
    meant = cut_in(structure.spec, row.cut)
    form = structure.book.made[law]
    places = dict(plates)

    def full(name: str) -> str:
        kind, _, rest = name.partition(".")
        return f"{places[kind]}.{rest}" if kind in places else renamed(meant, name)

    return MarginUse(
        row.code,
        about,
        law,
        tuple([full(name) for name in form.inputs]),
        row.governed,
        form,
        structure.book.words[law],
        row.sentence,
        plates,
        entry,
        meant,
    )


def _of_frame(structure: Structure) -> Iterator[MarginUse]:
    for row in FRAME:
        if row.when(structure):
            yield _use(structure, row, row.about)


def _of_disc(
    structure: Structure, disc: PlacedDisc, values: Mapping[str, float]
) -> Iterator[MarginUse]:
    bore = values[f"{disc.name}.bore_radius"]
    plates = (("disc", disc.name),)

    def of_joint(when: str) -> Iterator[MarginUse]:
        for row in disc.joint.margins:
            if row.when == when:
                about = row.about.replace("{disc}", disc.name)
                yield _use(structure, row, about, plates, disc.entry)

    def of(rows: tuple[DiscMargin, ...]) -> Iterator[MarginUse]:
        for row in rows:
            if row.when(structure, disc, bore):
                about = row.about.replace("{disc}", disc.name)
                yield _use(structure, row, about, plates, disc.entry)

    if not disc.joint.notched:
        yield from of_joint("always")
    yield from of(NOTCH)
    if disc.joint.notched:
        yield from of_joint("always")
    if bore > 0:
        yield from of_joint("bore")
        yield from of((BORE,))
    yield from of(ENDS)


def _of_flange(structure: Structure, number: int) -> Iterator[MarginUse]:
    from framekit.joints.flange import MARGINS  # few frames have one

    flange = f"flange-{number}"

    def use(row: FlangeMargin, about: str, *plates: tuple[str, str]) -> MarginUse:
        return _use(structure, row, about, (("flange", flange), *plates), number - 1)

    alone = [row for row in MARGINS if not row.pair]
    pairs = [row for row in MARGINS if row.pair]
    for row in alone:
        yield use(row, flange)
    for other in range(1, number):
        for row in pairs:
            if row.pair == "flanges":
                before = f"flange-{other}"
                yield use(row, f"{before} and {flange}", ("next", before))
    kind = "slotted" if structure.slotted else "plain"
    for disc in structure.discs:
        for row in pairs:
            if row.pair in (kind, "discs"):
                about = f"{flange} and {disc.name}"
                yield use(row, about, ("disc", disc.name), ("next", disc.name))


def _of_neighbours(structure: Structure, values: Mapping[str, float]) -> Iterator[MarginUse]:
    discs = structure.discs
    ranked = sorted(discs, key=lambda disc: (values[f"{disc.name}.height"], disc.number))
    for lower, upper in pairwise(ranked):
        plates = (("disc", lower.name), ("next", upper.name))
        entry = max(lower, upper, key=lambda disc: disc.number).entry
        names = f"{lower.name} and {upper.name}"
        for row in NEIGHBOURS:
            yield _use(structure, row, names, plates, entry)
