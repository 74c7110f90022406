"""How a finished frame is shown: on a stand, or hung from a hole."""

from typing import Literal

from pydantic import Field

from framekit.spec.fields import Angle180, LengthFromZero, PositiveLength, Reach, Tilt
from framekit.spec.section import Section


class Stand(Section):
    """Two crossed plates that the body lies in, with its axis tilted."""

    tilt: Tilt = Field(
        "auto",
        description="The axis's tilt from upright, 0 to 180 degrees. `auto` is the obliquity of a "
        "catalogue body, or 0.",
    )
    reach: Reach = Field(
        45.0,
        description="How far up the cradles go: the steepness of the skin at their ends, in "
        "degrees.",
    )
    clearance: LengthFromZero | None = Field(
        None, description="Between cradle and skin. Default 0.3 mm."
    )
    foot: PositiveLength | None = Field(
        None,
        description="The least height of the body above the table. Default 25 mm, or more in "
        "thick sheet.",
    )
    base: PositiveLength | None = Field(
        None, description="The width over the feet. Default 0.9 of the body's greatest width."
    )
    layers: Literal[1, 2, 3] = Field(
        1, description="Sheets glued into each plate, for a wider ledge."
    )


class Hang(Section):
    """A hole above the centre of mass."""

    hole: PositiveLength | None = Field(None, description="Its diameter. Default 4 mm.")
    tilt: Angle180 = Field(
        0.0, description="The axis's tilt from upright as the frame hangs, 0 to 180 degrees."
    )
