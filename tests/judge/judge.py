"""The file-level judge: every clause, and what each finds wrong with a frame's files."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from judge import assembly, hung, joints, layout, plates_left
from judge.cut_files import differences
from judge.pieces import FULLEST, LEANEST, NOMINAL, Corner
from judge.scene import Case


class Finding(NamedTuple):
    """What a clause found at a corner."""

    clause: str
    corner: str
    text: str


Look = Callable[[Case, Corner], list[str]]

FULL, LEAN = (FULLEST,), (LEANEST,)
CORNERWISE: dict[str, tuple[tuple[Corner, ...], Look]] = {
    "overlap": (FULL, assembly.overlaps),
    "blocked": (FULL, assembly.blocked),
    "in-two": (LEAN, assembly.in_two),
    "apart": (LEAN, assembly.falls_apart),
    "play": (FULL + LEAN, joints.play),
    "seat": (LEAN, joints.seats),
    "ligament": (LEAN, joints.ligaments),
    "tooth": (LEAN, joints.teeth),
    "flake": (LEAN, joints.flakes),
    "web": (LEAN, plates_left.webs),
    "wall": (LEAN, plates_left.walls),
}
"""Each clause and the corners at which it is worst: a part only shrinks as the cut grows wider, and
sheet only fills more of a slot as it grows thicker. So no other corner can be worse."""
ONCE: dict[str, Callable[[Case], list[str]]] = {
    "formats": lambda case: [
        text for svg, dxf in zip(case.svg, case.dxf, strict=True) for text in differences(svg, dxf)
    ],
    "edge": layout.over_the_edge,
    "near": layout.too_near,
    "count": layout.miscounted,
    "order": layout.out_of_order,
    "bridge": layout.unbridged,
    "crossed": layout.crossed,
    "side": layout.sideless,
    "hang": hung.hangs_ill,
}


def findings(case: Case, verdict: str) -> list[Finding]:
    """Return all that the judge finds: at the corners for a `pass`, as drawn for `undecided`."""
    found = [Finding("told", "", text) for text in case.told.silent if verdict == "pass"]
    found += [Finding(name, "", text) for name, look in ONCE.items() for text in look(case)]
    for name, (corners, look) in CORNERWISE.items():
        for corner in corners if verdict == "pass" else (NOMINAL,):
            found += [Finding(name, corner.words, text) for text in look(case, corner)]
    return found
