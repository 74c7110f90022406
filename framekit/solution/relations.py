"""Which laws hold in a frame: a spec's structure, without its numbers."""

from __future__ import annotations

from typing import NamedTuple

from framekit.solution.generated import AS_MADE, DESIGN
from framekit.solution.law import Form, Law
from framekit.solution.plan import Relation
from framekit.spec.model import FrameSpec

LAWS: dict[str, Law] = {law.name: law for law in DESIGN}
"""The laws of the design by name."""

MADE_FORMS: dict[str, Form] = {law.name: law.forms[0] for law in AS_MADE}
"""The laws of what is made, by the quantity or check they give."""


IMPLIED = frozenset({"scale-flattening"})
"""Laws that follow from others and are kept because they give a shorter way."""


class LawUse(NamedTuple):
    """A law that holds: for the frame (disc 0) or a disc, mirrored from `original` (0: not)."""

    law: str
    disc: int = 0
    original: int = 0


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


def laws_of(frame: FrameSpec) -> tuple[LawUse, ...]:
    """The laws that hold in the frame."""
    body = frame.body
    uses = [LawUse("body-equatorial-diameter"), LawUse("body-polar-diameter")]
    uses.append(LawUse("body-flattening"))
    if body.shape == "sphere":
        uses.append(LawUse("body-is-sphere"))
    if body.mean_radius is not None or body.mean_diameter is not None:
        uses.append(LawUse("body-mean-diameter"))
        means = {None: "of-sphere", "arithmetic": "arithmetic", "volumetric": "volumetric"}
        uses.append(LawUse("body-mean-" + means[body.mean_kind]))
    uses += [
        LawUse(law)
        for law in (
            "scale-equatorial",
            "scale-flattening",
            "scale-polar",
            "model-equatorial-diameter",
            "model-height",
            "rib-inner-equator",
            "rib-inner-pole",
            "rib-pole-gap",
            "rib-height",
            "rib-proud",
            "slot-width",
            "slot-width-drawn-" + frame.cutter.compensate,
            "joint-gap",
        )
    ]
    for disc in placed_discs(frame):
        uses += _disc_laws(frame, disc)
    return tuple(uses)


def _disc_laws(frame: FrameSpec, placed: PlacedDisc) -> list[LawUse]:
    disc = frame.discs[placed.entry]
    laws = []
    if placed.original:
        laws.append("disc-mirror")
    elif disc.at is not None and disc.at.fraction is not None:
        laws.append("disc-fraction")
    elif disc.at is not None and disc.at.latitude is not None:
        laws.append(f"disc-latitude-{disc.at.kind or 'parametric'}")
    if disc.at is not None or placed.original:
        laws.append("disc-side")
    laws += ["disc-far-height", "disc-skin", "disc-mid-skin", "disc-rib-inner", "disc-joint"]
    laws += [f"disc-radius-{frame.joint.style}", "disc-notch-depth"]
    if frame.joint.style == "cross-lap":
        laws += ["disc-slot-depth", "disc-slot-web"]
    laws.append("disc-ligament")
    if disc.bore == "auto":
        laws += ["disc-bore-wall", "disc-bore-auto"]
    elif disc.bore == "none":
        laws.append("disc-bore-none")
    return [LawUse(law, placed.number, placed.original) for law in laws]


def bind(use: LawUse) -> Relation:
    """The law with the full names of its quantities."""
    law = LAWS[use.law]
    return Relation(law, tuple(full_name(n, use.disc, use.original) for n in law.quantities))


def full_name(template: str, disc: int, original: int = 0) -> str:
    """The full name of a law's quantity for one disc.

    >>> full_name("disc.radius", 3)
    'disc-3.radius'
    """
    kind, _, rest = template.partition(".")
    if kind == "disc":
        return f"disc-{disc}.{rest}"
    if kind == "original":
        return f"disc-{original}.{rest}"
    return template
