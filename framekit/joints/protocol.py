"""How a rib and a disc hold each other: what a joint decides, framekit's own and plug-ins'."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple, Protocol

from framekit.constraints.law import Law, LawText
from framekit.geometry.path import Vertex

Value = Callable[[str], float]
"""The value of a quantity by its name in the laws, `disc.` being the disc at hand."""

End = Literal["bottom", "top"]
"""An open end of the body."""

OURS = "docs/explanation/geometry.md"
PRACTICE = "common practice, no source"


Cut = Literal["rib", "tooth", "notch", "slot", "disc"]
"""What a margin's law speaks of, where discs and flanges have a sheet of their own: a `rib` alone;
a `tooth` of a rib beside the notch of a disc, by the rib's thickness; the `notch` in a rib and the
thickness of the disc in it; a `slot` that is cut in a disc and takes a rib; a `disc` alone. Notches
are as wide as their own clearance asks for, and each sheet has its own kerf."""


class JointMargin(NamedTuple):
    """A check that a joint brings for each disc.

    `law` is read from right to left and must not come out below zero; it may use the names of
    what is made, such as `made.thickness`. `code` names the check, `about` what it is of, and
    `governed` the spec key that decides it when no tolerance does. `sentence` says what must hold;
    `{disc}` and quantities such as `{disc.radius:.1f}` are filled in. `when` limits it to discs
    with a hole (`bore`). `two` takes the law's place where discs and flanges have a sheet of their
    own, for a law that both sheets' kerfs decide. `cut` says what the law speaks of. Where the law
    looks at a rib's own edge, the check is made for each distinct rib. `law` may be the name of a
    law that framekit has.
    """

    code: str
    law: Law | LawText | str
    governed: str
    sentence: str
    about: str = "{disc}"
    when: Literal["always", "bore"] = "always"
    cut: Cut = "notch"
    two: Law | LawText | None = None


class FlangeMargin(NamedTuple):
    """A check of each flange, or of each pair of it and another plate, as `JointMargin`.

    `pair` says with which plates it is looked at: none, every flange before, every disc in a
    slot, every disc without one, or every disc. `two` takes the law's place where discs and
    flanges have a sheet of their own, for a law that both sheets' kerfs decide.
    """

    code: str
    law: LawText | str
    governed: str
    sentence: str
    pair: Literal["", "flanges", "slotted", "plain", "discs"] = ""
    cut: Cut = "notch"
    two: LawText | None = None


class RibEnd(NamedTuple):
    """How a rib ends at a disc flush with an open end, in mm.

    Over `depth` from the end only what lies from the radius `inner` to `outer` is left, to the
    skin where `outer` is None.
    """

    depth: float
    inner: float
    outer: float | None = None


class Mortise(NamedTuple):
    """A closed rectangular hole for a rib's tenon: inner and outer radius and width in mm."""

    inner: float
    outer: float
    width: float


class JointStyle(Protocol):
    """A way for a rib and a disc to hold each other.

    `name` is what `joint.style` says, `sizes` what it asks for under `joint.sizes`. `laws` are its
    own; `disc_laws` names all that hold for a disc, its own among them: together they give
    `disc.radius`, `disc.notch_depth` and `disc.ligament`; `bore_laws` names those of an automatic
    bore. `slotted` says that ribs enter slots in the disc, so that the disc's slots and the ribs'
    notches run past the joint alike; `notched` that the disc sits in a notch of the ribs' inner
    edge, so that framekit's margins of such notches hold beside its own `margins`; `at_ends` that
    it needs a disc flush with an open end of the body.
    """

    name: str
    sizes: tuple[str, ...]
    slotted: bool
    notched: bool
    at_ends: bool
    laws: tuple[Law | LawText, ...]
    disc_laws: tuple[str, ...]
    bore_laws: tuple[str, str]
    margins: tuple[JointMargin, ...]

    def at(self, end: End | None) -> JointStyle:
        """Return the joint of a disc flush with that open end, or of any other disc."""
        ...

    def notch(self, value: Value) -> tuple[Vertex, ...]:
        """Return the rib's notch: from its upper edge's mouth to its lower one's, in mm.

        x is the distance from the axis, y the height above the disc's middle. The mouth lies on
        the rib's inner edge and is found there: only the vertices beyond it are given.
        """
        ...

    def slot(self, value: Value) -> tuple[Vertex, ...]:
        """Return the disc's slot for a rib at longitude 0, from its right mouth to its left one.

        x points outward, y to the left, mm; the mouth lies on the rim and is found there. Empty
        where the disc is plain.
        """
        ...

    def mortise(self, value: Value) -> Mortise | None:
        """Return the hole in the disc for each rib, None where there is none."""
        ...

    def rib_end(self, value: Value, depth: float) -> RibEnd:
        """Return how a rib ends at a disc flush with an open end, `depth` mm thick with play."""
        ...


class Notched:
    """What joints share whose disc sits in a square notch of the ribs' inner edge."""

    sizes: tuple[str, ...] = ()
    slotted: bool = False
    notched: bool = True
    at_ends: bool = False
    laws: tuple[Law | LawText, ...] = ()
    bore_laws: tuple[str, str] = ("disc-bore-wall", "disc-bore-auto")
    margins: tuple[JointMargin, ...] = ()

    def notch(self, value: Value) -> tuple[Vertex, ...]:
        """Return a square notch past the joint by the end clearance."""
        return square(value("disc.joint_radius") + value("joint.end_clearance"), notch_half(value))

    def slot(self, value: Value) -> tuple[Vertex, ...]:
        """Return nothing: the disc is plain."""
        return ()

    def mortise(self, value: Value) -> Mortise | None:
        """Return None: the disc has no mortises."""
        return None

    def rib_end(self, value: Value, depth: float) -> RibEnd:
        """Return a step past the joint by the end clearance."""
        return RibEnd(depth, value("disc.joint_radius") + value("joint.end_clearance"))


def notch_half(value: Value) -> float:
    """Return half the width in mm of a notch that takes a disc."""
    return value("joint.notch_width") / 2


def square(reach: float, half: float) -> tuple[Vertex, ...]:
    """Return the floor of a square notch at x = `reach`, from above to below; mm."""
    return (Vertex(reach, half), Vertex(reach, -half))
