"""A store whose disk is full or cannot be written: 507 in words, nothing half kept, and the desk can still be read."""

import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import event
from sqlalchemy.exc import OperationalError

from server.store import not_writable
from server.web import health
from server.web.errors import problem_of
from tests.faults.small_disk import SmallDisk, can_mount
from tests.server.conftest import opener
from tests.server.phones import Phone, problem, sheet_text

needs_mount = pytest.mark.skipif(not can_mount(), reason="mounting a small disk takes root")
ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def disk(tmp_path):
    with SmallDisk(tmp_path / "disk") as disk:
        yield disk


@pytest.fixture
def phone_on(disk, fresh_store, clock):
    """A phone of a shop whose store lies on a disk of its own."""
    shutil.copytree(fresh_store, disk.folder / "store")
    made = opener(clock, {"STORE_FOLDER": disk.folder / "store", "DEMO_JOBS": False})
    yield Phone(next(made)())
    next(made, None)


@needs_mount
def test_on_a_full_disk_nothing_is_taken_half_and_it_is_said(disk, phone_on, job):
    kept = phone_on.entry(job, "field-set", {"value": "FULL 1"}, "vehicle.registration")
    phone_on.sync([kept])
    disk.fill()
    more = [phone_on.entry(job, body={"text": "x" * 5_000}) for _ in range(100)]
    answer = phone_on.post(more)
    assert (answer.status_code, problem(answer)) == (507, "store-full")
    assert "stays on it" in answer.text
    front = phone_on.client.get("/desk/").text
    assert "The disk of this server is full" in front
    assert "FULL 1" in sheet_text(phone_on, job), "what is there can be read"
    disk.make_room()
    assert {each["verdict"] for each in phone_on.sync(more)["results"]} == {"accepted"}
    assert "nearly full" not in phone_on.client.get("/desk/").text


def test_on_a_disk_that_the_system_has_shut_it_is_said(app, phone, job, monkeypatch):
    """SQLite's own refusal (query_only); a disk with a writer on it cannot be mounted anew in a test."""
    phone.sync([phone.entry(job)])
    token, engine = phone.token(), app.extensions["database"]._engine
    event.listen(engine, "connect", lambda connection, _: connection.execute("PRAGMA query_only = ON"))
    engine.dispose()
    monkeypatch.setattr(health, "look_at", lambda _: (not_writable.READ_ONLY, 10**9))
    body = {"device": phone.device, "since": None, "entries": [phone.entry(job)]}
    answer = phone.client.post("/api/entries", json=body, headers={"X-CSRFToken": token})
    assert (answer.status_code, problem(answer)) == (507, "store-read-only")
    assert "The store of this server cannot be written" in phone.client.get("/desk/").text


@needs_mount
@pytest.mark.parametrize("is_full", [True, False])
def test_a_start_on_such_a_disk_says_so_without_a_traceback(disk, fresh_store, is_full):
    shutil.copytree(fresh_store, disk.folder / "store")
    if is_full:
        disk.fill()
    else:
        disk.remount("ro")
    code = "import sys, server.commands.serve as s; s.keep_serving = lambda *_: 0; sys.exit(s.serve('127.0.0.1', 8077))"
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=120, check=False,
        env={"PATH": "", "TAPERMARK_STORE": str(disk.folder / "store")},
    )  # fmt: skip
    if not is_full:
        disk.remount("rw")
    assert ("is full" if is_full else "cannot be") in run.stderr
    assert "Traceback" not in run.stderr


def test_a_disk_that_will_soon_be_full_is_said(phone, monkeypatch):
    monkeypatch.setattr(not_writable.shutil, "disk_usage", lambda _: shutil._ntuple_diskusage(9, 8, 12_345_678))
    assert "nearly full: 12 MB are left" in phone.client.get("/desk/").text


@pytest.mark.parametrize(
    ("name", "code"),
    [("SQLITE_FULL", "store-full"), ("SQLITE_READONLY_DBMOVED", "store-read-only"), ("SQLITE_CORRUPT", "server-fault")],
)
def test_what_sqlite_says_is_told_apart(name, code):
    error = sqlite3.OperationalError("x")
    error.sqlite_errorname = name
    assert problem_of(OperationalError("x", {}, error)).code == code


@pytest.mark.parametrize(
    ("state", "code"), [("53100", "store-full"), ("25006", "store-read-only"), ("40001", "server-fault")]
)
def test_what_postgresql_says_is_told_apart(state, code):
    error = Exception("x")
    error.sqlstate = state
    assert problem_of(OperationalError("x", {}, error)).code == code
