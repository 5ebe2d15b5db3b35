"""Vehicle types: what a signed job proposes, what is never carried, what a lead makes of it, what phones get."""

import re
import uuid

import pytest

from calc.fit.fit_input import MOST_LUGS
from server.records.vehicle_types import BAD, NEVER, NO_GRADE, NO_KEYS, REPLACED, UNKNOWN, proposal_of
from server.store import types
from server.sync.erase import erase_job
from tests.server.databases import on_both_databases
from tests.server.demo_desk import angle, words_of
from tests.server.desks import Desk
from tests.server.past_jobs import PastJob

KEYS = {"suspension": "1BA", "drive": "front", "wheels": "16 inch", "edition": "2024-03"}
TORQUE = {"value_nm": 78, "text": "78", "unit": "nm", "source": "sheet 12", "angle_deg": None}


def window(slot="window.left.camber", low=-1500, high=-500, **changes):
    edges = {"low": angle(low, "camber"), "high": angle(high, "camber")}
    return {"slot": slot, **KEYS, "source": "data sheet 7", "value": edges} | changes


def a_type(**changes):
    bolts = {"at": [[50, 45], [50, 135]], "thread": {"diameter_mm": 10, "pitch_mm": 1.5}, "class": "10.9"}
    facts = {
        "vehicle.mounting": "bolt-on-unit",
        "vehicle.pilot-diameter": {"number": 62, "text": "62", "unit": "mm"},
        "vehicle.bolts": {"bolts": bolts},
    }
    torques = [{"slot": "fit.torque", "grade": "10.9", "value": TORQUE}]
    plain = {"make": "Castelan", "model": "Verro saloon", "years": [2016, None], "facts": facts}
    return plain | {"windows": [window()], "torques": torques, "usual": {"vehicle.suspension": "steel"}} | changes


def proposing(phone, registration="AB 1", base=None, **changes):
    past = PastJob(phone, registration).set("finish.vehicle-type", {"of": base, "type": a_type(**changes)})
    return past.sign(), past.entries


def left_out(**changes):
    return dict(proposal_of({"type": a_type(**changes)})["left_out"])


def seen_in(text):
    return re.search(r'name="seen" value="([0-9a-f]+)"', text)[1]


class Lead:
    """Somebody at the demo shop's desk who decides."""

    def __init__(self, phone):
        self.phone = phone

    def list(self):
        answer = self.phone.client.get("/desk/types/")
        assert answer.status_code == 200, answer.text
        return answer.text

    def open(self, **query):
        answer = self.phone.client.get("/desk/types/decide", query_string=query)
        assert answer.status_code == 200, answer.text
        return answer.text

    def waiting(self):
        listed = self.phone.client.get("/api/types").json["types"]
        return [each["id"] for each in listed if each["state"] == "unchecked"]

    def decide(self, act="keep", entry=(), type=(), **changes):
        """Send the page's form as it stands, with `changes` of its fields."""
        text = self.open(entry=list(entry), type=list(type))
        fields = dict(re.findall(r'name="((?:make|model|from|to|text\.[\d.a-z]+))" value="([^"]*)"', text))
        fields |= dict(re.findall(r'name="(part\.\d+)" value="(\w+)" required checked', text))
        fields |= {"csrf_token": self.phone.token(), "seen": seen_in(text), "act": act}
        fields |= {"entry": list(entry), "type": list(type)} | changes
        return self.phone.client.post("/desk/types/decide", data=fields)

    def known(self):
        return [each for each in self.phone.client.get("/api/types").json["types"] if each["state"] != "unchecked"]


@pytest.fixture
def lead(phone):
    return Lead(phone)


def test_what_is_never_carried_is_left_out_and_said():
    never = {
        "vehicle.arch-gap": {"number": 31, "text": "31", "unit": "mm"}, "vehicle.high-voltage": "yes",
        "vehicle.tyre-size": "205/55 R16", "vehicle.sensor-gap-now": {"number": 1, "text": "1", "unit": "mm"},
        "vehicle.parking-brake": "cable", "vehicle.rear-brake": "disc", "vehicle.caliper-bracket": "moves-with-hub",
        "vehicle.suspension": "steel", "vehicle.sensor-gap": "within", "vehicle.pilot": "centred",
        "vehicle.tyre-radius": {"number": 316, "text": "316", "unit": "mm"}, "vehicle.driven-allowed": "both-allow",
    }  # fmt: skip
    assert left_out(facts=never) == dict.fromkeys(never, NEVER)
    assert (
        proposal_of({"type": a_type(facts=never)})["type"]["parts"].keys().isdisjoint(f"fact/{slot}" for slot in never)
    )
    kept = proposal_of({"type": a_type(facts={"vehicle.pilot": "no-pilot"})})
    assert kept["type"]["parts"]["fact/vehicle.pilot"] == "no-pilot"


