"""Which joint a frame has, by the name of its style.

framekit's own styles are registered as entry points like those of a plug-in.
"""

from __future__ import annotations

from functools import lru_cache

from framekit.errors import Fault, SolveError
from framekit.joints.protocol import JointStyle
from framekit.plugins import JOINTS, load, own
from framekit.spec.model import FrameSpec


def joint_of(frame: FrameSpec) -> JointStyle:
    """Return the frame's joint.

    Raise SolveError where its sizes are not those it asks for, UnknownNameError for a name that
    is no joint, and PluginError for a plug-in that fails.
    """
    style = joint_named(frame.joint.style)
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


@lru_cache(maxsize=16)
def joint_named(name: str) -> JointStyle:
    """Return the joint of that name; raise UnknownNameError or PluginError for none."""
    style: JointStyle = own(JOINTS, name) or load(JOINTS, name)
    return style
