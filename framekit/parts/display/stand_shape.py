"""The order for a stand and the stand that is designed for it."""

from __future__ import annotations

from dataclasses import dataclass

from framekit.geometry.path import Outline
from framekit.parts.display.cradle import Cradle, TiltedBody
from framekit.parts.model import Pose, StandReport


@dataclass(frozen=True)
class Obstacle:
    """A flat ring round the body that the stand keeps clear of.

    `inner` and `outer` radius, `height` of its middle in the frame's z and `thickness`, in mm.
    """

    inner: float
    outer: float
    height: float
    thickness: float


@dataclass(frozen=True)
class StandShape:
    """What a stand is asked to be; lengths in mm, angles in degrees.

    `tilt` of the axis from upright; `longitude` of the frame's meridian that lies in plate 1, on
    the side to which the axis leans; `thickness` of the sheet and finished `slot_width`,
    which in a soft sheet may be the narrower of the two, by the rule of the frame's own joints;
    `clearance` between cradle and skin; `reach` the steepness of the skin at a cradle's ends, so
    that 0 is its lowest point and 90 a wall; `base_width` over the feet; `foot_height` of the
    body's lowest point over the table; `wall` the least material; `end_clearance` by which each
    slot runs past its seat; `layers` of sheet glued into each plate, for a wider ledge; `relief`
    the radius of the tool whose fillets the slots must not keep.
    """

    tilt: float
    thickness: float
    slot_width: float
    clearance: float
    reach: float
    base_width: float
    foot_height: float
    wall: float
    longitude: float = 0.0
    end_clearance: float = 0.1
    layers: int = 1
    relief: float = 0.0

    @property
    def plate(self) -> float:
        """The thickness of a whole plate in mm."""
        return self.layers * self.thickness

    @property
    def slot(self) -> float:
        """The finished width of the lap's slots in mm."""
        return self.slot_width + (self.layers - 1) * self.thickness


@dataclass(frozen=True)
class StandPlate:
    """One piece of a stand: finished outline in its own plane, mm, and pose in the frame's axes.

    The outline's x runs level and its y up from the stand's origin. The solid is the outline
    swept half the `thickness` to each side.
    """

    id: str
    title: str
    thickness: float
    outline: Outline
    pose: Pose


@dataclass(frozen=True)
class StandDesign:
    """A stand's pieces, its report, and what it was made for.

    `cradles` are those of plate 1 and plate 2; `table` is the table's height Z in mm in the
    stand's axes.
    """

    plates: tuple[StandPlate, ...]
    report: StandReport
    shape: StandShape
    body: TiltedBody
    cradles: tuple[Cradle, Cradle]
    table: float
