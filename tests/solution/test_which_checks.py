"""Which checks a frame has, by what it is made of: written out by hand for each kind."""

from __future__ import annotations

import pytest

from framekit import solve
from framekit.spec.build import spec_from_values


def names(code: str, **changes: object) -> set[str]:
    """What the checks of a code are of, in a frame of a sphere with some sections changed."""
    values = {
        "framekit": 1,
        "body": {"shape": "sphere", "diameter": 240},
        "ribs": {"count": 6, "width": 26},
        "discs": [{"at": {"height": 0}}],
        "sheet": {"thickness": "3 ± 0.05", "size": [900, 900]},
        "cutter": {"kerf": "0.16 ± 0.02"},
        **changes,
    }
    frame = solve(spec_from_values(values)).frames[0]
    return {check.about for check in frame.checks if check.code == code}


CYLINDER = {"shape": "cylinder", "diameter": 200, "height": 200}
ENDS = [{"at": {"end": "bottom"}}, {"at": {"height": 100}}, {"at": {"end": "top"}}]


@pytest.mark.parametrize(
    ("span", "expected"),
    [
        (["-60 mm", "top"], {"ribs below"}),
        (["bottom", "60 mm"], {"ribs above"}),
        (["-60 mm", "60 mm"], {"ribs below", "ribs above"}),
    ],
)
def test_only_open_ends_need_room(span, expected):
    body = {"shape": "sphere", "diameter": 240, "span": span}
    assert names("end-room", body=body) == expected
    assert names("end-room") == set()


@pytest.mark.parametrize("style", ["cross-lap", "housed", "tenon"])
def test_a_disc_flush_with_an_end_has_the_rib_on_its_other_side_alone(style):
    expected = {"disc-1 above", "disc-2 below", "disc-2 above", "disc-3 below"}
    joint = {"style": style}
    assert names("rib-end", body=CYLINDER, discs=ENDS, joint=joint) == expected


def test_only_poles_have_flakes():
    span = {"shape": "sphere", "diameter": 240, "span": ["-60 mm", "top"]}
    assert names("rib-flake", body=span) == {"disc-1 above"}
    assert names("rib-flake", body=CYLINDER, discs=ENDS[1:2]) == set()
    every = {"count": 6, "width": 26, "alternate": {"width": 22}}
    sides = {"disc-1 below", "disc-1 above"}
    assert names("rib-flake", ribs=every) == sides | {f"{s} in every other rib" for s in sides}


def test_each_sheet_has_its_own_joint_and_cut():
    second = {"thickness": "4 ± 0.05", "size": [900, 900]}
    for code in ("slot-gap", "slot-slack"):
        assert names(code) == {"joint"}
        assert names(code, disc_sheet=second) == {"joint", "notches"}
    for code in ("cut-spacing", "cut-margin"):
        assert names(code) == {"sheet"}
        assert names(code, disc_sheet=second) == {"sheet", "disc_sheet"}


def test_only_a_router_without_relief_asks_whether_slots_seat():
    tool = {"process": "router", "tool_diameter": "2 ± 0.01"}
    assert names("slot-seat") == set()
    assert names("slot-seat", cutter=tool) == {"joint"}
    assert names("slot-seat", cutter=tool, joint={"relief": "all"}) == set()
    second = {"thickness": "4 ± 0.05", "size": [900, 900]}
    assert names("slot-seat", cutter=tool, disc_sheet=second) == {"joint", "notches"}


def test_chamfers_ask_for_a_rim_between_slots():
    assert names("web") == {"disc-1"}
    assert names("web", joint={"lead_in": 1}) == {"disc-1", "disc-1 rim"}
    assert names("web", joint={"lead_in": 1, "style": "housed"}) == set()


def test_only_a_stand_has_a_lap():
    assert names("slot-gap", stand={"tilt": 0}) == {"joint", "stand"}
    assert names("slot-end", stand={"tilt": 0}) == {"disc-1", "stand"}
    assert names("slot-end") == {"disc-1"}
