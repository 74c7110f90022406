"""Which body a frame has, by the name of its shape."""

from __future__ import annotations

from functools import lru_cache

from framekit.bodies.protocol import BodyShape
from framekit.plugins import BODIES, load, own
from framekit.spec.model import FrameSpec


def body_of(frame: FrameSpec) -> BodyShape:
    """Return the kind of the frame's body; raise UnknownNameError or PluginError for none."""
    name = frame.body.shape or "spheroid"  # as every body of the catalogue is
    shape: BodyShape = own(BODIES, name) or _loaded(name)
    return shape


@lru_cache(maxsize=16)
def _loaded(name: str) -> BodyShape:
    shape: BodyShape = load(BODIES, name)
    return shape
