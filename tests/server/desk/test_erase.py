"""Erasing names, registration and photos: what goes, what stays, that it is recorded and that nothing undoes it."""

import json
import re
from pathlib import Path

import pytest
from sqlalchemy import text

from server.limits import DAY_MS
from server.records.entry_rules import PLATE_SLOTS, judge
from server.sync.erase import shell_of
from tests.server.databases import on_both_databases
from tests.server.demo_desk import DemoDesk, finished_job, ring_sets_of
from tests.server.pictures_to_send import encoded, name_of
from tests.server.transfer.test_import import exported, take_in

SECRETS = ("TM 12-345", "R. Osmund", "Ines Tavell", "called her brother", "a scratched door", "WTM1",
           "her cousin saw it", "her tools in the boot", "paid 300 in cash", "grey saloon", "engraved for her",
           "lent by a neighbour", "when her son is back", "written on her card")  # fmt: skip
ID = "11111111-1111-4111-8111-111111111111"


@pytest.fixture
def erased(app):
    """A finished job with everything personal in it, erased on request; (desk, job, its entries, the photo's name)."""
    desk = DemoDesk(app)
    phone = desk.phone
    job = finished_job(phone, ring_sets_of(phone), (12, 31))
    picture = encoded()
    photo = phone.entry(
        job, "photo-attached", {"sha256": name_of(picture), "about": "x", "caption": "a scratched door"}
    )
    phone.sync([
        photo,
        phone.entry(job, "field-set", {"value": "WTM1"}, "vehicle.vin"),
        phone.entry(job, "consent-recorded",
                    {"customer": "R. Osmund", "how": "in-person", "price": "paid 300 in cash"}, "consent"),
        phone.entry(job, "note-written", {"text": "called her brother"}),
        phone.entry(job, "hold-overridden", {"reason": "her cousin saw it"}, "fit.left.witness-line"),
        phone.entry(job, "field-set", {"value": "her tools in the boot"}, "vehicle.load"),
        phone.entry(job, "field-set", {"value": "grey saloon"}, "vehicle.description"),
        phone.entry(job, "field-set", {"value": "engraved for her"}, "vehicle.pair-marks"),
        phone.entry(job, "field-set", {"value": "lent by a neighbour"}, "fit.wrench"),
        phone.entry(job, "field-set", {"value": "disc"}, "vehicle.rear-brake"),
        phone.entry(job, "field-set", {"value": {"value_nm": 64, "text": "64", "unit": "nm", "angle_deg": 30,
                                                 "source": "written on her card"}}, "fit.torque"),
        phone.entry(job, "job-stopped", {"reason": "part-awaited", "awaited": "when her son is back"}),
        phone.entry(job, "later-kind", {"name": "R. Osmund"}, "later"),
        phone.entry(job, "note-written", {"text": "called her brother"}, format=9),
    ])  # fmt: skip
    assert phone.put_photo(name_of(picture), picture).status_code == 201
    sent = phone.client.get(f"/api/jobs/{job}/entries").json["entries"]
    answer = desk.post(f"/desk/jobs/{job}/erase", {"reason": "the customer asked by letter", "sure": "yes"})
    assert answer.status_code == 303
    return desk, job, sent, name_of(picture)


def everything_in(app):
    """Every text of the store, the audit's too."""
    with app.extensions["database"].transaction() as connection:
        tables = ("entry", "job", "set_aside", "import_file", "audit")
        rows = [connection.execute(text(f"SELECT * FROM {name}")).all() for name in tables]
        return json.dumps(rows, default=str, ensure_ascii=False)


@on_both_databases
def test_nothing_personal_of_it_is_left_in_the_store_or_on_any_page(erased):
    desk, job, _, photo = erased
    for secret in SECRETS:
        assert secret not in everything_in(desk.app)
        for path in (
            "/desk/?state=erased",
            f"/desk/jobs/{job}",
            f"/desk/jobs/{job}/history",
            f"/desk/jobs/{job}/trace",
        ):
            assert secret not in desk.get(path).text, path
    assert desk.get(f"/api/photos/{photo}").status_code == 404
    with desk.app.extensions["database"].transaction() as connection:
        assert connection.execute(text("SELECT count(*) FROM photo")).scalar() == 0
    assert job not in desk.get("/desk/?find=TM12345").text
    assert desk.get("/api/jobs?registration=TM12345").json["jobs"] == []


