"""The fold in Python: what counts as live, in conflict, signed; and the golden cases that bind it to the phone's."""

import itertools
import json
import random
import uuid

import pytest

from fixtures.golden import make_fold
from server.records.fold import fold
from tests.server.phones import an_entry

JOB = "00000000-0000-4000-8000-000000000000"


def entry(name, kind="field-set", slot="vehicle.odometer", body=None, after=()):
    return an_entry(kind, {"value": 1} if body is None else body, slot, id=name, job=JOB, device=JOB, after=list(after))


def ids(entries):
    return [each["id"] for each in entries]


def test_a_later_entry_supersedes_what_it_lists():
    folded = fold([entry("a"), entry("b", after=["a"], body={"value": 2})])
    assert ids(folded["slots"]["vehicle.odometer"]) == ["b"]
    assert folded["conflicts"] == []


def test_two_live_entries_that_differ_are_a_conflict_until_a_third_lists_both():
    first, second = entry("a", body={"value": 1}), entry("b", body={"value": 2})
    assert fold([first, second])["conflicts"] == ["vehicle.odometer"]
    settled = fold([first, second, entry("c", body={"value": 2}, after=["a", "b"])])
    assert settled["conflicts"] == []
    assert ids(settled["slots"]["vehicle.odometer"]) == ["c"]


@pytest.mark.parametrize(
    ("one", "other", "differ"),
    [
        ({"value": 1}, {"value": 1}, False),
        ({"value": {"a": 1, "b": 2}}, {"value": {"b": 2, "a": 1}}, False),
        ({"value": 2}, {"value": 2.0}, False),
        ({"value": 1}, {"value": True}, True),
        ({"value": 0}, {"value": False}, True),
        ({"value": None}, {}, True),
        ({"value": "1"}, {"value": 1}, True),
    ],
)
def test_values_differ_as_json_and_not_as_python(one, other, differ):
    assert (fold([entry("a", body=one), entry("b", body=other)])["conflicts"] != []) is differ


def test_the_same_body_of_another_kind_is_a_conflict():
    assert fold([entry("a", "step-done", body={}), entry("b", "step-undone", body={})])["conflicts"]


def test_after_counts_only_within_the_slot():
    folded = fold([entry("a"), entry("b", slot="vehicle.vin", after=["a"])])
    assert ids(folded["slots"]["vehicle.odometer"]) == ["a"]


def test_an_entry_cannot_supersede_itself_and_unknown_ids_do_nothing():
    assert ids(fold([entry("a", after=["a", "nobody"])])["slots"]["vehicle.odometer"]) == ["a"]


def test_an_unknown_kind_is_shown_as_such_and_may_supersede():
    folded = fold([entry("a"), entry("b", "wheel-balanced", after=["a"])])
    assert ids(folded["unknown"]) == ["b"]
    assert folded["slots"] == {}


def test_the_state_follows_signatures_and_stops_in_force():
    def own(name, kind, **body):
        return entry(name, kind, slot=name, body=body)

    opened, stop, sign = (
        own("a", "job-opened"),
        own("b", "job-stopped", reason="x"),
        own("c", "job-signed", covers=["a"]),
    )
    assert fold([opened])["state"] == "open"
    assert fold([opened, stop])["state"] == "stopped"
    assert fold([opened, stop, sign])["state"] == "signed"
    assert fold([opened, stop, sign, own("d", "job-reopened", reopens=["c"])])["state"] == "stopped"
    assert fold([opened, stop, sign, own("d", "job-reopened", reopens=["b", "c"])])["state"] == "open"
    assert fold([opened, stop, sign])["after_signing"] == ["b"]
    assert fold([opened, stop])["after_signing"] == []


def test_bodies_that_lack_their_lists_do_not_break_it():
    folded = fold([entry("a", "job-signed", "a", {}), entry("b", "job-reopened", "b", {"reopens": 5})])
    assert folded["state"] == "signed"


def test_no_order_and_no_repetition_changes_the_outcome():
    """Every order of a small history, and random orders of a large one."""
    small = [entry("a"), entry("b", body={"value": 2}), entry("c", after=["a", "b"])]
    small.append(entry("d", "job-signed", "d", {"covers": ["c"]}))
    outcomes = {json.dumps(fold([*order, small[0]]), sort_keys=True) for order in itertools.permutations(small)}
    assert len(outcomes) == 1
    rng = random.Random(7)
    large = []
    for _ in range(200):
        known = [each["id"] for each in large]
        after = rng.sample(known, min(len(known), rng.randrange(3)))
        name = str(uuid.UUID(int=rng.getrandbits(128), version=4))
        large.append(entry(name, slot=f"vehicle.{rng.randrange(5)}", body={"value": rng.randrange(3)}, after=after))
    expected = fold(large)
    for _ in range(20):
        rng.shuffle(large)
        assert fold(large + large[:50]) == expected


LISTS = ("photos", "notes", "signed", "stopped", "unknown")


def as_ids(folded):
    slots = {slot: ids(entries) for slot, entries in folded["slots"].items()}
    return folded | {"slots": slots} | {name: ids(folded[name]) for name in LISTS}


def test_the_golden_histories_fold_as_defined_in_any_order():
    """The phone's fold is held to the same file in tests/pwa/fold.test.js."""
    cases = json.loads(make_fold.PATH.read_text("utf-8"))["cases"]
    assert len(cases) >= 90
    rng = random.Random(11)
    for case in cases:
        for _ in range(4):
            mixed = rng.sample(case["entries"] * 2, 2 * len(case["entries"]))
            assert as_ids(fold(mixed)) == case["fold"], case["about"]


def test_the_golden_histories_are_what_the_generator_makes():
    assert make_fold.main(["--check"]) == 0
