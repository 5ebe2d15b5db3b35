"""Charts of ring pairs as makers print them and people type them, for measuring to be tried on. It judges nothing.

A model of its own: the face of the stack is two inclined planes laid on each other, read off at the rim as a dial
would, so nothing here composes rotations, knows arrows or shares a line with calc/measure. Charts are lists of pairs
with what they do, rounded or cut off to the maker's step, or of wanted changes with the nearest pair beside each.
"""

import math
from dataclasses import dataclass, replace
from random import Random

RIM_MM = 70.0
STYLES = ("rounded", "cut-off", "wanted")
# camber unit, step; toe unit, step; diameter. Degrees, minutes, millimetres; inches as the denominator of a fraction.
PRINTS = {
    "0.01 deg": ("deg", 0.01, "deg", 0.01, None),
    "0.05 deg": ("deg", 0.05, "deg", 0.05, None),
    "0.1 deg": ("deg", 0.1, "deg", 0.1, None),
    "0.25 deg": ("deg", 0.25, "deg", 0.25, None),
    "5 min": ("deg-min", 5, "deg-min", 5, None),
    "0.05 deg, 0.5 mm": ("deg", 0.05, "mm", 0.5, 400.0),
    "1/8 deg, 1/32 inch": ("deg", 0.125, "inch", 32, 381.0),
}


@dataclass(frozen=True)
class Wedge:
    """A ring as it lies on the bench: which way numbers and marked face look on the right wheel, taper, thick mark."""

    marks: int
    first: int
    clockwise: bool
    face_outboard: bool
    taper_deg: float
    thick: float

    def lean(self, mark_at_top: int) -> tuple[float, float]:
        """Return how much thicker the ring is at (top than bottom, rear than front), mm across the rim.

        Seen from outboard on the right wheel the front is on the right, so numbers that run clockwise on a face that
        looks outboard run from the top to the front; a face that looks inboard is seen from behind.
        """
        to_front = (self.thick - mark_at_top) / self.marks * (1 if self.clockwise == self.face_outboard else -1)
        depth = 2 * RIM_MM * math.tan(math.radians(self.taper_deg))
        return depth * math.cos(2 * math.pi * to_front), -depth * math.sin(2 * math.pi * to_front)


@dataclass(frozen=True)
class Chart:
    """A printed chart: two wedges, how it is printed, its rows [inner, outer, camber text, toe text] as typed."""

    inner: Wedge
    outer: Wedge
    prints: str
    style: str
    camber_out: bool  # plus is top out
    toe_in: bool  # plus is toe in
    rows: tuple[tuple[int, int, str, str], ...]

    def does(self, inner_mark: int, outer_mark: int) -> tuple[float, float]:
        """Return (camber, toe) in degrees, top out and toe in plus: the stack's planes read off across the rim."""
        (a, b), (c, d) = self.inner.lean(inner_mark), self.outer.lean(outer_mark)
        return math.degrees(math.atan((a + c) / (2 * RIM_MM))), math.degrees(math.atan((b + d) / (2 * RIM_MM)))

    def asked(self, *, seen: bool = True, camber_wrong: bool = False, toe_wrong: bool = False) -> dict:
        """Return the input of measure; `seen`: the way of the numbers is told; `..._wrong`: that sign is told wrong."""
        camber, _, toe, _, diameter = PRINTS[self.prints]
        units = {
            "camber": camber,
            "toe": toe,
            "camber_positive": "top-out" if self.camber_out != camber_wrong else "top-in",
            "toe_positive": "in" if self.toe_in != toe_wrong else "out",
            "diameter_mm": diameter,
        }
        rows = [{"pair": [i, j], "camber": c, "toe": t} for i, j, c, t in self.rows]
        shapes = {name: _shape(ring, seen) for name, ring in (("inner", self.inner), ("outer", self.outer))}
        say = {"rows_say": "wanted-changes"} if self.style == "wanted" else {}
        return {"from": "paper", "id": "p", "name": "P", "units": units, "rows": rows, **say, **shapes}

    def worst_mdeg(self, ring_set: dict) -> float:
        """Return how far a measured ring set is off at the worst, over pairs spread over both rings."""
        found = replace(self, inner=_wedge(ring_set["inner"]), outer=_wedge(ring_set["outer"]))
        marks = [range(ring.first, ring.first + ring.marks, 5) for ring in (self.inner, self.outer)]
        pairs = [(i, j) for i in marks[0] for j in marks[1]]
        return 1000 * max(math.dist(self.does(*pair), found.does(*pair)) for pair in pairs)


def _shape(ring: Wedge, seen: bool) -> dict:
    shape = {"marks": ring.marks, "first_mark": ring.first, "centre_thickness_mm": 5.0}
    shape["marked_face_right"] = "outboard" if ring.face_outboard else "inboard"
    direction = {"direction": "clockwise" if ring.clockwise else "counterclockwise"} if seen else {}
    return {**shape, **direction, "outer_diameter_mm": 148.0, "bore_diameter_mm": 62.0}


