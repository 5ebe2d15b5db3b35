"""The input of `fit` as checked, frozen values: nothing but `wheel` is required, and what is not given stays None.

Field names and choices are those of the checklist's Vehicle stage. It computes nothing.
"""

from dataclasses import dataclass

from calc.fit.engagement import WANTED_DIAMETERS
from calc.fit.threads import Thread, check_class
from calc.fit.torque import torque_from_json
from calc.numbers.checks import check_choice, check_integer, check_keys, check_list, check_number
from calc.numbers.errors import InputError
from calc.numbers.sides import SIDES
from calc.rings.bolt_pattern import bolts_from_json
from calc.rings.cutting import CLEARANCE_MM
from calc.rings.rings import RingSet, pair_from_json

VEHICLE_CHOICES = {
    "mounting": ("bolt-on-unit", "bolt-on-stub", "one-piece", "driven"),
    "driven": ("both-allow", "not-both"),
    "ring_place": ("inboard-of-plate", "outboard-of-plate", "no-plate", "hub-to-wheel"),
    "pilot": ("pilot", "no-pilot"),
    "sensor": ("none", "with-hub", "on-axle"),
    "brake": ("drum", "disc", "disc-drum"),
    "bracket": ("outboard-of-ear", "moves-with-hub", "inboard-of-ear"),
}
VEHICLE_LENGTHS_MM = {  # lowest and highest that can be meant
    "pilot_diameter_mm": (5, 500),
    "pilot_length_mm": (0, 200),
    "flange_bore_mm": (5, 500),
    "sensor_gap_mm": (0, 20),
    "sensor_gap_most_mm": (0, 20),
    "flange_diameter_mm": (10, 1000),
    "tyre_radius_mm": (50, 1000),
    "arch_gap_mm": (0, 500),
}
MOST_LUGS = 4
MOST_STOCK = 12  # lines of spacers


@dataclass(frozen=True)
class Bolts:
    """The hub bolts: places (radius_mm, clock_deg) and what is known of their thread and holes."""

    at: list[tuple[float, float]]
    thread: Thread | None
    property_class: str | None
    engaged_mm: float | None
    depth_mm: float | None
    metal: str | None
    nut_height_mm: float | None
    clearance_mm: float | None


@dataclass(frozen=True)
class Bracket:
    """The caliper bracket's lugs (radius_mm, clock_deg), the spacers in stock (mm, quantity), its bolts' engagement."""

    lugs: list[tuple[float, float]]
    stock: list[tuple[float, int]]
    engaged_mm: float | None


@dataclass(frozen=True)
class FitRequest:
    """What the fitting aids are computed from; `vehicle` has each name of VEHICLE_CHOICES and VEHICLE_LENGTHS_MM."""

    wheel: str
    ring_set: RingSet | None
    pair: tuple[int, int] | None
    vehicle: dict
    bolts: Bolts | None
    torque: dict | None
    cut_pair: tuple[int, int] | None
    bracket: Bracket | None


def fit_request_from_json(obj) -> FitRequest:
    """Return the checked input. Raises InputError naming the field; unknown keys are an error."""
    check_keys(obj, "", ("wheel",), ("ring_set", "pair", "vehicle", "bolts", "torque", "cut_pair", "bracket"))
    ring_set = None if obj.get("ring_set") is None else RingSet.from_json(obj["ring_set"])
    pairs = {}
    for key in ("pair", "cut_pair"):
        if obj.get(key) is not None and ring_set is None:
            raise InputError("ring_set", f"the ring set that {key} is of", "nothing")
        pairs[key] = None if obj.get(key) is None else pair_from_json(obj[key], ring_set, key)
    return FitRequest(
        wheel=check_choice(obj["wheel"], "wheel", SIDES),
        ring_set=ring_set,
        vehicle=_vehicle(obj.get("vehicle") or {}),
        bolts=None if obj.get("bolts") is None else _bolts(obj["bolts"]),
        torque=None if obj.get("torque") is None else torque_from_json(obj["torque"], "torque"),
        bracket=None if obj.get("bracket") is None else _bracket(obj["bracket"]),
        **pairs,
    )