@pytest.mark.usefixtures("erased")
@pytest.mark.parametrize("store", ["sqlite"], indirect=True)
def test_no_byte_of_it_is_left_in_sqlites_files(store):
    """Cause: deleted text stayed in free pages of the file, and all of it in the log beside it."""
    files = {path.name: path.read_bytes() for path in store["STORE_FOLDER"].glob("tapermark.db*")}
    assert b"asked by letter" in files["tapermark.db"], "the reason in the audit shows that the log has been put in"
    for secret in SECRETS:
        assert [name for name, held in files.items() if secret.encode() in held] == [], secret


@on_both_databases
def test_what_was_measured_and_done_stays(erased):
    desk, job, *_ = erased
    shown = desk.words(f"/desk/jobs/{job}")
    assert "Names, registration and photos were erased here on 2026-09-21 14:13 UTC" in shown
    assert "1.64° top in" in shown
    assert "12 meets 31, at the top" in shown
    assert "Gone past without confirming: erased" in shown
    assert "64 N m and 30 degrees" in desk.words(f"/desk/jobs/{job}/trace")
    assert "The picture was erased on request" in shown
    assert "Erased" in desk.words("/desk/?state=erased")
    assert job not in desk.get("/desk/").text


@on_both_databases
def test_it_is_recorded_who_did_it_and_why(erased):
    desk, job, sent, _ = erased
    assert (
        f"erased names, registration and photos job {job}: {len(sent)} entries, 1 photos; the customer asked by letter"
        in desk.audit()
    )


@on_both_databases
def test_a_phone_that_sends_it_again_is_told_so_and_brings_nothing_back(erased):
    desk, _, sent, photo = erased
    results = desk.phone.sync(sent)["results"]
    assert {(r["verdict"], r["reason"]) for r in results} == {("refused", "erased")}
    assert desk.phone.put_photo(photo, encoded()).status_code == 409
    assert desk.phone.sync()["wanted_photos"] == []
    for secret in SECRETS:
        assert secret not in everything_in(desk.app)


def test_what_the_holds_at_the_wheel_recorded_stays_and_a_sentence_in_its_place_goes():
    length = {"new": True, "length_mm": 45, "class": "10.9", "outcome": "fits", "codes": [], "missing": ["engagement"],
              "least_mm": 12.4, "bare_mm": [19, 19], "from": "9bdbaeb5e7b8d13f"}  # fmt: skip
    body = {"hold": True, "length": length, "read": {"letter": "L", "inner": 12, "outer": 31},
            "bolts": [{"bolt": 1, "stage": 1}],
            "stages": [{"torque": 18, "unit": "nm", "angle_deg": None}]}  # fmt: skip
    entry = {"kind": "step-done", "slot": "fit.left.bolt-length", "by": "Ines Tavell", "body": body}
    assert shell_of(entry)["body"] == body
    told = entry | {"body": {"hold": True, "length": {"outcome": "her son did it", "from": "Ines Tavell"}}}
    assert shell_of(told)["body"]["length"] == {"outcome": "", "from": ""}


def test_answers_chosen_from_a_list_and_numbers_stay_and_all_other_text_goes():
    """Cause: a list of what is personal knew four kinds; whatever it did not name was kept."""

    def shell(kind, body, slot="x"):
        return shell_of({"kind": kind, "slot": slot, "by": "Ines Tavell", "body": body})["body"]

    assert shell("field-set", {"value": "disc-drum"}) == {"value": "disc-drum"}
    assert shell("field-set", {"value": "0171 2345678"}) == {"value": None}
    assert shell("field-set", {"value": "B-8, lot 12"}, "choose.parts-lot") == {"value": None}
    assert shell("step-done", {"hold": False, "plan": ID}) == {"hold": False, "plan": ID}
    assert shell("field-set", {"value": 1234}, "vehicle.registration") == {"value": None}
    angle = {"mdeg": 333, "text": "0°20'", "unit": "deg-min", "way": "top-in", "diameter_mm": 432}
    window = {"value": {"low": angle, "high": angle | {"text": "−1.50"}}}
    assert shell("field-set", window) == window
    assert shell("field-set", {"value": {"text": "mail@her.example", "unit": "km"}}) == {
        "value": {"text": "", "unit": "km"}
    }
    assert shell("job-reopened", {"reopens": [ID], "reason": "she came back"}) == {"reopens": [ID], "reason": ""}
    assert shell("step-done", {"hold": True, "seen_by": "her son"}) == {"hold": True, "seen_by": ""}


