"""Consistent points, made by forward formulas written by hand, never by the solver.

They pick the branch of each closed form: the one that gives the point back.
"""

from __future__ import annotations

import math

Point = dict[str, float]


def witness_points() -> tuple[Point, ...]:
    """Three frames' worth of consistent values, lengths in mm, angles in degrees."""
    return (
        _point(600.0, 0.05, 4.0, 8, 22.0, 12.0, 3.05, 0.05, 0.16, 60.0, 0.5),
        _point(71492.0, 0.0648743915403122, 700.0, 9, 14.0, 9.0, 2.9, 0.1, 0.2, 41.0, 0.4),
        _point(95.0, -0.2, 1.0, 6, 23.0, 20.0, 4.1, 0.0, 0.0, 33.0, 0.6),
    )


def _point(
    A: float,
    f: float,
    S: float,
    n: int,
    w_e: float,
    w_p: float,
    t: float,
    g: float,
    k: float,
    z: float,
    q: float,
) -> Point:
    C = A - A * f
    a, c = A / S, C / S
    half = math.radians(360.0 / n / 2)
    e_0, g_e, b = 0.3, 0.1, 0.2
    e = 0.5 * t / math.tan(half) + e_0
    z_f = z + 0.5 * t
    r_f = math.sqrt(a * a * (1.0 - (z_f / c) ** 2))
    r = math.sqrt(a * a * (1.0 - (z / c) ** 2))
    a_i, c_i = a - w_e, c - w_p
    r_i = math.sqrt(a_i * a_i * (1.0 - (z / c_i) ** 2))
    r_J = (1.0 - q) * r_i + q * r
    R = r_f - b
    w = t + g
    return {
        "body.equatorial_radius": A,
        "body.equatorial_diameter": A + A,
        "body.polar_radius": C,
        "body.polar_diameter": C + C,
        "body.flattening": f,
        "scale.denominator": S,
        "model.equatorial_radius": a,
        "model.equatorial_diameter": a + a,
        "model.polar_radius": c,
        "model.height": c + c,
        "rib.angle": 360.0 / n,
        "rib.width_equator": w_e,
        "rib.width_pole": w_p,
        "rib.pole_allowance": e_0,
        "rib.inner_equatorial_radius": a_i,
        "rib.inner_polar_radius": c_i,
        "rib.pole_gap": e,
        "rib.height": 2.0 * math.sqrt(c * c * (1.0 - (e / a) ** 2)),
        "joint.engagement": q,
        "joint.clearance": g,
        "joint.end_clearance": g_e,
        "joint.slot_width": w,
        "joint.gap": g,
        "sheet.thickness": t,
        "cutter.kerf": k,
        "disc.fraction": z / c,
        "disc.height": z,
        "disc.side": 1.0,
        "disc.far_height": z_f,
        "disc.setback": b,
        "disc.skin_radius": r_f,
        "disc.mid_skin_radius": r,
        "disc.rib_inner_radius": r_i,
        "disc.joint_radius": r_J,
        "disc.notch_depth": r_J - r_i,
        "disc.slot_depth": R - r_J,
        "disc.slot_web": 2.0 * (r_J * math.sin(half) - 0.5 * w * math.cos(half)),
        "disc.ligament": r_f - r_J - g_e,
    }


def choices(law: str, point: Point) -> Point:
    """The point with what depends on a choice: mean, drawn width, latitude, radius, original."""
    A, f, w = point["body.equatorial_radius"], point["body.flattening"], point["joint.slot_width"]
    full = dict(point)
    mean = (2.0 * A + A * (1.0 - f)) / 3.0
    if law == "body-mean-volumetric":
        mean = (A * A * A * (1.0 - f)) ** (1.0 / 3.0)
    if law in ("body-mean-of-sphere", "body-is-sphere"):
        mean, full["body.flattening"] = A, 0.0
    full["body.mean_radius"], full["body.mean_diameter"] = mean, mean + mean
    full["joint.slot_width_drawn"] = (
        w - point["cutter.kerf"] if law == "slot-width-drawn-file" else w
    )
    housed = law == "disc-radius-housed"
    radius = (
        point["disc.joint_radius"]
        if housed
        else (point["disc.skin_radius"] - point["disc.setback"])
    )
    full["disc.radius"] = radius
    full["original.height"] = -point["disc.height"]
    full["disc.bore_wall"] = 20.0
    full["disc.bore_radius"] = 0.0
    return {**full, **_shape(law, full)}


