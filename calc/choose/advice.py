"""Advice codes: the right answer is often not a pair of rings. Codes only; the words are the screens'.

Where the rule leaves a choice: "within" and "at most" include the limit; an angle whose window is null is neither
outside nor near an edge; two needs differ by more than a limit if they do so in camber or in toe; "above" and "below"
exclude the limit.
"""

from calc.choose.choose_input import Request, Wheel
from calc.choose.outside import needs_of
from calc.numbers.sides import SIDES

EDGE_SDS = 2
ONE_WHEEL_MDEG = 800
ALIKE_MDEG = 300
USUAL_CAMBER_MDEG = 2000
USUAL_TOE_MDEG = 1000


def advice_of(request: Request, plans: list[dict]) -> list[str]:
    """Return the codes that apply, always in this order; `plans` as `choose` puts them out, recommended first."""
    needs = {side: needs_of(request.wheels[side]) for side in SIDES}
    rules = {
        "reread-left": _reread(request, needs, plans[0], "left"),
        "reread-right": _reread(request, needs, plans[0], "right"),
        **damage_of(request),
        "out-of-reach": all(plan["toe_outside"] or plan["camber_outside"] for plan in plans),
    }
    return [code for code, applies in rules.items() if applies]


def damage_of(request: Request) -> dict[str, bool]:
    """Return code -> whether it applies, for the patterns of damage that the base readings alone show, in order."""
    needs = {side: needs_of(request.wheels[side]) for side in SIDES}
    return {
        "skewed-axle": _skewed_axle(request, needs),
        "one-wheel-off": _one_wheel_off(needs),
        "height-or-load": _height_or_load(request, needs),
        "beyond-usual": any(
            abs(camber) > USUAL_CAMBER_MDEG or abs(toe) > USUAL_TOE_MDEG for camber, toe in needs.values()
        ),
    }


def _reread(request: Request, needs, recommended: dict, side: str) -> bool:
    """No rings, and the base within 2 SD of an edge; or rings for an excess that is below the band in both angles."""
    if recommended[side] is None:
        return _near_edge(request, request.wheels[side], side)
    camber, toe = needs[side]
    return (camber, toe) != (0, 0) and abs(camber) < request.band_camber and abs(toe) < request.band_toe


def _near_edge(request: Request, wheel: Wheel, side: str) -> bool:
    pairs = (
        (wheel.camber, wheel.camber_window, request.spread.camber_sd[side]),
        (wheel.toe, wheel.toe_window, request.spread.toe_sd[side]),
    )
    return any(abs(angle - edge) <= EDGE_SDS * sd for angle, window, sd in pairs for edge in window or ())


def _skewed_axle(request: Request, needs) -> bool:
    left, right = request.wheels["left"], request.wheels["right"]
    (left_camber, left_toe), (right_camber, right_toe) = needs["left"], needs["right"]
    thrust_outside = not _inside((left.toe - right.toe) / 2, request.axle.thrust)
    total_inside = _inside(left.toe + right.toe, request.axle.total_toe)
    no_camber = left_camber == right_camber == 0
    return left_toe * right_toe < 0 and thrust_outside and total_inside and no_camber


def _inside(angle: float, window) -> bool:
    return window is None or window[0] <= angle <= window[1]


def _one_wheel_off(needs) -> bool:
    return any(abs(left - right) > ONE_WHEEL_MDEG for left, right in zip(needs["left"], needs["right"], strict=True))


def _height_or_load(request: Request, needs) -> bool:
    left, right = needs["left"][0], needs["right"][0]
    above = min(abs(left), abs(right)) > request.band_camber
    return left * right > 0 and above and abs(left - right) < ALIKE_MDEG
