"""The file-level judge: every clause, and what each finds wrong with a frame's files."""

from __future__ import annotations

from collections.abc import Callable, Iterable
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


CORNERWISE: dict[str, Callable[[Case, Corner], list[str]]] = {
    "overlap": assembly.overlaps,
    "blocked": assembly.blocked,
    "in-two": assembly.in_two,
    "apart": assembly.falls_apart,
    "play": joints.play,
    "seat": joints.seats,
    "ligament": joints.ligaments,
    "tooth": joints.teeth,
    "flake": joints.flakes,
    "web": plates_left.webs,
    "wall": plates_left.walls,
}
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
    corners: Iterable[Corner] = (NOMINAL, FULLEST, LEANEST) if verdict == "pass" else (NOMINAL,)
    found = [Finding("told", "", text) for text in case.told.silent if verdict == "pass"]
    found += [Finding(name, "", text) for name, look in ONCE.items() for text in look(case)]
    for corner in corners:
        found += [
            Finding(name, corner.words, text)
            for name, look in CORNERWISE.items()
            for text in look(case, corner)
        ]
    return found
