"""Fittings as they go right and wrong in a shop, for proving to be tried on. It judges nothing.

A model of its own: scipy turns the solids; slips, droops, dirt, units and diameters are drawn as a shop would meet
them, not from the lists that calc/prove weighs, and readings scatter with longer tails than its normal ones and are
rounded as equipment shows them. `CAUSES` are the codes that a technician would have to be told.
"""

import math
from dataclasses import dataclass, field
from random import Random

from scipy.spatial.transform import Rotation

CAUSES = (
    "as-planned",
    "faces-reversed",
    "one-ring-turned-over",
    "pair-turned-on-bolts",
    "top-taken-hanging",
    "pair-off-clock",
    "marks-off",
    "marks-exchanged",
    "digits-mistaken",
    "left-right-exchanged",
    "other-set",
    "toe-sign-mistaken",
    "toe-unit-mistaken",
    "old-rings-at-base",
    "nothing-fitted",
    "thin-dirt",
    "between-faces",
)
MEANT_MDEG = (250, 1200)  # a change that somebody takes a hub off for
CAMBER_SD, TOE_SD = 50, 30  # what proving takes a reading to spread by, where nobody says otherwise


def _ring(marks, taper, thick, clockwise=True, outboard=False, first=1) -> dict:
    return {
        "marks": marks,
        "first_mark": first,
        "direction": "clockwise" if clockwise else "counterclockwise",
        "marked_face_right": "outboard" if outboard else "inboard",
        "taper_mdeg": taper,
        "taper_sd_mdeg": 8,
        "thick_mark": thick,
        "centre_thickness_mm": 4.0,
        "outer_diameter_mm": 148.0,
        "bore_diameter_mm": 62.0,
    }


def _set(name, inner, outer=None) -> dict:
    return {
        "format": 1, "id": name, "name": name, "revision": 1, "max_tilt_mdeg": None,
        "inner": inner, "outer": outer or inner,
    }  # fmt: skip


SHOP = [
    _set("alike-54", _ring(54, 550, 1.0)),
    _set("alike-36", _ring(36, 750, 10.5, outboard=True)),
    _set("alike-72", _ring(72, 450, 1.0, clockwise=False)),
    _set("unlike-60", _ring(60, 900, 31.0), _ring(60, 700, 1.0, clockwise=False)),
    _set("unlike-48", _ring(48, 640, 12.25, outboard=True), _ring(48, 480, 2.5, outboard=True)),
]
PATTERNS = [  # clocks of the bolts, and the turns that bring them onto themselves
    ([40, 140, 220, 320], [180]),
    ([45, 135, 225, 315], [90, 180, 270]),
    ([0, 72, 144, 216, 288], [72, 144, 216, 288]),
    ([20, 140, 260], [120, 240]),
]


