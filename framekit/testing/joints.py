"""The kit for joints: laws, margins, the shapes of notch and slot, and frames that hold."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from framekit.constraints.law import Form, Law
from framekit.constraints.namespaces import FLOATS
from framekit.joints.protocol import JointMargin, JointStyle, Value
from framekit.plugins import JOINTS
from framekit.solution.book import STANDARD, law_of
from framekit.solution.law_terms import LAW_TERMS
from framekit.solution.model import FrameSolution
from framekit.solution.quantities import QUANTITIES
from framekit.solution.relations import FIRST_SHEET
from framekit.solution.symbols import described
from framekit.spec.made_terms import MADE_INPUTS
from framekit.testing.common import (
    FAILURES,
    check_installed,
    check_name,
    check_sizes,
    solved,
    stands,
)
from framekit.testing.joint_shapes import check_shapes

NEEDED = ("disc.radius", "disc.notch_depth", "disc.ligament")
"""What the laws of every joint give."""
SLOTTED = ("disc.slot_depth", "disc.slot_web")
"""What those of a joint with slots give beside."""
SCALE = 1.7
"""By which lengths are multiplied to see whether a law or shape hides one."""
SECTIONS = ("body", "scale", "model", "ribs", "discs", "joint", "flanges", "sheet", "cutter")

Sizes = Mapping[str, object]


def check_joint(style: JointStyle, sizes: Sizes | None = None) -> None:
    """Pass when a joint style keeps its contract with these `sizes`, else raise AssertionError.

    `sizes` is what stands under `joint.sizes`. Its laws read only quantities that are there, give
    what a disc needs and hide no length; its margins are named plainly; notch and slot lie where
    they should, leave the ligament they say and do not touch; and every frame whose checks pass
    passes the assembly test.
    """
    given = dict(sizes or {})
    check_name(style.name)
    check_sizes(style.sizes, tuple(QUANTITIES), ("joint",))
    assert set(given) == set(style.sizes), (
        f"the kit was given the sizes {sorted(given)}; the joint asks for {sorted(style.sizes)}"
    )
    _laws_are_whole(style)
    _margins_are_plain(style)
    check_installed(JOINTS, style)
    for changes in ({}, {"ribs": {"count": 12, "width": 20}}, {"joint": {"engagement": 0.35}}):
        try:
            frame = solved(_document(style, given, changes))
        except FAILURES as error:
            raise AssertionError(f"a frame with this joint has no solution: {error!r}") from error
        values = {name: quantity.value for name, quantity in frame.quantities.items()}
        _margins_can_be_read(style, frame)
        for placed in frame.structure.discs:
            value = disc_value(values, f"disc-{placed.number}")
            larger = disc_value(_scaled(values), f"disc-{placed.number}")
            _laws_scale(placed.joint, value)
            if placed.end is None:
                check_shapes(placed.joint, value, larger, SCALE)
    _frames_stand(style, given)


def _document(style: JointStyle, sizes: Sizes, changes: Mapping[str, Any]) -> dict[str, Any]:
    document: dict[str, Any] = {
        "body": {"shape": "sphere", "diameter": 200},
        "ribs": {"count": 6, "width": 22},
        "discs": [
            {"at": {"height": 0}, "bore": 30},
            {"at": {"fraction": 0.55, "both": True}, "bore": "none"},
        ],
        "sheet": {"thickness": "3.0 ± 0.05", "size": [900, 900]},
        "cutter": {"kerf": "0.16 ± 0.02"},
        **changes,
    }
    if style.at_ends:
        body = document["body"]
        cut = {} if body["shape"] == "cylinder" else {"span": ["-40 mm", "top"]}
        document["body"] = {**body, **cut}
        document["discs"] = [{"at": {"end": "bottom"}}, {"at": {"fraction": 0.4}}]
    joint = {"style": style.name, **document.get("joint", {})}
    return {**document, "joint": {**joint, "sizes": dict(sizes)} if sizes else joint}


def disc_value(values: Mapping[str, float], disc: str) -> Value:
    """The values under the names that laws use, `disc.` being that disc."""

    def value(name: str) -> float:
        full = f"{disc}.{name[5:]}" if name.startswith("disc.") else name
        assert full in values or FIRST_SHEET.get(name) in values, (
            f"the joint asks for {name}, which a frame has not"
        )
        return values[full] if full in values else values[FIRST_SHEET[name]]

    return value


def _scaled(values: Mapping[str, float]) -> dict[str, float]:
    return {n: x * SCALE if described(n).unit == "mm" else x for n, x in values.items()}


def _known(style: JointStyle, name: str) -> bool:
    return name in QUANTITIES or name in {f"joint.{size}" for size in style.sizes}


def _laws_are_whole(style: JointStyle) -> None:
    own = {law.name: law_of(law) for law in style.laws}
    assert len(own) == len(style.laws), "two of the joint's laws have one name"
    for name, law in own.items():
        replaces = STANDARD.design.get(name, law) is not law
        assert not replaces, f"the law '{name}' would replace framekit's own"
        used = name in (*style.disc_laws, *style.bore_laws)
        assert used, f"the law '{name}' is not among 'disc_laws'"
        for quantity in law.quantities:
            assert _known(style, quantity), f"the law '{name}' reads {quantity}, which is unknown"
        assert law.words and law.source, f"the law '{name}' has no words or no source"
    missing = [name for name in style.disc_laws if name not in own and name not in STANDARD.design]
    assert not missing, f"'disc_laws' names '{missing and missing[0]}', which is no law"
    outputs = {f.output for name in style.disc_laws for f in _law(own, name).forms}
    asked = (*NEEDED, *SLOTTED) if style.slotted else NEEDED
    needed = [name for name in asked if style.notched or name != "disc.notch_depth"]
    missing = [name for name in needed if name not in outputs]
    assert not missing, f"no law of the joint gives {missing and missing[0]}"


def _law(own: Mapping[str, Any], name: str) -> Any:
    return own.get(name) or STANDARD.design[name]


def _margins_are_plain(style: JointStyle) -> None:
    own = _codes()
    for margin, law in _own_margins(style):
        check_name(margin.code)
        form = law.forms[0]
        if STANDARD.made.get(law.name) is form:
            continue  # framekit's own joint
        assert margin.code not in own, f"the check '{margin.code}' is framekit's own"
        assert law.name not in STANDARD.made, f"the law '{law.name}' would replace framekit's own"
        for quantity in form.inputs:
            known = _known(style, quantity) or quantity in LAW_TERMS
            assert known, f"the check '{margin.code}' reads {quantity}, which is unknown"
        section = margin.governed.partition(".")[0]
        assert section in SECTIONS, f"'{margin.governed}' is no key of a spec"
        assert margin.sentence.endswith("."), f"what '{margin.code}' says is no sentence"


def _own_margins(style: JointStyle) -> list[tuple[JointMargin, Law]]:
    """Return the margins with a law of the joint's own, and those laws."""
    return [
        (margin, law_of(law))
        for margin in style.margins
        for law in (margin.law, margin.two)
        if law is not None and not isinstance(law, str)
    ]


