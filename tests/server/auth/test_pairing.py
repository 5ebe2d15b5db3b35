"""Pairing a phone by a code: once, in time; and ending a pairing. ASVS 6.5."""

import math
import re
import threading

import pytest
import segno

from server.auth import pairing
from server.limits import DAY_MS
from server.store.schema import pairing_code
from tests.at_once import LIMIT_S, all_ended
from tests.server.desks import PASSWORD, Desk, FarPhone
from tests.server.phones import Phone, problem
from tests.server.pictures_to_send import attach, encoded, name_of


def make_code(app):
    return Desk(app).signed_in().make_code()


def test_a_phone_pairs_by_the_code_and_syncs(any_shop_app, job):
    phone = FarPhone(any_shop_app)
    assert (phone.session().status_code, problem(phone.session())) == (403, "not-paired")
    answer = phone.pair(make_code(any_shop_app))
    assert answer.status_code == 200
    assert answer.json["shop"] == {"name": "Larkmoor Wheel Works", "demo": False}
    assert answer.headers["Set-Cookie"].startswith("__Host-tapermark=")
    assert phone.session().json["pairing"] == answer.json["pairing"]
    assert phone.post([phone.entry(job)]).json["results"][0]["verdict"] == "accepted"


def test_codes_have_eight_characters_that_nobody_misreads_and_more_than_20_bits(shop_app):
    code = pairing.as_made(make_code(shop_app))
    assert len(code) == 8
    assert set(code) <= set(pairing.LETTERS)
    assert not set(pairing.LETTERS) & set("0O1IL2Z5S8B")
    assert 8 * math.log2(len(set(pairing.LETTERS))) > 36


@pytest.mark.parametrize(
    "change", [str.lower, lambda code: code.replace("-", ""), lambda code: f"  {code[:2]} {code[2:]} "]
)
def test_a_code_counts_however_it_is_typed(shop_app, change):
    assert FarPhone(shop_app).pair(change(make_code(shop_app))).status_code == 200


def test_a_code_works_once(any_shop_app):
    code = make_code(any_shop_app)
    assert FarPhone(any_shop_app).pair(code).status_code == 200
    answer = FarPhone(any_shop_app).pair(code)
    assert (answer.status_code, problem(answer)) == (403, "pair-code-wrong")


def test_a_code_lives_ten_minutes(shop_app, clock):
    early, late = make_code(shop_app), make_code(shop_app)
    clock.now_ms += 10 * 60_000 - 1
    assert FarPhone(shop_app).pair(early).status_code == 200
    clock.now_ms += 1
    assert problem(FarPhone(shop_app).pair(late)) == "pair-code-wrong"


def test_wrong_codes_from_a_stranger_kill_no_code(any_shop_app):
    """Cause: every wrong code counted against all codes alive, so five from anywhere kept everybody from pairing."""
    code, stranger = make_code(any_shop_app), FarPhone(any_shop_app, "198.51.100.9")
    tries = [problem(stranger.pair("AAAAAAA3")) for _ in range(7)]
    assert tries == ["pair-code-wrong"] * 5 + ["too-many-tries"] * 2
    for k in range(10, 20):
        assert problem(FarPhone(any_shop_app, f"198.51.100.{k}").pair("AAAAAAA3")) == "pair-code-wrong"
    assert FarPhone(any_shop_app).pair(code).status_code == 200


