"""Fitting aids of one wheel: the gate, what is seen at the wheel, bolts, cutting, spacers, tightening.

Every part that cannot be computed from what was given is null, and `gate.missing` says what to give. Must not choose
rings, and never offers a torque.
"""

import math

from calc.fit.engagement import common_length, engagement_at_bolt, wanted_mm
from calc.fit.fit_input import Bolts, FitRequest, fit_request_from_json
from calc.fit.gate import Gate, arch_report, check_gate, pilot_report, sensor_report, thickness_at
from calc.fit.gate_words import WORDS
from calc.fit.spacers import spacer_rows
from calc.fit.tightening import tightening_order, tightening_stages
from calc.fit.torque import torque_report
from calc.numbers.rounding import to_decimals
from calc.rings.bolt_pattern import SLACK_MM
from calc.rings.cutting import clearance_marks, cut_ring_serves, wrapped_mark
from calc.rings.placement import places_drawing, ring_drawing, stack_summary
from calc.rings.rings import Ring, thick_point_clock


def fit(obj: dict) -> dict:
    """Return the fitting aids of one wheel. Input: see fit_input; lengths in mm, clocks in degrees, effect in mdeg.

    Returns `gate` {may_go_in, refusals, warnings, missing} with codes and figures; `words`, plain English per code;
    `stack`, `pilot`, `sensor`, `arch`, `drawing`, `bolts` (per bolt stack, engagement and where its clearance lies),
    `longer`, `tightening`, `cut_rings`, `spacers`; each null where it cannot be known. Raises InputError.
    """
    request = fit_request_from_json(obj)
    gate = check_gate(request)
    placed = request.ring_set is not None and request.pair is not None
    bolts = _bolt_rows(request, gate) if placed and request.bolts else None
    longer = _longer(bolts, gate)
    spacers = _spacers(request, gate) if placed else None
    cut_rings = _cut_rings(request, gate) if placed and request.cut_pair else None
    return {
        "wheel": request.wheel,
        "gate": gate.to_json(),
        "words": {row["code"]: WORDS[row["code"]] for row in gate.refusals + gate.warnings},
        "stack": stack_summary(request.ring_set, request.pair) if placed else None,
        "pilot": pilot_report(request) if placed else None,
        "sensor": sensor_report(request) if placed else None,
        "arch": arch_report(request) if placed else None,
        "drawing": _drawing(request) if placed else None,
        "bolts": bolts,
        "longer": longer,
        "tightening": _tightening(request),
        "cut_rings": cut_rings,
        "spacers": spacers,
    }


def _drawing(request: FitRequest) -> dict:
    """Return all as seen from outboard; `front` is the hand on which the vehicle's front is."""
    inner_mark, outer_mark = request.pair
    return {
        "front": "left" if request.wheel == "left" else "right",
        "inner": ring_drawing(request.ring_set.inner, inner_mark, request.wheel),
        "outer": ring_drawing(request.ring_set.outer, outer_mark, request.wheel),
        "bolts": places_drawing(request.bolts.at if request.bolts else [], request.wheel),
        "lugs": places_drawing(request.bracket.lugs if request.bracket else [], request.wheel),
    }


def _bolt_rows(request: FitRequest, gate: Gate) -> list[dict]:
    """Return per bolt what engagement is left and where its clearance lies, each null where too little was given."""
    bolts = request.bolts
    want_mm = _wanted_mm(bolts, gate)
    if bolts.clearance_mm is None:
        gate.missing.append("bolts.clearance_mm")
    rows = []
    for number, (place, stack_mm) in enumerate(zip(bolts.at, thickness_at(request, bolts.at), strict=True), 1):
        known = want_mm is not None and bolts.engaged_mm is not None
        rows.append(
            {
                "number": number,
                "stack_mm": to_decimals(stack_mm, 2),
                "engagement": engagement_at_bolt(stack_mm, bolts.engaged_mm, want_mm, bolts.depth_mm)
                if known
                else None,
                "clearance": None if bolts.clearance_mm is None else _clearance(request, place),
            }
        )
    return rows


