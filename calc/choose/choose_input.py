"""The input of `choose` (calc/README: Choosing) as checked, frozen values. It decides nothing.

All angles are whole mdeg; standard deviations may be any number, because they come from repeated readings.
"""

from dataclasses import dataclass

from calc.numbers.checks import check_choice, check_integer, check_keys, check_list, check_number, check_text, shown
from calc.numbers.constants import (
    BAND_CAMBER_MDEG,
    BAND_TOE_MDEG,
    CAMBER_SD_MDEG,
    CLOCK_SD_DEG,
    MARK_SD_STEPS,
    READING_LIMIT_MDEG,
    SEAT_SD_MDEG,
    THRUST_SD_MDEG,
    TOE_SD_MDEG,
)
from calc.numbers.errors import InputError
from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES
from calc.rings.rings import RingSet

WANTS_RINGS = ("auto", "yes", "no")
RING_SETS_HIGH = 50
INDEX_PAIRS_HIGH = 1_000_000  # of all ring sets together: one set at the marks' limit and many of the usual size
SD_MDEG_HIGH = 5000
CLOCK_SD_DEG_HIGH = 45
MARK_SD_STEPS_HIGH = 10
BAND_MDEG_HIGH = 5000
DOUBTS_HIGH = 20
DOUBT_CODE_LENGTH_HIGH = 60

CHOOSE_KEYS = ("ring_sets", "wheels", "windows", "axle")
CHOOSE_KEYS_OPTIONAL = ("band", "spread", "untrusted", "put_in")

Window = tuple[int, int] | None  # (low, high); None where the maker gives none
OPEN_MDEG = (
    1 << 40
)  # stands for the edge that a window open on one side has not: far beyond every angle, and still exact


@dataclass(frozen=True)
class Wheel:
    """One wheel's base reading, its own windows and aim ((camber, toe) or None), and whether it may get rings."""

    camber: int
    toe: int
    rings: str
    camber_window: Window
    toe_window: Window
    aim: tuple[int, int] | None


@dataclass(frozen=True)
class Axle:
    """The windows that both wheels share."""

    total_toe: Window
    thrust: Window
    cross_camber: Window


@dataclass(frozen=True)
class Spread:
    """Standard deviations: readings per wheel (mdeg), thrust (mdeg), clock (deg), marks (steps), seat (mdeg)."""

    camber_sd: dict[str, float]
    toe_sd: dict[str, float]
    thrust_sd: float
    clock_sd_deg: float
    mark_sd_steps: float
    seat_sd: float


@dataclass(frozen=True)
class Request:
    """All that a choice is made from. `wheels` has the keys `left` and `right`.

    `ring_sets` are those to choose from: an untrusted one only where it was put in; `doubts` are the codes of those.
    """

    ring_sets: tuple[RingSet, ...]
    doubts: dict[str, list[str]]
    wheels: dict[str, Wheel]
    axle: Axle
    band_camber: int
    band_toe: int
    spread: Spread


def request_from_json(obj) -> Request:
    """Return the checked input. Raises InputError naming the field; unknown keys are an error."""
    check_keys(obj, "", CHOOSE_KEYS, CHOOSE_KEYS_OPTIONAL)
    check_keys(obj["wheels"], "wheels", SIDES)
    check_keys(obj["windows"], "windows", SIDES)
    band = check_keys(obj.get("band", {}), "band", (), WHEEL_ANGLES)
    ring_sets = _ring_sets(obj["ring_sets"])
    doubts = _doubts(obj.get("untrusted", {}), ring_sets)
    put_in = _put_in(obj.get("put_in", []), ring_sets)
    return Request(
        ring_sets=tuple(each for each in ring_sets if each.id not in doubts or each.id in put_in),
        doubts={name: codes for name, codes in doubts.items() if name in put_in},
        wheels={side: _wheel(obj["wheels"][side], obj["windows"][side], side) for side in SIDES},
        axle=_axle(obj["axle"]),
        band_camber=check_integer(band.get("camber", BAND_CAMBER_MDEG), "band.camber", 1, BAND_MDEG_HIGH),
        band_toe=check_integer(band.get("toe", BAND_TOE_MDEG), "band.toe", 1, BAND_MDEG_HIGH),
        spread=spread_from_json(obj.get("spread", {}), "spread"),
    )


def window_from_json(value, field: str, limit: int) -> Window:
    """Return (low, high), or None for null. An edge that is null is open: -OPEN_MDEG or OPEN_MDEG stands for it.

    Raises InputError, also for a window that is upside down or open on both sides.
    """
    if value is None:
        return None
    _check_pair(value, field, "[low, high] or null")
    if value == [None, None]:
        raise InputError(field, "[low, high] with one edge at least, or null for no window", shown(value))
    low, high = (
        open_edge if edge is None else check_integer(edge, f"{field}[{place}]", -limit, limit)
        for place, (edge, open_edge) in enumerate(zip(value, (-OPEN_MDEG, OPEN_MDEG), strict=True))
    )
    if low > high:
        raise InputError(field, "[low, high] with low not above high", shown(value))
    return low, high


def is_closed(window: Window) -> bool:
    """Whether the window is there and has both edges."""
    return window is not None and window[0] > -OPEN_MDEG and window[1] < OPEN_MDEG


