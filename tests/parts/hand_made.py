"""Frames put together by hand from plain numbers, one for each kind of body and end.

The numbers were chosen on paper; nothing is solved. All ribs are 3 mm, slots 3.1 mm wide.
"""

from __future__ import annotations

import math
from types import SimpleNamespace

from framekit.errors import Where
from framekit.joints.protocol import RibEnd
from framekit.parts.model import FrameParts, Part
from framekit.parts.shape.disc import Mortise, mortised_disc, plain_disc, slotted_disc
from framekit.parts.shape.flange import FlangeShape, flange_outline
from framekit.parts.shape.rib import Notch, OuterNotch, RoundHole, rib_outline
from framekit.parts.shape.sector import Sector
from framekit.solution.model import Meridian

T, W, GAP = 3.0, 3.1, 6.0


def six(count=6, span=360.0):
    return [span * i / (count if span == 360.0 else count - 1) for i in range(count)]


def body(outer, slope, low, high, width, closed=(False, False), rib=None, breaks=()):
    """A meridian whose ribs are `width` wide, measured level, and stop at the pole gap."""
    rib_low, rib_high = rib or (low, high)

    def inner(z):
        return max(GAP, outer(min(max(z, low), high)) - width)

    def inner_slope(z):
        return slope(z) if outer(z) - width > GAP else 0.0

    # The inner edge turns at heights where the skin is `width` from the pole gap: by bisection.
    bends, steps = [], 400
    for i in range(steps):
        a, b = (low + (high - low) * k / steps for k in (i, i + 1))
        if (outer(a) - width > GAP) != (outer(b) - width > GAP):
            above = outer(a) - width > GAP
            for _ in range(60):
                m = (a + b) / 2
                a, b = (m, b) if (outer(m) - width > GAP) == above else (a, m)
            bends.append((a + b) / 2)
    bends = tuple(sorted((*breaks, *bends)))
    return Meridian(
        outer, slope, inner, inner_slope, low, high, rib_low, rib_high, closed, GAP, bends
    )


def sphere(radius, low, width, closed=(True, True)):
    def outer(z):
        return math.sqrt(max(0.0, (radius - z) * (radius + z)))

    def slope(z):
        return -z / max(outer(z), 1e-9)

    end = math.sqrt(radius**2 - GAP**2)
    rib = (-end if closed[0] else low, end)
    return body(outer, slope, low, radius, width, closed, rib)


def upright(angle):
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return ((c, 0.0, s, 0.0), (s, 0.0, -c, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 0.0, 1.0))


def level(height, angle=0.0):
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return ((c, -s, 0.0, 0.0), (s, c, 0.0, 0.0), (0.0, 0.0, 1.0, height), (0.0, 0.0, 0.0, 1.0))


def part(name, outline, pose, thickness=T):
    kind = name.split("-")[0]
    return Part(name, kind, "hand", name, thickness, "ply", outline, (), (), pose, 1.0, Where())


def frame(parts, **numbers):
    values = {"joint.slot_width": W, "sheet.thickness": T, "joint.end_clearance": 0.2, **numbers}
    quantities = {k: SimpleNamespace(value=v) for k, v in values.items()}
    solution = SimpleNamespace(quantities=quantities, value=lambda name: values[name])
    return FrameParts(solution, tuple(parts))


def ribs_at(outline, longitudes):
    return [part(f"rib-{i}", outline, upright(a)) for i, a in enumerate(longitudes, 1)]


def joint(m, z):
    return (m.inner(z) + m.outer(z)) / 2


def notch(m, z, width=W):
    return Notch(z, width, joint(m, z) + 0.2)


def crossed(m, z, name, longitudes, thickness=T, bore=0.0, **work):
    """A slotted disc whose rim stays 0.3 mm under the skin."""
    rim = min(m.outer(z + thickness * (k / 20 - 0.5)) for k in range(21)) - 0.3
    outline = slotted_disc(rim, bore, W, joint(m, z) - 0.2, longitudes, **work)
    return part(name, outline, level(z), thickness)


