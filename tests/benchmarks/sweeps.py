"""Speed of sweeps, of ranges and of solving again: `python tests/benchmarks/sweeps.py [ROWS]`.

One run prints the time of `solve_many` over that of the same quantities and margins written by
hand in numpy below, the greatest difference between the two, and the warm time of values alone:
with a plan that is there, and with a set of given names that was not met before. For a spec with
a disc that a search places it prints the time and memory of a sweep and the time of each range.
"""

from __future__ import annotations

import statistics
import sys
import time
import tracemalloc
from collections.abc import Callable
from typing import Any

import numpy as np

from framekit import solve, solve_many
from framekit.analysis.allowed_range import allowed_range, rangeable_inputs
from framekit.constraints.namespaces import FLOATS
from framekit.constraints.plan import make_plan
from framekit.constraints.program import make_program
from framekit.solution.model import FrameSolution
from framekit.solution.relations import IMPLIED, bind
from framekit.solution.symbols import SEARCHES
from framekit.spec.build import parse_spec

ROUNDS = 15
SPEC = """
framekit: 1
id: three
body: {shape: spheroid, equatorial_diameter: 1.20 m, flattening: 0.05}
scale: "1:4"
ribs: {count: 8, width: {equator: 24, pole: 14}}
discs:
  - {at: {height: 0}, bore: auto}
  - {at: {latitude: 40, kind: geocentric, both: true}}
sheet: {thickness: 3.05 ± 0.03, size: [600, 400]}
cutter: {kerf: 0.16 ± 0.02}
"""

SEARCHED = """
framekit: 1
id: searched
body: {shape: spheroid, equatorial_diameter: 300, flattening: 0.05}
ribs: {count: 8, width: {equator: 24, pole: 14}}
discs: [{at: {height: 0}, bore: auto}, {radius: 120, side: north}]
joint: {style: housed}
sheet: {thickness: 3.05 ± 0.03, size: [600, 400]}
cutter: {kerf: 0.16 ± 0.02}
"""


