"""Prove a fitting: size and turn of the change, what may lie behind it, and where to go from here.

Says what to look at and never more than the numbers carry. Must not choose: the second pass is choose's.
"""

import math

from calc.choose.choose import choose
from calc.choose.choose_input import CHOOSE_KEYS, CHOOSE_KEYS_OPTIONAL
from calc.numbers.checks import check_keys
from calc.numbers.constants import READING_LIMIT_MDEG
from calc.numbers.errors import InputError
from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.rounding import to_decimals
from calc.numbers.sides import RINGS, SIDES
from calc.numbers.units import round_half_away
from calc.prove.causes import AS_PLANNED, BETWEEN_FACES, THIN_DIRT, candidates, smaller_diameter_mm
from calc.prove.explain import Explained, explain, likelihood, named, together
from calc.prove.prove_input import wheel_facts_from_json
from calc.prove.wheel_facts import WheelFacts
from calc.rings.bolt_pattern import SLACK_MM
from calc.rings.cutting import cut_ring_serves
from calc.rings.rings import RingSet
from calc.rings.tilt import effect_mdeg, placed_pair

SDS_TO_SPEAK = 3.0  # a planned change, or a miss, below this many SD has no size or direction to speak of

# Causes that no number can name, to be looked at whenever the reading is not what was planned.
LOOK_AT = (
    "pilot-binding",
    "uneven-tightening",
    "compensation-skipped",
    "load-or-height-changed",
    "bearing-play",
    "worn-bush",
)


def prove(obj: dict) -> dict:
    """Return what a check reading says of a fitting. Input: see prove_input; angles in whole mdeg at every edge.

    Returns `planned`, `observed`, `missed` (observed - planned), each [camber, toe]; `size` and `turn_deg` (towards the
    rear positive) with their SDs, null where the planned change is below 3 SD; `noise_sd` of one angle of the change;
    `causes` likeliest first (see _cause_json), each with its `likelihood` in a word (see explain); `groups` of codes
    that the numbers cannot tell apart; `explained`, false where nothing but something between the faces is left;
    `between_faces` (see between_faces); `look_at`, codes of what no number can name; `second_pass`, the output of
    choose from the likeliest cause's base, or null; `cut_rings`, per ring whether it can serve for the second pass as
    it is cut, or null.
    Raises InputError naming the field.
    """
    wheel, facts, spread = wheel_facts_from_json(obj)
    planned = effect_mdeg(placed_pair(facts.ring_set, facts.pair))
    observed = (facts.check.camber - facts.base.camber, facts.check.toe - facts.base.toe)
    noise_sd = change_noise_sd(spread.camber_sd, spread.toe_sd, spread.seat_sd)
    explained = explain(facts, candidates(facts), spread)
    groups = together(explained)
    causes = [
        {**_cause_json(row, facts, planned, observed), "likelihood": likelihood(row, groups[0])} for row in explained
    ]
    missed = (observed[0] - planned[0], observed[1] - planned[1])
    second_pass = _second_pass(obj.get("choose"), wheel, causes[0]["second_pass_base"])
    return {
        "planned": _whole(planned),
        "observed": _whole(observed),
        "missed": _whole(missed),
        "noise_sd": round_half_away(noise_sd),
        **_size_and_turn(planned, observed, noise_sd),
        "causes": causes,
        "groups": groups,
        "explained": any(row.code != BETWEEN_FACES for row in named(explained)),
        "between_faces": between_faces(facts.ring_set, missed, noise_sd),
        "look_at": [] if AS_PLANNED in groups[0] else list(LOOK_AT),
        "second_pass": second_pass,
        "cut_rings": _cut_rings(facts, wheel, explained[0], second_pass),
    }


def _whole(pair: tuple[float, float]) -> list[int]:
    return [round_half_away(pair[0]), round_half_away(pair[1])]


def change_noise_sd(camber_sd: float, toe_sd: float, seat_sd: float) -> float:
    """Return the SD of one angle of check - base: two readings and the seat, camber and toe taken together."""
    return math.sqrt(sum(sd * sd for sd in (camber_sd, toe_sd, seat_sd)))


def _size_and_turn(planned, observed, noise_sd: float) -> dict:
    """Return size, turn_deg and their SDs (first order); all null where the planned change is below 3 SD."""
    length = math.hypot(*planned)
    if length < SDS_TO_SPEAK * noise_sd:
        return {"size": None, "size_sd": None, "turn_deg": None, "turn_sd_deg": None}
    turn = math.degrees(math.atan2(observed[1], observed[0]) - math.atan2(planned[1], planned[0]))
    seen = math.hypot(*observed)
    has_direction = seen >= SDS_TO_SPEAK * noise_sd
    return {
        "size": to_decimals(seen / length, 3),
        "size_sd": to_decimals(noise_sd / length, 3),
        "turn_deg": to_decimals(180 - (180 - turn) % 360, 1) if has_direction else None,
        "turn_sd_deg": to_decimals(math.degrees(noise_sd / seen), 1) if has_direction else None,
    }