def test_codes_of_doubts_advice_and_units_stay_and_sentences_in_their_place_go():
    """Cause: a plan no longer said which ring set was doubted, nor a torque which unit its source prints."""

    def shell(kind, body, slot="x"):
        return shell_of({"kind": kind, "slot": slot, "by": "Ines Tavell", "body": body})["body"]

    doubts = {"demo-54": ["few-readings", "direction-not-settled"]}
    plan = {"plan": {"doubts": doubts}, "input": {"ring_sets": ["demo-54"], "untrusted": doubts, "put_in": ["demo-54"]}}
    assert shell("plan-chosen", plan, "round.1.plan") == plan
    told = {"plan": {"doubts": {"demo-54": ["her son doubts it"]}}, "input": {"untrusted": {"x": ["Ines Tavell"]}}}
    gone = {"plan": {"doubts": {"demo-54": [""]}}, "input": {"untrusted": {"x": [""]}}}
    assert shell("plan-chosen", told, "round.1.plan") == gone
    assert shell("field-set", {"value": doubts}, "rings.put-in") == {"value": doubts}
    assert shell("field-set", {"value": {"x": ["her-son"]}}, "vehicle.pressures-found") == {"value": {"x": [""]}}
    advice = {"bent": {"answer": "looked", "text": "her son bent it"}, "worn": {"answer": "stays"}}
    blank = {"bent": {"answer": "looked", "text": ""}, "worn": {"answer": "stays"}}
    assert shell("field-set", {"value": advice}, "choose.advice") == {"value": blank}
    for name in ("newton-metres", "pound-force-feet"):
        torque = {"value": {"value_nm": 64, "text": "64", "unit": "nm", "source": "her card", "unit_named": name}}
        assert shell("field-set", torque, "fit.torque") == {"value": torque["value"] | {"source": ""}}


@pytest.mark.parametrize(
    ("file", "list_of"),
    [
        ("domain/job/tyre-pressures.js", r"PRESSURE_UNITS = (\[.+\]);"),
        ("domain/constants.js", r"UNITS = Object.freeze\((\[.+\])\);"),
        ("domain/job/fit-request.js", r"TORQUE_UNITS = \{ (.+?:) "),
        ("ui/sheets/parts-card.js", r"STATES = (\[.+\]);"),
        ("ui/sheets/consent-card.js", r"WAYS = (\[.+\]);"),
        ("ui/sheets/parts-used-card.js", r"\[item\]: (\"replaced\")"),
    ],
)
def test_every_word_that_the_phones_panels_offer_stays(file, list_of):
    """Cause: pressures lost their unit, and the parts that were replaced said nothing any more."""
    source = (Path(__file__).parents[3] / "pwa" / "js" / file).read_text("utf-8")
    words = re.findall(r'"([^"]+)"', re.search(list_of, source)[1])
    assert words
    value = {word: word for word in words}
    entry = {"kind": "field-set", "slot": "x", "by": "", "body": {"value": value}}
    assert shell_of(entry)["body"] == {"value": value}


def test_what_a_phones_file_says_of_other_jobs_stays(far_phone, owner):
    """Cause: erasing one job emptied all that the file held beyond entries; and refusals still quoted the erased."""
    gone, other = ID, "22222222-2222-4222-8222-222222222222"
    file = exported(
        far_phone,
        [far_phone.entry(gone, at="Tuesday with her"), far_phone.entry(other, at="Monday at ten"),
         far_phone.entry(gone, id="her own number")],
        rescued=[{"job": gone, "body": {"text": "called her brother"}}, {"job": other, "body": {"text": "a new bush"}}],
    )  # fmt: skip
    far_phone.post([far_phone.entry(gone)])
    page = take_in(owner, file).location
    shown = owner.get(page).text
    said = ("Tuesday with her", "her own number", "called her brother")
    stays = ("Monday at ten", "a new bush")
    assert all(part in shown for part in (*said, *stays))
    assert owner.post(f"/desk/jobs/{gone}/erase", {"reason": "asked", "sure": "yes"}).status_code == 303
    shown = owner.get(page).text
    assert [part for part in said if part in shown] == []
    assert [part for part in stays if part not in shown] == []


