"""Whether the recommended plan is one that a careful technician would begin with, on random axles. Invented data.

Four settings: what makers give, and how well was read. The axles are those of joint_choice.py: two wheels whose need
lies anywhere that the ring set reaches.
"""

import numpy as np

from calc.choose.choose import choose
from calc.numbers.sides import SIDES
from tests.bench.joint_choice import AXLES, random_axle

SEED = 14
MOST_REREAD = 0.5


def whole(case: dict) -> dict:
    return case


def wheels_alone(case: dict) -> dict:
    return {**case, "axle": dict.fromkeys(case["axle"])}


def total_toe(case: dict) -> dict:
    """No toe of a wheel by itself; total toe and thrust instead."""
    return {**case, "windows": {side: {**case["windows"][side], "toe": None} for side in SIDES}}


def read_four_times(case: dict) -> dict:
    return {**case, "spread": {name: dict.fromkeys(SIDES, sd) for name, sd in (("camber_sd", 25), ("toe_sd", 15))}}


SETTINGS = {
    "windows of wheels and axle": whole,
    "windows of the wheels alone": wheels_alone,
    "total toe and thrust instead of each toe": total_toe,
    "each wheel read four times": read_four_times,
}


def chosen(setting: str, count: int, seed: int = SEED):
    """Yield the outputs of `choose` on random axles of a setting."""
    random = np.random.default_rng(seed)
    for _ in range(count):
        yield choose(SETTINGS[setting](random_axle(random)))


def is_outdone(output: dict) -> bool:
    """Whether another plan of equal steps has more than twice the chance of the recommended one."""
    first, *others = output["plans"]
    equal = [plan for plan in others if all(plan[key] == first[key] for key in ("toe_steps", "camber_steps"))]
    return any(plan["chance"] > 2 * first["chance"] for plan in equal)


def is_reread(output: dict) -> bool:
    return any(code.startswith("reread-") for code in output["advice"])


def first_plan_rows():
    """Yield (setting, figures): how often the first plan is outdone, and how often reading again is asked for."""
    for setting in SETTINGS:
        outputs = list(chosen(setting, AXLES))
        outdone, reread = sum(map(is_outdone, outputs)), sum(map(is_reread, outputs))
        needless = sum(output["plans"][0]["needless"] > 0 for output in outputs)
        figures = f"outdone {outdone} (0), reread in {100 * reread / AXLES:.1f} % (at most {100 * MOST_REREAD:.0f})"
        yield setting, f"{figures}; a needless wheel in {needless} of {AXLES}"