@dataclass
class Mishap:
    """One fitting with its true `cause` (a code of CAUSES); `asked` is the input of prove."""

    random: Random
    cause: str
    asked: dict = field(default_factory=dict)

    def __post_init__(self):
        while not self.asked:  # not every pair of every set can go wrong in every way
            self.asked = self._made() or {}

    def _made(self) -> dict | None:
        random = self.random
        self.set = random.choice(SHOP)
        self.pair, self.theirs, self.old = self._pair(MEANT_MDEG), self._pair((100, 1500)), self._pair((200, 1200))
        self.pattern, self.turns = random.choice(PATTERNS)
        self.droop = random.uniform(5, 25)
        stack = self._stack()
        if stack is None:
            return None
        true = (random.gauss(-1200, 500), random.gauss(100, 250))
        noisy = random.uniform(0.7, 1.3)
        before = (
            self._turned(self._fitted(self._planned(self.old))) if self.cause == "old-rings-at-base" else (0.0, 0.0)
        )
        base = self._read(true, before, noisy)
        check = self._read(true, self._turned(self._fitted(stack), self._between()), noisy)
        units = {"base": random.choice(["deg", "deg", "deg-min", "mm"])}
        units["check"] = units["base"]
        self._mistype(base, check, units)
        return {
            "ring_set": self.set,
            "wheel": random.choice(["left", "right"]),
            "pair": list(self.pair),
            "base": _shown(base),
            "check": _shown(check),
            "bolts": [[55, clock] for clock in self.pattern] if random.random() < 0.8 else [],
            "droop_deg": round(self.droop * random.uniform(0.85, 1.15)) if random.random() < 0.5 else None,
            "toe_units": units if random.random() < 0.8 else None,
            "other": self._other(noisy),
        }

    def _pair(self, sizes: tuple[float, float]) -> tuple[int, int]:
        wanted = self.random.uniform(*sizes)
        found = [tuple(self._mark(name) for name in ("inner", "outer")) for _ in range(40)]
        return min(found, key=lambda pair: abs(math.hypot(*self._turned(self._planned(pair))) - wanted))

    def _mark(self, name: str) -> int:
        return self.random.randint(1, self.set[name]["marks"])

    def _planned(self, pair, rings: dict | None = None) -> list[list[float]]:
        """Return [taper mdeg, clock degrees of the thick point] of both rings, inner first."""
        rings = rings or self.set
        return [
            [rings[name]["taper_mdeg"], _clock(rings[name], mark)]
            for name, mark in zip(("inner", "outer"), pair, strict=True)
        ]

    def _turned(self, stack, extra=()) -> tuple[float, float]:
        """Return (camber, toe) mdeg that wedges laid on each other give: the face's normal turned by each."""
        turn = Rotation.identity()
        for taper, clock in [*stack, *extra]:
            angle, way = math.radians(taper / 1000), math.radians(clock)
            turn = turn * Rotation.from_rotvec([-angle * math.cos(way), 0.0, -angle * math.sin(way)])
        forward, outboard, up = turn.apply([0.0, 1.0, 0.0])
        return tuple(1000 * math.degrees(math.atan2(part, outboard)) for part in (-up, forward))

    def _fitted(self, stack) -> list:
        """Return the wedges as they come to sit: the pair off by up to 3.5 degrees, marks and tapers inexact."""
        random, off, step = self.random, self.random.uniform(-3.5, 3.5), 360 / self.set["inner"]["marks"]
        return [[taper + random.gauss(0, 8), clock + off + random.gauss(0, 0.15 * step)] for taper, clock in stack]

    def _stack(self) -> list | None:
        """Return the wedges that this cause puts there; None where it cannot happen with this pair."""
        random, pair, (inner, outer) = self.random, self.pair, self._planned(self.pair)
        match self.cause:
            case "nothing-fitted":
                return []
            case "faces-reversed":
                return [_over(inner), _over(outer)]
            case "one-ring-turned-over":
                return random.choice([[_over(inner), outer], [inner, _over(outer)]])
            case "pair-turned-on-bolts":
                return _turn([inner, outer], random.choice(self.turns))
            case "top-taken-hanging":
                return _turn([inner, outer], -self.droop)
            case "pair-off-clock":
                marks = random.choice([1, 1, 2, 2, 3]) * random.choice([-1, 1])
                return _turn([inner, outer], marks * 360 / self.set["inner"]["marks"])
            case "marks-off":
                return self._planned(
                    self._with_mark(lambda mark: mark + random.choice([-1, 1]) * random.choice([1, 1, 2, 3]))
                )
            case "digits-mistaken":
                other = self._with_mark(lambda mark: _misread(random, mark))
                return None if other == pair else self._planned(other)
            case "marks-exchanged":
                is_alike = self.set["inner"] == self.set["outer"]
                return None if is_alike or pair[0] == pair[1] else self._planned(pair[::-1])
            case "left-right-exchanged":
                theirs = self._planned(self.theirs)
                self.faces = random.random() < 0.6
                return theirs if self.faces else list(map(_over, theirs))
            case "other-set":
                others = [each for each in SHOP if each is not self.set]
                rings = random.choice(others)
                fits = all(mark <= rings[name]["marks"] for name, mark in zip(("inner", "outer"), pair, strict=True))
                return self._planned(pair, rings) if fits else None
        return [inner, outer]

    def _with_mark(self, change) -> tuple[int, int]:
        """Return the pair with one mark changed, counted round."""
        at = self.random.randrange(2)
        marks = self.set[("inner", "outer")[at]]["marks"]
        changed = change(self.pair[at])
        if changed is None or not (self.cause == "marks-off" or 1 <= changed <= marks):
            return self.pair
        pair = list(self.pair)
        pair[at] = (changed - 1) % marks + 1
        return tuple(pair)

    def _between(self) -> list:
        """Return the wedge of what lies between the faces: so thick, at one clock, hinged somewhere between."""
        thick = {"thin-dirt": (0.1, 0.5), "between-faces": (0.8, 2.0)}.get(self.cause)
        if thick is None:
            return []
        span_mm = self.random.uniform(0.5, 1.0) * 148  # from what it lies on to where the faces touch
        tilt = 1000 * math.degrees(math.atan(self.random.uniform(*thick) / span_mm))
        return [[tilt, self.random.uniform(0, 360)]]

    def _read(self, true, change, noisy: float) -> list[float]:
        return [
            part + moved + noisy * sd * _long_tailed(self.random)
            for part, moved, sd in zip(true, change, (CAMBER_SD, TOE_SD), strict=True)
        ]

    def _mistype(self, base, check, units: dict) -> None:
        random = self.random
        which = random.choice([("base",), ("check",), ("base", "check")])
        if self.cause == "toe-sign-mistaken":
            factor, unit = -1.0, None
        elif self.cause == "toe-unit-mistaken":
            # recorded over true, and the unit that it was typed in; a length in mm is D sin(toe)
            one_mm = math.degrees(math.asin(1 / random.uniform(330, 650)))
            factor, unit = random.choice(
                [(0.6, "deg"), (1 / 0.6, "deg-min"), (2.0, None), (0.5, None), (1 / one_mm, "deg"), (one_mm, "mm")]
            )
        else:
            return
        for name, reading in (("base", base), ("check", check)):
            if name in which:
                reading[1] *= factor
                units[name] = unit or units[name]

    def _other(self, noisy: float) -> dict:
        """Return what is known of the rest: the other wheel, its readings mostly, the shop's sets, old rings."""
        random = self.random
        true = (random.gauss(-1200, 500), random.gauss(100, 250))
        there = self._planned(self.theirs)
        if self.cause == "left-right-exchanged":
            ours = self._planned(self.pair)
            there = ours if self.faces else list(map(_over, ours))
        wheel = {"ring_set": self.set, "pair": list(self.theirs)}
        if random.random() < 0.7:
            wheel["base"] = _shown(self._read(true, (0, 0), noisy))
            wheel["check"] = _shown(self._read(true, self._turned(self._fitted(there)), noisy))
        old = {"ring_set": self.set, "pair": list(self.old)}
        has_old = self.cause == "old-rings-at-base" or random.random() < 0.25
        return {"wheel": wheel, "ring_sets": SHOP, "old_rings": old if has_old else None}


