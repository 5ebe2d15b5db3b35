"""The golden cases of choosing are varied enough to bind a twin."""

import collections
import json

from fixtures.golden import make_choose

CHOOSE = json.loads(make_choose.PATH.read_text(encoding="utf-8"))


def test_choices_are_many_and_hit_every_part_of_the_rule():
    cases = CHOOSE["cases"]
    assert len(cases) >= 500
    advice = collections.Counter(code for case in cases for code in case["output"]["advice"])
    assert min(advice.values()) >= 10
    assert len(advice) == 7
    assert sum(case["output"]["other_way"] is not None for case in cases) >= 20
    assert {plan["needless"] for case in cases for plan in case["output"]["plans"]} == {0, 1, 2}
    assert min(collections.Counter(case["main_button"]["action"] for case in cases).values()) >= 50
    moved = [aim for case in cases for wheel in case["output"]["aims"].values() for aim in wheel.values() if aim]
    assert sum(aim["moved_in"] is not None for aim in moved) >= 50
    assert {aim["from"] for aim in moved} == {"stated", "window", "total-toe"}
    first = collections.Counter(case["output"]["plans"][0]["pairs"] for case in cases)
    assert min(first[0], first[1], first[2]) >= 30
    spread_keys = {key for case in cases for key in case["input"].get("spread", {})}
    assert len(spread_keys) == 6
    assert {len(case["input"]["ring_sets"]) for case in cases} >= {0, 1, 2, 3}
    assert any(plan["axle"]["thrust"] % 1 for case in cases for plan in case["output"]["plans"])
    assert any(plan["toe_steps"] > 0 < plan["camber_steps"] for case in cases for plan in case["output"]["plans"])


def test_an_order_by_steps_alone_would_not_do():
    """Some recommended plans stand first in spite of more needless wheels, or of another plan's fewer steps."""
    firsts = [case["output"]["plans"] for case in CHOOSE["cases"]]
    steps = [[(plan["toe_steps"], plan["camber_steps"]) for plan in plans] for plans in firsts]
    assert sum(min(each) < each[0] for each in steps) >= 3
    assert sum(min(plan["needless"] for plan in plans) < plans[0]["needless"] for plans in firsts) >= 5


def test_choices_among_untrusted_ring_sets_are_recorded():
    cases = [case for case in CHOOSE["cases"] if case["input"].get("untrusted")]
    assert sum(any("doubts" in plan for plan in case["output"]["plans"]) for case in cases) >= 5
    assert sum(not set(case["input"]["untrusted"]) <= set(case["input"].get("put_in", [])) for case in cases) >= 10