def test_bolts_are_kept_without_engagement_and_length_and_lugs_without_theirs():
    bolts = {
        "bolts": {"at": [[50, 45]], "class": "10.9", "engaged_mm": 18, "turns": 9, "blind_depth_mm": 30},
        "length_mm": 45,
    }
    facts = {"vehicle.bolts": bolts, "vehicle.bracket-lugs": {"lugs": [[95, 70]], "engaged_mm": 16, "stock": []}}
    made = proposal_of({"type": a_type(facts=facts)})
    assert made["type"]["parts"]["fact/vehicle.bolts"] == {"bolts": {"at": [[50, 45]], "class": "10.9"}}
    assert made["type"]["parts"]["fact/vehicle.bracket-lugs"] == {"lugs": [[95, 70]]}
    assert ["engagement and length of the hub bolts", NEVER] in made["left_out"]
    assert ["engagement and spacers of the bracket lugs", NEVER] in made["left_out"]


def test_lugs_are_taken_as_a_job_has_them_too_and_none_that_no_phone_could_enter():
    lugs = {
        "typed": {"lugs": "95, 70", "stock": "2 x 10"},
        "bracket": {"lugs": [[95, 70]], "stock": [], "engaged_mm": 18},
    }
    made = proposal_of({"type": a_type(facts={"vehicle.bracket-lugs": lugs})})
    assert made["type"]["parts"]["fact/vehicle.bracket-lugs"] == {"lugs": [[95, 70]]}
    assert made["left_out"] == [["engagement and spacers of the bracket lugs", NEVER]]
    plain = {"vehicle.bracket-lugs": {"lugs": [[95.5, 110]] * MOST_LUGS}}
    assert left_out(facts=plain) == {}
    for wrong in ([[95, 70]] * (MOST_LUGS + 1), [[9, 70]], [[95, 361]], [], "95"):
        assert left_out(facts={"vehicle.bracket-lugs": {"lugs": wrong}}) == {"vehicle.bracket-lugs": BAD}


@pytest.mark.parametrize("missing", KEYS)
def test_windows_and_heights_are_carried_only_with_all_their_keys_and_a_source(missing):
    height = window(
        "vehicle.ride-height-left", value={"low": {"number": 350, "text": "350", "unit": "mm"}, "high": None}
    )
    made = proposal_of({"type": a_type(windows=[window(**{missing: " "}), height | {missing: None}])})
    assert [why for _, why in made["left_out"]] == [NO_KEYS, NO_KEYS]
    assert not [key for key in made["type"]["parts"] if key.startswith("window/")]
    whole = proposal_of({"type": a_type(windows=[window(), height])})
    assert sum(key.startswith("window/") for key in whole["type"]["parts"]) == 2
    assert BAD in left_out(windows=[window(source="")]).values()


def test_torques_are_carried_only_with_the_bolts_grade_and_their_source():
    torque = {"slot": "fit.torque", "value": TORQUE}
    assert list(left_out(torques=[torque]).values()) == [NO_GRADE]
    assert list(left_out(torques=[torque | {"grade": "10.9", "value": TORQUE | {"source": ""}}]).values()) == [BAD]
    assert list(left_out(torques=[torque | {"grade": "10.9", "slot": "fit.other"}]).values()) == [UNKNOWN]
    assert left_out() == {}


def test_nothing_is_carried_of_a_part_that_was_replaced(phone):
    past = PastJob(phone).set("fit.parts-used", {"bearing": "replaced"}).set("vehicle.bushes-springs", "repaired")
    height = window(
        "vehicle.ride-height-left", value={"low": {"number": 350, "text": "350", "unit": "mm"}, "high": None}
    )
    past.set("finish.vehicle-type", {"type": a_type(windows=[window(), height])}).sign()
    (listed,) = phone.client.get("/api/types").json["types"]
    parts = listed["type"]["parts"]
    assert not {"fact/vehicle.mounting", "fact/vehicle.pilot-diameter"} & parts.keys()
    assert [key.split("/")[1] for key in parts if key.startswith("window/")] == ["window.left.camber"]
    assert f"vehicle.pilot-diameter {REPLACED}" in words_of(phone.client.get("/desk/types/"))


