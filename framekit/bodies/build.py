"""Which body a frame has, by the name of its shape."""

from __future__ import annotations

from functools import lru_cache

from framekit.bodies.protocol import BodyShape
from framekit.plugins import BODIES, load, own
from framekit.spec.model import FrameSpec


def body_of(frame: FrameSpec) -> BodyShape:
    """Return the kind of the frame's body; raise UnknownNameError or PluginError for none."""
    return body_named(frame.body.shape or "spheroid")  # as every body of the catalogue is


@lru_cache(maxsize=16)
def body_named(name: str) -> BodyShape:
    """Return the kind of body of that name; raise UnknownNameError or PluginError for none."""
    shape: BodyShape = own(BODIES, name) or load(BODIES, name)
    return shape
