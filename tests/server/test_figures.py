"""Means of readings and what they make of the axle: the golden cases that the phone's readings and axle hold too."""

import json
import uuid

import pytest

from server.figures import Figures
from server.fold import fold
from tests.live_server import ROOT

CASES = json.loads((ROOT / "fixtures" / "golden" / "readings.json").read_text("utf-8"))["cases"]


def entry_of(slot, camber, toe):
    body = {name: None if mdeg is None else {"mdeg": mdeg} for name, mdeg in (("camber", camber), ("toe", toe))}
    return {"id": str(uuid.uuid4()), "kind": "reading-taken", "slot": slot, "after": [], "body": body}


@pytest.mark.parametrize("case", CASES)
def test_means_and_axle_are_those_of_the_phone(case):
    """Cause: the desk took any slot that began like a reading's, the phone only numbered ones."""
    means = Figures(fold([entry_of(*reading) for reading in case["readings"]])).means(case["prefix"])
    wheels = {side: {part: means[side, part] for part in ("camber", "toe")} for side in ("left", "right")}
    assert wheels == case["means"]
    axle = {name: means[name] for name in ("total_toe", "thrust", "cross_camber") if name in means}
    assert axle == (case["axle"] or {})
