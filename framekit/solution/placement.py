"""What a frame's discs ask of its body's ends, told before anything is solved."""

from __future__ import annotations

from framekit.bodies.model import Skin
from framekit.errors import Fault, SolveError
from framekit.joints.protocol import JointStyle
from framekit.solution.relations import PlacedDisc
from framekit.spec.model import FrameSpec

_ENDS = ("bottom", "top")


def refuse_misplaced(
    frame: FrameSpec, skin: Skin, joint: JointStyle, discs: tuple[PlacedDisc, ...]
) -> None:
    """Raise SolveError for discs at ends that are poles, hubs at open ends, no end disc to join."""
    closed = skin.closed
    faults = []
    for placed in discs:
        disc, end = placed.disc, placed.end
        if end is not None and closed[_ENDS.index(end)]:
            faults.append(
                Fault(
                    "end-closed",
                    f"disc-{placed.number} cannot lie flush with the {end}, where the body comes "
                    "to a point or pole",
                    frame.where("discs", placed.entry, "at", "end"),
                    "Cut the body off with 'span', or write 'hub: true', a height or a fraction.",
                )
            )
        south = (disc.side == "south") != bool(placed.original)
        if disc.hub and not closed[0 if south else 1]:
            faults.append(
                Fault(
                    "hub-at-open-end",
                    f"disc-{placed.number} cannot be a hub: the body's "
                    f"{_ENDS[0 if south else 1]} is open, and ribs meet near the axis at "
                    "poles only",
                    frame.where("discs", placed.entry),
                    f"Write 'at: {{end: {_ENDS[0 if south else 1]}}}'.",
                )
            )
    if joint.at_ends and not any(placed.end for placed in discs):
        faults.append(
            Fault(
                "no-tenon",
                f"the joint is '{frame.joint.style}', and no disc lies flush with an open end",
                frame.where("joint", "style"),
                "It joins end discs, 'at: {end: bottom}'; or write 'style: cross-lap'.",
            )
        )
    if faults:
        raise SolveError(*faults)
