"""Broken bodies, one for each thing the kit of bodies finds."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial

import pytest

from framekit import plugins
from framekit.bodies.formula_body import FormulaBody
from framekit.bodies.protocol import Shape
from framekit.constraints.intervals import Interval
from framekit.constraints.namespaces import FLOATS
from framekit.testing import check_body

SIZES = {"belly": 500, "tall": 1100, "rim_ratio": 0.7}
WHOLE = {
    "sizes": ("belly", "tall", "rim_ratio"),
    "radius": "model.belly*(1 - (1 - model.rim_ratio)*(2*z/model.tall)**2)",
    "low_end": "-body.tall/2",
    "high_end": "body.tall/2",
    "greatest_radius": "body.belly",
    "words": "a parabola",
    "source": "the parabola through three points (any geometry text)",
}


class Changed(Shape):
    """A sound body whose skin is changed; the same skin for the same body."""

    def __init__(self, name, change, **formula):
        self.base = FormulaBody(name=name, **{**WHOLE, **formula})
        self.name, self.sizes, self.change = name, self.base.sizes, change
        self.made = {}

    def skin(self, frame):
        skin = self.base.skin(frame)
        return self.made.setdefault(id(skin), self.change(skin))


def of_radius(change):
    """A change of the radius; `change(r, z, high, m)` gives the new one from the sound one."""

    def on(skin):
        sound = skin.radius.function

        def function(m, z, *sizes):
            return change(sound(m, z, *sizes), z, sizes[1] / 2, m)

        return replace(skin, radius=skin.radius._replace(function=function))

    return on


def window(value):
    """The radius is another in a narrow window that no disc of the kit's lies in."""
    return lambda r, z, high, m: value if type(z) is float and 0.21 < z / high < 0.22 else r


def of(part, **change):
    """A change of one expression; functions are given the sound one first."""

    def on(skin):
        old = getattr(skin, part)
        fresh = dict(change)
        if "function" in change:
            fresh["function"] = partial(change["function"], old.function)
        return replace(skin, **{part: old._replace(**fresh)})

    return on


def middle_only(sound, m, z, *sizes):
    """A function that takes an interval for its middle."""
    z, *sizes = ((x.low + x.high) / 2 if isinstance(x, Interval) else x for x in (z, *sizes))
    return sound(FLOATS, z, *sizes)


def no_series(sound, m, z, *sizes):
    if hasattr(z, "c0") and 8 < z.c0 < 18:
        raise ValueError("no series between the discs")
    return sound(m, z, *sizes)


def outside_in_window(sound, m, z, *sizes):
    edge = sound(m, z, *sizes)
    return edge + 1e3 if type(z) is float and 23 < z < 24 else edge


def nan_in_window(sound, m, z, *sizes):
    return math.nan if type(z) is float and 23 < z < 24 else sound(m, z, *sizes)


def fails_in_window(r, z, high, m):
    if type(z) is float and 0.21 < z / high < 0.22:
        raise ValueError("no radius here")
    return r


def same(skin):
    return skin


V_WAIST = {
    "radius": "model.belly*(0.7 + 0.6*abs(z)/model.tall)",
    "sizes": ("belly", "tall"),
}

