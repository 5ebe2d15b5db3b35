"""The attack list, part one: coming in. Sessions, cookies, other people's data, other sites, redirects, proxies."""

import hashlib
import re

import pytest

from server.auth.cookies import HOST_NAME
from tests.server.desks import HTTPS, OWNER, PASSWORD, Desk, FarPhone
from tests.server.phones import problem
from tests.server.pictures_to_send import encoded, picture

DESK_PAGES = ["/desk/", "/desk/jobs/{job}", "/desk/phones", "/desk/people", "/desk/audit", "/desk/import", "/desk/me"]
API_READS = [
    "/api/session",
    "/api/ring-sets",
    "/api/jobs?registration=TM1",
    "/api/jobs/{job}/entries",
    "/api/photos/{photo}",
]
DESK_WRITES = ["/desk/people", "/desk/phones/code", "/desk/import", "/desk/me", "/desk/phones/{job}/end",
               "/desk/people/{job}/role", "/desk/people/{job}/password", "/desk/people/{job}/deactivate"]  # fmt: skip


@pytest.fixture
def photographed(far_phone, job):
    """A job with a photo that has arrived; returns the photo's name."""
    content = encoded()
    name = hashlib.sha256(content).hexdigest()
    body = {
        "sha256": name,
        "mime": "image/jpeg",
        "bytes": len(content),
        "width": 30,
        "height": 20,
        "about": "x",
        "caption": "",
    }
    far_phone.post([far_phone.entry(job, "photo-attached", body)])
    assert far_phone.put_photo(name, content).status_code == 201
    return name


def test_a_stranger_reads_nothing(shop_app, photographed, job):
    stranger = FarPhone(shop_app)
    for path in API_READS:
        answer = stranger.ask("GET", path.format(job=job, photo=photographed))
        assert (answer.status_code, problem(answer)) == (403, "not-paired"), path
    for path in DESK_PAGES:
        answer = stranger.ask("GET", path.format(job=job))
        assert (answer.status_code, answer.location.split("?")[0]) == (303, "/desk/sign-in"), path


def test_a_stranger_with_a_valid_token_changes_nothing(shop_app, job):
    """The token of the sign-in page shows that the browser is at our page, not who sits there."""
    desk = Desk(shop_app)
    for path in DESK_WRITES:
        answer = desk.post(path.format(job=job), {"name": "x", "role": "owner", "new": PASSWORD, "again": PASSWORD})
        assert answer.status_code == 401, path
        assert "no longer signed in" in answer.text


def test_a_paired_phone_is_no_person(far_phone, job):
    for path in DESK_PAGES:
        assert far_phone.ask("GET", path.format(job=job)).status_code == 303, path


def test_a_signed_in_person_is_no_phone(owner, photographed):
    for path in ("/api/session", "/api/ring-sets", "/api/jobs?registration=x"):
        assert owner.get(path).status_code == 403, path
    assert owner.get(f"/api/photos/{photographed}").status_code == 200, "the desk shows photos"
    token = re.search(r'name="csrf_token" value="([^"]+)"', owner.get("/desk/me").text)[1]
    answer = owner.client.put(
        f"/api/photos/{photographed}", data=encoded(), base_url=HTTPS, headers={"X-CSRFToken": token, "Referer": HTTPS}
    )
    assert answer.status_code == 403


def test_a_guessed_photo_name_gives_nothing(shop_app, owner, far_phone, photographed):
    """Neither reading, nor planting, nor learning whether it is here."""
    guesses = [hashlib.sha256(bytes([k])).hexdigest() for k in range(5)]
    for name in guesses:
        assert problem(far_phone.ask("GET", f"/api/photos/{name}")) == "no-such-photo"
    content = encoded(picture(30, 20))
    assert problem(far_phone.put_photo(hashlib.sha256(content).hexdigest(), content)) == "photo-not-wanted"
    other = FarPhone(shop_app, "192.0.2.78")
    other.pair(owner.make_code("Van phone"))
    assert problem(other.put_photo(photographed, encoded())) == "photo-not-wanted", "held, but not this phone's to send"
    for name in ("..", "%2e%2e%2fsecret-key", "A" * 64, "a" * 63, "a" * 65, photographed.upper()):
        assert problem(far_phone.ask("GET", f"/api/photos/{name}")) in ("photo-name", "not-found")


def test_a_planted_session_does_not_become_the_victims(shop_app):
    """Session fixation: what the attacker knows before the sign-in is worth nothing after it."""
    attacker, victim = Desk(shop_app, "198.51.100.9"), Desk(shop_app)
    token = re.search(r'name="csrf_token" value="([^"]+)"', attacker.get("/desk/sign-in").text)[1]
    planted = attacker.client.get_cookie(HOST_NAME, domain="shop.example").value
    victim.client.set_cookie(HOST_NAME, planted, domain="shop.example")
    victim.signed_in()
    assert victim.client.get_cookie(HOST_NAME, domain="shop.example").value != planted
    assert attacker.get("/desk/").status_code == 303
    answer = victim.client.post(
        "/desk/sign-out", data={"csrf_token": token}, base_url=HTTPS, headers={"Referer": f"{HTTPS}/"}
    )
    assert answer.status_code == 400, "the token that the attacker knows is dead"
    assert victim.get("/desk/").status_code == 200


def test_a_planted_session_does_not_become_a_phones(shop_app, owner):
    attacker, phone = FarPhone(shop_app, "198.51.100.9"), FarPhone(shop_app)
    token = attacker.ask("GET", "/api/pair").json["csrf"]
    planted = attacker.client.get_cookie(HOST_NAME, domain="shop.example").value
    phone.client.set_cookie(HOST_NAME, planted, domain="shop.example")
    assert phone.pair(owner.make_code()).status_code == 200
    assert attacker.session().status_code == 403
    body = {"device": phone.device, "since": None, "entries": []}
    assert problem(phone.ask("POST", "/api/entries", json=body, headers={"X-CSRFToken": token})) == "csrf-failed"