def test_a_codes_life_has_room_for_some_sixty_guesses_from_however_many_places(shop_app, clock):
    """What keeps a code from being guessed, since wrong ones do not kill it."""
    passed, place = 0, 0
    for _ in range(10 * 60 // 5):
        for _ in range(50):
            place += 1
            answer = FarPhone(shop_app, f"198.{18 + place // 65536}.{place // 256 % 256}.{place % 256}").pair(
                "AAAAAAA3"
            )
            if answer.status_code == 429:
                break
            passed += 1
        clock.now_ms += 5_000
    assert 50 <= passed <= 62


def test_of_two_phones_at_the_same_moment_one_is_paired(any_shop_app):
    code, both = make_code(any_shop_app), threading.Barrier(2)

    def redeem(phone):
        token = phone.ask("GET", "/api/pair").json["csrf"]
        both.wait(LIMIT_S)
        return phone.ask("POST", "/api/pair", json={"code": code}, headers={"X-CSRFToken": token}).status_code

    assert sorted(all_ended(redeem, [FarPhone(any_shop_app, f"192.0.2.{k}") for k in (50, 51)])) == [200, 403]


def test_the_store_knows_a_code_only_as_a_keyed_digest(owner, shop_app):
    code = pairing.as_made(owner.make_code())
    with shop_app.extensions["database"].transaction() as connection:
        row = connection.execute(pairing_code.select()).one()
    assert re.fullmatch("[0-9a-f]{64}", row.digest)
    assert code not in str(row)
    assert row.digest != pairing._digest("another key", code)


def test_a_paired_phone_that_pairs_again_ends_its_former_pairing(far_phone, owner):
    former = far_phone.session().json["pairing"]
    assert far_phone.pair(owner.make_code("Same phone again")).json["pairing"] != former
    page = owner.get("/desk/phones").text
    assert page.count("End pairing") == 1
    assert "■ ended" in page


def test_an_ended_pairing_is_refused_at_the_next_call_and_pairing_again_sends_everything(far_phone, owner, job):
    """What is unsent waits on the phone; entries keep their device and arrive once."""
    far_phone.post([far_phone.entry(job)])
    ended = far_phone.session().json["pairing"]
    owner.post(f"/desk/phones/{ended}/end")
    waiting = far_phone.entry(job)
    body = {"device": far_phone.device, "since": None, "entries": [waiting]}
    token = far_phone.ask("GET", "/api/pair").json["csrf"]
    answer = far_phone.ask("POST", "/api/entries", json=body, headers={"X-CSRFToken": token})
    assert (answer.status_code, problem(answer)) == (401, "pairing-ended")
    assert problem(far_phone.session()) == "pairing-ended"
    far_phone.pair(owner.make_code())
    assert far_phone.post([waiting]).json["results"][0]["verdict"] == "accepted"
    assert ("Ines Tavell", "ended a pairing", "Pit phone") in owner.audit()


def test_the_session_of_a_phone_lasts_400_days_from_its_last_sync_and_ends_with_its_pairing(far_phone, clock):
    cookie = far_phone.session().headers["Set-Cookie"]
    assert "Expires=" in cookie
    clock.now_ms += 399 * DAY_MS
    assert far_phone.session().status_code == 200


def test_one_browser_may_be_phone_and_desk(far_phone, owner):
    """On the owner's own PC: neither ends the other, and the pairing keeps its 400 days."""
    here = Desk(far_phone.client.application, far_phone.address)
    here.client = far_phone.client
    answer = here.sign_in()
    assert "Expires=" in answer.headers["Set-Cookie"]
    assert far_phone.session().status_code == 200
    assert far_phone.pair(owner.make_code("Again")).status_code == 200
    assert here.get("/desk/").status_code == 200
    here.post("/desk/sign-out")
    assert far_phone.session().status_code == 200


def test_pairing_needs_a_token_as_every_write_does(shop_app):
    code = make_code(shop_app)
    phone = FarPhone(shop_app)
    assert problem(phone.ask("POST", "/api/pair", json={"code": code})) == "csrf-failed"
    assert problem(phone.pair(code, **{"Sec-Fetch-Site": "cross-site"})) == "cross-site"
    assert phone.pair(code).status_code == 200


def test_codes_and_passwords_do_not_travel_in_the_clear(shop_app):
    """Over plain http only on the machine itself."""
    code = make_code(shop_app)
    shop, here = "shop.example", "127.0.0.1"
    for address, host, status in (("192.0.2.7", shop, 403), (here, shop, 403), (here, here, 200)):
        client = shop_app.test_client()
        there = {"environ_base": {"REMOTE_ADDR": address}, "base_url": f"http://{host}"}
        token = client.get("/api/pair", **there).json["csrf"]
        headers = {"X-CSRFToken": token}
        answer = client.post("/api/pair", json={"code": code}, headers=headers, **there)
        assert answer.status_code == status
        assert status == 200 or answer.json["error"]["code"] == "https-needed"
        sign_in = client.post("/desk/sign-in", data={"name": "x", "password": PASSWORD}, headers=headers, **there)
        assert ("only over HTTPS" in sign_in.text) == (status == 403)


@pytest.mark.parametrize(
    "body", [b"", b"[]", b"{}", b'{"code":7}', b'{"code":""}', b'{"code":"' + b"A" * 41 + b'"}', b"\xff"]
)
def test_a_body_that_is_no_code_is_refused(shop_app, body):
    phone = FarPhone(shop_app)
    token = phone.ask("GET", "/api/pair").json["csrf"]
    answer = phone.ask("POST", "/api/pair", data=body, headers={"X-CSRFToken": token})
    assert problem(answer) in ("not-json", "wrong-request")


def test_phones_are_listed_with_what_they_said(far_phone, owner, clock, job):
    assert "never synced" in owner.get("/desk/phones").text
    clock.now_ms += 60_000
    far_phone.post([far_phone.entry(job)], unsent=3, version="0.2.0")
    page = owner.get("/desk/phones").text
    for part in ("Pit phone", "2026-09-21 14:14 UTC", "3 waiting on the phone", "0.2.0", "code by Ines Tavell"):
        assert part in page, part
    far_phone.post([], unsent=0)
    assert "3 waiting" not in owner.get("/desk/phones").text


def test_the_desk_sees_whose_storage_is_kept(far_phone, owner):
    far_phone.post([])  # an older program says nothing of it
    assert ">not said</td>" in row_of_storage(owner)
    far_phone.post([], kept=False)
    assert "may be cleared" in row_of_storage(owner)
    far_phone.post([], kept=True)
    assert ">kept</td>" in row_of_storage(owner)


def row_of_storage(owner) -> str:
    return next(line for line in owner.get("/desk/phones").text.splitlines() if 'data-label="Storage"' in line)


def test_photos_that_have_not_come_are_counted(far_phone, owner, job):
    body = {"sha256": "ab" * 32, "mime": "image/jpeg", "bytes": 5, "width": 1, "height": 1, "about": "x", "caption": ""}
    far_phone.post([far_phone.entry(job, "photo-attached", body)])
    assert "1 photo to come" in owner.get("/desk/phones").text


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ("unsent", -1),
        ("unsent", "3"),
        ("unsent", True),
        ("kept", 1),
        ("kept", "yes"),
        ("unsent", 10**9),
        ("version", 7),
        ("version", "x" * 41),
        ("version", "a\0"),
    ],
)
def test_what_a_phone_says_of_itself_has_a_shape(far_phone, field, said):
    assert problem(far_phone.post([], **{field: said})) == "wrong-request"


