"""Rings at hand: the desk adds, counts and moves pairs, closed jobs take them; a count that cannot be is shown."""

import re

import pytest

from tests.at_once import all_ended
from tests.server.databases import on_both_databases
from tests.server.demo_desk import words_of
from tests.server.desks import Desk
from tests.server.past_jobs import PastJob


class Stores:
    """The demo shop's desk, and what phones are told."""

    def __init__(self, phone):
        self.phone = phone

    def post(self, path="", **fields):
        fields = {"csrf_token": self.phone.token(), **fields}
        return self.phone.client.post(f"/desk/at-hand{path}", data=fields)

    def told(self):
        answer = self.phone.client.get("/api/rings-at-hand")
        assert answer.status_code == 200, answer.text
        return answer.json

    def place(self, name):
        assert self.post("/places", name=name).status_code == 303
        return next(each["id"] for each in self.told()["places"] if each["name"] == name)

    def change(self, act, place, pairs, ring_set="demo-54", to=""):
        return self.post(act=act, place=place, pairs=str(pairs), ring_set=ring_set, to=to)

    def count(self, place, ring_set="demo-54"):
        found = [c["pairs"] for c in self.told()["counts"] if (c["place"], c["ring_set"]) == (place, ring_set)]
        return found[0] if found else None

    def words(self):
        return words_of(self.phone.client.get("/desk/at-hand"))


@pytest.fixture
def stores(phone):
    return Stores(phone)


def fitted(phone, place, registration="AB 1", **wheels):
    past = PastJob(phone, registration)
    past.plan(1, **(wheels or {"left": ("demo-54", 12, 31), "right": ("demo-54", 1, 2)}))
    if place:
        past.set("finish.rings-from", {"place": place})
    return past


@on_both_databases
def test_the_desk_adds_moves_and_counts_and_a_signed_job_takes_what_went_in(phone, stores):
    store, van = stores.place("Store"), stores.place("Van 1")
    assert stores.change("added", store, 10).status_code == 303
    assert stores.change("moved", store, 4, to=van).status_code == 303
    assert (stores.count(store), stores.count(van), stores.count(van, "demo-66")) == (6, 4, None)
    past = fitted(phone, van)
    past.send()
    assert stores.count(van) == 4, "an open job has taken nothing yet"
    past.sign()
    assert stores.count(van) == 2
    second = fitted(phone, van, "CD 2", left=("demo-54", 5, 6)).tick("fit.left.rings-in")
    second.plan(2, left=("demo-54", 7, 8), open=["left"])
    second.tick("round.2.fit.left.pair-out").tick("round.2.fit.left.rings-in").sign()
    assert stores.count(van) == 0, "rings are cut for one clocking: both pairs are used"
    assert stores.change("counted", van, 7).status_code == 303
    assert stores.count(van) == 7
    audit = words_of(phone.client.get("/desk/audit"))
    assert all(
        what in audit for what in ("added ring pairs", "moved ring pairs", "counted ring pairs", "added a place")
    )


@on_both_databases
def test_a_count_that_cannot_be_is_shown_and_blocks_nothing(phone, stores):
    van = stores.place("Van 1")
    stores.change("counted", van, 1)
    fitted(phone, van).sign()
    assert stores.count(van) == -1
    words = stores.words()
    assert "Van 1, Demo 54: 1 more taken than were there. Count them." in words
    assert "1 too few" in words
    fitted(phone, van, "CD 2").sign()
    assert stores.count(van) == -3
    stores.change("counted", van, 5)
    assert "cannot be" not in stores.words()


@on_both_databases
def test_a_job_that_is_opened_again_gives_back_and_one_that_is_erased_does_not(phone, stores):
    van = stores.place("Van 1")
    stores.change("added", van, 10)
    first, second = fitted(phone, van).sign(), fitted(phone, van, "CD 2").sign()
    sheet = phone.client.get(f"/api/jobs/{first}/entries").json["entries"]
    signed = [each["id"] for each in sheet if each["kind"] == "job-signed"]
    phone.sync([phone.entry(first, "job-reopened", {"reopens": signed, "reason": "rattles"})])
    assert stores.count(van) == 8
    fields = {"csrf_token": phone.token(), "reason": "asked for", "sure": "yes"}
    assert phone.client.post(f"/desk/jobs/{second}/erase", data=fields).status_code == 303
    assert stores.count(van) == 8