@pytest.mark.parametrize("value", [
    None, "text", {"type": []}, {"type": {"make": "", "model": "x"}}, {"type": {"make": "x" * 61, "model": "y"}},
    {"type": {"make": "a", "model": "b", "facts": [], "windows": {}, "torques": "x", "usual": 4}},
    {"type": {"make": "a", "model": "b", "facts": {"vehicle.bolts": [1], "vehicle.bracket-lugs": 4}, "windows": [1],
              "torques": [None, {"slot": "fit.torque", "grade": [1], "value": {"unit": "nm"}}], "years": "x", "of": 3}},
])  # fmt: skip
def test_a_proposal_of_another_program_breaks_nothing(phone, lead, value):
    PastJob(phone).set("finish.vehicle-type", value).sign()
    assert lead.list()


@on_both_databases
def test_a_proposal_waits_is_accepted_and_reaches_phones_with_an_etag(phone, lead):
    open_job = PastJob(phone).set("finish.vehicle-type", {"type": a_type(make="Open")}).send()
    job, _ = proposing(phone)
    (entry,) = lead.waiting()
    assert open_job not in lead.list()
    first = phone.client.get("/api/types")
    same = phone.client.get("/api/types", headers={"If-None-Match": first.headers["ETag"]})
    assert (same.status_code, same.data) == (304, b"")
    assert lead.decide(entry=[entry]).status_code == 303
    again = phone.client.get("/api/types", headers={"If-None-Match": first.headers["ETag"]})
    (known,) = again.json["types"]
    assert (known["state"], known["revision"], known["type"]["make"]) == ("accepted", 1, "Castelan")
    assert {part["day"] for key, part in known["type"]["parts"].items() if key.startswith("window/")} == {"2026-11-25"}
    page = phone.client.get(f"/desk/types/{known['id']}").text
    assert job in page
    assert "1.50° to 0.50° top in" in page or "0.50° to 1.50° top in" in page
    assert "kept a vehicle type" in phone.client.get("/desk/audit").text


def test_what_another_answer_takes_out_of_a_proposal_reaches_phones_that_have_the_list(phone):
    """Cause: the ETag knew the proposing entries alone, which stay the same when a part is said to be replaced."""
    job, _ = proposing(phone)
    first = phone.client.get("/api/types")
    assert "fact/vehicle.mounting" in first.json["types"][0]["type"]["parts"]
    phone.sync([phone.entry(job, "field-set", {"value": {"bearing": "replaced"}}, "fit.parts-used")])
    again = phone.client.get("/api/types", headers={"If-None-Match": first.headers["ETag"]})
    assert again.status_code == 200
    assert "fact/vehicle.mounting" not in again.json["types"][0]["type"]["parts"]


@pytest.mark.parametrize("place", ["²", "١", "9" * 5000, "-1", "7"])
def test_a_place_that_is_none_is_asked_for_again(phone, lead, place):
    """Cause: a raised two is a digit to Python, and no number: the page answered 500."""
    proposing(phone)
    answer = lead.decide(entry=lead.waiting(), **{"part.0": place})
    assert answer.status_code == 422
    assert "nobody has said which answer holds" in answer.text


@on_both_databases
def test_two_phones_that_propose_one_type_are_shown_side_by_side_and_merged(phone, second_phone, lead):
    proposing(phone)
    other = {"vehicle.mounting": "bolt-on-stub", "vehicle.axle-nut": "no"}
    proposing(second_phone, "CD 2", make="CASTELAN", model="Verro-Saloon", facts=other)
    entries = lead.waiting()
    assert "they differ in 1 part<" in lead.list()
    text = lead.open(entry=entries)
    assert text.count("Two answers: say which one holds.") == 1
    refused = lead.decide(entry=entries)
    assert (refused.status_code, "Of 1 part nobody has said" in refused.text) == (422, True)
    fieldset = next(part for part in text.split("<fieldset>") if "Two answers" in part)
    number = re.search(r'name="(part\.\d+)"', fieldset)[1]
    assert lead.decide(entry=entries, **{number: "1"}).status_code == 303
    (known,) = lead.known()
    assert known["type"]["parts"]["fact/vehicle.mounting"] == "bolt-on-stub"
    assert known["type"]["parts"]["fact/vehicle.axle-nut"] == "no", "what only one of them says is taken too"
    assert "fact/vehicle.bolts" in known["type"]["parts"]
    assert lead.waiting() == []