def test_an_older_phone_says_nothing_of_itself(far_phone):
    assert far_phone.post([]).status_code == 200


def test_the_code_is_shown_as_a_square_that_opens_the_app_with_the_code_in_the_fragment(owner):
    page = owner.post("/desk/phones/code", {"name": "Van phone"}).text
    code = re.search(r'<p class="code">([^<]+)</p>', page)[1]
    link = f"https://shop.example/#/pair/{pairing.as_made(code)}"
    path = re.search(r' d="(m[^"]+|M[^"]+)" class="qrline"|class="qrline"[^>]* d="([^"]+)"', page)
    drawn = path[1] or path[2]
    again = segno.make(link, error="m").svg_inline(border=4, omitsize=True)
    assert drawn in again
    assert " style=" not in page


def test_in_the_demo_shop_a_far_phone_can_be_paired_too(app):
    desk = app.test_client()
    token = re.search(r'name="csrf_token" value="([^"]+)"', desk.get("/desk/phones").text)[1]
    page = desk.post("/desk/phones/code", data={"csrf_token": token, "name": "A far one"}).text
    phone = FarPhone(app)
    assert problem(phone.session()) == "not-paired"
    assert phone.pair(re.search(r'<p class="code">([^<]+)</p>', page)[1]).json["shop"]["demo"] is True
    assert Phone(app).client.get("/api/session").status_code == 200


def test_an_ended_pairing_in_the_browser_hides_no_photo_from_who_is_signed_in_there(far_phone, owner, job):
    """Cause: a pairing in the cookie was asked for before the sign-in, so every photo of the desk was refused."""
    attach(far_phone, job, content := encoded())
    assert far_phone.put_photo(name_of(content), content).status_code == 201
    photo = f"/api/photos/{name_of(content)}"
    owner.post(f"/desk/phones/{far_phone.session().json['pairing']}/end")
    assert problem(far_phone.ask("GET", photo)) == "pairing-ended"
    here = Desk(far_phone.client.application, far_phone.address)
    here.client = far_phone.client
    here.signed_in()
    assert here.get(photo).status_code == 200
    here.post("/desk/sign-out")
    assert problem(far_phone.ask("GET", photo)) == "pairing-ended"


def test_ending_a_pairing_asks_once_and_says_what_the_phone_still_has(owner, far_phone, job):
    pairing = far_phone.session().json["pairing"]
    far_phone.post([far_phone.entry(job)], unsent=7)
    assert f'action="/desk/phones/{pairing}/end"' not in owner.get("/desk/phones").text
    asked = owner.get(f"/desk/phones/{pairing}/end")
    assert "7 entries or photos wait on it" in asked.text
    assert far_phone.session().status_code == 200, "asking ends nothing"
    assert owner.post(f"/desk/phones/{pairing}/end", page=f"/desk/phones/{pairing}/end").status_code == 303
    assert far_phone.session().status_code == 401
    assert owner.get("/desk/phones/none/end").status_code == 404


def test_pages_of_the_desk_are_kept_nowhere(owner, far_phone, job):
    far_phone.post([far_phone.entry(job)])
    for page in ("", "sign-in", f"jobs/{job}", "phones", "export.csv", "people", "x"):
        assert owner.get(f"/desk/{page}").headers["Cache-Control"] == "no-store", page
