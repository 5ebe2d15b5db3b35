"""A phone that names its whole jobs gets their entries alone, brings others, and has lines of the rest."""

import json
import shutil
import threading
import uuid

import pytest

from server import create_app
from server.limits import DAY_MS
from server.store import entries, schema
from server.sync import whole_jobs
from server.sync.derive import derive_due
from server.sync.erase import erase_job
from tests.server.databases import on_both_databases
from tests.server.phones import Phone, problem
from tests.server.statements import heard
from tests.server.stores import backup_of, rows_of
from tests.server.whole_phone import WholePhone

OLD_KEYS = ["results", "entries", "next", "more", "restart", "high_water", "backed_up_through", "wanted_photos",
            "new_device"]  # fmt: skip
NEW_KEYS = ["whole", "lines", "lines_next", "backed_up_seq"]
PLATE, VEHICLE = "vehicle.registration", "vehicle.description"


@pytest.fixture
def ask(app):
    """Return a function that sends a request as the phone that it makes, with what differs from an empty one."""
    asking = Phone(app)

    def post(**parts):
        body = {"device": asking.device, "since": None, "entries": [], "whole": []} | parts
        return asking.client.post("/api/entries", json=body, headers={"X-CSRFToken": asking.token()})

    return post


def field(phone, job, slot, value):
    return phone.entry(job, "field-set", {"value": value}, slot)


def jobs_of(phone, number, notes=1):
    """Let the phone send so many new jobs, each with so many notes; return their ids in the order of sending."""
    jobs = [str(uuid.uuid4()) for _ in range(number)]
    for job in jobs:
        phone.sync([phone.entry(job) for _ in range(notes)])
    return jobs


@on_both_databases
def test_without_whole_the_answer_is_as_it_was(ask, phone, job):
    phone.sync([phone.entry(job)])
    body = {"device": phone.device, "since": None, "entries": []}
    old = phone.client.post("/api/entries", json=body, headers={"X-CSRFToken": phone.token()})
    assert list(json.loads(old.data)) == OLD_KEYS
    # What goes with `whole` says nothing by itself.
    body |= {"bring": [job], "lines": {"epoch": "x", "at": 1}}
    assert phone.client.post("/api/entries", json=body, headers={"X-CSRFToken": phone.token()}).data == old.data
    assert set(json.loads(ask().data)) == {*OLD_KEYS, *NEW_KEYS}


@on_both_databases
def test_entries_come_of_the_named_jobs_alone_and_the_place_is_the_newest(ask, phone):
    mine, other = jobs_of(phone, 2, notes=2)
    answer = ask(whole=[mine]).json
    assert [entry["job"] for entry in answer["entries"]] == [mine, mine]
    assert (answer["next"]["seq"], answer["more"], answer["whole"]) == (4, False, [])
    assert {line["job"] for line in answer["lines"]} == {mine, other}
    late = phone.entry(mine)
    phone.sync([phone.entry(other), late, phone.entry(other)])
    again = ask(whole=[mine], since=answer["next"], lines=answer["lines_next"]).json
    assert again["entries"] == [late]
    assert again["next"]["seq"] == 7


@on_both_databases
def test_a_brought_job_comes_from_its_first_entry_up_to_the_place_and_is_named(monkeypatch, ask, phone):
    monkeypatch.setattr(whole_jobs, "MOST_ENTRIES", 3)
    wanted, mine = jobs_of(phone, 2, notes=4)
    late = phone.entry(wanted)
    phone.sync([late])
    first = ask(whole=[mine], bring=[wanted]).json
    assert (first["next"]["seq"], first["more"], first["whole"]) == (7, True, [wanted])
    assert [entry["job"] for entry in first["entries"]] == [wanted] * 4 + [mine] * 3
    rest = ask(whole=[mine, wanted], since=first["next"]).json
    assert [entry["job"] for entry in rest["entries"]] == [mine, wanted]
    assert (rest["entries"][1], rest["more"], rest["next"]["seq"]) == (late, False, 9)


@on_both_databases
def test_of_the_jobs_to_bring_those_come_that_fit_and_one_always(monkeypatch, ask, phone):
    jobs = jobs_of(phone, 3, notes=3)
    size = sum(len(row["raw"]) for row in rows_of(phone.client.application, schema.entry) if row["job"] == jobs[0])
    monkeypatch.setattr(whole_jobs, "MOST_BROUGHT", 2 * size)
    first = ask(bring=jobs).json
    assert (first["whole"], len(first["entries"]), first["more"]) == (jobs[:2], 6, True)
    rest = ask(whole=jobs[:2], bring=jobs[2:], since=first["next"]).json
    assert (rest["whole"], len(rest["entries"]), rest["more"]) == (jobs[2:], 3, False)
    monkeypatch.setattr(whole_jobs, "MOST_BROUGHT", 1)
    assert ask(bring=jobs[2:]).json["whole"] == jobs[2:]


