"""How often the true cause is named, on mishaps simulated by a model of their own: a small tests/bench/bench_prove.

Seeds are fixed, so a change shows.
"""

from collections import Counter
from random import Random

import pytest

from calc.prove.prove import prove
from tests.bench.bench_prove import rates
from tests.calc.mishaps import CAMBER_SD, CAUSES, TOE_SD, Mishap

pytestmark = pytest.mark.full

EACH = 20
LEAST_NAMED = 0.93
MOST_CONFIDENTLY_WRONG = 0.02
MOST_NAMED_TOGETHER = 4.5  # on average; a list of everything would name the true cause too


@pytest.fixture(scope="module")
def found() -> dict:
    return {cause: rates(cause, EACH, seed) for seed, cause in enumerate(CAUSES, 100)}


def test_the_true_cause_is_named_first_or_together_with_the_first(found):
    named = Counter({cause: each["named"] for cause, each in found.items()})
    assert named.total() >= LEAST_NAMED * EACH * len(CAUSES)
    assert min(named.values()) >= 0.8 * EACH, named


def test_it_is_hardly_ever_confidently_wrong(found):
    wrong = {cause: each["confidently wrong"] for cause, each in found.items()}
    assert sum(wrong.values()) <= MOST_CONFIDENTLY_WRONG * EACH * len(CAUSES), wrong


def test_few_causes_are_named_together(found):
    assert sum(each["size"] for each in found.values()) <= MOST_NAMED_TOGETHER * EACH * len(CAUSES)


def test_fitted_as_planned_stands_above_all_that_lies_within_two_sds_of_it():
    """By readings alone, whose spread is the least that a change can have."""
    random, near = Random(7), 0
    for cause in CAUSES * 6:
        answer = prove(Mishap(random, cause).asked)
        codes = [each["code"] for each in answer["causes"]]
        for each in answer["causes"][: codes.index("as-planned")]:
            camber, toe = (a - b for a, b in zip(each["shown"], answer["planned"], strict=True))
            is_near = (camber / CAMBER_SD) ** 2 + (toe / TOE_SD) ** 2 <= 2 * 2.0**2
            assert not is_near, each
        near += "as-planned" in answer["groups"][0] and len(answer["groups"][0]) > 1
    assert near > 30  # it is no test of nothing
