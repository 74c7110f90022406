"""Two flat sheets that cross: closed forms against the solid kernel manifold3d.

Sources: the cross-section of two crossing strips of width t is a rhombus of side t/sin θ and
height t (any geometry text), area t²/sin θ. A slot cut square to a sheet's face needs the width
t/sin θ + t/tan θ to let an equal sheet pass at the angle θ: the strip's width along the face and
its drift through the thickness. The figures to six places were computed with mpmath.
"""

import math

import numpy as np
import pytest
from truth.solids import overlap, solid

T = 3.0
LENGTH = 7.0
HALF = 40.0
UPRIGHT = np.eye(4)
# 1e-5: the kernel rounds the vertices it makes; the figures below have seven digits.
RTOL = 1e-5


def box(low: tuple[float, float], high: tuple[float, float]) -> list[tuple[float, float]]:
    return [low, (high[0], low[1]), high, (low[0], high[1])]


def turned_about_y(degrees: float) -> np.ndarray:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([[c, 0, s, 0], [0, 1, 0, 0], [-s, 0, c, 0], [0, 0, 0, 1]])


@pytest.mark.parametrize(
    ("theta", "area"), [(90, 9.0), (60, 10.392305), (45, 12.727922), (30, 18.0)]
)
def test_crossing_sheets_share_a_rhombus(theta: float, area: float) -> None:
    sheet = box((-HALF, 0.0), (HALF, LENGTH))
    flat = solid(sheet, [], T, UPRIGHT)
    tilted = solid(sheet, [], T, turned_about_y(theta))
    assert overlap(flat, tilted) / LENGTH == pytest.approx(area, rel=RTOL)
    assert area == pytest.approx(T**2 / math.sin(math.radians(theta)), rel=1e-7)


@pytest.mark.parametrize(("theta", "width"), [(90, 3.0), (60, 5.196152), (45, 7.242641)])
def test_oblique_slot_lets_a_sheet_pass_and_a_narrower_one_does_not(
    theta: float, width: float
) -> None:
    angle = math.radians(theta)
    assert width == pytest.approx(T / math.sin(angle) + T / math.tan(angle), rel=1e-6)
    tilted = solid(box((-HALF, 0.0), (HALF, LENGTH)), [], T, turned_about_y(theta))

    def slotted(slot: float) -> float:
        hole = box((-slot / 2, -1.0), (slot / 2, LENGTH + 1.0))
        plate = solid(box((-HALF, -2.0), (HALF, LENGTH + 2.0)), [hole], T, UPRIGHT)
        return overlap(plate, tilted)

    # The figure is cut at six places, so up to 5e-7 mm each side is left to share.
    assert slotted(width) < 1e-4
    short = 0.2
    # The two corners that are left: triangles, or strips when the sheet stands square.
    corner = T * short if theta == 90 else short**2 * math.tan(angle)
    assert slotted(width - 2 * short) / LENGTH == pytest.approx(
        2 * corner if theta == 90 else corner, rel=RTOL
    )


def test_volume_of_a_posed_plate_with_a_hole() -> None:
    plate = solid(
        box((0.0, 0.0), (10.0, 20.0)), [box((2.0, 2.0), (4.0, 5.0))], 2.5, turned_about_y(33.0)
    )
    # 1e-9: only rounding of doubles.
    assert plate.volume() == pytest.approx((200.0 - 6.0) * 2.5, rel=1e-9)
    low, high = np.array(plate.bounding_box()).reshape(2, 3)
    assert low[1] == pytest.approx(0.0, abs=1e-9)
    assert high[1] == pytest.approx(20.0, abs=1e-9)


def test_plate_lies_on_both_sides_of_its_plane() -> None:
    shift = np.eye(4)
    shift[:3, 3] = [5.0, 6.0, 7.0]
    plate = solid(box((0.0, 0.0), (1.0, 1.0)), [], 4.0, shift)
    # 1e-9: only rounding of doubles.
    assert plate.bounding_box() == pytest.approx((5.0, 6.0, 5.0, 6.0, 7.0, 9.0), abs=1e-9)


def test_touching_sheets_share_nothing() -> None:
    above = np.eye(4)
    above[2, 3] = T
    sheet = box((-HALF, 0.0), (HALF, LENGTH))
    # 1e-9 mm³: only rounding of doubles.
    assert overlap(solid(sheet, [], T, UPRIGHT), solid(sheet, [], T, above)) == pytest.approx(
        0.0, abs=1e-9
    )


@pytest.mark.parametrize("entry", [(0, 0, 2.0), (0, 0, -1.0), (3, 0, 0.5)])
def test_what_is_not_a_turn_is_refused(entry: tuple[int, int, float]) -> None:
    pose = np.eye(4)
    pose[entry[0], entry[1]] = entry[2]
    with pytest.raises(ValueError, match="pose"):
        solid(box((0.0, 0.0), (1.0, 1.0)), [], 1.0, pose)
