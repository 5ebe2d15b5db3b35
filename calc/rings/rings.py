"""Rings and ring sets: their data, where their thick points stand, and what an index pair does.

Everything is in the local frame (forward, outboard, up) of the package; one formula serves both wheels because the
marked faces are mirrored from side to side. It rounds nothing: the whole-mdeg table is table.py's.
"""

import math
from dataclasses import asdict, dataclass

import numpy as np

from calc.numbers.checks import check_choice, check_integer, check_keys, check_list, check_number, check_text, shown
from calc.numbers.errors import InputError
from calc.numbers.sides import RINGS, SIDES
from calc.numbers.units import radians_from_mdeg
from calc.rings.rotation import matrix_from_axis_angle

DIRECTIONS = ("clockwise", "counterclockwise")
FACES = ("inboard", "outboard")
SWAP_FREELY_TAPER_MDEG = 1500  # above it, swapping alike rings changes an angle by 1 mdeg or more

# Fewer than 3 marks cannot reach all directions; 720 is a mark every half degree, finer than anybody can line up.
MARKS_LOW, MARKS_HIGH = 3, 720
FIRST_MARK_HIGH = 999
THICK_MARK_LIMIT = 1e6  # counted round, so any real number is meant; beyond this, doubles lose the fraction
# A flat ring (0) has no thick point and makes all its pairs one: it is a spacer, not a ring. Five degrees each is
# several times what a tyre, a bearing or a brake could live with.
TAPER_MDEG_LOW, TAPER_MDEG_HIGH = 1, 5000
TAPER_SD_MDEG_HIGH = 500
THICKNESS_MM_HIGH = 50.0
DIAMETER_MM_HIGH = 1000.0

OUTBOARD = np.array([0.0, 1.0, 0.0])
_RING_KEYS = (
    "marks",
    "first_mark",
    "direction",
    "marked_face_right",
    "taper_mdeg",
    "taper_sd_mdeg",
    "thick_mark",
    "centre_thickness_mm",
    "outer_diameter_mm",
    "bore_diameter_mm",
)
_SET_KEYS = ("format", "id", "name", "revision", "max_tilt_mdeg", *RINGS)


@dataclass(frozen=True)
class Ring:
    """One ring's data, as in the ring set file (calc/README: Ring pairs). Lengths in mm, tapers in whole mdeg."""

    marks: int
    first_mark: int
    direction: str
    marked_face_right: str
    taper_mdeg: int
    taper_sd_mdeg: int
    thick_mark: float
    centre_thickness_mm: float
    outer_diameter_mm: float
    bore_diameter_mm: float

    @classmethod
    def from_json(cls, obj, field: str = "ring") -> "Ring":
        """Return the ring that `obj` describes. Raises InputError naming the field, also for an unknown key."""
        check_keys(obj, field, _RING_KEYS)
        ring = cls(
            marks=check_integer(obj["marks"], f"{field}.marks", MARKS_LOW, MARKS_HIGH),
            first_mark=check_integer(obj["first_mark"], f"{field}.first_mark", 0, FIRST_MARK_HIGH),
            direction=check_choice(obj["direction"], f"{field}.direction", DIRECTIONS),
            marked_face_right=check_choice(obj["marked_face_right"], f"{field}.marked_face_right", FACES),
            taper_mdeg=check_integer(obj["taper_mdeg"], f"{field}.taper_mdeg", TAPER_MDEG_LOW, TAPER_MDEG_HIGH),
            taper_sd_mdeg=check_integer(obj["taper_sd_mdeg"], f"{field}.taper_sd_mdeg", 0, TAPER_SD_MDEG_HIGH),
            thick_mark=check_number(obj["thick_mark"], f"{field}.thick_mark", -THICK_MARK_LIMIT, THICK_MARK_LIMIT),
            centre_thickness_mm=check_number(
                obj["centre_thickness_mm"], f"{field}.centre_thickness_mm", 0.1, THICKNESS_MM_HIGH
            ),
            outer_diameter_mm=check_number(
                obj["outer_diameter_mm"], f"{field}.outer_diameter_mm", 10.0, DIAMETER_MM_HIGH
            ),
            bore_diameter_mm=check_number(obj["bore_diameter_mm"], f"{field}.bore_diameter_mm", 0.0, DIAMETER_MM_HIGH),
        )
        ring._check_solid(field)
        return ring

    def _check_solid(self, field: str) -> None:
        """Raise InputError if no such solid can exist: a bore as wide as the ring, or a thin edge that is not there."""
        if self.bore_diameter_mm >= self.outer_diameter_mm:
            raise InputError(
                f"{field}.bore_diameter_mm",
                f"less than the outer diameter of {self.outer_diameter_mm:g} mm",
                shown(self.bore_diameter_mm),
            )
        needed_mm = self.outer_diameter_mm / 2 * math.tan(math.radians(self.taper_mdeg / 1000))
        if self.centre_thickness_mm <= needed_mm:
            raise InputError(
                f"{field}.centre_thickness_mm",
                f"more than {needed_mm:.2f} mm, where this taper ends in a knife edge at the rim",
                shown(self.centre_thickness_mm),
            )

    def to_json(self) -> dict:
        """Return the JSON object, keys in the file's order."""
        return asdict(self)

    @property
    def taper_rad(self) -> float:
        return float(radians_from_mdeg(self.taper_mdeg))

    @property
    def step_rad(self) -> float:
        """Angle from one mark to the next, in radians."""
        return 2.0 * math.pi / self.marks

    @property
    def mark_numbers(self) -> np.ndarray:
        """All mark numbers, (marks,) int, in order."""
        return np.arange(self.first_mark, self.first_mark + self.marks)


