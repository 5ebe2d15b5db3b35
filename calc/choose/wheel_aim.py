"""How far a wheel's result is from its aims: the distance that decides where the windows do not.

It is worked in doubles, in a stated order, for single results and, as lower bounds, for boxes of them.
"""

from dataclasses import dataclass

import numpy as np

from calc.choose.choose_input import Request, Window

LEAST_HALF_WINDOW_MDEG = 50


@dataclass(frozen=True)
class Aim:
    """One angle's part of the distance: ((angle - aim) / half)^2."""

    aim: float
    half: float


def aims_of(request: Request, side: str) -> tuple[Aim | None, Aim | None]:
    """Return (camber, toe) aims of a wheel; None where its window is null and so the angle has no term.

    Where both toe windows are null and total toe is given, each wheel aims at its half of the middle.
    """
    wheel, total = request.wheels[side], request.axle.total_toe
    camber = _aim(wheel.camber_window, wheel.aim and wheel.aim[0])
    toe = _aim(wheel.toe_window, wheel.aim and wheel.aim[1])
    if total is not None and all(each.toe_window is None for each in request.wheels.values()):
        toe = Aim((total[0] + total[1]) / 4, max((total[1] - total[0]) / 4, LEAST_HALF_WINDOW_MDEG))
    return camber, toe


def _aim(window: Window, aim: int | None) -> Aim | None:
    if window is None:
        return None
    low, high = window
    return Aim((low + high) / 2 if aim is None else aim, max((high - low) / 2, LEAST_HALF_WINDOW_MDEG))


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
