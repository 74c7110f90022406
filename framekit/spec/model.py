"""What the spec stage hands on: the sections as written, and the place of every value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from framekit.errors import Where
from framekit.spec.sections import Body, Cutter, Disc, Joint, ModelSize, Ribs, Stock


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
    sheet: Stock
    cutter: Cutter
    places: Mapping[tuple[str | int, ...], Where]

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
class Spec:
    """A whole spec: its file (None when it came from elsewhere) and its frames."""

    file: str | None
    id: str
    title: str
    frames: tuple[FrameSpec, ...]