def tenoned(m, top, name, longitudes, rim, tongue, thickness=T, **work):
    z = (m.high - thickness / 2) if top else (m.low + thickness / 2)
    mortise = Mortise(tongue[0] - 0.1, tongue[1] + 0.1, W)
    return part(name, mortised_disc(rim, 0.0, mortise, longitudes, **work), level(z), thickness)


def dome(lead_in=0.0, relief=0.0, shift=0.0, mortise_shift=0.0):
    m = sphere(80.0, 0.0, 20.0, (False, True))
    tongue = (65.0, 72.0)
    work = {"lead_in": lead_in, "relief": relief}
    rib = rib_outline(
        m,
        (notch(m, 30.0 + shift),),
        (RibEnd(3.05, *tongue), None),
        hole=RoundHole(42.0, 58.0, 2.0, 2.0),
        **work,
    )
    place = (tongue[0] + mortise_shift, tongue[1] + mortise_shift)
    base = tenoned(m, False, "disc-1", six(), 79.5, place, relief=relief)
    return m, frame([*ribs_at(rib, six()), base, crossed(m, 30.0, "disc-2", six(), **work)])


def cylinder(shift=0.0, middle=True):
    m = body(lambda z: 40.0, lambda z: 0.0, 0.0, 100.0, 14.0)
    tenon = RibEnd(3.05, 30.0, 36.0)
    notches = (notch(m, 50.0 + shift),) if middle else ()
    rib = rib_outline(m, notches, (tenon, tenon))
    plates = [
        tenoned(m, False, "disc-1", six(8), 39.8, (30.0, 36.0)),
        tenoned(m, True, "disc-2", six(8), 39.8, (30.0, 36.0)),
    ]
    if middle:
        plates.append(crossed(m, 50.0, "disc-3", six(8), bore=15.0))
    return m, frame([*ribs_at(rib, six(8)), *plates])


def hourglass(shift=0.0):
    m = body(lambda z: 30 + 0.008 * z * z, lambda z: 0.016 * z, -50.0, 50.0, 15.0)
    heights = (0.0, 25.0, -25.0)
    ends = tuple(RibEnd(3.05, joint(m, z) + 0.2) for z in (-48.5, 48.5))
    rib = rib_outline(m, [notch(m, z + (shift if z == 25.0 else 0.0)) for z in heights], ends)
    discs = [crossed(m, z, f"disc-{i}", six()) for i, z in enumerate((*heights, -48.5, 48.5), 1)]
    return m, frame([*ribs_at(rib, six()), *discs])


def egg(shift=0.0):
    a, c = 50.0, 70.0

    def outer(z):
        return a * math.sqrt(max(0.0, 1 - (z / c) ** 2)) * (1 - 0.2 * z / c)

    def slope(z):
        root = math.sqrt(max(1e-18, 1 - (z / c) ** 2))
        return a * (-z / c**2 / root * (1 - 0.2 * z / c) - 0.2 / c * root)

    ends = []
    for far in (-c, c):
        inside, outside = 0.0, far
        for _ in range(80):
            middle = (inside + outside) / 2
            inside, outside = (middle, outside) if outer(middle) > GAP else (inside, middle)
        ends.append(inside)
    m = body(outer, slope, -c, c, 14.0, (True, True), tuple(ends))
    heights = (-40.0, 0.0, 30.0)
    rib = rib_outline(m, [notch(m, z + (shift if z == 0.0 else 0.0)) for z in heights])
    discs = [crossed(m, z, f"disc-{i}", six()) for i, z in enumerate(heights, 1)]
    return m, frame([*ribs_at(rib, six()), *discs])


