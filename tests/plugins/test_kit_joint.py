"""Broken joints, one for each thing the kit of joints finds."""

from __future__ import annotations

import pytest

from framekit import plugins
from framekit.constraints.formula.text_law import text_law
from framekit.geometry.path import Vertex
from framekit.joints.cross_lap import CrossLap
from framekit.joints.housed import Housed
from framekit.joints.protocol import JointMargin
from framekit.testing import check_joint

FLOOR = "disc.joint_radius - joint.end_clearance - disc.bore_radius - joint.spare"


def law(name, output, formula, words="an own law", source="this test"):
    return text_law(name, output, formula, words, source)


def margin(**changed):
    sound = JointMargin(
        "spare-wall",
        law("spare-wall-made", "disc.spare_wall", f"{FLOOR} - made.kerf"),
        "discs.bore",
        "The slots of {disc} must stay {joint.spare:.1f} mm from its bore.",
    )
    return sound._replace(**changed)


LIGAMENT = law(
    "spare-ligament",
    "disc.ligament",
    "disc.skin_radius - disc.joint_radius - joint.end_clearance",
)


class Sound(CrossLap):
    """A cross-lap with a size, a law and a margin of its own."""

    name = "sound"
    sizes = ("spare",)
    laws = (LIGAMENT,)
    disc_laws = (*(n for n in CrossLap.disc_laws if n != "disc-ligament"), "spare-ligament")
    margins = (margin(),)


def changed(name, **parts):
    return type("Changed", (Sound,), {"name": name, **parts})()


def own_law(fresh):
    """The joint's law instead of the sound one."""
    return {"laws": (fresh,), "disc_laws": (*Sound.disc_laws[:-1], fresh.name)}


def notch(change):
    """A notch whose vertices are changed; `change(value, reach, half)` gives them."""

    def shape(self, value):
        sound = CrossLap.notch(self, value)
        return tuple(Vertex(*v) for v in change(value, sound[0].x, sound[0].y))

    return {"notch": shape}


def slot(change):
    """A slot whose vertices are changed; `change(value, floor, half)` gives them."""

    def shape(self, value):
        sound = CrossLap.slot(self, value)
        return tuple(Vertex(*v) for v in change(value, sound[0].x, sound[1].y))

    return {"slot": shape}


def half_beside(value, floor, half):
    """A slot that widens so far that it meets its neighbours."""
    wide = value("disc.joint_radius")
    return [
        (floor, -half),
        (floor, -wide),
        (floor - half, -wide),
        (floor - half, wide),
        (floor, wide),
        (floor, half),
    ]


def pinched(value, floor, half):
    """A slot with a pinch on its way, through which no rib goes."""
    out = [(floor + 5 * half, -half), (floor + 4 * half, -half / 3), (floor + 3 * half, -half)]
    return [*out, (floor, -half), (floor, half)]


HIDDEN = "disc.skin_radius - disc.joint_radius - joint.end_clearance - 0.5"

