"""One nesting job for each stock: parts of different materials or thicknesses share no sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from framekit.geometry.path import Outline
from framekit.parts.model import Part, Parts
from framekit.sheets.model import stock_text
from framekit.sheets.protocol import NestItem, NestJob
from framekit.solution.fitting import margin_of, sheet_size, spacing_of, stock_size
from framekit.spec.model import FrameSpec

ROUND_KINDS = ("disc", "flange")
"""The kinds of part that the discs' sheet is for."""

_DIGITS = 6
"""Decimals of a mm to which two thicknesses are one: the same number found in two ways."""


@dataclass(frozen=True)
class StockJob:
    """What is cut from one stock: material, thickness in mm, the price of a sheet where known.

    `groups` has the parts of each of the job's items, in the order of its copies.
    """

    material: str
    thickness: float
    price: tuple[float, str] | None
    job: NestJob
    groups: tuple[tuple[Part, ...], ...]

    @property
    def stock(self) -> str:
        """Material and thickness as people read them."""
        return stock_text(self.material, self.thickness)


class _Cut(NamedTuple):
    """What a part is cut from: material, thickness, and the sheet's shorter and longer side."""

    material: str
    thickness: float
    sides: tuple[float, float]


class _Source(NamedTuple):
    """A part with what a job needs of its sheet."""

    part: Part
    size: tuple[float, float]
    price: tuple[float, str] | None


def make_jobs(parts: Parts) -> tuple[StockJob, ...]:
    """The nester's jobs, those that hold ribs first, then in the order of the parts.

    Parts of one material and thickness whose sheets have one size share a job. A part goes on the
    spec's `disc_sheet` when it is a disc or flange, or is cut from what the discs are cut from
    and no rib is.
    """
    stocks: dict[_Cut, list[_Source]] = {}
    for frame in parts.frames:
        spec = frame.solution.spec
        ribs = {_piece(p) for p in frame.parts if p.kind == "rib"}
        beside = {_piece(p) for p in frame.parts if p.kind in ROUND_KINDS} - ribs
        for part in frame.parts:
            discs = part.kind in ROUND_KINDS or _piece(part) in beside
            sheet = spec.disc_sheet if discs and spec.disc_sheet is not None else spec.sheet
            low, high = sorted(sheet_size(spec, discs))
            source = _Source(part, stock_size(spec, discs), sheet.price)
            stocks.setdefault(_Cut(*_piece(part), (low, high)), []).append(source)
    ordered = sorted(stocks.values(), key=lambda found: all(s.part.kind != "rib" for s in found))
    return tuple(_job(found, parts.frames[0].solution.spec) for found in ordered)


def _piece(part: Part) -> tuple[str, float]:
    return (part.material, round(part.thickness, _DIGITS))


def _job(sources: Sequence[_Source], frame: FrameSpec) -> StockJob:
    groups = equal_parts([source.part for source in sources])
    width, height = sources[0].size
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
        material=sources[0].part.material,
        thickness=sources[0].part.thickness,
        price=next((s.price for s in sources if s.price is not None), None),
        job=NestJob(items, width, height, margin_of(frame), spacing_of(frame), "sheets"),
        groups=groups,
    )


def equal_parts(parts: Sequence[Part]) -> tuple[tuple[Part, ...], ...]:
    """Parts with one outline, in order: the copies a nester may exchange."""
    groups: dict[Outline, list[Part]] = {}
    for part in parts:
        groups.setdefault(part.outline, []).append(part)
    return tuple(tuple(group) for group in groups.values())
