"""The cross-lap: half a slot in each part."""

from __future__ import annotations

from framekit.constraints.law import Law, LawText, law_texts
from framekit.geometry.path import Vertex
from framekit.joints.protocol import OURS, End, JointStyle, Notched, Value

LAWS = law_texts(
    OURS,
    """
disc-radius-cross-lap: disc.radius = disc.skin_radius - disc.setback
the rim stays under the skin at its far face, less the setback

disc-slot-depth: disc.slot_depth = disc.radius - disc.joint_radius
from the disc's rim to the joint

disc-slot-web: disc.slot_web =
    2*(disc.joint_radius*sin(rib.angle*pi/360) - joint.slot_width/2*cos(rib.angle*pi/360))
the straight distance between the corners of neighbouring slots
""",
)


class CrossLap(Notched):
    """Half a slot in each part."""

    name: str = "cross-lap"
    slotted: bool = True
    laws: tuple[Law | LawText, ...] = tuple(LAWS.values())
    disc_laws: tuple[str, ...] = (
        *("disc-radius-cross-lap", "disc-notch-depth", "disc-slot-depth", "disc-slot-web"),
        "disc-ligament",
    )

    def at(self, end: End | None) -> JointStyle:
        """Return this joint: it is the same everywhere."""
        return self

    def slot(self, value: Value) -> tuple[Vertex, ...]:
        """Return a square slot past the joint by the end clearance."""
        floor = value("disc.joint_radius") - value("joint.end_clearance")
        half = value("joint.slot_width") / 2
        return (Vertex(floor, -half), Vertex(floor, half))
