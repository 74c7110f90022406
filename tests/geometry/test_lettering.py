"""Single-stroke letters, against the repertory's own grid."""

import pytest

from framekit.geometry.lettering import text_strokes


def box(paths):
    bounds = [p.bounds for p in paths]
    return (
        min(b[0] for b in bounds),
        min(b[1] for b in bounds),
        max(b[2] for b in bounds),
        max(b[3] for b in bounds),
    )


@pytest.mark.parametrize("text", ["H", "E", "RIB", "1", "EARTH"])
def test_capitals_stand_on_the_line_at_the_height(text):
    left, low, _, high = box(text_strokes(text, 4.0))
    assert (left, low, high) == pytest.approx((0.0, 0.0, 4.0), abs=1e-12)


def test_known_letter():
    # NBS Special Publication 424, Roman simplex A: an inverted V 21 units high and 16 wide, a bar
    # 7 units up from 3 to 13 (read from the package's data, which is the repertory's).
    strokes = [[(v.x, v.y) for v in p.vertices] for p in text_strokes("A", 21.0)]
    assert strokes == [[(8, 21), (0, 0)], [(8, 21), (16, 0)], [(3, 7), (13, 7)]]


def test_below_the_line():
    _, low, _, high = box(text_strokes("g", 3.0))
    assert low == pytest.approx(-1.0, abs=1e-12)  # 7 of 21 units, the repertory's bottom line
    assert 0.0 < high < 3.0


def test_strokes_are_open_lines():
    paths = text_strokes("disc-12 & rib_3", 3.0)
    assert all(not p.closed and p.length > 0.0 for p in paths)
    assert all(v.bulge == 0.0 for p in paths for v in p.vertices)


def test_letters_follow_one_another():
    one, two = box(text_strokes("I", 3.0)), box(text_strokes("II", 3.0))
    # Each letter's cell is as wide as the repertory says: 8 units for I, of 21 for 3 mm.
    assert two[2] - one[2] == pytest.approx(3.0 * 8 / 21, abs=1e-12)


def test_other_scripts_and_accents():
    assert text_strokes("é", 3.0) == text_strokes("e", 3.0)
    assert text_strokes("月", 3.0) == text_strokes("?", 3.0)
    assert text_strokes(" \t"[:1], 3.0) == () == text_strokes("", 3.0)