@dataclass(frozen=True)
class RingSet:
    """An inner ring (on the axle flange) and an outer ring (under the hub), with their data."""

    id: str
    name: str
    revision: int
    max_tilt_mdeg: int | None
    inner: Ring
    outer: Ring

    @classmethod
    def from_json(cls, obj, field: str = "ring_set") -> "RingSet":
        """Return the ring set that `obj` describes. Raises InputError naming the field, also for an unknown key."""
        check_keys(obj, field, _SET_KEYS)
        check_integer(obj["format"], f"{field}.format", 1, 1)
        tilt = obj["max_tilt_mdeg"]
        return cls(
            id=check_text(obj["id"], f"{field}.id", 80),
            name=check_text(obj["name"], f"{field}.name", 80),
            revision=check_integer(obj["revision"], f"{field}.revision", 1, 1_000_000),
            max_tilt_mdeg=None
            if tilt is None
            else check_integer(tilt, f"{field}.max_tilt_mdeg", 1, 2 * TAPER_MDEG_HIGH),
            inner=Ring.from_json(obj["inner"], f"{field}.inner"),
            outer=Ring.from_json(obj["outer"], f"{field}.outer"),
        )

    def to_json(self) -> dict:
        """Return the JSON object of the ring set file, keys in the file's order."""
        return {"format": 1, **asdict(self)}


def pair_from_json(value, ring_set: RingSet, field: str) -> tuple[int, int]:
    """Return the index pair (inner mark, outer mark), each a mark that its ring has."""
    check_list(value, field, 2, 2)
    marks = []
    for k, ring in enumerate((ring_set.inner, ring_set.outer)):
        last = ring.first_mark + ring.marks - 1
        marks.append(check_integer(value[k], f"{field}[{k}]", ring.first_mark, last))
    return marks[0], marks[1]


def marked_face(ring: Ring, side: str) -> str:
    """Return which way the marked face looks on that wheel: `inboard` or `outboard` (towards the person fitting it)."""
    check_choice(side, "side", SIDES)
    if side == "right":
        return ring.marked_face_right
    return FACES[1 - FACES.index(ring.marked_face_right)]


def clock_sense(ring: Ring, side: str = "right") -> int:
    """Return sigma: +1 where rising mark numbers run from the top towards the rear, -1 where towards the front.

    Worked out from the picture: who looks at the RIGHT wheel from outboard has the front on the right hand,
    so clockwise from the top runs to the front. Each of three changes turns that round: the other wheel, looking from
    inboard, counterclockwise numbers. Both wheels give the same, because the face is mirrored with the wheel.
    """
    turned = (side == "left") + (marked_face(ring, side) == "inboard") + (ring.direction == "counterclockwise")
    return -1 if turned % 2 == 0 else 1