def _shape(law: str, point: Point) -> Point:
    """What bodies with two ends, hubs, tenons, flanges and a second sheet have besides.

    The base is wider than the top, but for a cylinder.
    """
    A, C, S = (
        point["body.equatorial_radius"],
        point["body.polar_radius"],
        point["scale.denominator"],
    )
    base, top = (A, A) if law.startswith("cylinder") else (A, 0.4 * A)
    low, high = -0.3 * C, 0.8 * C
    if law == "body-stands-on-zero":
        low = 0.0
    if law.endswith("pole"):
        low, high = -C, C
    t, w, z = point["sheet.thickness"], point["joint.slot_width"], point["disc.height"]
    found = {
        "body.base_radius": base,
        "body.top_radius": top,
        "body.low_end": low,
        "body.high_end": high,
        "body.height": high + -low,
        "model.base_radius": base / S,
        "model.top_radius": top / S,
        "model.low_end": low / S,
        "model.high_end": high / S,
        "rib.low_end": low / S,
        "rib.high_end": high / S,
        "rib.reach": point["model.equatorial_radius"] - point["rib.pole_gap"],
        "disc_sheet.thickness": 1.7 * t,
        "joint.notch_width": 1.7 * t + point["joint.clearance"],
        "joint.notch_clearance": point["joint.clearance"],
        "disc.tongue_width": (point["disc.skin_radius"] - point["disc.rib_inner_radius"]) / 3.0,
        "flange.body_inner_radius": 1.2 * A,
        "flange.body_outer_radius": 2.2 * A,
        "flange.inner_radius": 1.2 * A / S,
        "flange.outer_radius": 2.2 * A / S,
        "flange.skin_radius": 50.0,
        "flange.seat_depth": 6.0,
        "flange.seat_radius": 44.0,
        "flange.slot_radius": A / S + point["joint.end_clearance"],
    }
    bend = point["rib.inner_polar_radius"] * math.sqrt(
        1.0 - (point["rib.pole_gap"] / point["rib.inner_equatorial_radius"]) ** 2
    )
    found["rib.high_bend"], found["rib.low_bend"] = bend, -bend
    reach = point["model.polar_radius"] * math.sqrt(
        1.0 - (point["rib.pole_gap"] / point["model.equatorial_radius"]) ** 2
    )
    if law == "rib-low-end" or (law.startswith("rib-") and law.endswith("-pole")):
        found["rib.high_end"], found["rib.low_end"] = reach, -reach
    found["alternate.high_bend"], found["alternate.low_bend"] = 0.9 * bend, -1.1 * bend
    if law.startswith("disc-hub-high"):
        found["disc.height"] = bend + 0.5 * w + 1.5 * t
    if law == "disc-hub-low":
        found["disc.height"] = -(bend + 0.5 * w + 1.5 * t)
    if law == "disc-hub-low-alternate":
        found["disc.height"] = -(1.1 * bend + 0.5 * w + 1.5 * t)
    if law == "disc-low-flush":
        found["model.low_end"] = z - 0.5 * t
    if law == "disc-high-flush":
        found["model.high_end"] = z + 0.5 * t
    if law == "disc-mirror-span":
        found["original.height"] = (low + high) / S - z
    if law == "disc-share":
        middle, half = (low + high) / S / 2.0, (high - low) / S / 2.0
        found["disc.fraction"] = (z - middle) / half
    if law == "disc-half":
        middle = (low + high) / S / 2.0
        found["disc.side"] = 1.0 if z >= middle else -1.0
    if law in ("rib-span", "model-span", "scale-height"):
        found["model.height"] = found["rib.height"] = (high - low) / S
    drawn = found["joint.notch_width"]
    found["joint.notch_width_drawn"] = (
        drawn - point["cutter.kerf"] if law == "notch-width-drawn-file" else drawn
    )
    if law == "disc-ligament-tenon":
        found["disc.ligament"] = (
            point["disc.skin_radius"]
            - point["disc.joint_radius"]
            - 0.5 * found["disc.tongue_width"]
        )
    if law == "disc-radius-tenon":
        found["disc.radius"] = point["disc.skin_radius"] - point["disc.setback"]
    return found
