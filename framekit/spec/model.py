"""What the spec stage hands on: the sections as written, and the place of every value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from framekit.errors import Where
from framekit.spec.body import Body, Flange, ModelSize
from framekit.spec.display import Hang, Stand
from framekit.spec.sections import Batch, Cutter, Disc, DiscStock, Joint, Ribs, Stock
from framekit.spec.stock import AtHand


@dataclass(frozen=True)
class FrameSpec:
    """One frame's sections and the place of every value in the spec file."""

    id: str
    title: str
    body: Body
    scale: float | None
    model: ModelSize | None
    ribs: Ribs
    discs: tuple[Disc, ...]
    joint: Joint
    flanges: tuple[Flange, ...]
    stand: Stand | None
    hang: Hang | None
    sheet: Stock
    disc_sheet: DiscStock | None
    cutter: Cutter
    places: Mapping[tuple[str | int, ...], Where]
    stock: tuple[AtHand, ...] | None = None
    batches: tuple[Batch, ...] = ()

    @property
    def material(self) -> str:
        """The name of the ribs' material."""
        return self.sheet.material or "birch-plywood"

    @property
    def disc_material(self) -> str:
        """The name of the discs' material."""
        own = None if self.disc_sheet is None else self.disc_sheet.material
        return own or self.material

    def where(self, *key: str | int) -> Where:
        """The place of the value at that key, or of the nearest section above it.

        Only the file is known where the spec has no such section; without a key it is the start.
        """
        start = self.places.get((), Where())
        while key and key not in self.places:
            key = key[:-1]
            if not key:
                return Where(start.file)
        return self.places.get(key, start)


@dataclass(frozen=True)
class SetPlan:
    """What the frames of a set share: one scale, the largest, or none, and how they are nested.

    `scale` is the denominator; `where` the place of the scale in the spec.
    """

    scale: float | Literal["largest"] | None
    keep_together: bool
    where: Where


@dataclass(frozen=True)
class Supply:
    """The sheets at hand, and the place of each entry in the spec."""

    rows: tuple[AtHand, ...]
    places: tuple[Where, ...]


@dataclass(frozen=True)
class Spec:
    """A whole spec: its file (None when it came from elsewhere) and its frames.

    `plan` is how the frames of a set go together, None for a single frame; `supply` the sheets
    at hand, None where there are as many as it takes.
    """

    file: str | None
    id: str
    title: str
    frames: tuple[FrameSpec, ...]
    plan: SetPlan | None = None
    supply: Supply | None = None
