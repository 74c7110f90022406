"""Slenderness and the sag of a hoop, against a curved beam integrated by scipy."""

from __future__ import annotations

import math
from types import SimpleNamespace

import pytest
from scipy.integrate import quad

from framekit.errors import GeometryError
from framekit.parts.build import make_parts
from framekit.parts.display.strength import OWN_ALONG, Slenderness, hoop_sag, slenderness
from framekit.solution.build import solve
from framekit.solution.meridian import meridian_of
from framekit.solution.model import Meridian
from framekit.spec.build import spec_from_values


def integrated(radius=80.0, load=5.0, stiffness=2.0e5):
    """The shortening of a thin ring under its own weight, by unit loads and quadrature.

    The half ring from the bottom (φ = 0) to the top is cut at the bottom, where symmetry leaves a
    thrust and a moment; both follow from no turn and no sideways move there. Energy method for
    curved beams, bending alone (Timoshenko, Strength of Materials).
    """
    w = load / (2 * math.pi * radius)

    def simple(p):
        """The moment at p from the loads on the arc between the top (π) and p, top half cut."""
        # Count from the free top: the arc from p to π, each element at its own arm.
        return -quad(lambda q: w * radius * radius * (math.sin(q) - math.sin(p)), p, math.pi)[0]

    def integral(f):
        return quad(f, 0.0, math.pi, limit=200)[0]

    # M = simple + m0 + h R (1 + cos p): moment m0 and thrust h at the top.
    def arm(p):
        return radius * (1 + math.cos(p))

    a11, a12 = integral(lambda p: 1.0), integral(arm)
    a22 = integral(lambda p: arm(p) ** 2)
    b1, b2 = integral(simple), integral(lambda p: simple(p) * arm(p))
    det = a11 * a22 - a12 * a12
    m0, h = (-b1 * a22 + b2 * a12) / det, (-b2 * a11 + b1 * a12) / det

    def moment(p):
        return simple(p) + m0 + h * arm(p)

    # The top's move against the bottom: a unit load downward at the top, held at the bottom, has
    # the moment R sin p in half the ring; both halves share it.
    return abs(integral(lambda p: moment(p) * radius * math.sin(p)) * radius / stiffness)


def test_a_ring_under_its_own_weight():
    w = 5.0 / (2 * math.pi * 80.0)
    found = OWN_ALONG * 5.0 * 80.0**3 / 2.0e5
    # Roark's 0.4674, from memory
    assert found / (w * 80.0**4 / 2.0e5) == pytest.approx(0.4674, abs=5e-5)
    # Half the 0.148778 of two loads at a diameter's ends (mpmath; Timoshenko): digits as quoted.
    assert pytest.approx(0.148778, abs=5e-7) == 2 * OWN_ALONG
    # quadrature's own error is under 1e-8
    assert found == pytest.approx(integrated(), rel=1e-6)


def ring(outer, inner):
    """The meridian of a sphere whose ribs lie between two circles, to the axis."""

    def at(radius):
        return lambda z: math.sqrt(max(0.0, radius**2 - z * z))

    def slope(z):
        return -z / max(1e-9, at(outer)(z))

    return Meridian(
        at(outer), slope, at(inner), slope, -outer, outer, -outer, outer, (True, True), 0.0, ()
    )


def test_a_half_ring_is_as_slender_as_its_circles_say():
    found = slenderness(ring(100.0, 99.0))
    # A thin half ring of middle radius 99.5, its tips half the width longer.
    assert found.length == pytest.approx(99.5 * math.pi, rel=5e-3)
    # Square to the skin a ring is 1 mm wide at the equator; toward the tips, where the normal
    # leans, the same measure overrates it, so the least is there.
    assert found.width == pytest.approx(1.0, rel=1e-9)
    assert found.ratio == pytest.approx(found.length / found.width, rel=1e-15)


def test_a_straight_rib_is_its_own_length():
    bar = Meridian(
        lambda z: 80.0,
        lambda z: 0.0,
        lambda z: 60.0,
        lambda z: 0.0,
        0.0,
        200.0,
        0.0,
        200.0,
        (False, False),
        4.0,
        (),
    )
    found = slenderness(bar)
    assert (found.length, found.width) == pytest.approx((200.0, 20.0), rel=1e-12)  # rounding
    assert slenderness(bar, [8.0]).ratio == pytest.approx(25.0, rel=1e-12)


def test_the_sag_of_a_hoop_by_hand():
    values = {
        "framekit": 1,
        "body": {"shape": "sphere", "diameter": 200},
        "ribs": {"count": 6, "width": {"equator": 20, "pole": 20}},
        "discs": [{"at": {"height": 0}}, {"at": {"height": 50, "both": True}}],
        "sheet": {"thickness": 3, "size": [600, 400]},
        "cutter": {"kerf": 0.16},
    }
    parts = make_parts(solve(spec_from_values(values))).frames[0]
    rib = parts.part("rib-1")
    found = slenderness(meridian_of(parts.solution), [parts.solution.value("disc-1.ligament")])
    assert found.width == parts.solution.value("disc-1.ligament") < 10.0
    # About the half ring of radius 90 mm, its tips a little longer.
    assert 89 * math.pi < found.length < 92 * math.pi
    # Two ribs of some 12 g: W R³/(E I) by hand
    weight = 2 * rib.mass * 9.80665e-3
    inertia = 3 * found.width**3 / 12
    by_hand = 0.0743890 * weight * (found.length / math.pi) ** 3 / (8000 * inertia)
    assert hoop_sag(rib, found, 8000.0) == pytest.approx(by_hand, rel=1e-5)  # digits of the factor


def test_inputs_out_of_range_are_refused():
    rib = SimpleNamespace(mass=12.0, thickness=3.0)
    for length, width, modulus in ((0, 1, 1), (1, -1, 1), (1, 1, 0), (math.inf, 1, 1)):
        with pytest.raises(GeometryError, match="above zero"):
            hoop_sag(rib, Slenderness(length, width, 1.0), modulus)
