"""What parts that are joined can still do: tip, come off, turn back."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from framekit.parts.model import Part, Remark
from framekit.parts.retention import angle_of
from framekit.parts.words import named

IN_LINE = math.radians(1.0)
"""By how much ribs may be out of one line through the axis and still let a disc tip about it."""


def find_remarks(
    holders: Mapping[str, Sequence[str]], resting: Iterable[str], parts: Sequence[Part]
) -> tuple[Remark, ...]:
    """Return the remarks on a frame of which `holders` has what holds each part, by id.

    `resting` are the discs that lie on the ribs' ends.
    """
    return (
        *_held_by_one(holders),
        *_held_in_line(holders, parts),
        *map(_resting, resting),
        *(_turning(part.id) for part in parts if part.kind == "flange"),
    )


def _held_by_one(holders: Mapping[str, Sequence[str]]) -> list[Remark]:
    """A remark for each part that holds others which nothing else holds."""
    tipping: dict[str, list[str]] = {}
    for name, by in holders.items():
        if len(by) == 1:
            tipping.setdefault(by[0], []).append(name)
    remarks = []
    for by_one, names in tipping.items():
        other = "rib" if by_one.startswith("rib") else "disc"
        text = f"{named(names)}: held by {by_one} alone and can tip; another {other} would hold."
        remarks.append(Remark("can-tip", tuple(names), text, "can tip"))
    return remarks


def _held_in_line(holders: Mapping[str, Sequence[str]], parts: Sequence[Part]) -> list[Remark]:
    """A remark for discs and flanges whose ribs, two or more, all lie in one plane."""
    angles = {part.id: angle_of(part) for part in parts if part.kind == "rib"}
    tipping: dict[tuple[str, ...], list[str]] = {}
    for part in parts:
        by = tuple(holders.get(part.id, ()))
        if part.id not in angles and len(by) > 1:
            first, *others = (angles[rib] for rib in by)
            if all(abs(math.sin(angle - first)) < math.sin(IN_LINE) for angle in others):
                tipping.setdefault(by, []).append(part.id)
    return [
        Remark(
            "can-tip",
            tuple(names),
            f"{named(names)}: held by {named(by)}, which lie in one plane, and can tip about it; "
            "a rib beside it would hold.",
            "can tip",
        )
        for by, names in tipping.items()
    ]


def _resting(disc: str) -> Remark:
    text = f"{disc}: lies on the ribs' ends; glue or a tight fit keeps it from coming off."
    return Remark("can-come-off", (disc,), text, "can come off")


def _turning(flange: str) -> Remark:
    text = f"{flange}: glue or a tight fit keeps it from turning back."
    return Remark("can-turn-back", (flange,), text, "can turn back")
