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
    first = collections.Counter(case["output"]["plans"][0]["pairs"] for case in cases)
    assert min(first[0], first[1], first[2]) >= 30
    spread_keys = {key for case in cases for key in case["input"].get("spread", {})}
    assert len(spread_keys) == 6
    assert {len(case["input"]["ring_sets"]) for case in cases} >= {0, 1, 2, 3}
    assert any(plan["axle"]["thrust"] % 1 for case in cases for plan in case["output"]["plans"])
    assert any(plan["toe_steps"] > 0 < plan["camber_steps"] for case in cases for plan in case["output"]["plans"])
