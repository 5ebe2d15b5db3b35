"""Can rings go in here at all? A ladder of checks, each a refusal or a warning by stable code, asked before choosing.

Must not be clever: whatever was not given is named as missing, never guessed. Words for the codes: gate_words.
"""

import math

from calc.fit.fit_input import FitRequest
from calc.numbers.rounding import to_decimals
from calc.numbers.sides import RINGS
from calc.rings.placement import stack_at
from calc.rings.tilt import effect_mdeg, placed_pair

PILOT_DEPTH_MM = 2.0  # less left in its bore than this is a warning (common practice, no source)
# Solid ring that must be left outside a clearance, so that the rim stays whole (common practice, no source).
RIM_MM = 4.0
# How much smaller or wider than the flange a ring may be without a word (common practice, no source).
FLANGE_STEP_MM = 2.0


class Gate:
    """Refusals, warnings and missing fields, in the order in which they were found."""

    def __init__(self):
        self.refusals: list[dict] = []
        self.warnings: list[dict] = []
        self.missing: list[str] = []

    def refuse(self, code: str, **figures) -> None:
        self.refusals.append({"code": code, "figures": figures})

    def warn(self, code: str, **figures) -> None:
        self.warnings.append({"code": code, "figures": figures})

    def needs(self, holder: str, values: dict, *names: str) -> bool:
        """Return whether all named values are given; those that are not are noted as missing."""
        absent = [name for name in names if values[name] is None]
        self.missing += [f"{holder}.{name}" for name in absent]
        return not absent

    def to_json(self) -> dict:
        """Return the verdict: `may_go_in` false with a refusal, null while something is missing, else true."""
        verdict = False if self.refusals else (None if self.missing else True)
        return {"may_go_in": verdict, "refusals": self.refusals, "warnings": self.warnings, "missing": self.missing}


def check_gate(request: FitRequest) -> Gate:
    """Return the gate for a request; without ring set and pair only what needs neither is judged."""
    gate = Gate()
    _mounting(gate, request.vehicle)
    _place(gate, request.vehicle)
    if request.ring_set is None or request.pair is None:
        gate.missing += [name for name in ("ring_set", "pair") if getattr(request, name) is None]
        _bracket(gate, request)
        return gate
    for check in (_pilot, _sensor, _bracket, _arch, _flange, _rims):
        check(gate, request)
    return gate


def _mounting(gate: Gate, vehicle: dict) -> None:
    if not gate.needs("vehicle", vehicle, "mounting"):
        return
    if vehicle["mounting"] == "one-piece":
        gate.refuse("stub-one-piece")
    if vehicle["mounting"] == "driven" and gate.needs("vehicle", vehicle, "driven") and vehicle["driven"] == "not-both":
        gate.refuse("driven-not-allowed")


def _place(gate: Gate, vehicle: dict) -> None:
    if gate.needs("vehicle", vehicle, "ring_place"):
        if vehicle["ring_place"] == "hub-to-wheel":
            gate.refuse("hub-to-wheel")
        if vehicle["ring_place"] == "outboard-of-plate":
            gate.warn("plate-stays-behind")
    if gate.needs("vehicle", vehicle, "pairs_fitted") and vehicle["pairs_fitted"] > 0:
        gate.refuse("pair-already-fitted", pairs=vehicle["pairs_fitted"])


def _centre_mm(request: FitRequest) -> float:
    return request.ring_set.inner.centre_thickness_mm + request.ring_set.outer.centre_thickness_mm


def total_tilt_rad(request: FitRequest) -> float:
    """Return the angle between flange and hub face."""
    camber, toe = (math.radians(angle / 1000) for angle in effect_mdeg(placed_pair(request.ring_set, request.pair)))
    return math.atan(math.hypot(math.tan(camber), math.tan(toe)))


def pilot_report(request: FitRequest) -> dict | None:
    """Return `{"depth_left_mm", "room_needed_mm", "room_mm", "bore_needed_mm"}`, or None where the pilot is not known.

    Left in the flange bore is the pilot's length less the stack at the centre. Tilted by T it needs, across the bore,
    depth x tan T and diameter x (1 / cos T - 1) more than its diameter. In the rings' bore it needs at most the stack x
    tan T more (an upper bound: the outer ring tilts with it).
    """
    vehicle = request.vehicle
    diameter_mm, length_mm = vehicle["pilot_diameter_mm"], vehicle["pilot_length_mm"]
    if vehicle["pilot"] != "pilot" or diameter_mm is None or length_mm is None:
        return None
    tilt_rad, stack_mm = total_tilt_rad(request), _centre_mm(request)
    depth_mm = length_mm - stack_mm
    needed_mm = max(depth_mm, 0.0) * math.tan(tilt_rad) + diameter_mm * (1 / math.cos(tilt_rad) - 1)
    bore_mm = vehicle["flange_bore_mm"]
    return {
        "depth_left_mm": to_decimals(depth_mm, 2),
        "room_needed_mm": to_decimals(needed_mm, 3),
        "room_mm": None if bore_mm is None else to_decimals(bore_mm - diameter_mm, 3),
        "bore_needed_mm": to_decimals(diameter_mm + stack_mm * math.tan(tilt_rad), 2),
    }


