"""The housed joint: a plain disc whose rim lies in the ribs' notches."""

from __future__ import annotations

from framekit.constraints.law import Law, LawText, law_texts
from framekit.joints.protocol import OURS, End, JointStyle, Notched

LAWS = law_texts(
    OURS,
    """
disc-radius-housed: disc.radius = disc.joint_radius
a housed disc's rim seats in the rib's notch
""",
)


class Housed(Notched):
    """A plain disc whose rim lies in the rib's notch."""

    name: str = "housed"
    laws: tuple[Law | LawText, ...] = tuple(LAWS.values())
    disc_laws: tuple[str, ...] = ("disc-radius-housed", "disc-notch-depth", "disc-ligament")

    def at(self, end: End | None) -> JointStyle:
        """Return this joint: it is the same everywhere."""
        return self