@on_both_databases
def test_another_jobs_photo_of_the_same_bytes_stays(app):
    desk = DemoDesk(app)
    phone = desk.phone
    picture, (one, two) = encoded(), (ID, "22222222-2222-4222-8222-222222222222")
    phone.sync([phone.entry(job, "photo-attached", {"sha256": name_of(picture), "about": "x"}) for job in (one, two)])
    phone.put_photo(name_of(picture), picture)
    desk.post(f"/desk/jobs/{one}/erase", {"reason": "asked", "sure": "yes"})
    assert desk.get(f"/api/photos/{name_of(picture)}").status_code == 200


@on_both_databases
def test_a_photo_that_has_not_come_is_wanted_by_other_jobs_alone(app):
    desk = DemoDesk(app)
    phone = desk.phone
    picture, (one, two) = encoded(), (ID, "22222222-2222-4222-8222-222222222222")
    phone.sync([phone.entry(job, "photo-attached", {"sha256": name_of(picture), "about": "x"}) for job in (one, two)])
    for job, wanted in ((one, [name_of(picture)]), (two, [])):
        desk.post(f"/desk/jobs/{job}/erase", {"reason": "asked", "sure": "yes"})
        assert phone.sync()["wanted_photos"] == wanted


@pytest.mark.parametrize("fields", [{}, {"reason": "asked"}, {"sure": "yes"}, {"reason": " ", "sure": "yes"}])
def test_nothing_is_erased_without_a_reason_and_the_tick(desk, fields):
    job = finished_job(desk.phone, ring_sets_of(desk.phone), (12, 31))
    assert desk.post(f"/desk/jobs/{job}/erase", fields).status_code == 422
    assert "TM 12-345" in desk.words(f"/desk/jobs/{job}")


def test_the_stated_time_lists_what_is_past_it_and_erases_by_a_press(desk, clock):
    old = finished_job(desk.phone, ring_sets_of(desk.phone), (12, 31))
    clock.now_ms += 400 * DAY_MS
    new = finished_job(desk.phone, ring_sets_of(desk.phone), (5, 7))
    assert "No time is stated" in desk.words("/desk/keeping")
    assert desk.post("/desk/keeping", {"days": "365"}).status_code == 303
    shown = desk.words("/desk/keeping")
    assert "365 days after the last change" in shown
    assert "1 closed job sheet is older" in shown
    desk.post("/desk/keeping/erase-due")
    assert "Past the time None." in desk.words("/desk/keeping")
    assert "erased here" in desk.words(f"/desk/jobs/{old}")
    assert "erased here" not in desk.words(f"/desk/jobs/{new}")
    assert "kept for the stated 365 days" in desk.audit()
    desk.post("/desk/keeping", {"days": ""})
    assert "No time is stated" in desk.words("/desk/keeping")
    desk.post("/desk/keeping/erase-due")
    assert "erased here" not in desk.words(f"/desk/jobs/{new}")


@pytest.mark.parametrize("days", ["0", "-1", "a year", "36501", "1.5", "9" * 40, "١"])
def test_a_time_that_is_none_is_said_and_kept_on_the_page(desk, days):
    answer = desk.post("/desk/keeping", {"days": days})
    assert answer.status_code == 422
    assert f'value="{days}"' in answer.text
    assert "No time is stated" in answer.text


def test_a_shell_is_an_entry_still_and_says_nothing_of_anybody(desk):
    """Every kind of a finished job: its shell passes the same rules, and a second shell is the same."""
    finished_job(desk.phone, ring_sets_of(desk.phone), (12, 31))
    for entry in desk.phone.sync_all():
        shell = shell_of(entry)
        assert judge(shell).verdict == "accepted"
        assert shell["by"] == ""
        assert shell_of(shell) == shell
        if entry["slot"] in PLATE_SLOTS:
            assert shell["body"] == {"value": None}
