"""Means of readings and what they make of the axle: the golden cases that the phone's readings and axle hold too."""

import json
import uuid

import pytest

from server.records.fold import fold
from server.records.job_numbers import JobNumbers
from tests.live_server import ROOT

CASES = json.loads((ROOT / "fixtures" / "golden" / "readings.json").read_text("utf-8"))["cases"]


def entry_of(slot, camber, toe):
    body = {name: None if mdeg is None else {"mdeg": mdeg} for name, mdeg in (("camber", camber), ("toe", toe))}
    return written("reading-taken", slot, body)


def written(kind, slot, body):
    return {"id": str(uuid.uuid4()), "kind": kind, "slot": slot, "after": [], "body": body}


def entries_of(case):
    struck = [written("field-set", f"struck.{slot}", {"value": {"reason": "x"}}) for slot in case.get("struck", [])]
    return [entry_of(*reading) for reading in case["readings"]] + struck


def wheels_of(means):
    return {side: {part: means[side, part] for part in ("camber", "toe")} for side in ("left", "right")}


@pytest.mark.parametrize("case", CASES)
def test_means_and_axle_are_those_of_the_phone(case):
    """Cause: the desk took any slot that began like a reading's, the phone only numbered ones."""
    means = JobNumbers(fold(entries_of(case)), case.get("sds")).means(case["prefix"])
    assert wheels_of(means) == case["means"]
    axle = {name: means[name] for name in ("total_toe", "thrust", "cross_camber") if name in means}
    assert axle == (case["axle"] or {})


def test_taking_old_rings_out_is_no_round_of_fitting():
    slots = ["round.0.fit.chocked", "round.0.fit.left.pair-out", "round.1.plan", "round.2.check.left.1", "round.x.plan"]
    assert JobNumbers(fold([entry_of(slot, None, None) for slot in slots])).rounds == [1, 2]


@pytest.mark.parametrize("case", [case for case in CASES if "signed" in case])
def test_a_signed_job_reads_as_it_did(case):
    """Cause: two readings that contradict each other once had a mean, and jobs were signed on it."""
    entries = entries_of(case)
    signed = written("job-signed", None, {"covers": [entry["id"] for entry in entries]})
    signed["slot"] = signed["id"]
    folded = fold([*entries, signed])
    assert folded["state"] == "signed"
    assert wheels_of(JobNumbers(folded).means(case["prefix"])) == case["signed"]
