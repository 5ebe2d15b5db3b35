"""The recorded entries of every released format stay as they are, are taken by the server and fit the schemas."""

import hashlib
import json
from pathlib import Path

import pytest

from server.records.entry_rules import judge
from server.records.fold import KINDS, fold
from tests.calc.schemas import wrongs

RECORDED = Path(__file__).resolve().parents[2] / "fixtures" / "entries"
SUMS = "SHA256SUMS"


@pytest.fixture(params=["v1"])
def folder(request):
    return RECORDED / request.param


def entries_of(folder: Path) -> list[dict]:
    return [json.loads(file.read_text("utf-8")) for file in sorted(folder.glob("*.json"))]


def test_no_recorded_entry_was_edited_added_or_taken_away(folder):
    listed = dict(reversed(line.split("  ")) for line in (folder / SUMS).read_text("utf-8").splitlines())
    found = {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in folder.glob("*.json")}
    assert found == listed


def test_every_kind_of_the_format_is_recorded(folder):
    assert {entry["kind"] for entry in entries_of(folder)} == set(KINDS)


def test_the_server_takes_every_recorded_entry(folder):
    for entry in entries_of(folder):
        assert judge(entry).verdict == "accepted", entry["slot"]


def test_every_recorded_entry_fits_the_schemas(folder):
    for entry in entries_of(folder):
        assert wrongs("entry", entry) == []
        assert wrongs(f"entry/{entry['kind']}", entry["body"]) == [], entry["slot"]


def test_the_recorded_job_folds_as_it_did_when_it_was_recorded(folder):
    folded = fold(entries_of(folder))
    assert (folded["state"], folded["conflicts"], folded["after_signing"], folded["unknown"]) == ("signed", [], [], [])
    assert len(folded["slots"]) == 18
    assert folded["slots"]["base.left.1"][0]["body"]["toe"]["mdeg"] == 421