def _check_pair(value, field: str, expected: str) -> None:
    if not isinstance(value, list) or len(value) != 2:
        raise InputError(field, expected, shown(value))


def spread_from_json(obj, field: str) -> Spread:
    """Return the standard deviations; whatever is left out is the default."""
    keys = ("camber_sd", "toe_sd", "thrust_sd", "clock_sd_deg", "mark_sd_steps", "seat_sd")
    check_keys(obj, field, (), keys)
    return Spread(
        camber_sd=_reading_sd(obj.get("camber_sd", {}), f"{field}.camber_sd", CAMBER_SD_MDEG),
        toe_sd=_reading_sd(obj.get("toe_sd", {}), f"{field}.toe_sd", TOE_SD_MDEG),
        thrust_sd=check_number(obj.get("thrust_sd", THRUST_SD_MDEG), f"{field}.thrust_sd", 0, SD_MDEG_HIGH),
        clock_sd_deg=check_number(obj.get("clock_sd_deg", CLOCK_SD_DEG), f"{field}.clock_sd_deg", 0, CLOCK_SD_DEG_HIGH),
        mark_sd_steps=check_number(
            obj.get("mark_sd_steps", MARK_SD_STEPS), f"{field}.mark_sd_steps", 0, MARK_SD_STEPS_HIGH
        ),
        seat_sd=check_number(obj.get("seat_sd", SEAT_SD_MDEG), f"{field}.seat_sd", 0, SD_MDEG_HIGH),
    )


def _reading_sd(obj, field: str, default: float) -> dict[str, float]:
    check_keys(obj, field, (), SIDES)
    return {side: check_number(obj.get(side, default), f"{field}.{side}", 0, SD_MDEG_HIGH) for side in SIDES}


def _wheel(reading, windows, side: str) -> Wheel:
    wheel_field, window_field = f"wheels.{side}", f"windows.{side}"
    limit = READING_LIMIT_MDEG
    check_keys(reading, wheel_field, (*WHEEL_ANGLES, "rings"))
    check_keys(windows, window_field, (*WHEEL_ANGLES, "aim"))
    return Wheel(
        camber=check_integer(reading["camber"], f"{wheel_field}.camber", -limit, limit),
        toe=check_integer(reading["toe"], f"{wheel_field}.toe", -limit, limit),
        rings=check_choice(reading["rings"], f"{wheel_field}.rings", WANTS_RINGS),
        camber_window=window_from_json(windows["camber"], f"{window_field}.camber", limit),
        toe_window=window_from_json(windows["toe"], f"{window_field}.toe", limit),
        aim=_aim(windows["aim"], f"{window_field}.aim"),
    )


def _aim(value, field: str) -> tuple[int, int] | None:
    if value is None:
        return None
    _check_pair(value, field, "[camber, toe] or null")
    names = WHEEL_ANGLES
    limit = READING_LIMIT_MDEG
    return tuple(
        check_integer(angle, f"{field}.{name}", -limit, limit) for name, angle in zip(names, value, strict=True)
    )


def _axle(obj) -> Axle:
    check_keys(obj, "axle", ("total_toe", "thrust", "cross_camber"))
    limits = {"total_toe": 2 * READING_LIMIT_MDEG, "thrust": READING_LIMIT_MDEG, "cross_camber": 2 * READING_LIMIT_MDEG}
    return Axle(**{key: window_from_json(obj[key], f"axle.{key}", limit) for key, limit in limits.items()})


def _ring_sets(value) -> tuple[RingSet, ...]:
    """Return the ring sets; an empty list is a shop without rings, whose only plan is none."""
    check_list(value, "ring_sets", 0, RING_SETS_HIGH)
    ring_sets = tuple(RingSet.from_json(obj, f"ring_sets[{place}]") for place, obj in enumerate(value))
    ids = [ring_set.id for ring_set in ring_sets]
    for place, name in enumerate(ids):
        if name in ids[:place]:
            raise InputError(f"ring_sets[{place}].id", "an id of its own", shown(name))
    pairs = sum(ring_set.inner.marks * ring_set.outer.marks for ring_set in ring_sets)
    if pairs > INDEX_PAIRS_HIGH:
        raise InputError("ring_sets", f"at most {INDEX_PAIRS_HIGH} index pairs in all", f"{pairs} index pairs")
    return ring_sets


def _doubts(value, ring_sets: tuple[RingSet, ...]) -> dict[str, list[str]]:
    """Return ring set id -> codes of what its measuring could not vouch for."""
    check_keys(value, "untrusted", (), tuple(ring_set.id for ring_set in ring_sets))
    for name, codes in value.items():
        field = f"untrusted.{name}"
        for place, code in enumerate(check_list(codes, field, 1, DOUBTS_HIGH)):
            check_text(code, f"{field}[{place}]", DOUBT_CODE_LENGTH_HIGH)
    return value


def _put_in(value, ring_sets: tuple[RingSet, ...]) -> list[str]:
    """Return the ids of the ring sets that a person has put in, whether they are trusted by now or not."""
    check_list(value, "put_in", 0, RING_SETS_HIGH)
    ids = tuple(ring_set.id for ring_set in ring_sets)
    for place, name in enumerate(value):
        check_choice(name, f"put_in[{place}]", ids)
        if name in value[:place]:
            raise InputError(f"put_in[{place}]", "an id of its own", shown(name))
    return value
