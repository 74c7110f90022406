"""The assembly test finds what is planted in frames that framekit made."""

from __future__ import annotations

import dataclasses

import pytest
from parts.solved_frames import frame

from framekit.errors import BuildError
from framekit.geometry.path import Outline, rectangle
from framekit.parts.model import FrameParts
from framekit.parts.shape.disc import plain_disc
from framekit.pipeline import assembly_report


def test_the_assembly_test_finds_an_overlap():
    made = frame()
    wide = plain_disc(made.solution.value("disc-1.radius"), 0.0)
    broken = [dataclasses.replace(p, outline=wide) if p.id == "disc-1" else p for p in made.parts]
    with pytest.raises(BuildError, match="share"):
        assembly_report(FrameParts(made.solution, tuple(broken)))


def test_the_assembly_test_finds_a_part_that_is_loose():
    made = frame()
    small = plain_disc(30.0, 0.0)
    broken = [dataclasses.replace(p, outline=small) if p.id == "disc-1" else p for p in made.parts]
    with pytest.raises(BuildError, match="disc-1 is not joined"):
        assembly_report(FrameParts(made.solution, tuple(broken)))


def test_the_assembly_test_finds_a_part_outside_the_skin():
    made = frame(joint={"style": "housed"})
    pose = ((1.0, 0, 0, 0), (0, 1.0, 0, 0), (0, 0, 1.0, 80.0), (0, 0, 0, 1.0))
    broken = [dataclasses.replace(p, pose=pose) if p.id == "disc-1" else p for p in made.parts]
    with pytest.raises(BuildError, match="disc-1 leaves the skin"):
        assembly_report(FrameParts(made.solution, tuple(broken)))


def test_the_assembly_test_finds_a_blocked_way():
    """A lug inside the rib's notch overlaps nothing where the rib stands, but cannot pass."""
    made = frame()
    rib = made.part("rib-1")
    floor = made.solution.value("disc-1.joint_radius")
    post = dataclasses.replace(
        made.part("disc-2"),
        id="disc-4",
        outline=Outline(rectangle(floor + 20.0, floor + 25.0, 0.0, 6.0)),
        pose=((1.0, 0, 0, 0), (0, 1.0, 0, 0), (0, 0, 1.0, 20.0), (0, 0, 0, 1.0)),
    )
    with pytest.raises(BuildError, match=f"{rib.id} cannot slide in: disc-4"):
        assembly_report(FrameParts(made.solution, (*made.parts, post)))


def test_a_frame_on_one_disc_is_said_to_tip():
    report = assembly_report(frame(discs=[{"at": {"height": 0}}]))
    assert "can tip" in report.remarks[0].text
