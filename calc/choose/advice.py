"""Advice codes: the right answer is often not a pair of rings. Codes only; the words are the screens'.

Where the rule leaves a choice: "within" and "at most" include the limit, "above", "below" and "more than" exclude it;
an angle whose window is null is neither outside nor near an edge. Camber readings are compared as they are where not
both wheels have a window with two edges, as then the maker does not say that they differ by design.
"""

from calc.choose.base_reading import EDGE_SDS, is_too_near, need, needs_of
from calc.choose.choose_input import Request, is_closed
from calc.numbers.sides import SIDES

TOE_APART_MDEG = 400
CAMBER_NEED_APART_MDEG = 500
CAMBER_APART_MDEG = 600
ALIKE_MDEG = 300
USUAL_CAMBER_MDEG = 2000
USUAL_TOE_MDEG = 1000


def advice_of(request: Request, plans: list[dict]) -> list[str]:
    """Return the codes that apply, always in this order; `plans` as `choose` puts them out."""
    rules = {
        **{f"reread-{side}": is_too_near(request, side) for side in SIDES},
        **damage_of(request),
        "out-of-reach": all(plan["toe_outside"] or plan["camber_outside"] for plan in plans),
    }
    return [code for code, applies in rules.items() if applies]


def damage_of(request: Request) -> dict[str, bool]:
    """Return code -> whether it applies, for the patterns of damage that the base readings alone show, in order."""
    needs = {side: needs_of(request.wheels[side]) for side in SIDES}
    is_skewed = _is_axle_skewed(request, needs)
    return {
        "skewed-axle": is_skewed,
        "one-wheel-off": _is_one_wheel_off(request, needs, is_skewed),
        "height-or-load": _is_height_or_load(request, needs),
        "beyond-usual": any(
            abs(camber) > USUAL_CAMBER_MDEG or abs(toe) > USUAL_TOE_MDEG for camber, toe in needs.values()
        ),
    }


def _is_axle_skewed(request: Request, needs) -> bool:
    left, right = request.wheels["left"], request.wheels["right"]
    (left_camber, left_toe), (right_camber, right_toe) = needs["left"], needs["right"]
    camber_sd = request.spread.camber_sd
    return (
        left_toe * right_toe < 0
        and need((left.toe - right.toe) / 2, request.axle.thrust) != 0
        and need(left.toe + right.toe, request.axle.total_toe) == 0
        and abs(left_camber) <= EDGE_SDS * camber_sd["left"]
        and abs(right_camber) <= EDGE_SDS * camber_sd["right"]
    )


def _is_one_wheel_off(request: Request, needs, is_skewed: bool) -> bool:
    (left_camber, left_toe), (right_camber, right_toe) = needs["left"], needs["right"]
    return (
        (abs(left_toe - right_toe) > TOE_APART_MDEG and not is_skewed)
        or abs(left_camber - right_camber) > CAMBER_NEED_APART_MDEG
        or abs(_camber_apart_twice(request)) > 2 * CAMBER_APART_MDEG
    )


def _camber_apart_twice(request: Request) -> int:
    """Return twice how far the cambers are apart, left less right, beyond what the windows' middles are."""
    left, right = request.wheels["left"], request.wheels["right"]
    apart = 2 * (left.camber - right.camber)
    if not (is_closed(left.camber_window) and is_closed(right.camber_window)):
        return apart
    return apart - (sum(left.camber_window) - sum(right.camber_window))


def _is_height_or_load(request: Request, needs) -> bool:
    left, right = needs["left"][0], needs["right"][0]
    above = min(abs(left), abs(right)) > request.band_camber
    return left * right > 0 and above and abs(left - right) < ALIKE_MDEG