def by_hand(
    f: FrameSolution, t: np.ndarray, k: np.ndarray, S: np.ndarray
) -> tuple[dict[str, Any], dict[tuple[str, str], Any]]:
    """Every quantity and margin of the frame in SPEC, mm, for arrays of shape (rows,).

    `t` is the sheet, `k` the kerf, `S` the scale's denominator; what is made is as drawn. Written
    for this frame alone, straight from docs/explanation/geometry.md and docs/reference/checks.md.
    """
    A, flat, w_e, w_p = 600.0, 0.05, 24.0, 14.0
    e_0, q, g, g_e = 0.5, 0.5, f.value("joint.clearance"), f.value("joint.end_clearance")
    m = f.material
    half = np.pi / 8
    sin_half, cos_half = np.sin(half), np.cos(half)
    a = A / S
    c = a * (1 - flat)
    a_i, c_i = a - w_e, c - w_p
    e = t / 2 * (cos_half / sin_half) + e_0
    h_r = 2 * c * np.sqrt((a - e) * (a + e)) / a
    bend = c_i * np.sqrt(np.maximum(0, (a_i - e) * (a_i + e))) / a_i
    reach = a - e
    w = t + g
    quantities = {
        "body.equatorial_radius": A,
        "body.equatorial_diameter": 2 * A,
        "body.polar_radius": A * (1 - flat),
        "body.polar_diameter": 2 * A * (1 - flat),
        "body.flattening": flat,
        "body.height": 2 * A * (1 - flat),
        "body.low_end": -A * (1 - flat),
        "body.high_end": A * (1 - flat),
        "scale.denominator": S,
        "model.equatorial_radius": a,
        "model.equatorial_diameter": 2 * a,
        "model.polar_radius": c,
        "model.height": 2 * c,
        "model.low_end": -c,
        "model.high_end": c,
        "rib.count": 8.0,
        "rib.angle": 45.0,
        "rib.width_equator": w_e,
        "rib.width_pole": w_p,
        "rib.pole_allowance": e_0,
        "rib.inner_equatorial_radius": a_i,
        "rib.inner_polar_radius": c_i,
        "rib.pole_gap": e,
        "rib.height": h_r,
        "rib.low_end": -h_r / 2,
        "rib.high_end": h_r / 2,
        "rib.low_bend": -bend,
        "rib.high_bend": bend,
        "rib.reach": reach,
        "rib.proud": np.sqrt(a * a + t * t / 4) - a,
        "joint.engagement": q,
        "joint.clearance": g,
        "joint.end_clearance": g_e,
        "joint.slot_width": w,
        "joint.slot_width_drawn": w - k,
        "joint.gap": w - t,
        "sheet.thickness": t,
        "cutter.kerf": k,
    }
    gap = w - t
    margins = {
        ("slot-gap", "joint"): gap - m.least_gap.value,
        ("slot-slack", "joint"): m.most_gap.value - gap,
        ("smallest-feature", "joint"): w - k,
        ("cut-spacing", "sheet"): 2.0 - 1.25 * k,
        ("cut-margin", "sheet"): 5.0 - 0.75 * k,
        ("pole-clearance", "ribs"): 2 * (e * sin_half - t / 2 * cos_half),
        ("smallest-feature", "ribs"): min(w_e, w_p) - k,
    }
    tan_40 = np.tan(np.radians(40))
    z_2 = tan_40 / np.sqrt(1 / a**2 + (tan_40 / c) ** 2)
    least_ligament, least_web, least_wall = m.ligament.value * t, m.web.value * t, m.wall.value * t
    heights = (np.zeros_like(t), z_2, -z_2)
    for number, z in enumerate(heights, 1):
        up = np.abs(z)
        z_f = up + t / 2
        ratio = a / c
        r_f = ratio * np.sqrt((c - z_f) * (c + z_f))
        r = ratio * np.sqrt((c - z) * (c + z))
        inner = a_i / c_i
        r_i = np.maximum(e, inner * np.sqrt(np.maximum(0, (c_i - z) * (c_i + z))))
        r_J = r_i + q * (r - r_i)
        ligament = r_f - r_J - g_e
        name = f"disc-{number}"
        values = {
            "height": z,
            "side": 1.0 if number < 3 else -1.0,
            "far_height": z_f,
            "setback": 0.0,
            "skin_radius": r_f,
            "mid_skin_radius": r,
            "rib_inner_radius": r_i,
            "joint_radius": r_J,
            "radius": r_f,
            "notch_depth": r_J - r_i,
            "slot_depth": r_f - r_J,
            "slot_web": 2 * (r_J * sin_half - w / 2 * cos_half),
            "ligament": ligament,
            "bore_radius": 0.0,
        }
        if number == 2:
            values["latitude"] = 40.0
        margins["ligament", name] = ligament - least_ligament
        margins["web", name] = 2 * ((r_J - g_e) * sin_half - w / 2 * cos_half) - least_web
        margins["inside-skin", name] = (
            ratio * np.sqrt(np.maximum(0, (c - z_f) * (c + z_f))) - r_f + 0.25
        )
        shallow = np.maximum(0, up - w / 2 - t / 2)
        seat = np.maximum(e, inner * np.sqrt(np.maximum(0, (c_i - shallow) * (c_i + shallow))))
        margins["engagement", name] = np.minimum(r_J - seat, r_f - r_J) - g_e - t
        margins["slot-end", name] = 2 * g_e
        if number == 1:
            wall = np.maximum(3 * t, r_J - r_i + 1.5 * t)
            room = r_J - g_e - wall
            bore = np.where(room >= 3 * t, room, 0.0)
            values["bore_wall"], values["bore_radius"] = wall, bore
            margins["bore-wall", name] = np.where(bore > 0, r_J - g_e - bore - least_wall, np.inf)
            margins["smallest-feature", name] = np.where(bore > 0, 2 * bore - k, np.inf)
        for side, sign in (("below", 1.0), ("above", -1.0)):
            margins["rib-end", f"{name} {side}"] = h_r / 2 + sign * z - w / 2 - t
            past = -sign * z - bend - w / 2
            margins["rib-flake", f"{name} {side}"] = np.where(past <= 0, -past, past - t)
        margins["fits-stock", name] = 390.0 - 2 * r_f
        quantities.update({f"{name}.{key}": value for key, value in values.items()})
    margins["disc-spacing", "disc-3 and disc-1"] = heights[0] - heights[2] - w - t
    margins["disc-spacing", "disc-1 and disc-2"] = heights[1] - heights[0] - w - t
    margins["fits-stock", "ribs"] = np.maximum(
        np.minimum(590 - reach, 390 - h_r), np.minimum(590 - h_r, 390 - reach)
    )
    return quantities, margins