@on_both_databases
def test_a_change_of_a_known_type_is_its_next_revision_and_open_jobs_of_the_older_one_are_shown(phone, lead):
    proposing(phone)
    lead.decide(entry=lead.waiting())
    (known,) = lead.known()
    user = PastJob(phone, "EF 3")
    user.add("field-set", "vehicle.mounting", {"value": "bolt-on-unit", "from": {"type": known["id"], "revision": 1}})
    user = user.send()
    proposing(phone, "GH 4", base={"type": known["id"], "revision": 1}, windows=[window(low=-1400)])
    (entry,) = lead.waiting()
    text = lead.open(entry=[entry], type=[known["id"]])
    number = re.search(r'name="(part\.\d+)"', next(p for p in text.split("<fieldset>") if "Two answers" in p))[1]
    assert lead.decide(entry=[entry], type=[known["id"]], **{number: "1"}).status_code == 303
    (second,) = lead.known()
    (part,) = (p for key, p in second["type"]["parts"].items() if key.startswith("window/"))
    assert (second["revision"], part["value"]["low"]["mdeg"]) == (2, -1400)
    page = words_of(phone.client.get(f"/desk/types/{known['id']}"))
    assert "revision 1 an older one, and the job is open" in page
    assert user in phone.client.get(f"/desk/types/{known['id']}").text


@on_both_databases
def test_a_lead_edits_merges_refuses_retires_and_brings_back_each_as_a_revision(app, phone, lead):
    proposing(phone)
    proposing(phone, "CD 2", model="Verro estate")
    first, second = lead.waiting()
    lead.decide(entry=[first])
    lead.decide(entry=[second])
    ids = [each["id"] for each in lead.known()]
    text = lead.open(type=[ids[0]])
    edition = re.search(r'name="(text\.\d+\.edition)" value="2024-03"', text)[1]
    assert lead.decide(type=[ids[0]], **{edition: "2025-01"}).status_code == 303
    assert lead.decide(type=[ids[0]], **{edition: " "}).status_code == 422
    edited = next(each for each in lead.known() if each["id"] == ids[0])
    assert edited["revision"] == 2
    assert any(key.endswith("/2025-01") for key in edited["type"]["parts"])
    assert lead.decide(type=ids).status_code == 303
    merged = {each["id"]: each for each in lead.known()}
    assert (merged[ids[0]]["revision"], merged[ids[1]]["state"], merged[ids[1]]["merged_into"]) == (3, "merged", ids[0])
    assert "type" not in merged[ids[1]]
    for act, state in (("retire", "retired"), ("bring-back", "accepted")):
        fields = {"csrf_token": phone.token()}
        assert phone.client.post(f"/desk/types/{ids[0]}/{act}", data=fields).status_code == 303
        assert next(each for each in lead.known() if each["id"] == ids[0])["state"] == state
    with app.extensions["database"].transaction() as connection:
        assert [row["revision"] for row in types.revisions(connection, ids[0])] == [5, 4, 3, 2, 1]
    proposing(phone, "EF 3", make="Wrong")
    assert lead.decide(act="refuse", entry=lead.waiting()).status_code == 303
    assert lead.waiting() == []
    assert "refused a proposed vehicle type" in phone.client.get("/desk/audit").text


@on_both_databases
def test_what_was_changed_meanwhile_is_looked_at_again_and_what_was_decided_is_not_decided_twice(phone, lead):
    proposing(phone)
    (entry,) = lead.waiting()
    lead.decide(entry=[entry])
    fields = {"csrf_token": phone.token(), "entry": entry, "act": "keep", "seen": "0" * 64}
    assert phone.client.post("/desk/types/decide", data=fields).status_code == 404
    (known,) = lead.known()
    stale = lead.decide(type=[known["id"]], seen="0" * 64)
    assert (stale.status_code, "Somebody has changed one of these meanwhile" in stale.text) == (422, True)
    for path in (f"/desk/types/{uuid.uuid4()}", "/desk/types/decide?type=x", "/desk/types/decide"):
        assert phone.client.get(path).status_code == 404


def test_a_job_that_is_opened_again_or_erased_proposes_nothing(app, clock, phone, lead):
    job, _ = proposing(phone)
    sheet = phone.client.get(f"/api/jobs/{job}/entries").json["entries"]
    signed = [each["id"] for each in sheet if each["kind"] == "job-signed"]
    assert lead.waiting()
    phone.sync([phone.entry(job, "job-reopened", {"reopens": signed, "reason": "rattles"})])
    assert lead.waiting() == []
    erased, _ = proposing(phone, "ZZ 1")
    assert lead.waiting()
    with app.extensions["database"].transaction() as connection:
        erase_job(connection, erased, clock())
    assert lead.waiting() == []


def test_technicians_look_and_the_office_decides(owner, shop_app):
    for name, role in (("Tim Tech", "technician"), ("Olga Office", "office")):
        owner.add_person(name, role)
    technician, office = (Desk(shop_app).signed_in(name) for name in ("Tim Tech", "Olga Office"))
    assert [desk.get("/desk/types/").status_code for desk in (technician, office)] == [200, 200]
    assert [desk.get("/desk/types/decide?type=x").status_code for desk in (technician, office)] == [403, 404]
    assert technician.post(f"/desk/types/{uuid.uuid4()}/retire", page="/desk/me").status_code == 403