def _vehicle(obj) -> dict:
    check_keys(obj, "vehicle", (), (*VEHICLE_CHOICES, *VEHICLE_LENGTHS_MM, "pairs_fitted"))
    vehicle: dict = {}
    for key, choices in VEHICLE_CHOICES.items():
        vehicle[key] = None if obj.get(key) is None else check_choice(obj[key], f"vehicle.{key}", choices)
    for key, limits in VEHICLE_LENGTHS_MM.items():
        vehicle[key] = _optional_number(obj, "vehicle", key, *limits)
    pairs = obj.get("pairs_fitted")
    vehicle["pairs_fitted"] = None if pairs is None else check_integer(pairs, "vehicle.pairs_fitted", 0, 9)
    return vehicle


def _optional_number(obj: dict, field: str, key: str, low: float, high: float) -> float | None:
    return None if obj.get(key) is None else check_number(obj[key], f"{field}.{key}", low, high)


def _bolts(obj) -> Bolts:
    optional = ("thread", "class", "engaged_mm", "turns", "blind_depth_mm", "metal")
    check_keys(obj, "bolts", ("at",), (*optional, "nut_height_mm", "clearance_mm"))
    thread = None if obj.get("thread") is None else Thread.from_json(obj["thread"], "bolts.thread")
    engaged_mm = _engaged_mm(obj, thread)
    depth_mm = _optional_number(obj, "bolts", "blind_depth_mm", 1, 200)
    if depth_mm is not None and engaged_mm is not None and depth_mm < engaged_mm:
        raise InputError("bolts.blind_depth_mm", f"at least the engagement of {engaged_mm:g} mm", f"{depth_mm:g}")
    bolts = Bolts(
        at=bolts_from_json(obj["at"], "bolts.at", 2),
        thread=thread,
        property_class=None if obj.get("class") is None else check_class(obj["class"], "bolts.class"),
        engaged_mm=engaged_mm,
        depth_mm=depth_mm,
        metal=None if obj.get("metal") is None else check_choice(obj["metal"], "bolts.metal", tuple(WANTED_DIAMETERS)),
        nut_height_mm=_optional_number(obj, "bolts", "nut_height_mm", 1, 50),
        clearance_mm=_clearance_mm(obj, thread),
    )
    _check_room(bolts)
    return bolts


def _engaged_mm(obj: dict, thread: Thread | None) -> float | None:
    """Return the engagement without rings, measured, or turns counted x pitch."""
    if obj.get("turns") is None:
        return _optional_number(obj, "bolts", "engaged_mm", 0.5, 200)
    if obj.get("engaged_mm") is not None:
        raise InputError("bolts.turns", "either turns or engaged_mm, not both", "both")
    if thread is None:
        raise InputError("bolts.thread", "the thread whose turns were counted", "nothing")
    return check_number(obj["turns"], "bolts.turns", 0.5, 100) * thread.pitch_mm


def _clearance_mm(obj: dict, thread: Thread | None) -> float | None:
    """Return the clearance's width: as given (wider than the bolt), else by thread, else None."""
    if obj.get("clearance_mm") is None:
        return None if thread is None else CLEARANCE_MM[thread.diameter_mm]
    return check_number(obj["clearance_mm"], "bolts.clearance_mm", thread.diameter_mm if thread else 1, 60)


def _check_room(bolts: Bolts) -> None:
    for k, (radius_mm, _) in enumerate(bolts.at):
        if bolts.clearance_mm is not None and radius_mm <= bolts.clearance_mm / 2:
            raise InputError(
                f"bolts.at[{k}][0]", f"over {bolts.clearance_mm / 2:g} mm, half the clearance", f"{radius_mm:g}"
            )


def _bracket(obj) -> Bracket:
    check_keys(obj, "bracket", ("lugs",), ("stock", "engaged_mm"))
    lugs = bolts_from_json(obj["lugs"], "bracket.lugs", 1)
    check_list(obj["lugs"], "bracket.lugs", 1, MOST_LUGS)
    stock = []
    for k, item in enumerate(check_list(obj.get("stock") or [], "bracket.stock", 0, MOST_STOCK)):
        where = f"bracket.stock[{k}]"
        check_keys(item, where, ("thickness_mm", "quantity"))
        thickness = check_number(item["thickness_mm"], f"{where}.thickness_mm", 0.05, 30)
        stock.append((thickness, check_integer(item["quantity"], f"{where}.quantity", 0, 10_000)))
    return Bracket(lugs, stock, _optional_number(obj, "bracket", "engaged_mm", 0.5, 200))
