"""Random histories of phones and server: nothing that was shown as saved is ever lost or doubled.

`python -m tests.bench.bench_histories` runs more of them.
"""

import os

import pytest
from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.faults.histories import MADE, Histories
from tests.faults.phone_page import ROADS

STEPS = 12
ENOUGH, QUICK = 200, 8
# What a run of so many must have tried, or it proves nothing.
WANTED = (
    "saved", "store-full", "photo-no-room", "sync idle", "sync offline", "sync refused", "kill at rest",
    "kill at a save", "kill at a sync", "clone", "restore", "poison", "file taken to the desk", "clock 1970", "left",
    "erase", "take along", "older server", "years ahead", "lose lines", *ROADS,
)  # fmt: skip


@pytest.mark.timeout(1800)  # 200 took 280 s of processor, and one that fails is then made shorter
def test_nothing_shown_as_saved_is_ever_lost_or_doubled(pages, shop, pytestconfig):
    usual = ENOUGH if pytestconfig.getoption("--full") else QUICK
    count = int(os.environ.get("TAPERMARK_HISTORIES", usual))
    MADE.clear()
    machine = type("TheseHistories", (Histories,), {"pages": pages, "shop": shop})
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=count,
            stateful_step_count=STEPS,
            deadline=None,
            suppress_health_check=list(HealthCheck),
            print_blob=True,
        ),
    )
    print(dict(MADE))
    assert MADE["histories"] >= count
    if count >= ENOUGH:
        assert [what for what in WANTED if not MADE[what]] == []