def mark_clock(ring: Ring, mark_at_top, mark, side: str = "right"):
    """Return the clock angle of `mark` (any real number) with `mark_at_top` at the top, radians in [0, 2 pi).

    Arrays broadcast. The side only decides which picture it is worked out from; the answer is the same on both.
    """
    turn = clock_sense(ring, side) * (np.asarray(mark, dtype=np.float64) - mark_at_top) * ring.step_rad
    return np.mod(turn, 2.0 * math.pi)


def thick_point_clock(ring: Ring, mark_at_top):
    """Return the clock angle of the ring's thickest point, radians in [0, 2 pi), shape of `mark_at_top`.

    >>> ring = Ring(4, 1, "clockwise", "inboard", 500, 8, 2.0, 2.4, 148.0, 62.0)
    >>> np.degrees(thick_point_clock(ring, 1)).item()  # one mark on, seen from inboard: towards the rear
    90.0
    """
    # Counted round before subtracting, so that thick marks a whole turn apart give the very same clock.
    return mark_clock(ring, mark_at_top, ring.thick_mark % ring.marks)


def matrix_of_ring(ring: Ring, mark_at_top):
    """Return the rotation that the ring gives to all that sits on its outer face, (..., 3, 3).

    The face normal turns by the taper about d x outboard, d the direction of the thick point, so it leans away from
    the thick side.
    """
    clock = thick_point_clock(ring, mark_at_top)
    zero = np.zeros_like(clock)
    direction = np.stack([-np.sin(clock), zero, np.cos(clock)], axis=-1)
    return matrix_from_axis_angle(np.cross(direction, OUTBOARD), ring.taper_rad)


def normal_of_pair(ring_set: RingSet, i, j):
    """Return the outward unit normal of the hub face for index pairs (i, j), shape (..., 3), i and j broadcasting.

    n = R_inner R_outer o: the outer ring is clocked in the plane of the inner ring's outer face. Exact for rigid rings.
    """
    outer_normal = matrix_of_ring(ring_set.outer, j) @ OUTBOARD
    return np.einsum("...rc,...c->...r", matrix_of_ring(ring_set.inner, i), outer_normal)


def effect_of_normal(normal):
    """Return (camber_rad, toe_rad), each (...), of outward unit normals (..., 3): atan2(-n.z, n.o) and atan2(n.x, n.o).

    Source: ISO 8855 front-view camber and static toe, read in a copy of the standard.
    """
    forward, outboard, up = np.moveaxis(np.asarray(normal, dtype=np.float64), -1, 0)
    return np.arctan2(-up, outboard), np.arctan2(forward, outboard)


def effect_of_pair(ring_set: RingSet, i, j):
    """Return what index pairs (i, j) do, (camber_rad, toe_rad), each of the broadcast shape of i and j.

    >>> ring = Ring(4, 1, "clockwise", "inboard", 500, 8, 1.0, 2.4, 148.0, 62.0)
    >>> camber, toe = effect_of_pair(RingSet("x", "X", 1, None, ring, ring), 1, 1)  # both thick points at the top
    >>> round(math.degrees(camber), 9), round(math.degrees(toe), 9)
    (1.0, 0.0)
    """
    return effect_of_normal(normal_of_pair(ring_set, i, j))


def thickness(ring_set: RingSet, i, j, radius_mm, clock_rad):
    """Return how thick the pair is at a radius and clock angle, mm; all arguments broadcast.

    It holds beyond the rim too, because hub and disc tilt as one. First order in the tapers' product.
    """
    total = 0.0
    for ring, mark in ((ring_set.inner, i), (ring_set.outer, j)):
        lean = np.tan(ring.taper_rad) * np.cos(np.asarray(clock_rad) - thick_point_clock(ring, mark))
        total = total + ring.centre_thickness_mm + np.asarray(radius_mm) * lean
    return total


def swap_freely(ring_set: RingSet) -> bool:
    """Return True where (i, j) and (j, i) do the same to within 1 mdeg: rings alike, tapers small enough."""
    inner, outer = ring_set.inner.to_json(), ring_set.outer.to_json()
    inner["thick_mark"] %= ring_set.inner.marks
    outer["thick_mark"] %= ring_set.outer.marks
    return inner == outer and ring_set.inner.taper_mdeg <= SWAP_FREELY_TAPER_MDEG
