"""A disk that runs full under the real application, with the browser's promise to keep its storage and without.

Twenty runs each way, and a disk that keeps filling: tests/bench/bench_full_disk.py, with the table of what it found.
"""

import pytest

from tests.conftest import IN_CI
from tests.faults.full_disk import FullDisk
from tests.faults.small_disk import can_mount
from tests.live_server import LiveServer

pytestmark = pytest.mark.full


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    if not can_mount():
        say = pytest.fail if IN_CI else pytest.skip
        say("no disk of its own can be mounted here: run the tests as root on Linux, with CAP_SYS_ADMIN")
    with LiveServer(tmp_path_factory.mktemp("shop")) as server:
        yield server


@pytest.fixture
def full_disk(chromium, launch_options, tmp_path, server):
    return lambda seed: FullDisk(chromium, launch_options, tmp_path / f"disk-{seed}", server, seed)


@pytest.mark.parametrize("seed", [1, 2])
def test_a_kept_phone_loses_nothing_on_a_full_disk(full_disk, seed):
    run = full_disk(seed).run(kept=True, way="full")
    assert (run.lost_notes, run.lost_photos, run.lies, run.is_told) == (0, 0, [], False)
    for look in run.looks:
        assert run.is_whole(look), look
        assert look.files == run.files, look
    for when in ("full", "restarted, still full"):
        assert "this phone is full" in run.look(when).words
    assert "Ready without network" in run.look("restarted, with room").words


@pytest.mark.parametrize("kept", [True, False], ids=["kept", "not kept"])
def test_room_that_is_made_while_it_runs_costs_nothing(full_disk, kept):
    """Without a new log the database is gone at the next start, kept or not."""
    run = full_disk(3).run(kept=kept, way="freed")
    assert run.lies == [], run.looks
    if kept or not run.is_told:  # the browser may clear all of a page that is not kept; then it says so
        assert (run.lost_notes, run.lost_photos) == (0, 0)


@pytest.mark.parametrize("seed", [1, 2])
def test_a_phone_that_is_not_kept_says_what_is_gone(full_disk, seed):
    run = full_disk(seed).run(kept=False, way="full")
    assert run.lies == [], run.looks
    assert "Ready without network" not in "".join(look.words or "" for look in run.looks)
    assert run.is_told or (run.lost_notes, run.lost_photos) == (0, 0)
