"""The housed joint: a plain disc whose rim lies in the ribs' notches."""

from __future__ import annotations

from framekit.constraints.law import Law, LawText
from framekit.joints.protocol import OURS, End, JointStyle, Notched


class Housed(Notched):
    """A plain disc whose rim lies in the rib's notch."""

    name: str = "housed"
    laws: tuple[Law | LawText, ...] = (
        LawText(
            "disc-radius-housed",
            "disc.radius",
            "disc.joint_radius",
            "a housed disc's rim seats in the rib's notch",
            OURS,
        ),
    )
    disc_laws: tuple[str, ...] = ("disc-radius-housed", "disc-notch-depth", "disc-ligament")

    def at(self, end: End | None) -> JointStyle:
        """Return this joint: it is the same everywhere."""
        return self
