"""Worksheets: tasks build up, limits hold for careful pupils and not for a usual slip.

A pupil here reads the printed formulas by `latex_reader.py` and rounds by the standard library's
decimals: neither shares code with framekit.
"""

from __future__ import annotations

import json
import math
import re
from decimal import Decimal

import pytest
from explain.latex_reader import read
from explain.printed_frames import BUOY, FRAMES, UNITS, every_frame, frame_of, rounded

from framekit.explain.build import derive, make_worksheet
from framekit.explain.json_values import worksheet_values
from framekit.explain.rounding import ROUNDED
from framekit.explain.worksheet_pages import worksheet_markdown, worksheet_text
from framekit.solution.law_terms import EXPLAINED
from framekit.solution.symbols import template_name


@every_frame
def test_tasks_build_on_what_is_given_or_done(frame):
    sheet = make_worksheet(frame)
    known = {step.name for step in (*sheet.givens, *sheet.notes)}
    for number, task in enumerate(sheet.tasks, 1):
        assert task.number == number
        assert set(task.step.inputs) <= known, task.step.name
        known.add(task.step.name)
    images = [f"disc-{image}." for image, _ in sheet.mirrored]
    more = {name for name in known if template_name(name) in EXPLAINED}
    assert known - more == {n for n in frame.quantities if not n.startswith(tuple(images))}
    assert len(sheet.tasks) >= 15


def pupils_answers(frame, sheet, decimals_carried):
    """What a pupil gets with the printed formulas, by Python; rounds each answer, or nothing."""
    steps = {s.name: s for s in (*sheet.givens, *sheet.notes, *(t.step for t in sheet.tasks))}
    size = {name: UNITS.get(step.unit, 1.0) for name, step in steps.items()}
    tasks = {task.step.name: task for task in sheet.tasks}
    have = {}
    for step in derive(frame, *(n for n in steps if n in frame.quantities), rounding=ROUNDED):
        if not step.formula or (step.name not in tasks and not step.substituted and step.inputs):
            have[step.name] = float(step.result.replace("−", "-")) * size[step.name]
            continue
        if "read off" in step.formula:
            have[step.name] = float(step.result.replace("−", "-")) * size[step.name]
            continue
        values = {}
        for name in step.inputs:
            angle = steps[name].unit == "deg" and "angles in radians" not in step.words
            values[steps[name].latex.symbol] = have[name] * (math.pi / 180 if angle else 1)
        answer = read(step.latex.formula, values) / size[step.name]
        if step.name in tasks and decimals_carried is None:
            answer = float(rounded(answer, tasks[step.name].decimals))
        have[step.name] = answer * size[step.name]
    return {name: have[name] / size[name] for name in tasks}


@every_frame
@pytest.mark.parametrize("carried", [None, 15])
def test_a_careful_pupil_is_within_the_limits(frame, carried):
    sheet = make_worksheet(frame)
    answers = pupils_answers(frame, sheet, carried)
    for task in sheet.tasks:
        answer = rounded(answers[task.step.name], task.decimals)
        low, high = (Decimal(f"{x:.{task.decimals}f}") for x in (task.low, task.high))
        assert low <= answer <= high, task


@every_frame
def test_limits_are_narrow(frame):
    """0.2 mm at most where slips are whole millimetres; the chain near the pole is the widest."""
    for task in make_worksheet(frame).tasks:
        if task.step.unit == "mm" and not task.step.name.startswith("disc-4."):
            # 1e-9: the two ends have two decimals and are doubles
            assert task.high - task.low <= 0.2 + 1e-9, task


def test_a_usual_slip_is_outside():
    """The skin at the disc's middle instead of its far face; a diameter for a radius."""
    tasks = {task.step.name: task for task in make_worksheet(BUOY).tasks}
    far, middle = tasks["disc-2.skin_radius"], tasks["disc-2.mid_skin_radius"]
    assert not far.low <= middle.step.value <= far.high
    radius = tasks["model.equatorial_radius"]
    assert not radius.low <= 2 * radius.step.value <= radius.high
    assert radius.low == radius.high == 150.0


@every_frame
def test_the_three_forms_of_a_worksheet_hold_the_same_answers(frame):
    sheet = make_worksheet(frame)
    values = worksheet_values(sheet)
    assert json.loads(json.dumps(values)) == values
    text, page = worksheet_text(sheet), worksheet_markdown(sheet)
    key, tasks = page.partition("## Answer key")[2], page.partition("## Answer key")[0]
    assert "unrounded values" in key and "unrounded values" in text
    assert "Round lengths to 2 decimals" in tasks and "Round lengths to 2 decimals" in text
    for task, value in zip(sheet.tasks, values["tasks"], strict=True):
        assert value["step"]["result"] == task.step.result
        latex = task.step.result.replace("−", "-")
        assert re.search(rf"^\| {task.number} \|.*= {re.escape(latex)}", key, re.MULTILINE)
        assert re.search(rf"^ *{task.number}\. .*= {re.escape(task.step.result)}", text, re.M)
        assert f"**{task.number}.** " in tasks


LOPSIDED = """
framekit: 1
id: lopsided
body: {shape: cone, diameter: 200 mm, top_diameter: 160 mm, height: 220}
ribs: {count: 6, width: 24}
discs:
  - {at: {end: bottom, both: true}}
joint: {style: tenon}
sheet: {thickness: 3.05, size: [600, 400]}
"""


def test_a_mirrored_disc_on_a_lopsided_body_has_tasks_of_its_own():
    """Its radius is another; on a symmetrical body the image has none, and its height is told."""
    sheet = make_worksheet(frame_of(LOPSIDED))
    assert sheet.mirrored == ()
    radii = [t.step for t in sheet.tasks if t.step.name.endswith(".skin_radius")]
    assert [step.name for step in radii] == ["disc-1.skin_radius", "disc-2.skin_radius"]
    # By hand: straight from 100 to 80 mm, and narrowest at each disc's upper face.
    assert radii[0].value == pytest.approx(100 - 20 / 220 * 3.05, abs=1e-9)  # rounding
    assert radii[1].value == pytest.approx(80, abs=1e-9)  # rounding
    lamp = make_worksheet(FRAMES["hourglass-lamp"])
    assert "its height is z_U + z_L − z[1]" in worksheet_text(lamp)
    assert "its height is $z_{U} + z_{L} - z_{1}$" in worksheet_markdown(lamp)


def test_a_reading_is_given_and_says_where():
    sheet = make_worksheet(FRAMES["clay-vase"])
    reading = {note.name: note for note in sheet.notes}["disc-2.mid_skin_radius"]
    assert reading.reading and reading.substituted == ""
    assert "between the points [62, 40] and [70, 80]" in reading.words
    for page in (worksheet_text(sheet), worksheet_markdown(sheet)):
        assert "read off the curve through the author's points" in page
