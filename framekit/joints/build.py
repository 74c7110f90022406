"""How ribs and discs hold each other: what a joint style decides, framekit's own and plug-ins'.

framekit's own styles are registered as entry points like those of a plug-in.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple, Protocol

from framekit.constraints.law import Law
from framekit.errors import Fault, SolveError
from framekit.geometry.path import Vertex
from framekit.plugins import JOINTS, load
from framekit.spec.model import FrameSpec

Value = Callable[[str], float]
"""The value of a quantity by its name in the laws, `disc.` being the disc at hand."""


class JointMargin(NamedTuple):
    """A check that a joint brings for each disc.

    `law` is read from right to left and must not come out below zero; it may use the names of
    what is made, such as `made.thickness`. `code` names the check, `governed` the spec key that
    decides it when no tolerance does, and `sentence` says what must hold; `{disc}` and quantities
    such as `{disc.radius:.1f}` are filled in.
    """

    code: str
    law: Law
    governed: str
    sentence: str


class JointStyle(Protocol):
    """A way for a rib and a disc to hold each other.

    `name` is what `joint.style` says, `sizes` what it asks for under `joint.sizes`. `laws` are its
    own; `disc_laws` names all that hold for a disc, its own among them: together they give
    `disc.radius`, `disc.notch_depth` and `disc.ligament`. `slotted` says that ribs enter slots in
    the disc, so that the disc's slots and the ribs' notches run past the joint alike; `at_ends`
    that it needs a disc flush with an open end of the body.
    """

    name: str
    sizes: tuple[str, ...]
    slotted: bool
    at_ends: bool
    laws: tuple[Law, ...]
    disc_laws: tuple[str, ...]
    margins: tuple[JointMargin, ...]

    def notch(self, value: Value) -> tuple[Vertex, ...]:
        """The rib's notch: from its upper edge's mouth to its lower one's, in mm.

        x is the distance from the axis, y the height above the disc's middle. The mouth lies on
        the rib's inner edge and is found there: only the vertices beyond it are given.
        """
        ...

    def slot(self, value: Value) -> tuple[Vertex, ...]:
        """The disc's slot for a rib at longitude 0, from its right side's mouth to its left one's.

        x points outward, y to the left, mm; the mouth lies on the rim and is found there. Empty
        where the disc is plain.
        """
        ...


class CrossLap:
    """Half a slot in each part."""

    name: str = "cross-lap"
    sizes: tuple[str, ...] = ()
    slotted: bool = True
    at_ends: bool = False
    laws: tuple[Law, ...] = ()
    disc_laws: tuple[str, ...] = (
        *("disc-radius-cross-lap", "disc-notch-depth", "disc-slot-depth", "disc-slot-web"),
        "disc-ligament",
    )
    margins: tuple[JointMargin, ...] = ()

    def notch(self, value: Value) -> tuple[Vertex, ...]:
        """A square notch past the joint by the end clearance."""
        return square(value("disc.joint_radius") + value("joint.end_clearance"), notch_half(value))

    def slot(self, value: Value) -> tuple[Vertex, ...]:
        """A square slot past the joint by the end clearance."""
        floor = value("disc.joint_radius") - value("joint.end_clearance")
        half = value("joint.slot_width") / 2
        return (Vertex(floor, -half), Vertex(floor, half))


class Housed:
    """A plain disc whose rim lies in the rib's notch."""

    name: str = "housed"
    sizes: tuple[str, ...] = ()
    slotted: bool = False
    at_ends: bool = False
    laws: tuple[Law, ...] = ()
    disc_laws: tuple[str, ...] = ("disc-radius-housed", "disc-notch-depth", "disc-ligament")
    margins: tuple[JointMargin, ...] = ()

    def notch(self, value: Value) -> tuple[Vertex, ...]:
        """A square notch past the joint by the end clearance."""
        return square(value("disc.joint_radius") + value("joint.end_clearance"), notch_half(value))

    def slot(self, value: Value) -> tuple[Vertex, ...]:
        """None: the disc is plain."""
        return ()


class Tenon(CrossLap):
    """Tongues on the ribs' ends through mortises in the end discs; other discs are cross-lapped."""

    name: str = "tenon"
    at_ends: bool = True


def notch_half(value: Value) -> float:
    """Half the width in mm of a notch that takes a disc."""
    return value("joint.notch_width") / 2


def square(reach: float, half: float) -> tuple[Vertex, ...]:
    """The floor of a square notch at x = `reach`, from above to below; mm."""
    return (Vertex(reach, half), Vertex(reach, -half))


TENON_LAWS = ("disc-tongue", "disc-radius-tenon", "disc-ligament-tenon")
"""What holds for a disc that the ribs' tongues go through."""

_STYLES: tuple[JointStyle, ...] = (CrossLap(), Housed(), Tenon())
_OWN = {style.name: style for style in _STYLES}


def style_of(frame: FrameSpec) -> JointStyle:
    """The frame's joint style; raises SolveError where its sizes are not those it asks for."""
    style = style_named(frame.joint.style)
    given = frame.joint.sizes or {}
    wrong = sorted(set(given) ^ set(style.sizes))
    if wrong:
        what = "lacks" if wrong[0] in style.sizes else "does not take"
        raise SolveError(
            Fault(
                "joint-sizes",
                f"the joint '{style.name}' {what} the size '{wrong[0]}'",
                frame.where("joint", "sizes"),
                f"Its sizes are: {', '.join(style.sizes) or 'none'}.",
            )
        )
    return style


def style_named(name: str) -> JointStyle:
    """The joint style of that name; raises UnknownNameError or PluginError."""
    # framekit's own are not looked up among the entry points, which takes longer than a solve.
    return _OWN.get(name) or _loaded(name)


@lru_cache(maxsize=16)
def _loaded(name: str) -> JointStyle:
    style: JointStyle = load(JOINTS, name)
    return style
