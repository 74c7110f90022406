"""Seeded random specs over every body, joint and feature, from sound to absurd.

A spec is plain values of the language, lengths in plain mm. About two thirds are drawn near what
works, so that many pass; the rest are drawn wide.
"""

from __future__ import annotations

import math
import random
from typing import Any

from property.plain_skin import BODIES, PlainSkin, plain_skin

Values = dict[str, Any]

MATERIALS = (
    *("birch-plywood", "sanded-plywood", "mdf", "hdf"),
    *("cast-acrylic", "extruded-acrylic", "card", "cardboard"),
)
ROUND = ("sphere", "spheroid", "catalogue", "superellipsoid")
KINDS = (*ROUND, "cylinder", "cone", "smooth", "straight", "formula")
STYLES = ("cross-lap", "housed", "tenon")


def random_spec(seed: int) -> Values:
    """The spec of a seed: the same every time."""
    return _Draw(seed).spec()


class _Draw:
    """One spec as it is drawn."""

    def __init__(self, seed: int) -> None:
        self.rng = random.Random(seed)
        self.sound = self.chance(0.75)
        self.kind = KINDS[seed % len(KINDS)]
        self.size = round(20.0 * 15.0 ** self.rng.random(), 2)
        """About the model's greatest radius in mm, 20 to 300."""
        thick = self.between(0.014, 0.035) if self.sound else self.between(0.004, 0.15)
        self.t = round(min(18.0, max(0.25, thick * self.size)), 2)
        self.scale = 1.0
        self.style = self.pick((0.45, 0.3, 0.25), STYLES)

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def between(self, low: float, high: float) -> float:
        return self.rng.uniform(low, high)

    def pick(self, weights: tuple[float, ...], of: tuple[Any, ...]) -> Any:
        return self.rng.choices(of, weights)[0]

    def mm(self, low: float, high: float) -> float:
        return round(self.between(low, high), 2)

    def spec(self) -> Values:
        spec: Values = {"framekit": 1, "id": "random", "body": self.body()}
        if self.kind == "catalogue":
            spec["model"] = {"equatorial_radius": self.size}
            self.scale = BODIES[spec["body"]["catalogue"]][0] / self.size
        elif self.chance(0.5):
            self.scale = self.rng.choice([2, 5, 40])
            spec["scale"] = f"1:{self.scale}"
            self._enlarge(spec["body"])
        skin = plain_skin(spec, self.scale)
        spec["ribs"] = self.ribs()
        spec["discs"] = self.discs(skin)
        spec["joint"] = self.joint()
        if self.chance(0.2) or (self.kind == "catalogue" and self.chance(0.6)):
            spec["flanges"] = [self.flange(spec, skin)]
            if self.chance(0.15):
                first = spec["flanges"][0]
                away = round(self.between(1, 8) * self.t, 2)
                place = round(first.get("at", 0.0) - away, 2)
                spec["flanges"].append({**first, "at": place})
        self.stock(spec)
        return spec

    def _enlarge(self, body: Values) -> None:
        """The body's lengths as many times as large as the scale says."""
        for key, value in body.items():
            if key in ("shape", "exponent", "flattening", "mean_kind", "smooth"):
                continue
            if key == "points":
                body[key] = [[round(r * self.scale, 4), round(z * self.scale, 4)] for r, z in value]
            elif key == "span":
                body[key] = [v if isinstance(v, str) else v * self.scale for v in value]
            elif key == "radius_at":
                body[key] = f"{self.scale}*({value.replace('z', f'(z/{self.scale})')})"
            else:
                body[key] = value * self.scale

    # The body

    def body(self) -> Values:
        a = self.size
        if self.kind == "sphere":
            body: Values = {"shape": "sphere", "radius": a}
            return self.cut(body, a)
        if self.kind == "catalogue":
            return {"catalogue": self.pick((5, 1, 1, 1), tuple(BODIES))}
        if self.kind == "spheroid":
            way = self.rng.randrange(3)
            c = round(a * self.between(0.6, 1.4), 2)
            if way == 0:
                body = {"shape": "spheroid", "equatorial_radius": a, "polar_radius": c}
                return self.cut(body, c)
            flat = round(self.between(-0.3, 0.4), 3)
            if way == 1:
                body = {"shape": "spheroid", "equatorial_diameter": 2 * a, "flattening": flat}
                return self.cut(body, a * (1 - flat))
            mean = self.rng.choice(["arithmetic", "volumetric"])
            return {"shape": "spheroid", "mean_radius": a, "mean_kind": mean, "flattening": flat}
        if self.kind == "superellipsoid":
            n = self.rng.choice([1, 1.5, 2, 2.5, 3, 4, 6, 20])
            c = round(a * self.between(0.6, 1.4), 2)
            body = {"shape": "superellipsoid", "exponent": n}
            return self.cut({**body, "equatorial_radius": a, "polar_radius": c}, c)
        if self.kind == "cylinder":
            return {"shape": "cylinder", "radius": a, "height": self.mm(0.8 * a, 3 * a)}
        if self.kind == "cone":
            top = self.rng.choice([0, self.mm(0.1 * a, 1.2 * a), self.mm(0.5 * a, 0.9 * a)])
            body = {"shape": "cone", "radius": a, "top_radius": top}
            return {**body, "height": self.mm(0.8 * a, 3 * a)}
        if self.kind == "formula":
            return self.formula()
        return self.points(self.kind == "smooth")

    def cut(self, body: Values, c: float) -> Values:
        """The body, sometimes with a span: a dome, or cut at both ends."""
        if self.chance(0.5):
            return body
        low = "bottom" if self.chance(0.25) else self.mm(-0.85 * c, 0.1 * c)
        high = "top" if self.chance(0.5) else self.mm(0.3 * c, 0.9 * c)
        if (low, high) == ("bottom", "top"):
            return body
        return {**body, "span": [low, high]}

    def points(self, smooth: bool) -> Values:
        """A vase, an egg, a bell, a waist or anything."""
        a = self.size
        count = self.rng.randrange(2 if not smooth else 3, 9)
        height = self.between(1.2, 3.0) * a
        start = self.rng.choice([0.0, -height / 2])
        some = sorted({round(self.between(0.05, 0.95), 3) for _ in range(count - 2)})
        heights = [0.0, *some, 1.0]
        wave, turn, lean = self.between(0.0, 0.35), self.between(0, 6.3), self.between(-0.3, 0.3)
        if not self.sound:
            wave *= 2
        radii = [
            1 + lean * (h - 0.5) + wave * math.sin(turn + self.between(3, 7) * h) for h in heights
        ]
        if self.chance(0.25):
            radii[-1] = 0.0
        if self.chance(0.15):
            radii[0] = 0.0
        greatest = max(radii)
        pairs = [
            [round(max(0.0, r) * a / greatest, 3), round(start + h * height, 3)]
            for r, h in zip(radii, heights, strict=True)
        ]
        if self.chance(0.2):
            pairs.reverse()
        body: Values = {"shape": "profile", "points": pairs}
        if not smooth or self.chance(0.3):
            body["smooth"] = smooth
        if self.chance(0.2):
            low, high = start + 0.15 * height, start + 0.8 * height
            body["span"] = [round(low, 2), self.rng.choice(["top", round(high, 2)])]
        return body

    def formula(self) -> Values:
        a, h = self.size, round(self.size * self.between(0.6, 1.5), 1)
        b = round(a * self.between(0.05, 0.3), 2)
        texts = [
            (f"{a - b} + {b}*cos(pi*z/{h})", -h, h),
            (f"sqrt({a}**2 - z**2)", -round(a * self.between(0.2, 0.9), 1), a),
            (f"sqrt({a}**2 - z**2)", -a, a),
            (f"{a}*sqrt(1 - (z/{h})**4)", -h, round(h * self.between(0.3, 0.9), 1)),
            (f"{a - b} - {b}*cos(pi*z/{h})", -h, h),
            (f"{a} - {b}*(z/{h})**2", -h, h),
            (f"{0.4 * a:.1f} + {0.6 * a:.1f}*exp(0-z/{h})", 0, 2 * h),
            (f"min({a}, {a} + {b} - abs(z)/3)", -h, h),
            (f"max({0.5 * a}, {a} - abs(z)*{b / h:.4f})", -h, h),
            (f"{a - b} + {b}*sin(z/{0.2 * h:.2f})", 0, 2 * h),
            (f"{a}*(1 + z/{2 * h})*(1 - z/{2 * h})", -h, h),
            (f"{0.7 * a}*cbrt(2 - z/{h})", 0, 1.5 * h),
        ]
        if not self.sound:
            texts += [
                (f"{a}/z", 1, h),
                (f"{a} - z", 0, 1.2 * a),
                (f"{a}*log(z/{h})", 0.1 * h, h),
                (f"{a}*tan(z/{h})", 0, h),
                (f"{b} + {a}*abs(sin(z))", 0, h),
                (f"{a} - sqrt(abs(z))", -h, h),
            ]
        text, low, high = self.rng.choice(texts)
        body: Values = {"shape": "profile", "radius_at": text}
        body |= {"from": round(low, 2), "to": round(high, 2)}
        if self.chance(0.15):
            body["span"] = [round(low + 0.2 * (high - low), 2), "top"]
        return body

    # Ribs

    def width(self, polar: bool) -> Any:
        a = self.size
        if self.sound:
            equator, ends = self.mm(0.24 * a, 0.4 * a), self.mm(0.15 * a, 0.28 * a)
        else:
            equator, ends = self.mm(0.03 * a, 0.7 * a), self.mm(0.03 * a, 0.6 * a)
        if self.chance(0.2):
            return equator
        if polar or self.chance(0.5):
            return {"equator": equator, "pole": ends}
        low = self.between(0.15, 0.28) if self.sound else self.between(0.03, 0.6)
        return {"equator": equator, "bottom": ends, "top": round(low * a, 2)}

    def ribs(self) -> Values:
        polar = self.kind in ROUND
        ribs: Values = {}
        if self.chance(0.7):
            ribs["count"] = self.rng.randrange(3, 13) if self.sound else self.rng.randrange(2, 25)
        else:
            step = 30 if self.sound else 5
            some = self.rng.sample(range(0, 360, step), self.rng.randrange(3, 9))
            ribs["longitudes"] = [self.rng.choice([x, x - 360]) if x else x for x in some]
        ribs["width"] = self.width(polar)
        if self.chance(0.12):
            ribs["alternate"] = {"width": self.width(polar)}
            if self.sound and isinstance(ribs["width"], dict):
                ribs["alternate"]["width"] = {
                    k: round(v * self.between(0.8, 1.25), 2) for k, v in ribs["width"].items()
                }
        if self.chance(0.12):
            start = self.rng.randrange(0, 360, 5)
            ribs["cut_away"] = [start, (start + self.rng.randrange(40, 180, 5)) % 360]
        if self.chance(0.3):
            ribs["pole_allowance"] = self.mm(0, 2)
        return ribs

    # Discs

    def discs(self, skin: PlainSkin) -> list[Values]:
        found: list[Values] = []
        middle, half = (skin.low + skin.high) / 2, (skin.high - skin.low) / 2
        ends = [
            name
            for name, z in (("bottom", skin.low), ("top", skin.high))
            if skin.at(z) > 0.02 * self.size
        ]
        if ends and self.chance(0.75 if self.style == "tenon" else 0.3):
            end = self.rng.choice(ends)
            at: Values = {"end": end}
            if len(ends) == 2 and self.chance(0.5):
                at["both"] = True
            found.append({"at": at})
        if self.sound:
            places = self.rng.choice([(0.0,), (-0.4, 0.35), (0.3,), (-0.5, 0.0, 0.45), (-0.2, 0.5)])
        else:
            places = tuple(self.between(-1.05, 1.05) for _ in range(self.rng.randrange(1, 5)))
        for share in places:
            share = share + self.between(-0.05, 0.05) if share else 0.0
            found.append(self.disc(share, middle + share * half, skin))
        closed = [side for side, end in (("south", "bottom"), ("north", "top")) if end not in ends]
        sides = [*closed, "both"] if len(closed) == 2 else closed
        if not self.sound:
            sides = ["north", "south", "both"]
        if sides and self.chance(0.2 if self.sound else 0.1):
            found.append({"hub": True, "side": self.rng.choice(sides)})
        tongues = any("end" in disc.get("at", ()) for disc in found)
        if self.style == "tenon" and not tongues and self.sound:
            self.style = self.rng.choice(["cross-lap", "housed"])
        for disc in found:
            bore = self.pick((4, 3, 1, 2), (None, "auto", "radius", "none"))
            if bore == "radius":
                bore = self.mm(0.08 * self.size, 0.4 * self.size)
            if bore is not None:
                disc["bore"] = bore
            if self.chance(0.15 if self.style != "housed" else 0.01):
                disc["setback"] = self.mm(0.0, 2.0)
        return found

    def disc(self, share: float, height: float, skin: PlainSkin) -> Values:
        ways = ["height", "height", "fraction", "slot_depth", "radius"]
        if self.kind in ("sphere", "spheroid", "catalogue"):
            ways += ["latitude", "latitude"]
        way = self.rng.choice(ways)
        side = "north" if share >= 0 else "south"
        if way == "radius":
            return {"radius": round(max(0.5, skin.at(height) - self.t / 2), 2), "side": side}
        if way == "slot_depth" and self.style == "cross-lap":
            return {"slot_depth": self.mm(0.08 * self.size, 0.14 * self.size), "side": side}
        at: Values = {"height": round(height, 3)}
        if way == "fraction" and abs(share) < 1:
            at = {"fraction": round(share, 3)}
        elif way == "latitude":
            at = {"latitude": round(self.between(5, 50) * (1 if share >= 0 else -1), 1)}
            at["kind"] = self.rng.choice(["geocentric", "geodetic", "parametric"])
        if abs(share) > 0.2 and self.chance(0.3):
            at["both"] = True
        return {"at": at}

    # Joint, flanges, sheets, cutter

    def joint(self) -> Values:
        joint: Values = {"style": self.style}
        if self.chance(0.4):
            joint["engagement"] = round(
                self.between(0.4, 0.6) if self.sound else self.between(0.1, 0.9), 2
            )
        if self.chance(0.25):
            joint["clearance"] = self.mm(0.05, 0.15) if self.sound else self.mm(-0.15, 0.3)
        elif self.chance(0.6):
            joint["fit"] = self.rng.choice(["slip", "snug", "press"])
        if self.chance(0.3):
            joint["lead_in"] = self.mm(0.1, 0.35 * self.t if self.sound else self.t)
        if self.chance(0.4):
            joint["relief"] = self.rng.choice(["auto", "all", "none"])
        if self.chance(0.12):
            joint["end_clearance"] = self.mm(0.05, 0.4)
        return joint

    def flange(self, spec: Values, skin: PlainSkin) -> Values:
        middle, half = (skin.low + skin.high) / 2, (skin.high - skin.low) / 2
        heights = [middle + half * (k / 50 - 1) for k in range(101)]
        widest = max(heights, key=skin.at)
        place = widest if self.sound else middle + half * self.between(-0.9, 0.9)
        apart = 3 * self.t + 1.0
        place = round(min(max(place, skin.low + apart), skin.high - apart), 2)
        flange: Values = {} if place == 0 and self.chance(0.5) else {"at": place}
        if spec["body"].get("catalogue") == "saturn" and self.chance(0.8):
            flange["rings"] = self.rng.choice([["B"], ["C", "B"], ["A", "B"], "all", "B"])
        else:
            a = skin.at(widest)
            inner = a * self.between(1.03, 1.3)
            flange["inner_radius"] = round(inner * self.scale, 2)
            flange["outer_radius"] = round(inner * self.between(1.15, 1.8) * self.scale, 2)
        if self.chance(0.4):
            flange["seat_depth"] = self.mm(1.5 * self.t, 3 * self.t)
        if self.sound:
            # Discs keep out of the flange's way.
            for disc in spec["discs"]:
                level = disc.get("at", {}).get("height")
                if level is not None and abs(level - place) < 4 * self.t and self.style != "housed":
                    disc["at"]["height"] = round(place - 4.5 * self.t, 2)
                if self.style != "housed" and self.chance(0.5):
                    disc["setback"] = round(2.5 * self.t, 2)
        return flange

    def stock(self, spec: Values) -> None:
        t = self.t
        tolerance = round(self.rng.choice([0.0, 0.0, 0.01, 0.03]) * t, 3)
        material = self.rng.choice(MATERIALS)
        size = [6 * self.size + 100, 6 * self.size + 100]
        if not self.sound and self.chance(0.3):
            size = [self.mm(60, 1200), self.mm(60, 1200)]
        thickness: Any = f"{t} ± {tolerance}" if tolerance else t
        sheet: Values = {"material": material, "thickness": thickness, "size": size}
        spec["sheet"] = sheet
        second = t
        if self.chance(0.2):
            second = round(max(0.25, t * self.between(0.6, 1.6)), 2)
            spec["disc_sheet"] = {
                "material": material if self.sound else self.rng.choice(MATERIALS),
                "thickness": second,
                "size": size,
            }
        cutter: Values = {"process": self.pick((0.6, 0.2, 0.2), ("laser", "router", "knife"))}
        if cutter["process"] == "router":
            thin = min(t, second)
            tool = self.between(0.4, 0.85) if self.sound else self.between(0.3, 1.2)
            cutter["tool_diameter"] = round(max(0.1, tool * thin), 2)
        elif cutter["process"] == "laser" and self.chance(0.5):
            cutter["kerf"] = min(self.mm(0.05, 0.3), round(0.5 * t, 2))
        if self.chance(0.3):
            cutter["compensate"] = self.rng.choice(["file", "machine"])
        spec["cutter"] = cutter
