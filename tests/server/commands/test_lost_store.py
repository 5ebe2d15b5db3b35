"""A server that lost what it had acknowledged: restored from an old backup, or a store copied by hand.

Every entry that a phone ever made must be on the server and on every phone in the end, once.
"""

import shutil
import uuid

import pytest

from server.commands.restore import restore
from tests.server.databases import on_both_databases
from tests.server.phones import START_MS
from tests.server.resending_phone import ResendingPhone
from tests.server.stores import all_rows, backup_of, quiet

pytestmark = on_both_databases


def stored_ids(app):
    return sorted(row[0] for row in all_rows(app.extensions["database"])["entry"])


@pytest.fixture
def restored(make_app, tmp_path):
    """Return a function that restores the test's store from a backup and gives the server that then starts on it."""

    def restore_and_start(app, backup):
        app.extensions["database"].close()
        restore(app.config["DATABASE_URL"], backup, tmp_path / f"aside-{uuid.uuid4()}", START_MS, quiet)
        return make_app(DEMO_JOBS=False)

    return restore_and_start


def test_two_phones_and_one_of_them_offline_for_the_whole_episode(app, restored, tmp_path):
    """The nine steps of medic/cht-core#8093, with a second phone that notices nothing until all is over."""
    here, away = ResendingPhone(app), ResendingPhone(app)
    job, shared = str(uuid.uuid4()), str(uuid.uuid4())
    here.make(job, "job-opened", body={"checklist": 1})
    away.make(shared, "job-opened", body={"checklist": 1})
    for phone in (here, away, here):
        phone.meet()
    backup_of(app, tmp_path / "backup")
    after_backup = [here.make(job), here.make(shared), away.make(shared)]
    away.meet()
    offline = [away.make(shared), away.make(job)]  # the second phone goes into the pit now
    here.meet()
    after_backup.append(here.make(job))
    here.meet()

    app = restored(app, tmp_path / "backup")
    stranger = ResendingPhone(app)  # takes the seqs that the lost entries had
    strange = [stranger.make(str(uuid.uuid4())) for _ in range(6)]
    stranger.meet()
    here.use(app)
    answers = here.meet()
    assert [answer["restart"] for answer in answers] == [True] + [False] * (len(answers) - 1)
    assert {e["id"] for e in after_backup if e in here.made} <= set(stored_ids(app))
    assert not {e["id"] for e in offline} & set(stored_ids(app)), "the second phone was not offline"
    away.use(app)
    assert away.meet()[0]["restart"] is True
    everything = sorted(e["id"] for phone in (here, away) for e in phone.made) + [e["id"] for e in strange]
    assert stored_ids(app) == sorted(everything)
    for phone in (here, stranger, away):
        phone.meet()
        assert sorted(phone.knows) == sorted(everything)
        assert phone.meet()[-1]["high_water"] == phone.count


def test_what_a_phone_made_that_was_itself_lost_comes_back_from_another(app, restored, tmp_path):
    broken, other, job = ResendingPhone(app), ResendingPhone(app), str(uuid.uuid4())
    backup_of(app, tmp_path / "backup")
    lost = broken.make(job)
    broken.meet()
    other.meet()
    app = restored(app, tmp_path / "backup")
    other.use(app)
    other.meet()
    assert stored_ids(app) == [lost["id"]]


def test_after_the_restore_only_what_the_backup_holds_counts_as_backed_up(app, restored, tmp_path):
    phone, job = ResendingPhone(app), str(uuid.uuid4())
    phone.make(job)
    phone.meet()
    backup_of(app, tmp_path / "one")
    phone.make(job)
    phone.meet()
    backup_of(app, tmp_path / "two")
    assert phone.meet()[-1]["backed_up_through"] == 2
    phone.use(restored(app, tmp_path / "one"))
    assert phone.meet()[-1]["backed_up_through"] == 1


def test_the_same_backup_restored_twice_is_two_epochs(app, restored, tmp_path):
    phone, job = ResendingPhone(app), str(uuid.uuid4())
    phone.make(job)
    phone.meet()
    backup_of(app, tmp_path / "backup")
    for _ in range(2):
        app = restored(app, tmp_path / "backup")
        phone.use(app)
        phone.make(job)
        answers = phone.meet()
        assert answers[0]["restart"] is True
        assert stored_ids(app) == sorted(e["id"] for e in phone.made)


@pytest.fixture
def copied_by_hand(store, make_app, tmp_path, request):
    """Return a function that copies the store as a file manager or a template would, and serves the copy."""
    names = []

    def copy_and_serve(app):
        app.extensions["database"].close()
        folder = tmp_path / "copy"
        shutil.copytree(tmp_path / "store", folder)
        if "DATABASE_URL" not in store:
            return make_app(STORE_FOLDER=folder, DEMO_JOBS=False)
        names.append(f"copy{uuid.uuid4().hex[:8]}")
        url = request.getfixturevalue("postgres").create(names[0], store["DATABASE_URL"].rsplit("/", 1)[1])
        return make_app(STORE_FOLDER=folder, DATABASE_URL=url, DEMO_JOBS=False)

    yield copy_and_serve
    for name in names:
        request.getfixturevalue("postgres").drop(name)


def test_a_store_copied_by_hand_is_noticed_though_its_epoch_is_the_same(app, copied_by_hand):
    phone, other, job = ResendingPhone(app), ResendingPhone(app), str(uuid.uuid4())
    phone.make(job)
    phone.meet()
    copy = copied_by_hand(app)
    lost = [phone.make(job) for _ in range(3)]  # to the old server, after the copy was made
    phone.meet()
    other.use(copy)
    for _ in range(3):
        other.make(str(uuid.uuid4()))  # the copy gives the same seqs to other entries
    other.meet()
    phone.use(copy)
    first = phone.meet()[0]
    assert first["restart"] is True
    assert {e["id"] for e in lost} <= set(stored_ids(copy))
    assert sorted(phone.knows) == stored_ids(copy)


def test_a_copy_that_is_merely_behind_is_noticed_too(app, copied_by_hand):
    phone, job = ResendingPhone(app), str(uuid.uuid4())
    phone.make(job)
    phone.meet()
    copy = copied_by_hand(app)
    phone.make(job)
    phone.meet()
    phone.use(copy)
    assert phone.meet()[0]["restart"] is True
    assert stored_ids(copy) == sorted(e["id"] for e in phone.made)


def test_a_restored_server_and_a_cloned_phone_at_once(app, restored, tmp_path):
    phone, job = ResendingPhone(app), str(uuid.uuid4())
    phone.make(job)
    phone.meet()
    backup_of(app, tmp_path / "backup")
    twin = phone.clone(app)
    phone.make(job), twin.make(job)
    for each in (phone, twin):
        each.meet()
    app = restored(app, tmp_path / "backup")
    for each in (phone, twin, phone):
        each.use(app)
        each.meet()
    union = {e["id"] for each in (phone, twin) for e in each.made}
    assert stored_ids(app) == sorted(union)