def _codes() -> set[str]:
    """The codes of framekit's own checks of a frame of its own."""
    document = {
        "body": {"shape": "sphere", "diameter": 200},
        "ribs": {"count": 6, "width": 22},
        "discs": [{"at": {"height": 0}, "bore": 30}, {"at": {"height": 50}}],
        "sheet": {"thickness": 3, "size": [900, 900]},
    }
    return {check.code for check in solved(document).checks}


def _margins_can_be_read(style: JointStyle, frame: FrameSolution) -> None:
    codes = {margin.code for margin in style.margins}
    for check in frame.checks:
        if check.code in codes:
            assert "{" not in check.text, f"'{check.code}' says: {check.text}"


def _laws_scale(style: JointStyle, value: Value) -> None:
    for law in map(law_of, style.laws):
        for form in law.forms if law.name in style.disc_laws else ():
            _form_scales(law.name, form, value)
    for margin, law in _own_margins(style):
        if margin.when == "always":
            _form_scales(law.name, law.forms[0]._replace(output="disc.radius"), value)


def _form_scales(law: str, form: Form, value: Value) -> None:
    inputs = [_sample(name, value) for name in form.inputs]
    larger = [
        x * SCALE if described(name).unit == "mm" else x
        for name, x in zip(form.inputs, inputs, strict=True)
    ]
    one, other = (float(form.function(FLOATS, *values)) for values in (inputs, larger))
    expected = one * SCALE if described(form.output).unit == "mm" else one
    # 1e-9: rounding of a few operations on lengths of some hundred mm
    assert abs(other - expected) <= 1e-9 * max(1.0, abs(expected)), (
        f"the law '{law}' hides a length: with all lengths {SCALE:g} times as large it gives "
        f"{other:.6g} and not {expected:.6g}; make that length one of the joint's sizes"
    )


def _sample(name: str, value: Value) -> float:
    """The value of a quantity, or a plain one for what only margins name."""
    if name.startswith("made."):
        return value(next(drawn for drawn, made in MADE_INPUTS.items() if made == name))
    return 4.0 if name in LAW_TERMS else value(name)


VARIANTS: tuple[Mapping[str, Any], ...] = (
    {},
    {"ribs": {"count": 4, "width": 30}},
    {"ribs": {"count": 16, "width": {"equator": 20, "pole": 12}}},
    {"joint": {"engagement": 0.3}},
    {"joint": {"engagement": 0.7}},
    {"joint": {"end_clearance": 0}},
    {"joint": {"end_clearance": 1.5}},
    {"joint": {"fit": "slip"}},
    {"joint": {"lead_in": 0.6}},
    {"sheet": {"thickness": 5, "size": [900, 900]}},
    {"disc_sheet": {"thickness": 4, "size": [900, 900]}},
    {
        "body": {"shape": "cylinder", "diameter": 180, "height": 240},
        "discs": [{"at": {"fraction": u}} for u in (-0.6, 0.0, 0.6)],
    },
    {"body": {"shape": "spheroid", "equatorial_diameter": 220, "flattening": 0.3}},
    {"discs": [{"at": {"fraction": u}, "bore": "auto"} for u in (-0.75, -0.2, 0.5)]},
)
"""What the kit changes in its frame, one after the other."""


def _frames_stand(style: JointStyle, sizes: Sizes) -> None:
    reasons = [stands(_document(style, sizes, changes)) for changes in VARIANTS]
    assert not all(reasons), f"no frame with this joint passes its checks; one says: {reasons[0]}"