def milliseconds(function: Callable[[], Any], repeat: int = 1) -> float:
    """The median time of one call in ms, over `ROUNDS` rounds of `repeat` calls."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        for _ in range(repeat):
            function()
        times.append((time.perf_counter() - start) / repeat)
    return 1000 * statistics.median(times)


def paired(first: Callable[[], Any], second: Callable[[], Any]) -> tuple[float, float, float]:
    """Median times in ms of two functions run by turns, and the median of their ratios."""
    times: list[tuple[float, float]] = []
    for _ in range(ROUNDS):
        marks = [time.perf_counter()]
        for function in (first, second):
            function()
            marks.append(time.perf_counter())
        times.append((marks[1] - marks[0], marks[2] - marks[1]))
    ratio = statistics.median(one / two for one, two in times)
    one, two = (1000 * statistics.median(column) for column in zip(*times, strict=True))
    return one, two, ratio


def differences(frame: FrameSolution, inputs: dict[str, np.ndarray]) -> float:
    """The greatest difference in mm between the sweep and the hand-written values.

    Raises AssertionError where one has a quantity or margin that the other lacks.
    """
    sweep = solve_many(frame, inputs)
    quantities, margins = by_hand(frame, *inputs.values())
    assert set(quantities) == set(sweep.quantities), set(quantities) ^ set(sweep.quantities)
    assert set(margins) == set(sweep.margins), set(margins) ^ set(sweep.margins)
    pairs = [(quantities[n], sweep.quantities[n]) for n in quantities]
    pairs += [(margins[key], sweep.margins[key]) for key in margins]
    worst = 0.0
    for hand, ours in pairs:
        both = np.broadcast_arrays(hand, ours)
        assert np.array_equal(np.isinf(both[0]), np.isinf(both[1]))
        finite = np.isfinite(both[0])
        worst = max(worst, float(np.max(np.abs(both[0][finite] - both[1][finite]), initial=0.0)))
    return worst


def searched(rows: int) -> None:
    """Print the figures of a spec with a disc that a search places."""
    frame = solve(parse_spec(SEARCHED)).frames[0]
    random = np.random.default_rng(3)
    inputs = {
        "sheet.thickness": random.uniform(2.5, 3.6, rows),
        "scale.denominator": random.uniform(0.8, 1.3, rows),
        "rib.width_equator": random.uniform(20.0, 30.0, rows),
    }
    solve_many(frame, inputs)
    start = time.perf_counter()
    solve_many(frame, inputs)
    seconds = time.perf_counter() - start
    tracemalloc.start()
    sweep = solve_many(frame, inputs)
    _, whole = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    print(
        f"{rows} rows with a disc found by a search, {sweep.valid.mean():.0%} of them with a frame"
    )
    print(f"solve_many      {seconds:8.2f} s, {whole / 1e6:.0f} MB at most")
    for name in rangeable_inputs(frame):
        start = time.perf_counter()
        allowed_range(frame, name)
        print(f"allowed {name:26} {1000 * (time.perf_counter() - start):8.1f} ms")


def main() -> None:
    """Print the figures."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    frame = solve(parse_spec(SPEC)).frames[0]
    random = np.random.default_rng(3)
    inputs = {
        "sheet.thickness": random.uniform(2.5, 3.6, rows),
        "cutter.kerf": random.uniform(0.1, 0.3, rows),
        "scale.denominator": random.uniform(3.0, 5.0, rows),
    }
    worst = differences(frame, inputs)
    ours, hand, ratio = paired(
        lambda: solve_many(frame, inputs), lambda: by_hand(frame, *inputs.values())
    )
    print(f"{rows} rows, 3 discs, {len(frame.quantities)} quantities, {len(frame.checks)} margins")
    print(f"solve_many      {ours:8.1f} ms")
    print(f"by hand, numpy  {hand:8.1f} ms")
    print(f"ratio           {ratio:8.2f}")
    print(f"greatest difference {worst:.1e} mm")
    given = [name for name, q in frame.quantities.items() if q.origin != "derived"]
    start = {name: frame.value(name) for name in given}
    program = make_program(given, frame.plan.steps)
    one = 1000 * milliseconds(lambda: program.run(FLOATS, start), 200)
    print(f"values, plan at hand        {one:8.1f} µs")
    structure = frame.structure
    relations = [bind(use, structure.book) for use in structure.laws]
    fresh = milliseconds(
        lambda: make_program(
            given, make_plan(relations, given, (), implied=IMPLIED, searches=SEARCHES).steps
        ).run(FLOATS, start),
        20,
    )
    print(f"values, new set of givens   {fresh:8.3f} ms")
    searched(rows)


if __name__ == "__main__":
    main()