def _cause_json(row: Explained, facts: WheelFacts, planned, observed) -> dict:
    """Return one cause.

    `shown`: the change that it would have shown. `distance` (chi-square) and `explains` (chance of one as large), null
    for between-faces. `share` of all causes. `fitted`: the effect of what is really fitted. `second_pass_base`: check -
    fitted, an estimate. `after_refit`: the reading to expect after refitting as planned. Where something lies between
    the faces, thin or not, it has to come out first, so there is no second pass from it.
    """
    found = row.candidate
    if found is None:
        shown, fitted, second, base = observed, None, None, (facts.base.camber, facts.base.toe)
        detail, distance, explains = {}, None, None
    else:
        shown, base, detail = found.shown, found.base, found.detail
        fitted = (0.0, 0.0) if found.rings is None else effect_mdeg(found.rings)
        second = _whole((found.check[0] - fitted[0], found.check[1] - fitted[1])) if row.code != THIN_DIRT else None
        distance, explains = to_decimals(row.distance, 2), to_decimals(row.explains, 4)
    return {
        "code": row.code,
        "detail": detail,
        "shown": _whole(shown),
        "distance": distance,
        "explains": explains,
        "share": to_decimals(row.share, 4),
        "fitted": None if fitted is None else _whole(fitted),
        "second_pass_base": second,
        "after_refit": _whole((base[0] + planned[0], base[1] + planned[1])),
    }


def between_faces(ring_set: RingSet, missed: tuple[float, float], noise_sd: float) -> dict | None:
    """Return what between the faces would tilt the hub by the miss; None where the miss is below 3 SD.

    `tilt` in mdeg; `clock_deg` of its thick side (0 top, 90 rear), whole degrees; its thickness at the rim of the
    smaller ring, diameter D: `far_edge_mm` = D tan(tilt) where the hub hinges on the opposite edge, `centre_mm` =
    D/2 tan(tilt) where it hinges at the centre.
    """
    tilt_mdeg = math.hypot(*missed)
    if tilt_mdeg < SDS_TO_SPEAK * noise_sd:
        return None
    diameter_mm = smaller_diameter_mm(ring_set)
    far_edge_mm = diameter_mm * math.tan(math.radians(tilt_mdeg / 1000))
    return {
        "tilt": round_half_away(tilt_mdeg),
        "clock_deg": round_half_away(math.degrees(math.atan2(missed[1], missed[0]))) % 360,
        "diameter_mm": diameter_mm,
        "far_edge_mm": to_decimals(far_edge_mm, 2),
        "centre_mm": to_decimals(far_edge_mm / 2, 2),
    }


def _second_pass(choose_input, wheel: str, base: list[int] | None) -> dict | None:
    """Return the output of choose with this wheel's base replaced by the estimate, None where that is no reading."""
    if choose_input is None or base is None or max(map(abs, base)) > READING_LIMIT_MDEG:
        return None
    check_keys(choose_input, "choose", CHOOSE_KEYS, CHOOSE_KEYS_OPTIONAL)
    check_keys(choose_input["wheels"], "choose.wheels", SIDES)
    own = check_keys(choose_input["wheels"][wheel], f"choose.wheels.{wheel}", (*WHEEL_ANGLES, "rings"))
    wheels = {**choose_input["wheels"], wheel: {**own, "camber": base[0], "toe": base[1]}}
    try:
        return choose({**choose_input, "wheels": wheels})
    except InputError as error:
        raise InputError(f"choose.{error.field}", error.expected, error.got) from None


def _cut_rings(facts: WheelFacts, wheel: str, likeliest: Explained, second_pass: dict | None) -> dict | None:
    """Return per ring whether it serves for the second pass's first plan; null without bolts or with other rings.

    The slots are taken to be where the likeliest cause has the rings now; where it has none, where they were planned.
    """
    fitted = second_pass["plans"][0][wheel] if second_pass and second_pass["plans"] else None
    if fitted is None or fitted["ring_set"] != facts.ring_set.id or not facts.bolts:
        return None
    rings_now = likeliest.candidate.rings if likeliest.candidate else None
    now = rings_now or placed_pair(facts.ring_set, facts.pair)
    wanted = placed_pair(facts.ring_set, tuple(fitted["pair"]))
    clocks = zip(RINGS, now, wanted, strict=True)
    return {
        name: cut_ring_serves(list(facts.bolts), math.degrees(at.clock_rad), math.degrees(to.clock_rad), SLACK_MM)
        for name, at, to in clocks
    }
