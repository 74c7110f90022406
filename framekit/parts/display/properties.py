"""The properties of a finished frame: weight, balance, how it stands or hangs."""

from __future__ import annotations

from dataclasses import dataclass

from framekit.parts.display.balance import balance_of
from framekit.parts.display.strength import Slenderness, hoop_sag, slenderness
from framekit.parts.model import Balance, FrameDisplay, FrameParts, Part, Settled
from framekit.solution.meridian import meridian_of

SLENDER = 40.0
"""Length over width above which a rib is called slender; common practice, no source."""
SAG = 0.1
"""mm of sag under its own weight from which a rib is worth a word."""


@dataclass(frozen=True)
class FrameProperties:
    """The balance of a frame without its stand, its most slender rib, and what to know in words.

    `hanging` is the tilt and azimuth at which it hangs, None where it has no hole.
    """

    balance: Balance
    slenderness: Slenderness
    hanging: Settled | None
    sentences: tuple[str, ...]


def properties_of(frame: FrameParts) -> FrameProperties:
    """Return the properties of a built frame.

    Mass follows from the catalogue's density; the sag is an estimate by the formula of a ring
    under its own weight, and no substitute for judgement.
    """
    own = tuple(part for part in frame.parts if part.kind != "stand")
    found = frame.display.balance if frame.display is not None else balance_of(own)
    x, y, z = (round(value, 6) + 0.0 for value in found.centre)
    sentences = [
        f"The frame weighs {found.mass:.0f} g; its centre of mass lies at the height "
        f"{round(z, 1) + 0.0:.1f} mm"
        + (f", {(x * x + y * y) ** 0.5:.1f} mm off the axis." if x * x + y * y > 0.01 else ".")
    ]
    found_ribs = _slender_ribs(frame)
    thin = max((slender for _, slender in found_ribs), key=lambda slender: slender.ratio)
    if thin.ratio > SLENDER:
        sentences.append(
            f"A rib is {thin.ratio:.0f} times as long as it is wide at its least, and easy to "
            "break before it is built in: carry it flat."
        )
    modulus = frame.solution.material.modulus
    sag = 0.0
    if modulus is not None:
        sag = max(hoop_sag(rib, slender, modulus.value) for rib, slender in found_ribs)
    if sag > SAG:
        sentences.append(
            f"Lying free, a rib would sag by about {sag:.1f} mm under its own "
            "weight: an estimate by the formula of a ring, and no substitute for judgement."
        )
    hanging = None
    if frame.display is not None:
        sentences += _display_sentences(frame.display)
        sentences += [remark.text for remark in frame.display_remarks]
        hanging = None if frame.display.hanging is None else frame.display.hanging.settled
    return FrameProperties(found, thin, hanging, tuple(sentences))


def _slender_ribs(frame: FrameParts) -> list[tuple[Part, Slenderness]]:
    """Return one rib of each kind with its slenderness, behind its own notches."""
    solution, value = frame.solution, frame.solution.value
    ribs = [part for part in frame.parts if part.kind == "rib"]
    discs = [value(f"disc-{n}.ligament") for n in range(1, solution.disc_count + 1)]
    found = []
    for rib, kind in zip(ribs, solution.structure.rib_kinds, strict=False):
        meridian = meridian_of(solution, kind)
        flanges = [
            value(f"flange-{n}.seat_radius")
            - value("joint.end_clearance")
            - meridian.inner(value(f"flange-{n}.height"))
            for n in solution.structure.flanges
        ]
        found.append((rib, slenderness(meridian, [*discs, *flanges])))
    return found


def _display_sentences(display: FrameDisplay) -> list[str]:
    found = []
    if display.hanging is not None:
        parts = " and ".join(hole.part for hole in display.hanging.holes)
        tilt = round(display.hanging.settled.tilt, 1) + 0.0
        found.append(
            f"Hung by the hole in {parts}, {display.hanging.diameter:g} mm wide, it comes to rest "
            f"with its axis {tilt:g}° from upright."
        )
    if display.stand is not None:
        report = display.stand
        found.append(
            f"The stand holds the axis {report.tilt:g}° from upright and is "
            f"{report.height:.0f} mm high; the centre of mass lies {report.centre_height:.0f} mm "
            f"over the table, and it takes a tilt of {report.tipping_angle:.0f}° to tip it."
        )
    return found
