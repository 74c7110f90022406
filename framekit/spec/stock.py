"""What is at hand to cut from, and what holds the parts in it.

Annotations are not deferred here: pydantic would evaluate each of them at every start.
"""

from typing import Self

from pydantic import Field, model_validator

from framekit.spec.fields import BridgeCount, Corners, Money, PositiveLength, SheetCount
from framekit.spec.measure import MeasureError
from framekit.spec.section import Section

MOST_STOCK = 40
"""Entries of the list of sheets at hand."""


class AtHand(Section):
    """Some sheets that are there: whole ones by their size, or a leftover by its corners.

    Another shape of leftover is a key here that `_size_or_outline` knows and `leftover` draws.
    """

    size: tuple[PositiveLength, PositiveLength] | None = Field(
        None, description="Length and width of each."
    )
    outline: Corners | None = Field(
        None, description="The corners of a leftover, in order round it, instead of a size."
    )
    count: SheetCount = Field(1, description="How many there are.")
    material: str | None = Field(
        None, description="Which stock they are of, where the spec has two. Default the only one."
    )
    thickness: PositiveLength | None = Field(
        None, description="The same, by the thickness as the spec's `sheet` has it. Default any."
    )
    price: Money | None = Field(
        None, description="The price of each. Default the sheet's, by area."
    )

    @model_validator(mode="after")
    def _size_or_outline(self) -> Self:
        if (self.size is None) == (self.outline is None):
            raise MeasureError(
                "sheets at hand need either a 'size' or an 'outline'",
                "Write 'size: [600, 400]', or the corners of a leftover.",
            )
        return self

    @property
    def leftover(self) -> tuple[tuple[float, float], ...]:
        """The corners of a leftover in mm, counter-clockwise; none where the sheets are whole."""
        return self.outline or ()


class Bridges(Section):
    """Gaps left in the cuts, so that parts stay in the sheet until they are snapped out."""

    count: BridgeCount = Field(3, description="How many for each cut.")
    width: PositiveLength | None = Field(
        None,
        description="The material left at each, along the edge. Default 0.6 mm, for a router 3 mm.",
    )
