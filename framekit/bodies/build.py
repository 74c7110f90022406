"""Which body a frame has, by the name of its shape."""

from __future__ import annotations

from functools import lru_cache

from framekit.bodies.cone import Cone, Cylinder
from framekit.bodies.protocol import BodyShape
from framekit.bodies.spheroid import Sphere, Spheroid
from framekit.bodies.superellipsoid import Superellipsoid
from framekit.plugins import BODIES, load
from framekit.spec.model import FrameSpec

OWN = (Sphere(), Spheroid(), Superellipsoid(), Cylinder(), Cone())
"""framekit's own; looking them up among the entry points takes longer than a solve."""
_BY_NAME: dict[str, BodyShape] = {shape.name: shape for shape in OWN}


def body_of(frame: FrameSpec) -> BodyShape:
    """Return the kind of the frame's body; raise UnknownNameError or PluginError for none."""
    name = frame.body.shape or "spheroid"  # as every body of the catalogue is
    return _BY_NAME.get(name) or _loaded(name)


@lru_cache(maxsize=16)
def _loaded(name: str) -> BodyShape:
    if name == "profile":  # few specs have one, and a check of the others must start fast
        from framekit.bodies.profile import Profile

        return Profile()
    shape: BodyShape = load(BODIES, name)
    return shape
