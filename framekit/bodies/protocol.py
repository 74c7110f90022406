"""What a kind of body is, framekit's own and plug-ins'."""

from __future__ import annotations

from typing import Protocol

from framekit.bodies.model import Skin
from framekit.constraints.law import LawText
from framekit.spec.given import Given
from framekit.spec.measure import Measure
from framekit.spec.model import FrameSpec


class BodyShape(Protocol):
    """A kind of body of revolution.

    `name` is what `body.shape` says; `sizes` are the names it asks for under `body.sizes`. A
    name that ends in `_ratio` is a plain number, every other a length. `reads` are the keys of
    `body` that its `givens` reads itself; all others are read by the quantities' own rows.
    """

    name: str
    sizes: tuple[str, ...]
    reads: tuple[str, ...]

    def skin(self, frame: FrameSpec) -> Skin:
        """Return the skin of the frame's body; raise SpecError or SolveError for none."""
        ...

    def givens(self, frame: FrameSpec) -> tuple[Given, ...]:
        """Return the real sizes that the spec gives, beside those that have a key of their own."""
        ...


class Shape:
    """What framekit's own bodies share."""

    sizes: tuple[str, ...] = ()
    reads: tuple[str, ...] = ()
    laws: tuple[LawText, ...] = ()
    """Its own laws that have closed forms."""
    made: tuple[LawText, ...] = ()
    """Its own laws of what is made that have closed forms."""

    def givens(self, frame: FrameSpec) -> tuple[Given, ...]:
        """Return the heights of a cut in mm."""
        return size_givens(frame)


def size_givens(frame: FrameSpec) -> tuple[Given, ...]:
    """Return the sizes under `body.sizes`, and the heights at which a body is cut off; mm."""
    body = frame.body
    found = [
        Given(f"body.{name}", size, "given", frame.where("body", "sizes", name))
        for name, size in (body.sizes or {}).items()
    ]
    for n, (end, cut) in enumerate(zip(("low", "high"), body.span or (), strict=False)):
        if isinstance(cut, Measure):
            found.append(Given(f"body.{end}_end", cut, "given", frame.where("body", "span", n)))
    return tuple(found)
