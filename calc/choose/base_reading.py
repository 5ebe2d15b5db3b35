"""How a base reading stands against its windows: what it needs, whether it is too near an edge, or safely inside.

Angles and standard deviations in mdeg. It gives no advice and judges no plan; advice.py and choose.py do.
"""

from calc.choose.choose_input import Request, Wheel, Window

EDGE_SDS = 2
SAFE_SDS = 1


def needs_of(wheel: Wheel) -> tuple[int, int]:
    """Return (camber, toe): the smallest signed move of the base reading into the wheel's own windows, 0 if inside."""
    return need(wheel.camber, wheel.camber_window), need(wheel.toe, wheel.toe_window)


def need(angle: float, window: Window) -> float:
    """Return the smallest signed move of an angle into a window; 0 inside and where there is no window."""
    if window is None:
        return 0
    return min(max(angle, window[0]), window[1]) - angle


def is_too_near(request: Request, side: str) -> bool:
    """Whether the base is within 2 SD of an edge of the wheel's own windows, on either side of it, and no angle is
    more than 2 SD outside: then another reading may say otherwise.
    """
    parts = _parts(request, side)
    if any(abs(need(angle, window)) > EDGE_SDS * sd for angle, window, sd in parts):
        return False
    return any(abs(angle - edge) <= EDGE_SDS * sd for angle, window, sd in parts for edge in window or ())


def is_safely_inside(request: Request, side: str) -> bool:
    """Whether both angles are inside the wheel's own windows by at least one SD: rings on it would be needless.

    An angle without a window of its own is safely inside, except where a window of the axle that it enters is broken.
    """
    parts = zip(_parts(request, side), (_breaks_camber(request), _breaks_toe(request)), strict=True)
    return all(
        not is_broken if window is None else min(angle - window[0], window[1] - angle) >= SAFE_SDS * sd
        for (angle, window, sd), is_broken in parts
    )


def _parts(request: Request, side: str):
    """Return (angle, own window, SD of the mean) of camber and of toe."""
    wheel, spread = request.wheels[side], request.spread
    return (
        (wheel.camber, wheel.camber_window, spread.camber_sd[side]),
        (wheel.toe, wheel.toe_window, spread.toe_sd[side]),
    )


def _breaks_camber(request: Request) -> bool:
    left, right = request.wheels["left"], request.wheels["right"]
    return need(left.camber - right.camber, request.axle.cross_camber) != 0


def _breaks_toe(request: Request) -> bool:
    left, right = request.wheels["left"], request.wheels["right"]
    thrust = need((left.toe - right.toe) / 2, request.axle.thrust)
    return thrust != 0 or need(left.toe + right.toe, request.axle.total_toe) != 0