CASES = {
    "A Body": (Changed("A Body", same), "plain lower case"),
    "listed": (Changed("listed", same, sizes=["belly", "tall", "rim_ratio"]), "not a tuple"),
    "odd-size": (Changed("odd-size", same, sizes=("belly", "tall", "Rim")), "not a plain name"),
    "taken": (
        Changed(
            "taken",
            same,
            sizes=("belly", "height"),
            radius="model.belly",
            low_end="-body.height/2",
            high_end="body.height/2",
        ),
        "framekit's own body.height",
    ),
    "wide-ends": (Changed("wide-ends", same, greatest_radius="body.belly/2"), "has no solution"),
    "nan": (Changed("nan", of_radius(window(math.nan))), "is nan"),
    "negative": (Changed("negative", of_radius(window(-1.0))), "below zero"),
    "failing": (Changed("failing", of_radius(fails_in_window)), "nothing comes at"),
    "jumping": (
        Changed("jumping", of_radius(lambda r, z, high, m: m.choose(z - high / 3, r - 1.0, r))),
        "jumps near",
    ),
    "greater": (Changed("greater", of_radius(lambda r, z, high, m: r * 1.01)), "is said to be"),
    "smaller": (
        Changed("smaller", same, greatest_radius="1.2*body.belly"),
        "comes only to",
    ),
    "steep": (
        Changed("steep", of("slope", function=lambda sound, m, z, *s: sound(m, z, *s) * 1.01)),
        "the slope at",
    ),
    "blunt": (
        Changed(
            "blunt",
            of_radius(lambda r, z, high, m: m.max(r, 2.0)),
            radius="model.belly*sqrt(1 - (2*z/model.tall)**2)",
            sizes=("belly", "tall"),
        ),
        "radius of 2 mm and is said to be closed",
    ),
    "broken-off": (
        Changed("broken-off", lambda skin: replace(skin, breaks=(1e4,))),
        "not between the ends",
    ),
    "edge-nan": (Changed("edge-nan", of("inner", function=nan_in_window)), "inner edge at .* nan"),
    "edge-out": (
        Changed("edge-out", of("inner", function=outside_in_window)),
        "outside the skin",
    ),
    "interval-radius": (
        Changed("interval-radius", of("radius", function=middle_only)),
        "radius's interval",
    ),
    "interval-slope": (
        Changed("interval-slope", of("slope", function=middle_only)),
        "slope's interval",
    ),
    "interval-inner": (
        Changed("interval-inner", of("inner", function=middle_only)),
        "inner's interval",
    ),
    "words": (Changed("words", of("slope", template="{9}·{0}")), "a place too many"),
    "latex": (Changed("latex", of("inner", latex="<9>")), "a place too many"),
    "fixed": (
        Changed(
            "fixed",
            same,
            radius=f"{WHOLE['radius']} + 0.5*(2*z/model.tall)**2*(1 - (2*z/model.tall)**2)",
        ),
        "times as large",
    ),
    "no-series": (Changed("no-series", of("inner", function=no_series)), "no parts come"),
    "waist": (
        Changed("waist", lambda skin: replace(skin, breaks=(0.0,), waists=()), **V_WAIST),
        "leaves the skin",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_broken_bodies(name, register):
    shape, words = CASES[name]
    register(plugins.BODIES, shape)
    sizes = {size: SIZES.get(size, 1100) for size in shape.sizes}
    if name == "waist":
        sizes["tall"] = 300
    with pytest.raises(AssertionError, match=words):
        check_body(shape, {"sizes": sizes})


def test_the_sound_one_passes(register):
    check_body(register(plugins.BODIES, Changed("sound", same)), {"sizes": SIZES})


def test_a_body_that_is_not_installed():
    with pytest.raises(AssertionError, match="does not find the body"):
        check_body(Changed("absent", same), {"sizes": SIZES})


def test_another_body_of_that_name(register):
    register(plugins.BODIES, FormulaBody(name="double", **WHOLE))
    with pytest.raises(AssertionError, match="is another"):
        check_body(Changed("double", same), {"sizes": SIZES})


def test_a_body_too_flat_for_any_frame(register):
    shape = register(plugins.BODIES, Changed("flat", same))
    with pytest.raises(AssertionError, match="no frame of this body passes"):
        check_body(shape, {"sizes": {**SIZES, "tall": 28}})


def test_a_body_that_fails_with_more_discs(register):
    class Single(Changed):
        def skin(self, frame):
            if len(frame.discs) > 1:
                raise ValueError("one disc only")
            return super().skin(frame)

    shape = register(plugins.BODIES, Single("single", same))
    with pytest.raises(AssertionError, match="solving fails"):
        check_body(shape, {"sizes": SIZES})