def test_a_stolen_cookie_dies_with_the_sign_out(owner, shop_app):
    thief = Desk(shop_app, "198.51.100.9")
    stolen = owner.client.get_cookie(HOST_NAME, domain="shop.example").value
    thief.client.set_cookie(HOST_NAME, stolen, domain="shop.example")
    assert thief.get("/desk/").status_code == 200
    owner.post("/desk/sign-out")
    assert thief.get("/desk/").status_code == 303


SPOILS = [lambda c: c[:-3] + "abc", lambda c: "e30." + c.partition(".")[2], lambda _: "x", lambda _: "{}"]


@pytest.mark.parametrize("spoil", SPOILS)
def test_a_spoiled_cookie_is_no_cookie(owner, far_phone, spoil):
    for each, ask, status in ((owner, lambda: owner.get("/desk/"), 303), (far_phone, far_phone.session, 403)):
        good = each.client.get_cookie(HOST_NAME, domain="shop.example").value
        each.client.set_cookie(HOST_NAME, spoil(good), domain="shop.example")
        assert ask().status_code == status


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_posts_from_other_sites_are_refused_even_with_cookie_and_token(owner, far_phone, site):
    token = re.search(r'name="csrf_token" value="([^"]+)"', owner.get("/desk/me").text)[1]
    for path in ("/desk/sign-out", "/desk/phones/code", "/desk/people", "/desk/import"):
        answer = owner.client.post(
            path, data={"csrf_token": token, "name": "x"}, base_url=HTTPS,
            headers={"Referer": f"{HTTPS}/", "Sec-Fetch-Site": site},
        )  # fmt: skip
        assert answer.status_code == 403
        assert "another site" in answer.text
    headers = {"X-CSRFToken": far_phone.token(), "Sec-Fetch-Site": site}
    assert problem(far_phone.ask("POST", "/api/entries", json={}, headers=headers)) == "cross-site"


@pytest.mark.parametrize(
    "referer", ["https://evil.example/", "http://shop.example/", "https://shop.example.evil.example/"]
)
def test_over_https_the_page_that_sends_must_be_ours(far_phone, referer):
    answer = far_phone.ask(
        "POST", "/api/entries", json={}, headers={"X-CSRFToken": far_phone.token(), "Referer": referer}
    )
    assert problem(answer) == "csrf-failed"


@pytest.mark.parametrize(
    "onward",
    ["https://evil.example/", "//evil.example/", "/desk//evil.example", "/\\evil.example", "/desk/\\..\\x",
     "javascript:alert(1)",
     "/desk/\r\nSet-Cookie: a=b", "", "/api/session"],
)  # fmt: skip
def test_signing_in_leads_nowhere_else(shop_app, onward):
    answer = Desk(shop_app).post("/desk/sign-in", {"name": OWNER, "password": PASSWORD, "next": onward})
    assert (answer.status_code, answer.location) == (303, "/desk/")


def test_forwarded_headers_are_not_believed_unless_a_proxy_is_configured(shop_app, make_shop_app):
    forged = {"X-Forwarded-For": "127.0.0.1", "X-Forwarded-Proto": "https", "X-Forwarded-Host": "localhost"}
    there = {"environ_base": {"REMOTE_ADDR": "198.51.100.9"}, "base_url": "http://shop.example"}
    for app, name in ((shop_app, "tapermark"), (make_shop_app(PROXIES=1), HOST_NAME)):
        answer = app.test_client().get("/api/pair", headers=forged, **there)
        assert answer.headers["Set-Cookie"].startswith(f"{name}=")


def test_behind_a_proxy_the_address_is_the_one_that_the_nearest_proxy_saw(make_shop_app):
    """A client's own X-Forwarded-For stands further left and counts for nothing."""
    app = make_shop_app(PROXIES=1)
    headers = {
        "X-Forwarded-For": "127.0.0.1, 203.0.113.77",
        "X-Forwarded-Proto": "https",
        "Referer": "https://shop.example/",
    }
    client, there = app.test_client(), {"base_url": "http://shop.example", "environ_base": {"REMOTE_ADDR": "10.0.0.2"}}
    token = client.get("/api/pair", headers=headers, **there).json["csrf"]
    for _ in range(6):
        answer = client.post("/api/pair", json={"code": "AAAAAAA3"}, headers=headers | {"X-CSRFToken": token}, **there)
    assert answer.status_code == 429
    other = headers | {"X-Forwarded-For": "127.0.0.1, 203.0.113.78", "X-CSRFToken": token}
    assert client.post("/api/pair", json={"code": "AAAAAAA3"}, headers=other, **there).status_code == 403


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1", "[::1]"])
def test_a_proxy_that_hides_the_name_opens_no_demo(make_app, host):
    """DNS rebinding and header tricks: the demo is for this machine's own browsers alone."""
    app = make_app(PROXIES=1, DEMO_JOBS=False)
    answer = app.test_client().get("/api/session", headers={"X-Forwarded-For": "198.51.100.9", "Host": host})
    assert problem(answer) == "not-paired"


def test_over_https_the_browser_is_told_to_stay_there_and_on_loopback_it_is_not(shop_app):
    client = shop_app.test_client()
    strict = "Strict-Transport-Security"
    assert strict in client.get("/", base_url=HTTPS).headers
    assert strict in client.get("/api/session", base_url=HTTPS).headers
    for base_url in ("http://shop.example", "https://localhost", "https://127.0.0.1:8000"):
        assert strict not in client.get("/", base_url=base_url).headers