@on_both_databases
def test_a_job_that_is_not_here_is_not_named_and_nobody_waits_for_it(app, clock, ask, phone, job):
    gone = jobs_of(phone, 1)[0]
    with app.extensions["database"].transaction() as connection:
        erase_job(connection, gone, clock())
    answer = ask(bring=[job, gone]).json
    assert (answer["whole"], answer["entries"], answer["more"]) == ([], [], False)


@on_both_databases
def test_what_was_just_sent_does_not_come_back(ask, phone):
    mine, wanted = jobs_of(phone, 2)
    own = phone.entry(mine)
    body = {"since": None, "entries": [own], "whole": [mine], "bring": [wanted]}
    came = ask(**body).json["entries"]
    assert own not in came
    assert [entry["job"] for entry in came] == [mine, wanted]


@on_both_databases
def test_a_line_says_what_the_list_shows_and_moves_with_every_change(ask, phone, job):
    phone.sync([field(phone, job, PLATE, "AB 1"), field(phone, job, VEHICLE, "Castelan Verro")])
    first = ask().json
    (line,) = first["lines"]
    assert list(line) == ["job", "at", "state", "registration", "vehicle", "conflicts", "changed_ms", "last_seq"]
    assert [line[name] for name in ("job", "state", "registration", "vehicle", "conflicts", "last_seq")] == [
        job, "open", "AB 1", "Castelan Verro", 0, 2,
    ]  # fmt: skip
    assert ask(lines=first["lines_next"]).json["lines"] == []
    phone.sync([field(phone, job, PLATE, "AB 2"), phone.entry(job, "job-signed", {"covers": []})])
    (line,) = ask(lines=first["lines_next"]).json["lines"]
    assert (line["state"], line["conflicts"], line["last_seq"]) == ("signed", 1, 4)
    assert line["at"] > first["lines_next"]["at"]


@on_both_databases
def test_a_phone_that_begins_gets_lines_of_jobs_open_or_lately_changed_and_of_all_that_it_holds(app, clock, ask, phone):
    still_open, closed, erased = jobs_of(phone, 3)
    phone.sync([field(phone, erased, PLATE, "AB 1"), field(phone, erased, VEHICLE, "Castelan Verro")])
    phone.sync([phone.entry(closed, "job-signed", {"covers": []})])
    derive_due(app.extensions["database"])
    with app.extensions["database"].transaction() as connection:
        erase_job(connection, erased, clock())
    clock.now_ms += 30 * DAY_MS
    assert {line["job"] for line in ask().json["lines"]} == {still_open, closed}
    clock.now_ms += 1
    answer = ask(whole=[erased]).json
    assert {line["job"]: line["state"] for line in answer["lines"]} == {still_open: "open", erased: "erased"}
    assert {line["job"] for line in ask(whole=[closed]).json["lines"]} == {still_open, closed}
    shown = next(line for line in answer["lines"] if line["job"] == erased)
    assert (shown["registration"], shown["vehicle"], shown["conflicts"]) == ("", "", 0)
    assert answer["lines_next"]["at"] == rows_of(app, schema.counter)[0]["lines"]


@on_both_databases
def test_a_phone_that_was_away_hears_of_what_was_closed_or_erased_meanwhile_however_long_ago(app, clock, ask, phone):
    closed, erased, *_ = jobs_of(phone, 4)
    before = ask().json
    assert len(before["lines"]) == 4
    phone.sync([phone.entry(closed, "job-signed", {"covers": []})])
    with app.extensions["database"].transaction() as connection:
        erase_job(connection, erased, clock())
    clock.now_ms += 400 * DAY_MS
    after = ask(since=before["next"], lines=before["lines_next"]).json
    assert {line["job"]: line["state"] for line in after["lines"]} == {closed: "signed", erased: "erased"}
    # Told by a phone of the version before, that named no `from`: it begins.
    place = {name: before["lines_next"][name] for name in ("epoch", "at")}
    assert ask(since=before["next"], lines=place).json["lines"] == []