def cone(shift=0.0):
    def outer(z):
        return 60.0 * (1 - z / 100.0)

    m = body(outer, lambda z: -0.6, 0.0, 100.0, 18.0, (False, True), (0.0, 90.0))
    rib = rib_outline(m, (notch(m, 35.0 + shift),), (RibEnd(3.05, 44.0, 52.0), None))
    base = tenoned(m, False, "disc-1", six(), 57.9, (44.0, 52.0))
    return m, frame([*ribs_at(rib, six()), base, crossed(m, 35.0, "disc-2", six())])


FLANGE = FlangeShape(120.0, 74.0, 81.0, W)


def planet(
    turn=0.0, seat=73.8, shape=FLANGE, shift=0.0, lead_in=0.0, relief=0.0, heights=(40.0, -40.0)
):
    m = sphere(80.0, -80.0, 18.0)
    work = {"lead_in": lead_in, "relief": relief}
    rib = rib_outline(
        m,
        [notch(m, z) for z in heights],
        outer_notches=(OuterNotch(shift, W, seat),),
        **work,
    )
    flange = part("flange-1", flange_outline(shape, six(), **work), level(0.0, 30.0 + turn))
    discs = [crossed(m, z, f"disc-{i}", six(), **work) for i, z in enumerate(heights, 1)]
    return m, frame([*ribs_at(rib, six()), *discs, flange])


def cut_open(sweep=90.0, bore=20.0):
    """A cylinder without the ribs of a sector, its discs cut open there."""
    m = body(lambda z: 60.0, lambda z: 0.0, 0.0, 90.0, 16.0)
    longitudes = [sweep + a for a in six(6, 360.0 - sweep)]
    rib = rib_outline(m, [notch(m, z) for z in (20.0, 70.0)])
    sector = Sector(0.0, sweep, 5.0, 4.0)
    discs = [
        crossed(m, z, f"disc-{i}", longitudes, bore=bore, sector=sector)
        for i, z in ((1, 20.0), (2, 70.0))
    ]
    return m, frame([*ribs_at(rib, longitudes), *discs])


def vase(shift=0.0):
    """A wavy skin, and a plain base disc in rabbets."""
    m = body(
        lambda z: 40 + 8 * math.sin(z / 15), lambda z: 8 / 15 * math.cos(z / 15), 0.0, 120.0, 14.0
    )
    rabbet = RibEnd(3.05, 34.2)
    rib = rib_outline(m, [notch(m, z + shift) for z in (40.0, 90.0)], (rabbet, None))
    base = part("disc-1", plain_disc(34.0, 0.0), level(1.5))
    discs = [crossed(m, z, f"disc-{i}", six()) for i, z in ((2, 40.0), (3, 90.0))]
    return m, frame([*ribs_at(rib, six()), base, *discs])


def thick_discs(shift=0.0):
    """Discs of another sheet, 6 mm, in notches of their own width."""
    m = body(lambda z: 50.0, lambda z: 0.0, 0.0, 90.0, 16.0)
    rib = rib_outline(
        m, [notch(m, z + shift, 6.1) for z in (20.0,)], (None, RibEnd(6.05, 38.0, 46.0))
    )
    discs = [
        crossed(m, 20.0, "disc-1", six(), 6.0),
        tenoned(m, True, "disc-2", six(), 49.5, (38.0, 46.0), 6.0),
    ]
    return m, frame([*ribs_at(rib, six()), *discs], **{"joint.notch_width": 6.1})


ALL = {
    "dome": dome,
    "dome for a router": lambda: dome(1.0, 1.5),
    "cylinder": cylinder,
    "cylinder on two ends": lambda: cylinder(middle=False),
    "hourglass": hourglass,
    "egg": egg,
    "cone": cone,
    "planet": planet,
    "planet for a router": lambda: planet(lead_in=1.0, relief=1.5),
    "cut open": cut_open,
    "cut open wide": lambda: cut_open(200.0),
    "vase": vase,
    "thick discs": thick_discs,
}
