"""What a phone gets: pages, whole jobs, restarts, and never a gap."""

import shutil
import threading
import uuid

import pytest

from server import create_app
from server.limits import DAY_MS
from server.store import shops
from server.sync.erase import erase_job
from tests.at_once import begun, ended
from tests.server.databases import on_both_databases
from tests.server.phones import Phone


def open_job(phone):
    job = str(uuid.uuid4())
    phone.sync([phone.entry(job, "job-opened", {"checklist": 1})])
    return job


def sign(phone, job):
    entry = phone.entry(job, "job-signed", {"covers": []})
    phone.sync([entry])
    return entry


@on_both_databases
def test_one_round_trip_pushes_and_pulls(phone, second_phone, job):
    theirs = second_phone.entry(job)
    second_phone.sync([theirs])
    assert phone.sync([phone.entry(job)])["entries"] == [theirs]


@on_both_databases
def test_what_the_phone_has_just_sent_does_not_come_back(phone, job):
    assert phone.sync([phone.entry(job)])["entries"] == []
    assert phone.sync()["entries"] == []


@on_both_databases
def test_an_empty_server_gives_a_place_to_go_on_from(phone, second_phone, job):
    first = phone.sync()
    assert (first["next"]["seq"], first["next"]["id"], first["more"]) == (0, None, False)
    second_phone.sync([second_phone.entry(job)])
    answer = phone.sync()
    assert (len(answer["entries"]), answer["restart"]) == (1, False)


@on_both_databases
def test_pages_of_500_until_nothing_more_comes(phone, second_phone, job):
    sent = [phone.entry(job) for _ in range(1_203)]
    for start in range(0, len(sent), 500):
        phone.sync(sent[start : start + 500])
    answers = [second_phone.sync()]
    while answers[-1]["more"]:
        answers.append(second_phone.sync())
        assert len(answers) <= 3, "it never comes to an end"
    sizes, came = [len(each["entries"]) for each in answers], [entry for each in answers for entry in each["entries"]]
    assert sizes == [500, 500, 203]
    assert came == sent
    assert second_phone.sync()["entries"] == []


@on_both_databases
@pytest.mark.parametrize(
    "spoil", [{"epoch": str(uuid.uuid4())}, {"id": str(uuid.uuid4())}, {"seq": 99}, {"seq": "1"}, {"id": None}]
)
def test_an_unknown_place_restarts_the_pull_from_the_beginning(phone, second_phone, job, spoil):
    sent = [phone.entry(job) for _ in range(3)]
    phone.sync(sent)
    second_phone.sync()
    second_phone.cursor = second_phone.cursor | spoil
    answer = second_phone.sync()
    assert answer["restart"] is True
    assert answer["entries"] == sent
    assert second_phone.sync()["restart"] is False


@on_both_databases
def test_a_restart_still_takes_what_was_sent(phone, job):
    phone.sync([phone.entry(job)])
    phone.cursor["epoch"] = str(uuid.uuid4())
    answer = phone.sync([phone.entry(job)])
    assert answer["restart"]
    assert answer["results"][0]["verdict"] == "accepted"


def test_a_server_restored_from_an_old_backup_tells_every_phone(fresh_store, tmp_path, job):
    """Server's part, on a store copied by hand: what it lost comes again, once."""
    shutil.copytree(fresh_store, tmp_path / "shop")
    app = create_app({"STORE_FOLDER": tmp_path / "shop", "DEMO_JOBS": False})
    phone = Phone(app)
    kept, lost = phone.entry(job), phone.entry(job)
    phone.sync([kept])
    app.extensions["database"].close()
    shutil.copytree(tmp_path / "shop", tmp_path / "backup")
    assert phone.sync([lost])["high_water"] == 2
    app.extensions["database"].close()

    restored = create_app({"STORE_FOLDER": tmp_path / "backup", "DEMO_JOBS": False})
    after = Phone(restored, device=phone.device)
    after.cursor = phone.cursor
    answer = after.sync()
    assert (answer["restart"], answer["high_water"], answer["entries"]) == (True, 1, [kept])
    assert after.sync([lost])["high_water"] == 2
    restored.extensions["database"].close()


@on_both_databases
def test_backed_up_through_is_zero_until_a_backup_is_recorded(app, clock, phone, job):
    phone.sync([phone.entry(job), phone.entry(job)])
    assert phone.sync()["backed_up_through"] == 0
    with app.extensions["database"].transaction() as connection:
        shops.record_backup(connection, shops.what_is_held(connection, str(uuid.uuid4()), clock()))
    assert phone.sync([phone.entry(job)])["backed_up_through"] == 2


@on_both_databases
def test_writers_at_once_never_hide_an_entry_from_a_reader(app, job):
    """A reader that pulls all the time ends with every entry."""
    writers = [Phone(app) for _ in range(4)]
    reader = Phone(app)
    done = threading.Event()
    sent = [[writer.entry(job) for _ in range(15)] for writer in writers]
    seen = []

    def write(writer, entries):
        for entry in entries:
            writer.sync([entry])

    def read():
        while not done.is_set():
            seen.extend(reader.sync_all())

    reading = begun(read)
    try:
        ended(*[begun(write, *pair) for pair in zip(writers, sent, strict=True)])
    finally:
        done.set()
        ended(reading)
    seen += reader.sync_all()
    assert sorted(e["id"] for e in seen) == sorted(e["id"] for entries in sent for e in entries)


@on_both_databases
def test_jobs_are_found_by_registration_however_it_is_written(phone, job):
    phone.sync([phone.entry(job, "field-set", {"value": "tm-40 lrk"}, "vehicle.registration")])
    found = phone.client.get("/api/jobs?registration=TM40%20LRK").json["jobs"]
    assert [(row["id"], row["registration"], row["state"]) for row in found] == [(job, "tm-40 lrk", "open")]
    assert phone.client.get("/api/jobs?registration=TM40LR").json["jobs"] == []


@on_both_databases
@pytest.mark.parametrize("query", ["", "?registration=", "?registration=%25", "?registration=__"])
def test_a_search_for_nothing_is_refused(phone, query):
    assert phone.client.get(f"/api/jobs{query}").status_code == 400


@on_both_databases
def test_a_job_is_given_whole_on_request(clock, phone, second_phone):
    job = open_job(phone)
    sign(phone, job)
    clock.now_ms += 365 * DAY_MS
    answer = second_phone.client.get(f"/api/jobs/{job}/entries").json
    assert [e["kind"] for e in answer["entries"]] == ["job-opened", "job-signed"]


@on_both_databases
@pytest.mark.parametrize("job", ["5d3c6a52-9f0e-4b57-8a0b-3b1e6f6c2d11", "x", "..%2f..%2fetc"])
def test_a_job_that_is_not_here_is_404(phone, job):
    assert phone.client.get(f"/api/jobs/{job}/entries").status_code == 404


@on_both_databases
def test_an_erased_job_that_gets_a_new_entry_comes_back_with_it_alone(app, clock, phone, second_phone):
    job = open_job(phone)
    with app.extensions["database"].transaction() as connection:
        erase_job(connection, job, clock())
    assert phone.client.get("/desk/").text.count("<tr>") == 0
    late = phone.entry(job)
    phone.sync([late])
    assert second_phone.sync_all() == [late]


@on_both_databases
def test_more_jobs_than_a_page_has_entries_come_in_order(phone, second_phone):
    sent = [phone.entry(str(uuid.uuid4())) for _ in range(1_100)]
    for start in range(0, len(sent), 500):
        phone.sync(sent[start : start + 500])
    assert second_phone.sync_all() == sent
