"""The sync protocol where it is hard, held to the golden record line by line, on both databases."""

import json

from fixtures.golden import make_protocol
from fixtures.golden.write_or_check import write_or_check
from tests.server.commands.test_lost_store import copied_by_hand, restored  # noqa: F401 fixtures
from tests.server.databases import on_both_databases
from tests.server.protocol_walk import walk
from tests.server.stores import backup_of


@on_both_databases
def test_the_walk_goes_as_recorded(app, restored, copied_by_hand, tmp_path):  # noqa: F811
    def copy(now):
        copied = copied_by_hand(now)
        return lambda: copied

    record = walk(
        app,
        back_up=lambda now: backup_of(now, tmp_path / "backup"),
        restore=lambda now: restored(now, tmp_path / "backup"),
        copy=copy,
    )
    golden = json.loads(make_protocol.PATH.read_text("utf-8"))["steps"]
    for step, expected in zip(record, golden, strict=True):
        assert step == expected, expected["step"]


def test_the_record_is_what_its_generator_makes():
    assert write_or_check(make_protocol.PATH, make_protocol.golden_text(), ["--check"]) == 0
