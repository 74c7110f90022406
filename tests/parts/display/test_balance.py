"""Mass properties. The oracles are closed forms, Pappus, scipy's quadrature, solids
by manifold3d and a pendulum's energy; none shares code with the subject."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from parts.plain_solids import fine
from parts.solved_frames import frame
from scipy.integrate import quad
from scipy.optimize import minimize

from framekit.errors import GeometryError
from framekit.geometry.path import Outline, Path, Vertex, circle
from framekit.parts.display.balance import balance_of, outline_moments, path_moments, settles_at


@pytest.mark.parametrize("angle", [1e-3, 0.1, 0.59, 0.61, 2.0, 3.1, 5.0, 6.2])
def test_a_circular_segment_against_quadrature(angle):
    """Chord from (1, 2) with an arc of that angle: ∮ by scipy over the same boundary."""
    bulge = math.tan(angle / 4)
    path = Path((Vertex(1.0, 2.0, bulge), Vertex(4.0, 6.0)))
    chord = 5.0
    r = chord / 2 / math.sin(angle / 2)
    # The centre of a counter-clockwise arc lies left of the chord, d from its middle.
    d = r * math.cos(angle / 2)
    cx, cy = 2.5 - d * 0.8, 4.0 + d * 0.6
    first = math.atan2(2 - cy, 1 - cx)

    def green(f):
        def on_arc(s):
            a = first + s
            return f(cx + r * math.cos(a), cy + r * math.sin(a)) * r * math.cos(a)

        def on_chord(s):
            return f(4 - 3 * s, 6 - 4 * s) * -4

        return (
            quad(on_arc, 0, angle, epsabs=1e-13, epsrel=1e-13, limit=200)[0]
            + quad(on_chord, 0, 1, epsabs=1e-13, epsrel=1e-13)[0]
        )

    m = path_moments(path)
    found = (m.area, m.x)
    wanted = (green(lambda x, y: x), green(lambda x, y: x * x / 2))
    # 1e-9 of the chord's own scale: the oracle's two integrals cancel for a thin segment
    assert found == pytest.approx(wanted, rel=1e-9, abs=1e-9)


def test_a_half_disc_and_a_ring_against_closed_forms():
    """Centroid 4r/3π of a half disc (any text on statics)."""
    r = 7.0
    half = outline_moments(Outline(Path((Vertex(r, 0.0, 1.0), Vertex(-r, 0.0)))))
    assert half.centre == pytest.approx((0.0, 4 * r / (3 * math.pi)), abs=1e-13)  # rounding
    ring = outline_moments(Outline(circle(5.0), (circle(3.0, clockwise=True),)).moved(0.0, 2.0))
    assert ring.x == pytest.approx(2.0 * math.pi * (5**2 - 3**2), rel=1e-13)  # rounding


def test_pappus_torus():
    """A circle of radius 1 turned about an axis 3 off: V = 2π x̄ A = 59.2176264065 (mpmath)."""
    m = outline_moments(Outline(circle(1.0).moved(0.0, 3.0, 5.0)))
    assert 2 * math.pi * m.x == pytest.approx(59.2176264065, abs=1e-10)  # digits as quoted


def test_pappus_cap():
    """Half of a cap's section, R = 10 and h = 3: 2π x̄ A is the cap's volume 254.46900494."""
    angle = math.acos(0.7)
    side = 10 * math.sin(angle)
    path = Path((Vertex(0, 7), Vertex(side, 7, math.tan(angle / 4)), Vertex(0, 10)))
    assert 2 * math.pi * path_moments(path).x == pytest.approx(254.46900494, abs=1e-8)  # digits


def test_moments_follow_a_move_and_a_turn():
    """A move adds area times its way; a turn about the origin keeps the centre's distance."""
    outline = frame().parts[0].outline
    m, moved = outline_moments(outline), outline_moments(outline.moved(0.0, 11.0, -4.0))
    assert moved.x == pytest.approx(m.x + 11 * m.area, rel=1e-12)  # rounding
    assert moved.y == pytest.approx(m.y - 4 * m.area, rel=1e-12)
    spun = outline_moments(outline.moved(33.0))
    assert math.hypot(*spun.centre) == pytest.approx(math.hypot(*m.centre), rel=1e-12)
    mirrored = outline_moments(Outline(outline.outer.reversed()))
    assert mirrored == pytest.approx(m, rel=1e-12, abs=1e-9)  # the same figure; rounding