@on_both_databases
def test_what_is_closed_between_two_pages_of_a_first_pull_is_not_left_open(clock, monkeypatch, ask, phone):
    monkeypatch.setattr(whole_jobs, "MOST_LINES", 2)
    first_open, *_ = jobs_of(phone, 3)
    page = ask().json
    assert page["more"]
    assert first_open in {line["job"] for line in page["lines"]}
    phone.sync([phone.entry(first_open, "job-signed", {"covers": []})])
    clock.now_ms += 31 * DAY_MS
    rest = ask(lines=page["lines_next"]).json
    assert "signed" in {line["state"] for line in rest["lines"] if line["job"] == first_open}


@on_both_databases
def test_lines_come_in_pages_and_no_line_is_shown_before_it_is_derived(app, monkeypatch, phone, clock):
    monkeypatch.setattr(whole_jobs, "MOST_LINES", 3)
    monkeypatch.setattr(whole_jobs, "MOST_LINES_DERIVED", 2)
    jobs = [str(uuid.uuid4()) for _ in range(8)]
    phone.sync([field(phone, job, PLATE, f"AB {k}") for k, job in enumerate(jobs)])
    other = WholePhone(app, clock)
    other.is_wanted = lambda _job: False
    answers = [other.swap()]
    while answers[-1]["more"]:
        answers.append(other.swap())
        assert len(answers) < 20
    assert all(line["registration"] for answer in answers for line in answer["lines"])
    assert all(len(answer["lines"]) <= 3 for answer in answers)
    assert {job: line["registration"] for job, line in other.lines.items()} == {
        job: f"AB {k}" for k, job in enumerate(jobs)
    }
    assert [answer["lines_next"]["at"] for answer in answers] == sorted(a["lines_next"]["at"] for a in answers)


@on_both_databases
def test_where_nothing_can_be_written_lines_come_as_they_stand_and_again_later(app, monkeypatch, ask, phone, job):
    phone.sync([field(phone, job, PLATE, "AB 1")])
    with monkeypatch.context() as full:
        full.setattr(whole_jobs, "derive_lines", lambda *_: False)
        first = ask().json
    assert ([line["registration"] for line in first["lines"]], first["more"]) == ([""], False)
    derive_due(app.extensions["database"])
    assert [line["registration"] for line in ask(lines=first["lines_next"]).json["lines"]] == ["AB 1"]


@on_both_databases
def test_a_job_that_changes_while_it_is_derived_waits_for_the_next_sync_and_nobody_for_it(monkeypatch, ask, phone, job):
    phone.sync([field(phone, job, PLATE, "AB 1")])
    derive = whole_jobs.derive_lines

    def derive_and_let_somebody_write(*given):
        is_derived = derive(*given)
        phone.sync([phone.entry(job)])
        return is_derived

    with monkeypatch.context() as busy:
        busy.setattr(whole_jobs, "derive_lines", derive_and_let_somebody_write)
        phone.sync([phone.entry(job)])
        first = ask().json
    assert not first["more"]
    late = ask(lines=first["lines_next"]).json
    assert [(line["job"], line["registration"], line["last_seq"]) for line in late["lines"]] == [(job, "AB 1", 3)]


@on_both_databases
def test_what_a_backup_holds_is_said(app, ask, phone, job, tmp_path):
    assert ask().json["backed_up_seq"] == 0
    phone.sync([phone.entry(job), phone.entry(job)])
    backup_of(app, tmp_path / "b")
    phone.sync([phone.entry(job)])
    full = ask(whole=[job]).json
    quiet = ask(whole=[job], since=full["next"], lines=full["lines_next"]).json
    assert full["backed_up_seq"] == quiet["backed_up_seq"] == 2


@on_both_databases
def test_a_quiet_pull_is_one_look_and_waits_for_no_writer(app, clock, phone):
    jobs_of(phone, 3)
    other = WholePhone(app, clock)
    other.meet()
    with heard() as asked:
        answer = other.swap()
    assert len(asked) == 2, asked  # who asks, and the look
    assert (answer["lines"], answer["entries"], answer["more"]) == ([], [], False)
    assert answer["lines_next"] == other.lines_at
    answers = []
    with app.extensions["database"].transaction() as connection:
        entries.take_places(connection, 1, 1)
        asking = threading.Thread(target=lambda: answers.append(other.swap()))
        asking.start()
        asking.join(20)
        assert answers, "the phone waits for the writer"


@on_both_databases
@pytest.mark.parametrize("spoil", [{"epoch": str(uuid.uuid4())}, {"seq": 99}, {"id": None}])
def test_a_restart_holds_for_lines_too(ask, phone, spoil):
    mine, other = jobs_of(phone, 2)
    first = ask(whole=[mine]).json
    again = ask(whole=[mine], since=first["next"] | spoil, lines=first["lines_next"]).json
    assert again["restart"] is True
    assert [entry["job"] for entry in again["entries"]] == [mine]
    assert {line["job"] for line in again["lines"]} == {mine, other}


