"""Which joint a frame has, by the name of its style.

framekit's own styles are registered as entry points like those of a plug-in.
"""

from __future__ import annotations

from functools import lru_cache

from framekit.joints.protocol import JointStyle
from framekit.plugins import JOINTS, load, own
from framekit.spec.model import FrameSpec
from framekit.spec.sizes import check_sizes


def joint_of(frame: FrameSpec) -> JointStyle:
    """Return the frame's joint.

    Raise SolveError where its sizes are not those it asks for, UnknownNameError for a name that
    is no joint, and PluginError for a plug-in that fails.
    """
    style = joint_named(frame.joint.style)
    check_sizes(frame, "joint", f"the joint '{style.name}'", style.sizes)
    return style


@lru_cache(maxsize=16)
def joint_named(name: str) -> JointStyle:
    """Return the joint of that name; raise UnknownNameError or PluginError for none."""
    style: JointStyle = own(JOINTS, name) or load(JOINTS, name)
    return style
