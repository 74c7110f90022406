"""The laws of what is made that hang on a skin: sizes and margins with the real sheet and kerf."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from framekit.bodies.at_height import ENGAGED, At, least_over, made_law
from framekit.bodies.model import Skin
from framekit.constraints.law import Branch, Law

Z, T, T_MADE = "disc.height", "sheet.thickness", "made.thickness"
K, K_MADE = "cutter.kerf", "made.kerf"
K_DISC, K_DISC_MADE = "disc_sheet.kerf", "made.disc_kerf"
G, G_MADE = "joint.clearance", "made.clearance"
LEAD, TURN = "limit.lead_in", "limit.lead_turn"
GAP = "rib.pole_gap"


def made_laws(skin: Skin) -> tuple[Law, ...]:
    """The laws of what is made under a skin, sizes first."""
    return (*_made_sizes(skin), *_made_margins(skin))


def _over(k: Any, made: Any) -> Any:
    """How far each edge is cut beyond the design."""
    return (made - k) / 2


def _chamfer(lead: Any, turn: Any, k: Any, made: Any) -> Any:
    """What the chamfer of a mouth takes of its side; see `spec.made_terms.CHAMFER`."""
    return lead - turn * _over(k, made)


def _stretch(m: Any, at: At, z: Any, t: Any, values: tuple[Any, ...]) -> Any:
    """Horizontal over normal distance at the skin, where it is greatest over the thickness."""
    slopes = [at.value(m, z - t / 2, values), at.value(m, z + t / 2, values)]
    return m.max(*(m.sqrt(1.0 + m.square(s)) for s in slopes))


def _made_sizes(skin: Skin) -> tuple[Law, ...]:
    radius = At(skin.radius, 2)
    least = least_over(skin, radius)
    slope = At(skin.slope, 5)

    def skin_radius(m: Any, z: Any, t: Any, *values: Any) -> Any:
        return least(m, z, t, values)

    def ligament(m: Any, lig: Any, z: Any, t: Any, k: Any, made: Any, *values: Any) -> Any:
        return lig - _over(k, made) * (1.0 + _stretch(m, slope, z, t, values))

    return (
        made_law(
            "disc.skin_radius",
            "disc.skin_radius",
            (Z, T_MADE, *radius.names),
            skin_radius,
            f"min({radius.text('({0} − {1}/2)')}, {radius.text('({0} + {1}/2)')})",
            rf"\min\left({radius.latex('(<0> - <1>/2)')}, "
            rf"{radius.latex('(<0> + <1>/2)')}\right)",
            "the skin where it is narrowest over the real sheet's thickness",
        ),
        made_law(
            "disc.ligament",
            "disc.ligament",
            ("disc.ligament", Z, T, K, K_MADE, *slope.names),
            ligament,
            "{0} − ({4} − {3})/2·(1 + √(1 + (dr/dz)²))",
            r"<0> - \frac{<4> - <3>}{2} \cdot \left(1 + \sqrt{1 + (dr/dz)^{2}}\right)",
            "cut from the notch and from the skin",
        ),
    )


def _made_margins(skin: Skin) -> tuple[Law, ...]:
    slope = At(skin.slope, 6)
    radius = At(skin.radius, 6)
    inner, inner_two = At(skin.inner, 13), At(skin.inner, 15)
    least = least_over(skin, radius)

    def ligament(m: Any, lig: Any, z: Any, t: Any, k: Any, made: Any, limit: Any, *v: Any) -> Any:
        return lig - _over(k, made) * (1.0 + _stretch(m, slope, z, t, v)) - limit

    def inside(m: Any, z: Any, t: Any, R: Any, k: Any, made: Any, allowed: Any, *v: Any) -> Any:
        return least(m, z, t, v) - (R - _over(k, made)) + allowed

    def engagement(
        m: Any,
        z: Any,
        t: Any,
        w: Any,
        r_J: Any,
        held: Any,
        gap: Any,
        k: Any,
        made: Any,
        g: Any,
        g_made: Any,
        lead: Any,
        turn: Any,
        *v: Any,
    ) -> Any:
        return engagement_two(
            *(m, z, t, w, r_J, held, gap, k, made, k, made, g, g_made, lead, turn), *v
        )

    def engagement_two(
        m: Any,
        z: Any,
        t: Any,
        w: Any,
        r_J: Any,
        held: Any,
        gap: Any,
        k: Any,
        made: Any,
        k_disc: Any,
        made_disc: Any,
        g: Any,
        g_made: Any,
        lead: Any,
        turn: Any,
        *v: Any,
    ) -> Any:
        reach = (w + (made - k) + (g_made - g)) / 2 + t / 2
        deepest = m.max(gap, *(inner.value(m, z + x, v) for x in (-reach, 0.0, reach)))
        cut = _over(k, made) + _over(k_disc, made_disc) + _chamfer(lead, turn, k, made)
        return r_J - held - deepest - cut - t

    def near_end(low: bool) -> Callable[..., Any]:
        def margin(
            m: Any,
            z: Any,
            end: Any,
            w: Any,
            t: Any,
            k: Any,
            made: Any,
            g: Any,
            g_made: Any,
            lead: Any,
            turn: Any,
        ) -> Any:
            more = made - k
            slot = w + more + (g_made - g)
            apart = z - end if low else end - z
            return apart - more / 2 - slot / 2 - _chamfer(lead, turn, k, made) - t

        return margin

    def beyond(
        low: bool, m: Any, z: Any, bend: Any, w: Any, k: Any, made: Any, g: Any, g_made: Any
    ) -> Any:
        # An edge cut beyond moves the bend toward the notch by nothing to that, by its slant.
        slot = w + (made - k) + (g_made - g)
        return (bend - z if low else z - bend) - slot / 2

    def flat(low: bool) -> Callable[..., Any]:
        def margin(
            m: Any,
            z: Any,
            bend: Any,
            w: Any,
            t: Any,
            k: Any,
            made: Any,
            g: Any,
            g_made: Any,
            lead: Any,
            turn: Any,
        ) -> Any:
            past = beyond(low, m, z, bend, w, k, made, g, g_made)
            return -past + m.min(0.0, _over(k, made))

        return margin

    def thick(low: bool) -> Callable[..., Any]:
        def margin(
            m: Any,
            z: Any,
            bend: Any,
            w: Any,
            t: Any,
            k: Any,
            made: Any,
            g: Any,
            g_made: Any,
            lead: Any,
            turn: Any,
        ) -> Any:
            past = beyond(low, m, z, bend, w, k, made, g, g_made)
            return past - m.max(0.0, _over(k, made)) - _chamfer(lead, turn, k, made) - t

        return margin

    def flake(low: bool) -> Callable[..., Any]:
        none, some = flat(low), thick(low)

        def margin(m: Any, *v: Any) -> Any:
            clear = none(m, *v)
            return m.choose(clear, clear, some(m, *v))

        return margin

    behind = At(skin.inner, 10)

    def flange_ligament(
        m: Any,
        z: Any,
        w: Any,
        seat: Any,
        past: Any,
        gap: Any,
        k: Any,
        made: Any,
        g: Any,
        g_made: Any,
        limit: Any,
        *v: Any,
    ) -> Any:
        half = (w + (made - k) + (g_made - g)) / 2
        deepest = m.max(gap, *(behind.value(m, z + x, v) for x in (-half, 0.0, half)))
        return seat - past - deepest - 2 * _over(k, made) - limit

    beside = At(skin.inner, 7)

    def shoulder(
        m: Any, z: Any, r_J: Any, y: Any, gap: Any, k: Any, made: Any, t: Any, *v: Any
    ) -> Any:
        edge = m.max(gap, *(beside.value(m, z + x, v) for x in (-t, 0.0, t)))
        return r_J - y / 2 - edge - 2 * _over(k, made) - t

    found = [
        made_law(
            "shoulder-rib",
            "shoulder-rib",
            (Z, "disc.joint_radius", "disc.tongue_width", GAP, K, K_MADE, T, *beside.names),
            shoulder,
            "{1} − {2}/2 − the inner edge's greatest radius near {0} − ({5} − {4}) − {6}",
            r"<1> - \frac{<2>}{2} - \max r_i(<0> \pm <6>) - (<5> - <4>) - <6>",
            "the rib's shoulder inside the tongue above one thickness",
        ),
        made_law(
            "flange-ligament",
            "flange-ligament",
            (
                *("flange.height", "joint.slot_width", "flange.seat_radius"),
                *("joint.end_clearance", GAP, K, K_MADE, G, G_MADE, "limit.least_ligament"),
                *behind.names,
            ),
            flange_ligament,
            "{2} − {3} − the inner edge's greatest radius near {0} − ({6} − {5}) − {9}",
            r"<2> - <3> - \max r_i(<0> \pm \tfrac{1}{2} <1>) - (<6> - <5>) - <9>",
            "the rib's material behind the flange's notch above the least",
        ),
        made_law(
            "ligament",
            "ligament",
            ("disc.ligament", Z, T, K, K_MADE, "limit.least_ligament", *slope.names),
            ligament,
            "{0} − ({4} − {3})/2·(1 + √(1 + (dr/dz)²)) − {5}",
            r"<0> - \frac{<4> - <3>}{2} \cdot \left(1 + \sqrt{1 + (dr/dz)^{2}}\right) - <5>",
            "the rib's material behind the notch above the least",
        ),
        made_law(
            "inside-skin",
            "inside-skin",
            (Z, T_MADE, "disc.radius", K, K_MADE, "limit.skin_allowance", *radius.names),
            inside,
            f"min({radius.text('({0} − {1}/2)')}, {radius.text('({0} + {1}/2)')}) "
            "− ({2} − ({4} − {3})/2) + {5}",
            rf"\min\left({radius.latex('(<0> - <1>/2)')}, {radius.latex('(<0> + <1>/2)')}\right)"
            r" - \left(<2> - \frac{<4> - <3>}{2}\right) + <5>",
            "the skin beyond the disc's rim over its thickness",
        ),
        made_law(
            "engagement-rib",
            "engagement-rib",
            (
                *(Z, T, "joint.slot_width", "disc.joint_radius", "disc.held_depth", GAP),
                *(K, K_MADE, G, G_MADE, LEAD, TURN),
                *inner.names,
            ),
            engagement,
            "{3} − {4} − the inner edge's greatest radius near {0} − ({7} − {6}) "
            "− ({10} − {11}·({7} − {6})/2) − {1}",
            r"<3> - <4> - \max r_i(<0> \pm \tfrac{1}{2}(<2> + <1>)) - (<7> - <6>) "
            r"- \left(<10> - <11> \cdot \frac{<7> - <6>}{2}\right) - <1>",
            ENGAGED,
        ),
        made_law(
            "engagement-rib-two",
            "engagement-rib-two",
            (
                *(Z, T, "joint.slot_width", "disc.joint_radius", "disc.held_depth", GAP),
                *(K, K_MADE, K_DISC, K_DISC_MADE, G, G_MADE, LEAD, TURN),
                *inner_two.names,
            ),
            engagement_two,
            "{3} − {4} − the inner edge's greatest radius near {0} − ({7} − {6})/2 "
            "− ({9} − {8})/2 − ({12} − {13}·({7} − {6})/2) − {1}",
            r"<3> - <4> - \max r_i(<0> \pm \tfrac{1}{2}(<2> + <1>)) - \frac{<7> - <6>}{2} "
            r"- \frac{<9> - <8>}{2} - \left(<12> - <13> \cdot \frac{<7> - <6>}{2}\right) - <1>",
            ENGAGED,
        ),
    ]
    for end, low in (("low", True), ("high", False)):
        room = At(skin.radius, 5)

        def end_room(
            m: Any, z: Any, gap: Any, t: Any, k: Any, made: Any, *v: Any, room: At = room
        ) -> Any:
            return room.value(m, z, v) - gap - 2 * _over(k, made) - t

        found.append(
            made_law(
                f"end-room-{end}",
                f"end-room-{end}",
                (f"rib.{end}_end", GAP, T, K, K_MADE, *room.names),
                end_room,
                f"{room.text('{0}')} − {{1}} − ({{4}} − {{3}}) − {{2}}",
                f"{room.latex('<0>')} - <1> - (<4> - <3>) - <2>",
                "the skin at the open end beyond the pole gap, above one thickness",
            )
        )
        sign = "{0} − {1}" if low else "{1} − {0}"
        tex = "<0> - <1>" if low else "<1> - <0>"
        found.append(
            made_law(
                f"rib-end-{end}",
                f"rib-end-{end}",
                (Z, f"rib.{end}_end", "joint.slot_width", T, K, K_MADE, G, G_MADE, LEAD, TURN),
                near_end(low),
                f"{sign} − ({{5}} − {{4}})/2 − ({{2}} + {{5}} − {{4}} + {{7}} − {{6}})/2 "
                "− ({8} − {9}·({5} − {4})/2) − {3}",
                rf"{tex} - \frac{{<5> - <4>}}{{2}} - "
                r"\frac{<2> + <5> - <4> + <7> - <6>}{2} "
                r"- \left(<8> - <9> \cdot \frac{<5> - <4>}{2}\right) - <3>",
                "the rib's end beyond the last notch above one thickness",
            )
        )
        apart, tex_apart = ("{1} − {0}", "<1> - <0>") if low else ("{0} − {1}", "<0> - <1>")
        width = "({2} + {5} − {4} + {7} − {6})/2"
        tex_width = r"\frac{<2> + <5> - <4> + <7> - <6>}{2}"
        none = f"{width} − ({apart}) + min(0, ({{5}} − {{4}})/2)"
        some = (
            f"{apart} − {width} − max(0, ({{5}} − {{4}})/2) "
            "− ({8} − {9}·({5} − {4})/2) − {3}"
        )
        over = r"\left(0, \frac{<5> - <4>}{2}\right)"
        tex_none = rf"{tex_width} - \left({tex_apart}\right) + \min{over}"
        tex_some = (
            rf"{tex_apart} - {tex_width} - \max{over} "
            r"- \left(<8> - <9> \cdot \frac{<5> - <4>}{2}\right) - <3>"
        )
        found.append(
            made_law(
                f"rib-flake-{end}",
                f"rib-flake-{end}",
                (
                    *(Z, f"rib.{end}_bend", "joint.slot_width", T, K, K_MADE, G, G_MADE),
                    *(LEAD, TURN),
                ),
                flake(low),
                f"({none} if {none} ≥ 0, else {some})",
                rf"\begin{{cases}} {tex_none} & \text{{if }} {tex_none} \geq 0 \cr "
                rf"{tex_some} & \text{{else}} \end{{cases}}",
                "the flake between a notch and the rib's inner edge: none, or one thickness at "
                "least",
                (
                    Branch("no flake", flat(low), none, tex_none),
                    Branch("a flake", thick(low), some, tex_some),
                ),
            )
        )
    return tuple(found)