def mesh_integrals(shape):
    """Volume and ∫p dV of a closed mesh, by signed tetrahedra from the origin."""
    mesh = shape.to_mesh()
    points = np.asarray(mesh.vert_properties, dtype=float)[:, :3]
    a, b, c = (points[np.asarray(mesh.tri_verts)[:, i]] for i in range(3))
    volumes = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
    return volumes.sum(), (volumes[:, None] * (a + b + c)).sum(0) / 4


def test_a_frame_against_its_solids():
    """Mass and centre of a lopsided frame against meshes of manifold3d."""
    parts = frame(
        ribs={"longitudes": [0, 40, 95, 200], "width": {"equator": 22, "pole": 12}},
        body={"shape": "spheroid", "equatorial_radius": 100, "polar_radius": 84},
        discs=[{"at": {"height": 0}, "bore": "auto"}, {"at": {"height": 50}}],
    ).parts
    found = balance_of(parts)
    mass, first = 0.0, np.zeros(3)
    for part in parts:
        density = part.mass / part.outline.area / part.thickness
        v, f = mesh_integrals(fine(part))
        mass, first = mass + density * v, first + density * f
    # chords 1e-3 mm off arcs of some 600 mm over some 3000 mm² a part: 1e-4; float32 meshes less
    assert found.mass == pytest.approx(mass, rel=2e-4)
    assert np.allclose(found.centre, first / mass, atol=0.01)  # 1e-4 of 100 mm


def test_a_symmetric_frame_balances_in_its_middle():
    found = balance_of(frame().parts)
    assert found.centre == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)  # by symmetry; rounding


def test_nothing_has_no_centre():
    with pytest.raises(GeometryError, match="no centre of mass"):
        balance_of([])
    with pytest.raises(GeometryError, match="rest in any position"):
        settles_at((1.0, 2.0, 3.0), (1.0, 2.0, 3.0))


@pytest.mark.parametrize("seed", range(6))
def test_a_pendulum_rests_at_its_least_energy(seed):
    """The hung body turns until its centre of mass is lowest: minimise that height over turns."""
    rng = random.Random(seed)
    centre = np.array([rng.uniform(-5, 5) for _ in range(3)])
    hang = np.array([rng.uniform(-90, 90) for _ in range(3)])

    def turn(a):
        (cx, sx), (cy, sy) = ((math.cos(v), math.sin(v)) for v in a)
        about_x = np.array([[1, 0, 0], [0, cx, -sx], [0, sx, cx]])
        about_y = np.array([[cy, 0, sy], [0, 1, 0], [-sy, 0, cy]])
        return about_y @ about_x

    starts = [(0.3, 0.2), (2.0, 0.5), (-2.0, -0.5)]
    runs = [
        minimize(
            lambda a: (turn(a) @ (centre - hang))[2],
            s,
            method="Nelder-Mead",
            options={"xatol": 1e-9, "fatol": 1e-13, "maxiter": 4000},
        )
        for s in starts
    ]
    rest = turn(min(runs, key=lambda r: r.fun).x)
    found = settles_at(tuple(centre), tuple(hang))
    # 1e-4°: an energy within 1e-13 fixes the angle to its root
    assert found.tilt == pytest.approx(math.degrees(math.acos(rest[2, 2])), abs=1e-4)
    up = rest.T @ np.array([0.0, 0.0, 1.0])
    off = (math.degrees(math.atan2(up[1], up[0])) - found.azimuth + 180) % 360 - 180
    assert off == pytest.approx(0.0, abs=1e-3)  # less sharp where the axis is near plumb