def _wedge(ring: dict) -> Wedge:
    turns = ring["direction"] == "clockwise", ring["marked_face_right"] == "outboard"
    return Wedge(ring["marks"], ring["first_mark"], *turns, ring["taper_mdeg"] / 1000, ring["thick_mark"])


def chart(random: Random, prints: str, style: str = "rounded", count: int | None = None) -> Chart:
    """Return a faultless chart of `count` rows (6 to 14) of rings that are alike as often as not."""
    inner = _any_wedge(random)
    outer = inner if random.random() < 0.5 else _any_wedge(random)
    bare = Chart(inner, outer, prints, style, random.random() < 0.5, random.random() < 0.5, ())
    count = count or random.randint(6, 14)
    pick = _wanted_rows if style == "wanted" else _listed_rows
    return replace(bare, rows=tuple(pick(random, bare, count, style)))


def _any_wedge(random: Random) -> Wedge:
    marks, first, ways = random.choice([36, 40, 48, 54, 66, 72]), random.randint(0, 1), [True, False]
    thick = first + random.random() * marks
    return Wedge(marks, first, random.choice(ways), random.choice(ways), random.uniform(0.3, 1.3), thick)


def _any_pair(random: Random, bare: Chart) -> tuple[int, int]:
    return tuple(random.randrange(ring.first, ring.first + ring.marks) for ring in (bare.inner, bare.outer))


def _listed_rows(random: Random, bare: Chart, count: int, style: str):
    for _ in range(count):
        pair = _any_pair(random, bare)
        yield (*pair, *_printed(bare, *bare.does(*pair), cut_off=style == "cut-off"))


def _wanted_rows(random: Random, bare: Chart, count: int, _style: str):
    """Rows of wanted changes, printed as wanted, each with the pair that comes nearest to it."""
    pairs = [
        (i, j)
        for i in range(bare.inner.first, bare.inner.first + bare.inner.marks)
        for j in range(bare.outer.first, bare.outer.first + bare.outer.marks)
    ]
    effects = {pair: bare.does(*pair) for pair in pairs}
    reach, hole = bare.inner.taper_deg + bare.outer.taper_deg, abs(bare.inner.taper_deg - bare.outer.taper_deg)
    for _ in range(count):
        way, size = random.uniform(0, 2 * math.pi), random.uniform(hole + 0.05 * reach, 0.95 * reach)
        wanted = _grid(bare, size * math.cos(way), size * math.sin(way))
        texts = _printed(bare, *wanted, cut_off=False)
        yield (*min(pairs, key=lambda pair: math.dist(effects[pair], wanted)), *texts)


def _grid(bare: Chart, camber: float, toe: float) -> tuple[float, float]:
    """Return an effect rounded to the chart's steps, in degrees."""
    camber_step, toe_step = (_step_deg(bare.prints, part) for part in (0, 1))
    return round(camber / camber_step) * camber_step, round(toe / toe_step) * toe_step


def _step_deg(prints: str, part: int) -> float:
    unit, step, diameter = PRINTS[prints][2 * part], PRINTS[prints][2 * part + 1], PRINTS[prints][4]
    if unit == "deg":
        return step
    if unit == "deg-min":
        return step / 60
    return math.degrees(math.asin((step if unit == "mm" else 25.4 / step) / diameter))


def step_mdeg(prints: str) -> float:
    """Return the wider of the two steps of a way of printing."""
    return 1000 * max(_step_deg(prints, 0), _step_deg(prints, 1))


def _printed(bare: Chart, camber: float, toe: float, *, cut_off: bool) -> tuple[str, str]:
    signed = (camber if bare.camber_out else -camber, toe if bare.toe_in else -toe)
    texts = []
    for part, angle in enumerate(signed):
        count = angle / _step_deg(bare.prints, part)
        count = int(count) if cut_off else math.floor(abs(count) + 0.5) * (1 if count > 0 else -1)
        texts.append(_text(PRINTS[bare.prints][2 * part], PRINTS[bare.prints][2 * part + 1], count))
    return texts[0], texts[1]


def _text(unit: str, step, count: int) -> str:
    sign, count = "−" if count < 0 else "", abs(count)
    if unit == "deg-min":
        return f"{sign}{count * step // 60}°{count * step % 60:02d}'"
    if unit == "inch":
        whole, rest = divmod(count, step)
        return sign + (f"{whole} {rest}/{step}" if whole and rest else f"{rest}/{step}" if rest else f"{whole}")
    return f"{sign}{count * step:.{max(1, len(str(step).partition('.')[2]))}f}"