def _wanted_mm(bolts: Bolts, gate: Gate) -> float | None:
    """Return the wanted engagement; what it cannot be known without is noted as missing."""
    if bolts.engaged_mm is None:
        gate.missing.append("bolts.engaged_mm")
    if bolts.thread is None:
        gate.missing.append("bolts.thread")
        return None
    if bolts.nut_height_mm is None and bolts.metal is None:
        gate.missing.append("bolts.metal")
        return None
    return wanted_mm(bolts.thread, bolts.metal, bolts.nut_height_mm)


def _clearance(request: FitRequest, place: tuple[float, float]) -> dict:
    rings = (request.ring_set.inner, request.ring_set.outer)
    inner, outer = (
        clearance_marks(ring, mark, place, request.bolts.clearance_mm)
        for ring, mark in zip(rings, request.pair, strict=True)
    )
    return {"inner": inner, "outer": outer}


def _longer(bolts: list[dict] | None, gate: Gate) -> dict | None:
    """Return the extra length that suits every bolt; a refusal where none does."""
    if not bolts or bolts[0]["engagement"] is None:
        return None
    longer = common_length([row["engagement"] for row in bolts])
    if not longer["possible"]:
        gate.refuse("bolts-bottom", at_least_mm=longer["at_least_mm"], less_than_mm=longer["less_than_mm"])
    return longer


def _tightening(request: FitRequest) -> dict:
    """Return the order (bolt numbers), how the typed torque is judged, and the rounds to it; null what is not given."""
    bolts, torque = request.bolts, request.torque
    report = None
    if torque is not None:
        report = torque_report(torque, bolts.thread if bolts else None, bolts.property_class if bolts else None)
    return {
        "order": tightening_order(bolts.at) if bolts else None,
        "torque": report,
        "stages": tightening_stages(torque["value"], torque["unit"], torque["angle_deg"]) if torque else None,
    }


def _cut_rings(request: FitRequest, gate: Gate) -> dict | None:
    """Return per ring whether, cut for `cut_pair`, it serves for `pair`, and the mark that is then at the top."""
    if request.bolts is None:
        gate.missing.append("bolts")
        return None
    rings = (request.ring_set.inner, request.ring_set.outer)
    inner, outer = (_as_cut(request, *each) for each in zip(rings, request.cut_pair, request.pair, strict=True))
    return {"inner": inner, "outer": outer}


def _as_cut(request: FitRequest, ring: Ring, cut_mark: int, mark: int) -> dict:
    """Return `{"serves", "turned_over", "mark_at_top"}`; turned over, the mark at the top lies mirrored about the thick
    mark and may fall between two marks."""
    cut, wanted = (math.degrees(float(thick_point_clock(ring, top))) for top in (cut_mark, mark))
    found = cut_ring_serves(request.bolts.at, cut, wanted, _slack_mm(request.bolts))
    at_top = 2 * (ring.thick_mark % ring.marks) - mark if found["turned_over"] else mark
    return {**found, "mark_at_top": wrapped_mark(ring, at_top) if found["serves"] else None}


def _slack_mm(bolts: Bolts) -> float:
    """Return how far a bolt may stand from the middle of its clearance."""
    if bolts.thread is None or bolts.clearance_mm is None:
        return SLACK_MM
    return (bolts.clearance_mm - bolts.thread.diameter_mm) / 2


def _spacers(request: FitRequest, gate: Gate) -> list[dict] | None:
    """Return the spacers per lug; null unless the bracket stays on the axle, outboard of its ear."""
    bracket = request.bracket
    if request.vehicle["bracket"] != "outboard-of-ear" or request.vehicle["brake"] == "drum" or bracket is None:
        return None
    if not bracket.stock:
        gate.missing.append("bracket.stock")
    return spacer_rows(thickness_at(request, bracket.lugs), bracket.stock, bracket.engaged_mm)
