"""Backups: under load, of everything acknowledged before, never half, never over anything, recorded only when sound."""

import os
import stat
import threading
import uuid

import pytest

from server.commands import backup as backup_module
from server.commands.backup import Trouble
from server.store import files
from tests.at_once import begun, ended, until
from tests.server.databases import on_both_databases
from tests.server.phones import Phone
from tests.server.stores import all_rows, backup_of, fill, rows_at

pytestmark = on_both_databases


def test_a_backup_holds_every_row_and_judges_itself_sound(app, phone, job, tmp_path):
    fill(phone, job)
    before = all_rows(app.extensions["database"])
    made = backup_of(app, tmp_path / "b")
    held = rows_at(tmp_path / "b")
    assert (made.entries, made.photos, made.size) == (3, 1, (tmp_path / "b").stat().st_size)
    assert files.flaws(tmp_path / "b") == []
    for name in before.keys() - {"backup", "device"}:
        assert held[name] == before[name], name
    for name in ("entry", "job", "device", "pairing", "pairing_device", "photo", "set_aside", "ring_set", "ring_table"):
        assert before[name], f"{name} has no row: that proves nothing"


def test_a_backup_under_load_holds_every_entry_acknowledged_before_it(app, tmp_path):
    phones, stop, acknowledged = [Phone(app) for _ in range(3)], threading.Event(), []

    def write(phone):
        while not stop.is_set():
            batch = [phone.entry(str(uuid.uuid4())) for _ in range(5)]
            phone.sync(batch)
            acknowledged.extend(entry["id"] for entry in batch)

    def slow_copy(_done, _total):
        last = copying_from["n"]  # the writers go on in the middle of the copy
        until(lambda: last + 30 <= len(acknowledged), "30 more entries acknowledged")
        copying_from["n"] = len(acknowledged)

    writing = [begun(write, phone) for phone in phones]
    try:
        until(lambda: len(acknowledged) >= 60, "60 entries acknowledged")
        before, copying_from = set(acknowledged), {"n": len(acknowledged)}
        made = backup_of(app, tmp_path / "b", slow_copy)
    finally:
        stop.set()
        ended(*writing)
    assert files.flaws(tmp_path / "b") == []
    held = rows_at(tmp_path / "b")["entry"]
    ids, seqs = {row[0] for row in held}, sorted(row[1] for row in held)
    assert before <= ids
    assert seqs == list(range(1, made.seq + 1)), "one state: no entry without all the earlier ones"
    assert len(acknowledged) > len(ids), "nothing was written meanwhile: this proves nothing"
    for phone in phones:
        through = phone.sync()["backed_up_through"]
        assert {row[4] for row in held if row[3] == phone.device} == set(range(1, through + 1))


def test_the_phone_is_told_what_the_newest_backup_holds(app, phone, job, tmp_path):
    phone.sync([phone.entry(job), phone.entry(job)])
    backup_of(app, tmp_path / "one")
    answer = phone.sync([phone.entry(job)])
    assert (answer["backed_up_through"], answer["high_water"]) == (2, 3)
    backup_of(app, tmp_path / "two")
    assert phone.sync()["backed_up_through"] == 3


def test_a_backup_that_is_cut_off_leaves_no_file_and_no_record(app, phone, job, tmp_path):
    def power_cut(_done, _total):
        raise KeyboardInterrupt

    phone.sync([phone.entry(job)])
    with pytest.raises(KeyboardInterrupt):
        backup_of(app, tmp_path / "b", power_cut)
    assert [path.name for path in tmp_path.iterdir() if path.name != "store"] == []
    assert phone.sync()["backed_up_through"] == 0


def test_what_a_killed_backup_left_is_no_obstacle(app, tmp_path):
    (tmp_path / "b.part").write_bytes(b"half of it")
    assert backup_of(app, tmp_path / "b").path.exists()
    assert not (tmp_path / "b.part").exists()


def test_a_copy_that_is_damaged_is_never_recorded(app, phone, job, tmp_path, monkeypatch):
    phone.sync([phone.entry(job)])
    monkeypatch.setattr(backup_module.files, "flaws", lambda _path: ["row 1 missing from index"])
    with pytest.raises(Trouble, match="row 1 missing"):
        backup_of(app, tmp_path / "b")
    assert not (tmp_path / "b").exists()
    assert phone.sync()["backed_up_through"] == 0


def test_a_backup_never_replaces_a_file_and_is_for_its_owner_alone(app, tmp_path):
    backup_of(app, tmp_path / "b")
    with pytest.raises(Trouble, match="is there already"):
        backup_of(app, tmp_path / "b")
    if os.name == "posix":
        assert stat.S_IMODE((tmp_path / "b").stat().st_mode) == 0o600


def test_a_place_that_cannot_be_written_is_said(app, tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(Trouble, match="cannot be written"):
        backup_of(app, tmp_path / "file" / "b")
