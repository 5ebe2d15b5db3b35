"""Whom a phone may be: the shop's people, with a short code where the shop wants one; nobody where names are typed."""

import pytest

from server.auth.people import code_digest
from tests.server.desks import OWNER, Desk, FarPhone


@pytest.fixture
def owner(any_shop_app):
    return Desk(any_shop_app).signed_in()


@pytest.fixture
def told(any_shop_app, owner):
    phone = FarPhone(any_shop_app)
    assert phone.pair(owner.make_code()).status_code == 200

    def ask():
        answer = phone.ask("get", "/api/people")
        assert answer.status_code == 200, answer.text
        return {each["name"]: each["code"] for each in answer.json["people"]}

    return ask


def set_code(owner, person, code):
    return owner.post(f"/desk/people/{person}/code", {"code": code})


def test_names_are_typed_until_there_is_a_technician(owner, told):
    assert told() == {}
    person = owner.add_person("Jonah Brask", "technician")
    assert told() == {OWNER: None, "Jonah Brask": None}
    owner.post(f"/desk/people/{person}/deactivate")
    assert told() == {}


def test_a_short_code_comes_as_its_digest_and_can_be_taken_away(owner, told):
    person = owner.add_person("Jonah Brask", "technician")
    assert set_code(owner, person, "0417").status_code == 303
    assert told() == {OWNER: None, "Jonah Brask": code_digest(person, "0417")}
    assert ("set a person’s short code for phones", "Jonah Brask") in [line[1:] for line in owner.audit()]
    assert set_code(owner, person, "").status_code == 303
    assert told()["Jonah Brask"] is None


@pytest.mark.parametrize("code", ["1", "1234567", "12a4", "٤٢", "-12"])
def test_a_code_that_is_none_is_refused_in_words(owner, told, code):
    person = owner.add_person("Jonah Brask", "technician")
    answer = set_code(owner, person, code)
    assert answer.status_code in (400, 422)
    assert "2 to 6 digits" in answer.text
    assert told()["Jonah Brask"] is None


def test_in_the_demo_shop_names_are_typed(desk):
    phone = desk.phone
    desk.post("/desk/people", {"name": "Jonah Brask", "role": "technician", "new": "x" * 30, "again": "x" * 30})
    answer = phone.client.get("/api/people")
    assert answer.json == {"format": 1, "people": []}
    assert phone.client.get("/api/people", headers={"If-None-Match": answer.headers["ETag"]}).status_code == 304
