"""The sheets at hand for one stock: which sizes and leftovers, how many, at what price."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from framekit.errors import Fault, StockError, Where
from framekit.geometry.path import Point
from framekit.parts.model import Part
from framekit.sheets.model import stock_text
from framekit.sheets.protocol import ring_area
from framekit.solution.fitting import sheet_size, stock_size
from framekit.spec.model import FrameSpec, Supply
from framekit.spec.stock import AtHand

SAME_THICKNESS = 0.005
"""mm; a thickness in the list means the sheet's own when they differ by no more."""

Price = tuple[float, str]


@dataclass(frozen=True)
class Board:
    """A kind of sheet: the mm the machine reaches of it, how many there are, and its price.

    `outline` has a leftover's corners counter-clockwise, (n, 2) in mm with their least x and y
    at 0, None for a whole sheet; `count` is None where there are as many as it takes.
    """

    width: float
    height: float
    outline: tuple[Point, ...] | None = None
    count: int | None = None
    price: Price | None = None

    @property
    def area(self) -> float:
        """Its area in mm²."""
        return self.width * self.height if self.outline is None else ring_area(self.outline)

    @property
    def corners(self) -> tuple[Point, ...]:
        """Its corners counter-clockwise, (n, 2) in mm."""
        sides = ((0.0, 0.0), (self.width, 0.0), (self.width, self.height), (0.0, self.height))
        return self.outline or sides


def boards_of(
    supply: Supply | None,
    frame: FrameSpec,
    stock: tuple[str, float],
    stocks: Sequence[tuple[str, float]],
    discs: bool,
    price: Price | None,
) -> tuple[Board, ...]:
    """The sheets for one of a spec's stocks, a material and a thickness, the smallest first.

    That is the order they are used in: leftovers go before whole sheets are broken into. Without
    a supply there is one kind, as many as it takes; `discs` says whose size that is. Raises
    StockError where it cannot be told what a row is of, or a leftover is larger than the bed.
    """
    width, height = stock_size(frame, discs)
    if supply is None:
        return (Board(width, height, None, None, price),)
    whole = math.prod(sheet_size(frame, discs))
    boards = []
    for row, where in zip(supply.rows, supply.places, strict=True):
        meant = [s for s in stocks if _is_of(row, s)]
        if len(meant) > 1:
            names = " and ".join(stock_text(*s) for s in meant)
            raise StockError(
                Fault(
                    "stock-of-which",
                    f"these sheets may be {names}",
                    where,
                    "Write their 'material' or 'thickness'.",
                )
            )
        if not meant:
            raise StockError(
                Fault(
                    "stock-of-none",
                    "no part is cut from these sheets; the parts are of "
                    + " and ".join(stock_text(*s) for s in stocks),
                    where,
                    "Correct their 'material' and 'thickness', or remove them.",
                )
            )
        if meant[0] == stock:
            boards.append(_board(row, where, frame, price, whole))
    return tuple(sorted(boards, key=lambda b: (b.area, b.width, b.outline is None)))


def _is_of(row: AtHand, stock: tuple[str, float]) -> bool:
    material, thickness = stock
    return (row.material is None or row.material == material) and (
        row.thickness is None or abs(row.thickness.value - thickness) <= SAME_THICKNESS
    )


def _board(row: AtHand, where: Where, frame: FrameSpec, price: Price | None, whole: float) -> Board:
    bed = frame.cutter.bed
    reach = None if bed is None else (bed[0].value, bed[1].value)
    if row.size is not None:
        size = (row.size[0].value, row.size[1].value)
        area = size[0] * size[1]
        if reach is not None:
            ways = [(min(a, reach[0]), min(b, reach[1])) for a, b in (size, (size[1], size[0]))]
            size = max(ways, key=lambda s: s[0] * s[1])
        return Board(*size, None, row.count, _price(row, price, area, whole))
    corners = _at_origin(row.leftover)
    width, height = (max(c[k] for c in corners) for k in (0, 1))
    if reach is not None and (width > reach[0] or height > reach[1]):
        # A quarter turn may make it fit.
        corners = _at_origin([(-y, x) for x, y in corners])
        width, height = height, width
        if width > reach[0] or height > reach[1]:
            raise StockError(
                Fault(
                    "leftover-beyond-bed",
                    f"this leftover is {height:g} × {width:g} mm, and the bed reaches "
                    f"{reach[0]:g} × {reach[1]:g} mm",
                    where,
                    "Saw it down, or give the corners of the part that lies on the bed.",
                )
            )
    board = Board(width, height, tuple(corners), row.count)
    return Board(width, height, tuple(corners), row.count, _price(row, price, board.area, whole))


def _price(row: AtHand, price: Price | None, area: float, whole: float) -> Price | None:
    """The row's own price, or the sheet's by area."""
    if row.price is not None or price is None:
        return row.price
    return (price[0] * area / whole, price[1])


def _at_origin(corners: Sequence[Point]) -> list[Point]:
    left, low = (min(c[k] for c in corners) for k in (0, 1))
    return [(x - left, y - low) for x, y in corners]


@dataclass(frozen=True)
class Need:
    """What the parts of one stock take at least: their area against that at hand, both mm²."""

    stock: str
    needed: float
    at_hand: float
    more: int
    size: tuple[float, float]

    @property
    def text(self) -> str:
        """What is missing for certain, in a sentence; empty where the area does."""
        if not self.more:
            return ""
        sheets = "1 sheet" if self.more == 1 else f"{self.more} sheets"
        return (
            f"The {self.stock} at hand cannot do: the parts alone have {self.needed / 1e6:.3f} m², "
            f"the sheets {self.at_hand / 1e6:.3f} m². It takes at least {sheets} of "
            f"{self.size[0]:g} × {self.size[1]:g} mm more."
        )


def need_of(stock: str, parts: Sequence[Part], boards: Sequence[Board], frame: FrameSpec) -> Need:
    """The least that the parts of one stock take, by area alone."""
    needed = math.fsum(part.outline.area for part in parts)
    counts = [(b.area, b.count) for b in boards]
    at_hand = (
        math.inf
        if any(count is None for _, count in counts)
        else math.fsum(area * (count or 0) for area, count in counts)
    )
    size = stock_size(frame)
    more = max(0, math.ceil((needed - at_hand) / (size[0] * size[1]) - 1e-9))
    return Need(stock, needed, at_hand, more if math.isfinite(at_hand) else 0, size)
