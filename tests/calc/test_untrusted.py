"""Ring sets that their measuring could not vouch for: chosen from only where a person put them in, and said."""

import pytest

from calc.choose.choose import choose
from calc.numbers.errors import InputError
from fixtures.golden.choose_cases import RING_SETS, Cases

SETS = {obj["id"]: obj for obj in RING_SETS}


def with_sets(case: dict) -> dict:
    return {**case, "ring_sets": [SETS[name] for name in case["ring_sets"]]}


def untrusted_cases() -> list[dict]:
    maker = Cases()
    return [with_sets(case) for case in (maker.untrusted() for _ in range(40))]


def without_doubts(output: dict) -> dict:
    """Return an output as it would be where nobody doubted anything."""
    bare = [{key: part for key, part in plan.items() if key != "doubts"} for plan in output["plans"]]
    other = output["other_way"] and {key: part for key, part in output["other_way"].items() if key != "doubts"}
    return {**output, "plans": bare, "other_way": other}


def test_an_untrusted_ring_set_is_chosen_from_only_where_a_person_put_it_in():
    """The choice is the one among the other sets, and each plan with a doubted set says its doubts, no other does."""
    seen = set()
    for case in untrusted_cases():
        kept_back = set(case["untrusted"]) - set(case.get("put_in", []))
        others = [each for each in case["ring_sets"] if each["id"] not in kept_back]
        plain = {key: part for key, part in case.items() if key not in ("untrusted", "put_in")}
        output = choose(case)
        assert without_doubts(output) == choose({**plain, "ring_sets": others})
        for plan in [*output["plans"], *filter(None, [output["other_way"]])]:
            used = {plan[side]["ring_set"] for side in ("left", "right") if plan[side]}
            assert not used & kept_back
            doubted = {name: codes for name, codes in case["untrusted"].items() if name in used}
            assert plan.get("doubts", {}) == doubted
            assert ("doubts" in plan) == bool(doubted)
            seen.add((bool(kept_back), bool(doubted)))
    assert seen == {(False, False), (True, False), (False, True), (True, True)}


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"untrusted": {"nowhere": ["wide-gap"]}}, "untrusted.nowhere"),
        ({"untrusted": {"six": []}}, "untrusted.six"),
        ({"untrusted": {"six": [7]}}, r"untrusted\.six\[0\]"),
        ({"untrusted": ["six"]}, "untrusted"),
        ({"put_in": ["nowhere"]}, r"put_in\[0\]"),
        ({"put_in": ["six", "six"]}, r"put_in\[1\]"),
        ({"put_in": "six"}, "put_in"),
    ],
)
def test_doubts_that_cannot_be_meant_are_refused(change, field):
    with pytest.raises(InputError, match=f"^{field}: expected"):
        choose(with_sets({**Cases().plain(["six"]), **change}))


def test_rings_cannot_be_asked_for_where_every_set_is_untrusted():
    case = with_sets({**Cases().plain(["six"]), "untrusted": {"six": ["wide-gap"]}})
    assert [plan["pairs"] for plan in choose(case)["plans"]] == [0]
    case["wheels"]["left"]["rings"] = "yes"
    with pytest.raises(InputError, match="no ring set offers an index pair"):
        choose(case)
