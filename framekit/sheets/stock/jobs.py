"""One nesting job for each stock: parts of different materials or thicknesses share no sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from framekit.geometry.path import Outline
from framekit.parts.model import ROUND_KINDS, Part, Parts
from framekit.sheets.model import stock_text
from framekit.sheets.protocol import NestItem, NestJob
from framekit.sheets.stock.supply import Board, Price, boards_of
from framekit.solution.fitting import margin_of, sheet_size, spacing_of, stock_size

_DIGITS = 6
"""Decimals of a mm to which two thicknesses are one: the same number found in two ways."""


@dataclass(frozen=True)
class StockJob:
    """What is cut from one stock: material, thickness in mm, and the kinds of sheet of it.

    `groups` has the parts of each of the job's items, in the order of its copies. With `grouped`
    an item is of one frame, and each frame's parts are to lie on as few sheets as can be.
    """

    material: str
    thickness: float
    job: NestJob
    groups: tuple[tuple[Part, ...], ...]
    boards: tuple[Board, ...]
    grouped: bool = False

    @property
    def stock(self) -> str:
        """Material and thickness as people read them."""
        return stock_text(self.material, self.thickness)

    @property
    def plain(self) -> bool:
        """Whether there is one kind of sheet, as many as it takes, and nothing more is asked."""
        return not self.grouped and self.boards[0].count is None

    @property
    def frame_copies(self) -> tuple[tuple[tuple[int, int], ...], ...]:
        """The copies of each frame, frames in the order of the spec."""
        of: dict[str, list[tuple[int, int]]] = {}
        for n, group in enumerate(self.groups):
            for k, part in enumerate(group):
                of.setdefault(part.frame, []).append((n, k))
        return tuple(tuple(copies) for copies in of.values())


class _Cut(NamedTuple):
    """What a part is cut from: material, thickness, and the sheet's shorter and longer side."""

    material: str
    thickness: float
    sides: tuple[float, float]


class _Source(NamedTuple):
    """A part with what a job needs of its sheet."""

    part: Part
    discs: bool
    price: Price | None


def make_jobs(parts: Parts) -> tuple[StockJob, ...]:
    """The nester's jobs, those that hold ribs first, then in the order of the parts.

    Parts of one material and thickness whose sheets have one size share a job; with a list of
    sheets at hand, the size is the list's. A part goes on the spec's `disc_sheet` when it is a
    disc or flange, or is cut from what the discs are cut from and no rib is. Raises StockError
    where it cannot be told what an entry of that list is of.
    """
    whole = parts.solution.spec
    stocks: dict[_Cut, list[_Source]] = {}
    for frame in parts.frames:
        spec = frame.solution.spec
        ribs = {_piece(p) for p in frame.parts if p.kind == "rib"}
        beside = {_piece(p) for p in frame.parts if p.kind in ROUND_KINDS} - ribs
        for part in frame.parts:
            discs = part.kind in ROUND_KINDS or _piece(part) in beside
            sheet = spec.disc_sheet if discs and spec.disc_sheet is not None else spec.sheet
            low, high = (0.0, 0.0) if whole.supply else sorted(sheet_size(spec, discs))
            source = _Source(part, discs, sheet.price)
            stocks.setdefault(_Cut(*_piece(part), (low, high)), []).append(source)
    ordered = sorted(stocks.values(), key=lambda found: all(s.part.kind != "rib" for s in found))
    return tuple(_job(found, parts, [cut[:2] for cut in stocks]) for found in ordered)


def _piece(part: Part) -> tuple[str, float]:
    return (part.material, round(part.thickness, _DIGITS))


def _job(sources: Sequence[_Source], parts: Parts, stocks: Sequence[tuple[str, float]]) -> StockJob:
    spec = parts.solution.spec
    first = sources[0]
    of = {frame.solution.spec.id: frame.solution.spec for frame in parts.frames}
    frame = of[first.part.frame]
    grouped = spec.plan is not None and spec.plan.keep_together
    groups = equal_parts([source.part for source in sources], apart=grouped)
    price = next((s.price for s in sources if s.price is not None), None)
    boards = boards_of(spec.supply, frame, _piece(first.part), stocks, first.discs, price)
    width, height = stock_size(frame, first.discs)
    items = tuple(
        NestItem(
            key=f"{group[0].frame}/{group[0].id}",
            outer=group[0].outline.outer.polygon_around,
            holes=tuple(hole.polyline for hole in group[0].outline.holes),
            copies=len(group),
        )
        for group in groups
    )
    return StockJob(
        material=first.part.material,
        thickness=first.part.thickness,
        job=NestJob(items, width, height, margin_of(frame), spacing_of(frame), "sheets"),
        groups=groups,
        boards=boards,
        grouped=grouped,
    )


def equal_parts(parts: Sequence[Part], apart: bool = False) -> tuple[tuple[Part, ...], ...]:
    """Parts with one outline, in order: the copies a nester may exchange.

    With `apart`, only parts of one frame are copies.
    """
    groups: dict[tuple[str, Outline], list[Part]] = {}
    for part in parts:
        groups.setdefault((part.frame if apart else "", part.outline), []).append(part)
    return tuple(tuple(group) for group in groups.values())
