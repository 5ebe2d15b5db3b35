"""How far what fitted rings do may be off: one formula for the chance of a plan and for explaining a check reading.

Plain arithmetic in a stated order, so that the phone's twin agrees. Angles in mdeg as doubles.
"""

import math

from calc.rings.tilt import MDEG_PER_RAD, Placed


def fitting_covariance(
    effect: tuple[float, float],
    rings: tuple[Placed, Placed],
    clock_sd_deg: float,
    mark_sd_steps: float,
    seat_sd: float,
) -> tuple[float, float, float]:
    """Return the covariance (camber-camber, camber-toe, toe-toe), mdeg^2, of what fitting the rings adds to a reading.

    The terms of calc/README: Choosing: clock of the whole pair, across its `effect` (camber, toe); per ring lining up a
    mark, then taper; seat.
    """
    camber, toe = effect
    clock = math.radians(clock_sd_deg)
    cc, ct, tt = clock * clock * toe * toe, -clock * clock * camber * toe, clock * clock * camber * camber
    for ring in rings:
        cosine, sine = math.cos(ring.clock_rad), math.sin(ring.clock_rad)
        across = ring.taper_rad * MDEG_PER_RAD * mark_sd_steps * ring.step_rad
        across, along = across * across, ring.taper_sd_mdeg * ring.taper_sd_mdeg
        cc += across * sine * sine + along * cosine * cosine
        ct += (along - across) * sine * cosine
        tt += across * cosine * cosine + along * sine * sine
    seat = seat_sd * seat_sd
    return cc + seat, ct, tt + seat