def test_the_same_rings_back_in_are_one_pair_and_a_stopped_job_takes_what_is_in(phone, stores):
    van = stores.place("Van 1")
    stores.change("added", van, 10)
    again = fitted(phone, van, left=("demo-54", 5, 6)).tick("fit.left.rings-in")
    again.plan(2, left=("demo-54", 5, 6), open=["left"])
    again.tick("round.2.fit.left.pair-out").tick("round.2.fit.left.rings-in").sign()
    assert stores.count(van) == 9
    stopped = fitted(phone, van, "CD 2").tick("fit.left.rings-in")
    stopped.add("job-stopped", None, {"reason": "part"})
    stopped.send()
    assert stores.count(van) == 8, "the left pair is in, the right one was only planned"


def test_what_jobs_took_without_a_place_is_shown_from_the_first_count_on(phone, stores):
    fitted(phone, None, "OLD 1").sign()
    van = stores.place("Van 1")
    stores.change("added", van, 3)
    assert "Demo 54 3 none" in stores.words()
    fitted(phone, None, "NEW 1").sign()
    fitted(phone, "not an id", "NEW 2", left=("demo-54", 3, 3)).sign()
    assert "Demo 54 3 3" in stores.words()


def test_phones_hear_of_places_in_use_with_an_etag(phone, stores):
    van = stores.place("Van 1")
    stores.change("added", van, 3)
    first = phone.client.get("/api/rings-at-hand")
    assert phone.client.get("/api/rings-at-hand", headers={"If-None-Match": first.headers["ETag"]}).status_code == 304
    assert stores.post(f"/places/{van}/retire").status_code == 303
    assert stores.told() == {"format": 1, "places": [], "counts": []}
    assert stores.post(f"/places/{van}/bring-back").status_code == 303
    assert stores.count(van) == 3


@pytest.mark.parametrize(("changes", "words"), [
    ({"pairs": "x"}, "“x” is no number of pairs: expected 1 to 10000"), ({"pairs": "0"}, "expected 1 to 10000"),
    ({"pairs": "-3"}, "is no number of pairs"), ({"act": "stolen"}, "Say whether they were"),
    ({"act": "moved"}, "from a place to itself"),
])  # fmt: skip
def test_what_is_no_change_is_said_beside_the_form_and_kept(stores, changes, words):
    van = stores.place("Van 1")
    fields = {"act": "added", "place": van, "pairs": "2", "ring_set": "demo-66", "to": van} | changes
    answer = stores.post(**fields)
    assert (answer.status_code, words in answer.text) == (422, True)
    assert re.search(r'<option value="demo-66" selected>', answer.text)
    assert stores.count(van, "demo-66") is None


def test_places_and_ring_sets_that_are_none_are_refused(stores):
    van = stores.place("Van 1")
    assert stores.post("/places", name="VAN 1").status_code == 400
    assert stores.post("/places/none/retire").status_code == 404
    assert stores.change("added", "none", 2).status_code == 404
    assert stores.change("added", van, 2, ring_set="none").status_code == 404


@on_both_databases
def test_two_people_who_add_at_once_both_count(app, stores):
    van = stores.place("Van 1")
    others = [app.test_client() for _ in range(6)]

    def add(client):
        token = client.get("/api/session").json["csrf"]
        fields = {"csrf_token": token, "act": "added", "place": van, "pairs": "1", "ring_set": "demo-54"}
        assert client.post("/desk/at-hand", data=fields).status_code == 303

    all_ended(add, others)
    assert stores.count(van) == 6


def test_technicians_look_and_the_office_counts(owner, shop_app):
    for name, role in (("Tim Tech", "technician"), ("Olga Office", "office")):
        owner.add_person(name, role)
    technician, office = (Desk(shop_app).signed_in(name) for name in ("Tim Tech", "Olga Office"))
    assert technician.get("/desk/at-hand").status_code == 200
    assert "New place" not in technician.get("/desk/at-hand").text
    assert technician.post("/desk/at-hand/places", {"name": "Van 1"}, page="/desk/me").status_code == 403
    assert office.post("/desk/at-hand/places", {"name": "Van 1"}, page="/desk/me").status_code == 303
    assert "Van 1" in technician.get("/desk/at-hand").text
