"""How far a wheel's result is from its aims: the distance that decides where the windows do not.

It is worked in doubles, in a stated order, for single results and, as lower bounds, for boxes of them.

Where nobody states an aim it is the middle of the window. A window that is open on one side has no middle: its aim is
the closed edge moved in by two standard deviations of what is known before any pair is: readings, seat and, for toe,
thrust. So what comes out as planned is not near the edge. Its half is how far the aim is from that edge.
"""

import math
from dataclasses import dataclass

import numpy as np

from calc.choose.choose_input import OPEN_MDEG, Request, Spread, Window, is_closed
from calc.numbers.quantities import WHEEL_ANGLES
from calc.numbers.sides import SIDES

LEAST_HALF_WINDOW_MDEG = 50
MOVED_IN_SDS = 2


@dataclass(frozen=True)
class Aim:
    """One angle's part of the distance: ((angle - aim) / half)^2; how far an edge was moved in for it, None where not.

    `source` is "stated", "window" or "total-toe".
    """

    aim: float
    half: float
    source: str
    moved_in: int | None = None


def aims_of(request: Request, side: str) -> tuple[Aim | None, Aim | None]:
    """Return (camber, toe) aims of a wheel; None where its window is null and so the angle has no term.

    Where both toe windows are null and total toe is given, each wheel aims at its half of what total toe aims at.
    """
    wheel, total, spread = request.wheels[side], request.axle.total_toe, request.spread
    camber_sd = math.sqrt(spread.camber_sd[side] ** 2 + spread.seat_sd**2)
    toe_sd = math.sqrt(spread.toe_sd[side] ** 2 + spread.seat_sd**2 + spread.thrust_sd**2)
    camber = _aim(wheel.camber_window, wheel.aim and wheel.aim[0], camber_sd)
    toe = _aim(wheel.toe_window, wheel.aim and wheel.aim[1], toe_sd)
    if total is not None and all(each.toe_window is None for each in request.wheels.values()):
        toe = _half_of_total(total, spread)
    return camber, toe


def aims_json(request: Request) -> dict:
    """Return side -> angle -> what is aimed at, as it is put out; null where an angle has no term."""
    return {
        side: dict(zip(WHEEL_ANGLES, (_aim_json(aim) for aim in aims_of(request, side)), strict=True)) for side in SIDES
    }


def _aim_json(aim: Aim | None) -> dict | None:
    if aim is None:
        return None
    whole = int(aim.aim) if aim.aim == int(aim.aim) else aim.aim
    return {"mdeg": whole, "from": aim.source, "moved_in": aim.moved_in}


def _aim(window: Window, stated: int | None, sd: float) -> Aim | None:
    if window is None:
        return None
    low, high = window
    if is_closed(window):
        half = max((high - low) / 2, LEAST_HALF_WINDOW_MDEG)
        return Aim((low + high) / 2 if stated is None else stated, half, "window" if stated is None else "stated")
    edge, inwards = (high, -1) if low == -OPEN_MDEG else (low, 1)
    moved_in = None if stated is not None else _moved_in(sd)
    aim = edge + inwards * moved_in if stated is None else stated
    return Aim(aim, max(abs(aim - edge), LEAST_HALF_WINDOW_MDEG), "window" if stated is None else "stated", moved_in)


def _half_of_total(total: Window, spread: Spread) -> Aim:
    # Thrust moves one toe as far out as the other in, so it does not enter their sum.
    sd = math.sqrt(spread.toe_sd["left"] ** 2 + spread.toe_sd["right"] ** 2 + 2 * spread.seat_sd**2)
    whole = _aim(total, None, sd)
    half = (total[1] - total[0]) / 4 if is_closed(total) else whole.moved_in / 2
    return Aim(whole.aim / 2, max(half, LEAST_HALF_WINDOW_MDEG), "total-toe", whole.moved_in)


def _moved_in(sd: float) -> int:
    return math.floor(MOVED_IN_SDS * sd + 0.5)


def distance_of(aims: tuple[Aim | None, Aim | None], camber_low, camber_high, toe_low, toe_high):
    """Return the least distance of one wheel's result from its aims over boxes; exact where low is high.

    Every rounding on the way keeps the order, so the bound of a box is never above the value of a point in it.
    """
    camber_aim, toe_aim = aims
    total = np.zeros(np.shape(toe_low))
    if toe_aim is not None:
        total = total + _square(toe_aim, toe_low, toe_high)
    if camber_aim is not None:
        total = total + _square(camber_aim, camber_low, camber_high)
    return total


def _square(aim: Aim, low, high):
    x = np.maximum(0.0, np.maximum(low - aim.aim, aim.aim - high)) / aim.half
    return x * x
