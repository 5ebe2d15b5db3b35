"""What choosing both wheels jointly is worth against a printed chart, on random axles. Invented data; no source.

An axle: windows of usual widths, the shared ones about the middle of the wheels' own, and two wheels whose need lies
anywhere that the ring set reaches. The chart: for each cell of camber and toe change the pair whose effect is nearest
the cell's middle; a technician looks up each wheel by itself, from its reading to the middle of its windows.
"""

import numpy as np

from calc.choose.choose import choose
from calc.numbers.sides import SIDES
from calc.rings.rings import RingSet
from calc.rings.table import effects_of
from fixtures.golden.choose_cases import ring, ring_set

AXLES = 2000
STEPS_MDEG = (100, 250)
RINGS = ring_set("fifty-four", ring(54, 550))
REACH_MDEG = 1100


def random_axle(random) -> dict:
    """Return a `choose` input; half windows: camber 250-750, toe 50-150, thrust 50-150, cross camber 250-500 mdeg."""
    half_camber, half_toe = int(random.integers(250, 751)), int(random.integers(50, 151))
    half_thrust, half_cross = int(random.integers(50, 151)), int(random.integers(250, 501))
    camber, toe = int(random.integers(-1500, -299)), int(random.integers(0, 201))
    own = {"camber": [camber - half_camber, camber + half_camber], "toe": [toe - half_toe, toe + half_toe], "aim": None}
    shared = {
        "total_toe": [2 * toe - 3 * half_toe // 2, 2 * toe + 3 * half_toe // 2],
        "thrust": [-half_thrust, half_thrust],
        "cross_camber": [-half_cross, half_cross],
    }
    wheels = {}
    for side in SIDES:
        size, turn = REACH_MDEG * np.sqrt(random.random()), random.uniform(0, 2 * np.pi)
        base = camber + round(size * np.cos(turn)), toe + round(size * np.sin(turn))
        wheels[side] = {"camber": base[0], "toe": base[1], "rings": "auto"}
    return {"ring_sets": [RINGS], "wheels": wheels, "windows": dict.fromkeys(SIDES, own), "axle": shared}


def by_chart(case: dict, step: int) -> dict[str, tuple[int, int]]:
    """Return (camber, toe) per side after each wheel got the pair of its own chart cell."""
    camber, toe = (effect.ravel() for effect in effects_of(RingSet.from_json(RINGS)))
    after = {}
    for side in SIDES:
        wheel, own = case["wheels"][side], case["windows"][side]
        cell = [step * round((sum(own[angle]) / 2 - wheel[angle]) / step) for angle in ("camber", "toe")]
        nearest = int(np.argmin((camber - cell[0]) ** 2 + (toe - cell[1]) ** 2)) if any(cell) else None
        change = (0, 0) if nearest is None else (int(camber[nearest]), int(toe[nearest]))
        after[side] = wheel["camber"] + change[0], wheel["toe"] + change[1]
    return after


def jointly(case: dict) -> dict[str, tuple[int, int]]:
    """Return (camber, toe) per side of the recommended plan."""
    predicted = choose(case)["plans"][0]["predicted"]
    return {side: tuple(predicted[side]) for side in SIDES}


def judged(case: dict, after: dict[str, tuple[int, int]]) -> tuple[bool, float, float]:
    """Return whether every window holds, and how far the worse wheel is from its middles: (camber, toe), mdeg."""
    (left_camber, left_toe), (right_camber, right_toe) = after["left"], after["right"]
    own, shared = case["windows"]["left"], case["axle"]
    angles = [
        (left_camber, own["camber"]),
        (right_camber, own["camber"]),
        (left_toe, own["toe"]),
        (right_toe, own["toe"]),
        (left_toe + right_toe, shared["total_toe"]),
        ((left_toe - right_toe) / 2, shared["thrust"]),
        (left_camber - right_camber, shared["cross_camber"]),
    ]
    inside = all(low <= angle <= high for angle, (low, high) in angles)
    camber_off, toe_off = (
        max(abs(after[side][place] - sum(own[angle]) / 2) for side in SIDES)
        for place, angle in enumerate(("camber", "toe"))
    )
    return inside, camber_off, toe_off


def worth_rows():
    """Yield (name, figures) for choosing jointly and for charts of each step."""
    random = np.random.default_rng(2026)
    cases = [random_axle(random) for _ in range(AXLES)]
    ways = {"choose, the recommended plan": jointly}
    for step in STEPS_MDEG:
        name = f"chart in steps of {step / 1000:g} degrees, each wheel by itself"
        ways[name] = lambda case, step=step: by_chart(case, step)
    for name, way in ways.items():
        inside, camber_off, toe_off = zip(*(judged(case, way(case)) for case in cases), strict=True)
        medians = f"median off the middle: toe {np.median(toe_off):.0f}, camber {np.median(camber_off):.0f} mdeg"
        yield name, f"{100 * np.mean(inside):.1f} % of {AXLES} inside all windows; {medians}"