CASES = {
    "Bad name": (changed("Bad name"), "plain lower case"),
    "listed": (changed("listed", sizes=["spare"]), "not a tuple"),
    "odd-size": (changed("odd-size", sizes=("Spare",)), "not a plain name"),
    "taken": (changed("taken", sizes=("engagement",)), "framekit's own joint.engagement"),
    "more-sizes": (changed("more-sizes", sizes=("spare", "other")), "the joint asks for"),
    "doubled": (changed("doubled", laws=(LIGAMENT, LIGAMENT)), "have one name"),
    "replacing": (
        changed("replacing", **own_law(law("disc-joint", "disc.ligament", "disc.radius"))),
        "replace framekit's own",
    ),
    "unused": (changed("unused", disc_laws=CrossLap.disc_laws), "not among 'disc_laws'"),
    "guessing": (
        changed("guessing", **own_law(law("g", "disc.ligament", "joint.guess"))),
        "reads joint.guess",
    ),
    "peeking": (
        changed("peeking", **own_law(law("p", "disc.ligament", "disc.radius - made.kerf"))),
        "reads made.kerf",
    ),
    "silent": (
        changed("silent", **own_law(law("s", "disc.ligament", "disc.radius", ""))),
        "no words or no source",
    ),
    "unheard": (changed("unheard", disc_laws=(*Sound.disc_laws, "unheard-of")), "is no law"),
    "bare": (changed("bare", laws=(), disc_laws=Sound.disc_laws[:-1]), "gives disc.ligament"),
    "webless": (
        changed("webless", disc_laws=tuple(n for n in Sound.disc_laws if "web" not in n)),
        "gives disc.slot_web",
    ),
    "odd-code": (changed("odd-code", margins=(margin(code="Spare!"),)), "plain lower case"),
    "own-code": (changed("own-code", margins=(margin(code="ligament"),)), "is framekit's own"),
    "own-margin": (
        changed("own-margin", margins=(margin(law=law("web", "disc.w", FLOOR)),)),
        "replace framekit's own",
    ),
    "far-margin": (
        changed("far-margin", margins=(margin(law=law("f", "disc.f", "joint.far")),)),
        "reads joint.far",
    ),
    "keyless": (changed("keyless", margins=(margin(governed="bolts.size"),)), "no key of a spec"),
    "cut-short": (changed("cut-short", margins=(margin(sentence="Too thin"),)), "no sentence"),
    "unfilled": (
        changed("unfilled", margins=(margin(sentence="It is {joint.spare:4d} wide."),)),
        "says: It is {joint",
    ),
    "elsewhere": (
        changed(
            "elsewhere", **own_law(law("e", "disc.ligament", "disc.radius - disc.tongue_width"))
        ),
        "has no solution",
    ),
    "fixed-law": (
        changed("fixed-law", **own_law(law("f", "disc.ligament", HIDDEN))),
        "the law 'f' hides a length",
    ),
    "fixed-check": (
        changed("fixed-check", margins=(margin(law=law("fc", "disc.f", f"{FLOOR} - 2")),)),
        "the law 'fc' hides a length",
    ),
    "asking": (
        changed("asking", **notch(lambda v, r, h: [(v("disc.nothing"), h), (r, -h)])),
        "asks for disc.nothing",
    ),
    "fixed-notch": (
        changed("fixed-notch", **notch(lambda v, r, h: [(r + 2, h), (r + 2, -h)])),
        "the notch hides a length",
    ),
    "fixed-slot": (
        changed("fixed-slot", **slot(lambda v, f, h: [(f - 2, -h), (f - 2, h)])),
        "the slot hides a length",
    ),
    "floorless": (changed("floorless", **notch(lambda v, r, h: [(r, h)])), "no floor"),
    "off-first": (
        changed("off-first", **notch(lambda v, r, h: [(r, 1.2 * h), (r, -h)])),
        "notch's first vertex",
    ),
    "off-last": (
        changed("off-last", **notch(lambda v, r, h: [(r, h), (r, -0.8 * h)])),
        "notch's last vertex",
    ),
    "behind": (
        changed(
            "behind",
            **notch(lambda v, r, h: [(0.9 * v("disc.rib_inner_radius"), h), (r, h), (r, -h)]),
        ),
        "does not begin beyond",
    ),
    "crossed": (
        changed(
            "crossed",
            **notch(lambda v, r, h: [(r, h), (r - h, -h), (r, -h), (r - h, h), (r - 2 * h, -h)]),
        ),
        "the notch's edge crosses itself",
    ),
    "short-notch": (
        changed("short-notch", **notch(lambda v, r, h: [(r - h, h), (r - h, -h)])),
        "with the depth it says",
    ),
    "deep-notch": (
        changed("deep-notch", **notch(lambda v, r, h: [(r + h, h), (r + h, -h)])),
        "the ligament is said to be",
    ),
    "round-notch": (
        changed("round-notch", **notch(lambda v, r, h: [(r, h, -1.0), (r, -h)])),
        "the ligament is said to be",
    ),
    "slotless": (changed("slotless", **slot(lambda v, f, h: [])), "said to be slotted"),
    "off-slot": (
        changed("off-slot", **slot(lambda v, f, h: [(f, -2 * h), (f, h)])),
        "slot's first vertex",
    ),
    "outside": (
        changed("outside", **slot(lambda v, f, h: [(1.1 * v("disc.radius"), -h), (f, -h), (f, h)])),
        "inside the disc's rim",
    ),
    "crossed-slot": (
        changed(
            "crossed-slot",
            **slot(lambda v, f, h: [(f, -h), (f + h, h), (f, h), (f + h, -h), (f + 2 * h, h)]),
        ),
        "the slot's edge crosses itself",
    ),
    "bored": (
        changed(
            "bored",
            **slot(lambda v, f, h: [(0.9 * v("disc.bore_radius"), y) for y in (-h, h)]),
        ),
        "into the bore",
    ),
    "shallow": (
        changed("shallow", **slot(lambda v, f, h: [(f + h, -h), (f + h, h)])),
        "mm deep and said to be",
    ),
    "meeting": (changed("meeting", **slot(half_beside)), "neighbouring ribs touch"),
    "wider": (
        changed(
            "wider",
            **slot(
                lambda v, f, h: [
                    (f, -h),
                    (f, -2 * h),
                    (f - h, -2 * h),
                    (f - h, 2 * h),
                    (f, 2 * h),
                    (f, h),
                ]
            ),
        ),
        "the web is said to be",
    ),
    "pinched": (changed("pinched", **slot(pinched)), "all checks pass, and yet"),
    "never": (
        changed("never", margins=(margin(law=law("n", "disc.n", "0 - disc.radius")),)),
        "no frame with this joint passes",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_broken_joints(name, register):
    style, words = CASES[name]
    register(plugins.JOINTS, style)
    with pytest.raises(AssertionError, match=words):
        check_joint(
            style, dict.fromkeys(style.sizes, 1.0) if name != "more-sizes" else {"spare": 1}
        )


def test_the_sound_one_passes(register):
    check_joint(register(plugins.JOINTS, Sound()), {"spare": 1.0})


def test_a_plain_disc_with_a_slot(register):
    class Cut(Housed):
        name = "cut"
        slot = CrossLap.slot

    with pytest.raises(AssertionError, match="said to be plain"):
        check_joint(register(plugins.JOINTS, Cut()))


def test_a_joint_that_is_not_installed():
    with pytest.raises(AssertionError, match="does not find the joint"):
        check_joint(changed("absent"), {"spare": 1.0})


def test_another_joint_of_that_name(register):
    register(plugins.JOINTS, type("Other", (Sound,), {"name": "two"})())
    with pytest.raises(AssertionError, match="is another"):
        check_joint(changed("two"), {"spare": 1.0})