def _clock(ring: dict, mark_at_top: int) -> float:
    """Return where the thick point stands, degrees from the top towards the rear, the mark being at the top.

    On the right wheel the front is on the right of whoever looks from outboard: numbers that run clockwise for them go
    from the top to the front.
    """
    steps = (ring["thick_mark"] - mark_at_top) * 360 / ring["marks"]
    to_front = (ring["direction"] == "clockwise") == (ring["marked_face_right"] == "outboard")
    return -steps if to_front else steps


def _over(ring: list[float]) -> list[float]:
    return [ring[0], -ring[1]]


def _turn(rings: list, degrees: float) -> list:
    return [[taper, clock + degrees] for taper, clock in rings]


def _misread(random: Random, mark: int) -> int | None:
    """Return what a mark may be read as: digits swapped, turned upside down, or one 6 for a 9."""
    text = str(mark)
    upside = text.translate(str.maketrans("0123456789", "01xxxx9x86"))[::-1]
    found = [text[::-1], upside, text.replace("6", "9", 1), text.replace("9", "6", 1)]
    found = [each for each in found if each.isdigit() and each[0] != "0" and each != text]
    return int(random.choice(found)) if found else None


def _long_tailed(random: Random) -> float:
    """Return a draw of SD 1 with longer tails than the normal: Student's t with 6 degrees of freedom."""
    chi = sum(random.gauss(0, 1) ** 2 for _ in range(6))
    return random.gauss(0, 1) / math.sqrt(chi / 6) * math.sqrt(4 / 6)


def _shown(reading) -> dict:
    """Return a reading as equipment shows it, in hundredths of a degree, and within what a reading may be."""
    camber, toe = (10 * round(max(-19_000.0, min(19_000.0, part)) / 10) for part in reading)
    return {"camber": camber, "toe": toe}
