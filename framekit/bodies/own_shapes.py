"""framekit's own bodies as the classes that a plug-in would register.

framekit itself builds them without asking the entry points, which takes longer than a solve.
"""

from __future__ import annotations

from framekit.bodies.build import skin_of
from framekit.bodies.closed import spheroid
from framekit.bodies.model import Skin
from framekit.spec.model import FrameSpec


class _OwnShape:
    """A shape whose sizes have keys of their own in the spec."""

    name = ""
    sizes: tuple[str, ...] = ()

    def skin(self, frame: FrameSpec) -> Skin:
        """The skin of the frame's body; raises SpecError for a profile that is none."""
        return skin_of(frame) or spheroid((), (True, True))


class Sphere(_OwnShape):
    """A ball."""

    name = "sphere"


class Spheroid(_OwnShape):
    """An ellipse turned about one of its axes."""

    name = "spheroid"


class Superellipsoid(_OwnShape):
    """From a double cone over the spheroid to a pillow."""

    name = "superellipsoid"


class Cylinder(_OwnShape):
    """A straight tube."""

    name = "cylinder"


class Cone(_OwnShape):
    """A cone, pointed or cut off."""

    name = "cone"


class Profile(_OwnShape):
    """Any profile, by points or by a formula."""

    name = "profile"