@on_both_databases
def test_lines_of_another_epoch_or_from_beyond_the_last_come_anew(ask, phone):
    jobs = jobs_of(phone, 2)
    first = ask().json
    for wrong in ({"epoch": str(uuid.uuid4())}, {"at": 99}):
        again = ask(since=first["next"], lines=first["lines_next"] | wrong).json
        assert (again["restart"], {line["job"] for line in again["lines"]}) == (False, set(jobs))
        assert again["lines_next"] == first["lines_next"]


def test_a_store_copied_by_hand_makes_lines_begin_anew(fresh_store, tmp_path, clock):
    """The same epoch, the same seqs for other entries: only the id of the last one tells."""
    shutil.copytree(fresh_store, tmp_path / "shop")
    app = create_app({"STORE_FOLDER": tmp_path / "shop", "DEMO_JOBS": False, "NOW_MS": clock})
    phone = WholePhone(app, clock)
    kept = phone.make(str(uuid.uuid4()))
    phone.meet()
    app.extensions["database"].close()
    shutil.copytree(tmp_path / "shop", tmp_path / "copy")
    lost = phone.make(str(uuid.uuid4()))
    phone.meet()
    app.extensions["database"].close()

    copied = create_app({"STORE_FOLDER": tmp_path / "copy", "DEMO_JOBS": False, "NOW_MS": clock})
    stranger = WholePhone(copied, clock)
    strange = stranger.make(str(uuid.uuid4()))
    stranger.meet()
    phone.use(copied)
    answers = phone.meet()
    assert [answer["restart"] for answer in answers] == [True] + [False] * (len(answers) - 1)
    assert set(phone.lines) == phone.whole == {kept["job"], lost["job"], strange["job"]}
    assert {row["id"] for row in rows_of(copied, schema.entry)} == {e["id"] for e in (kept, lost, strange)}
    copied.extensions["database"].close()


@pytest.mark.parametrize(
    ("field", "wrong"),
    [
        ("whole", None), ("whole", {}), ("whole", ["x"]), ("whole", [7]),
        ("whole", [str(uuid.UUID(int=k, version=4)) for k in range(5_001)]),
        ("bring", None), ("bring", "x"), ("bring", [str(uuid.uuid4()).upper()]),
        ("bring", [str(uuid.UUID(int=k, version=4)) for k in range(21)]),
        ("lines", 7), ("lines", {}), ("lines", {"epoch": 7, "at": 1}), ("lines", {"epoch": "x"}),
        ("lines", {"epoch": "x", "at": "1"}), ("lines", {"epoch": "x", "at": -1}),
        ("lines", {"epoch": "x", "at": True}), ("lines", {"epoch": "x", "at": 2**53}),
    ],
)  # fmt: skip
def test_a_wrong_frame_is_refused_and_its_field_named(ask, field, wrong):
    answer = ask(**{field: wrong})
    assert (answer.status_code, problem(answer)) == (400, "wrong-request")
    assert json.loads(answer.data)["error"]["details"]["field"] == field


def test_jobs_to_bring_are_judged_also_where_none_is_named_whole(phone):
    answer = phone.client.post(
        "/api/entries",
        json={"device": phone.device, "since": None, "entries": [], "bring": ["c6efc526-4bf9-4af7-91b4-004a8ad2440c*"]},
        headers={"X-CSRFToken": phone.token()},
    )
    assert (answer.status_code, answer.json["error"]["details"]["field"]) == (400, "bring")


def test_five_thousand_whole_jobs_are_taken(ask, phone):
    mine = jobs_of(phone, 1)[0]
    others = [str(uuid.UUID(int=k, version=4)) for k in range(4_999)]
    assert [entry["job"] for entry in ask(whole=[*others, mine]).json["entries"]] == [mine]


def test_only_the_jobs_that_begin_first_are_read_for_a_page(monkeypatch, ask, phone):
    """However many a phone holds whole: a page of three entries lies in the three that began first."""
    monkeypatch.setattr(whole_jobs, "MOST_ENTRIES", 3)
    jobs = jobs_of(phone, 9, notes=2)
    place, came = None, []
    while True:
        with heard() as asked:
            answer = ask(whole=jobs, since=place).json
        page = next((text for text in asked if "entry.raw" in text), "")
        assert page.count("entry.job") <= 2, page
        came += answer["entries"]
        place = answer["next"]
        if not answer["more"]:
            break
    assert len({entry["id"] for entry in came}) == len(came) == 18