def _pilot(gate: Gate, request: FitRequest) -> None:
    vehicle = request.vehicle
    names = ("pilot_diameter_mm", "pilot_length_mm", "flange_bore_mm")
    if not gate.needs("vehicle", vehicle, "pilot") or vehicle["pilot"] == "no-pilot":
        return
    gate.needs("vehicle", vehicle, *names)
    report = pilot_report(request)
    if report is None:
        return
    depth, room = report["depth_left_mm"], report["room_mm"]
    if depth <= 0:
        gate.refuse("pilot-lifts-out", depth_left_mm=depth)
    elif depth < PILOT_DEPTH_MM:
        gate.warn("pilot-shallow", depth_left_mm=depth)
    if depth > 0 and room is not None and room < report["room_needed_mm"]:
        gate.refuse("pilot-binds", room_mm=room, room_needed_mm=report["room_needed_mm"])
    bore = min(request.ring_set.inner.bore_diameter_mm, request.ring_set.outer.bore_diameter_mm)
    if bore < report["bore_needed_mm"]:
        gate.refuse("ring-bore-too-small", bore_mm=bore, bore_needed_mm=report["bore_needed_mm"])


def sensor_report(request: FitRequest) -> dict | None:
    """Return `{"grows_mm", "gap_mm"}`: a sensor that stays on the axle is left behind by the stack at the centre."""
    if request.vehicle["sensor"] is None:
        return None
    grows_mm = _centre_mm(request) if request.vehicle["sensor"] == "on-axle" else 0.0
    gap_mm = request.vehicle["sensor_gap_mm"]
    return {
        "grows_mm": to_decimals(grows_mm, 2),
        "gap_mm": None if gap_mm is None else to_decimals(gap_mm + grows_mm, 2),
    }


def _sensor(gate: Gate, request: FitRequest) -> None:
    vehicle = request.vehicle
    if not gate.needs("vehicle", vehicle, "sensor") or vehicle["sensor"] != "on-axle":
        return
    report, most_mm = sensor_report(request), vehicle["sensor_gap_most_mm"]
    gate.needs("vehicle", vehicle, "sensor_gap_mm")
    if most_mm is None or report["gap_mm"] is None:
        gate.warn("sensor-gap-unknown", grows_mm=report["grows_mm"])
    elif report["gap_mm"] > most_mm:
        gate.refuse("sensor-gap-too-wide", gap_mm=report["gap_mm"], most_mm=most_mm)
    else:
        gate.warn("sensor-gap", grows_mm=report["grows_mm"], gap_mm=report["gap_mm"])


def _bracket(gate: Gate, request: FitRequest) -> None:
    vehicle = request.vehicle
    if not gate.needs("vehicle", vehicle, "brake") or vehicle["brake"] == "drum":
        return
    if not gate.needs("vehicle", vehicle, "bracket"):
        return
    if vehicle["bracket"] == "inboard-of-ear":
        gate.refuse("bracket-inboard")
    elif vehicle["bracket"] == "outboard-of-ear":
        gate.warn("bracket-spacers")
        if request.bracket is None:
            gate.missing.append("bracket")


def arch_report(request: FitRequest) -> dict | None:
    """Return `{"moves_out_mm", "left_mm"}` of the tyre's top: stack + tyre radius x tan(camber change)."""
    vehicle = request.vehicle
    if vehicle["tyre_radius_mm"] is None:
        return None
    camber_mdeg = effect_mdeg(placed_pair(request.ring_set, request.pair))[0]
    moves_mm = _centre_mm(request) + vehicle["tyre_radius_mm"] * math.tan(math.radians(camber_mdeg / 1000))
    gap_mm = vehicle["arch_gap_mm"]
    return {
        "moves_out_mm": to_decimals(moves_mm, 1),
        "left_mm": None if gap_mm is None else to_decimals(gap_mm - moves_mm, 1),
    }


def _arch(gate: Gate, request: FitRequest) -> None:
    if gate.needs("vehicle", request.vehicle, "tyre_radius_mm", "arch_gap_mm"):
        report = arch_report(request)
        if report["left_mm"] <= 0:
            gate.refuse("arch-too-close", **report)


def _flange(gate: Gate, request: FitRequest) -> None:
    if gate.needs("vehicle", request.vehicle, "flange_diameter_mm"):
        for name in RINGS:
            ring = getattr(request.ring_set, name)
            beyond_mm = to_decimals(ring.outer_diameter_mm - request.vehicle["flange_diameter_mm"], 2)
            if beyond_mm > FLANGE_STEP_MM:
                gate.warn("ring-beyond-flange", ring=name, wider_by_mm=beyond_mm)
            elif beyond_mm < -FLANGE_STEP_MM:
                gate.warn("ring-inside-flange", ring=name, narrower_by_mm=-beyond_mm)


def _rims(gate: Gate, request: FitRequest) -> None:
    bolts = request.bolts
    if bolts is None or bolts.clearance_mm is None:
        return
    reach_mm = max(radius for radius, _ in bolts.at) + bolts.clearance_mm / 2
    for name in RINGS:
        rim_mm = to_decimals(getattr(request.ring_set, name).outer_diameter_mm / 2 - reach_mm, 2)
        if rim_mm < RIM_MM:
            gate.refuse("bolt-outside-ring", ring=name, rim_mm=rim_mm, rim_wanted_mm=RIM_MM)


def thickness_at(request: FitRequest, places: list[tuple[float, float]]) -> list[float]:
    """Return the stack in mm at each place (radius_mm, clock_deg)."""
    return [stack_at(request.ring_set, request.pair, radius, clock) for radius, clock in places]
