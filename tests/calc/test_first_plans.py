"""What stands first on random axles; `python -m tests.bench.bench_calc` prints the same for 2,000 in each setting."""

import pytest

from calc.choose.choose import choose
from tests.bench.first_plans import MOST_REREAD, SETTINGS, chosen, is_outdone, is_reread
from tests.bench.joint_choice import RINGS

COUNT = 150
FIRST, *OTHERS = SETTINGS


@pytest.mark.parametrize("setting", [FIRST, *(pytest.param(each, marks=pytest.mark.full) for each in OTHERS)])
def test_no_first_plan_is_outdone_and_reading_again_is_not_asked_of_most(setting):
    outputs = list(chosen(setting, COUNT))
    assert sum(map(is_outdone, outputs)) == 0
    assert 0 < sum(map(is_reread, outputs)) <= MOST_REREAD * COUNT


def test_a_needless_wheel_is_opened_where_leaving_it_costs_more_than_half_the_chance():
    """The right camber is inside its own window by an SD, and still all that keeps cross camber near its limit."""
    own = {"camber": [-1170, -280], "toe": [-110, 182], "aim": None}
    case = {
        "ring_sets": [RINGS],
        "wheels": {
            "left": {"camber": -1374, "toe": -237, "rings": "auto"},
            "right": {"camber": -333, "toe": 133, "rings": "auto"},
        },
        "windows": {"left": own, "right": own},
        "axle": {"total_toe": [-147, 291], "thrust": [-98, 98], "cross_camber": [-342, 342]},
    }
    both, left_only, *_ = choose(case)["plans"]
    assert (both["needless"], left_only["needless"]) == (1, 0)
    assert both["toe_steps"] == left_only["toe_steps"] == both["camber_steps"] == left_only["camber_steps"] == 0
    assert both["chance"] > 2 * left_only["chance"]
