"""A crowd before a real server process that may have 1,024 files: whom the shop knows comes in all the same.

Cause: 1,100 bare connections shut the HTTPS listener for good; 32 stalled bodies of one technician who had signed out
held every thread; four strangers' addresses took every place for a body, and nobody could sign in or pair.
"""

import json
import sys
import time
import urllib.parse
import urllib.request
from contextlib import ExitStack
from datetime import UTC, datetime
from http.cookiejar import CookieJar

import pytest

from server.auth.cookies import PLAIN_NAME
from server.keys.certificate import make
from server.listen import limits
from server.web.slow_bodies import sender_of
from tests.faults import crowd
from tests.live_server import LiveServer
from tests.server.desks import OWNER, PASSWORD, Desk, FarPhone

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="needs 127.0.0.0/8, /proc and a bound on files")
FORM = {"Content-Type": "application/x-www-form-urlencoded"}
SOON_S = 10  # an answer beside a crowd; a busy machine is slow


@pytest.fixture
def stack():
    with ExitStack() as stack:
        yield stack


def cookie_of(desk) -> str:
    return f"{PLAIN_NAME}={next(each.value for each in desk.client._cookies.values() if PLAIN_NAME in each.key)}"


class Browser:
    def __init__(self, server):
        self.url = server.url
        self.opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))

    def ask(self, path, body=None, **headers):
        request = urllib.request.Request(self.url + path, body, {"Referer": f"{self.url}/"} | headers)
        with self.opener.open(request, timeout=SOON_S) as answer:
            return answer.read().decode()


def sign_in(server) -> str:
    browser = Browser(server)
    token = browser.ask("/desk/sign-in").partition('name="csrf_token" value="')[2].partition('"')[0]
    fields = {"csrf_token": token, "name": OWNER, "password": PASSWORD}
    return browser.ask("/desk/sign-in", urllib.parse.urlencode(fields).encode())


def pair(server, code) -> dict:
    browser = Browser(server)
    token = json.loads(browser.ask("/api/pair"))["csrf"]
    headers = {"X-CSRFToken": token, "Content-Type": "application/json"}
    return json.loads(browser.ask("/api/pair", json.dumps({"code": code}).encode(), **headers))


@pytest.mark.full
def test_bare_connections_shut_nobody_out(shop_app):
    store = shop_app.config["STORE_FOLDER"]
    make(store, ["127.0.0.1"], datetime.now(UTC))
    with LiveServer(store, https=True, files=crowd.FILES) as server:
        for addresses in (1, 500):
            with ExitStack() as bare:
                crowd.bare(server, bare, crowd.BARE, [crowd.address(k) for k in range(addresses)])
                assert crowd.answer_s(server) is not None
                assert crowd.open_files(server.pid) < crowd.FILES - 100, "the store has files too"
            assert crowd.seconds_until_answered(server, 60) is not None


@pytest.mark.full
def test_stalled_bodies_keep_nobody_out(clock, shop_app, stack):
    """Of a phone, of sign-ins that have ended, of strangers with four addresses; each alone held every thread."""
    clock.now_ms = int(time.time() * 1000)  # as the live server has it
    owner, far_phone, ended = Desk(shop_app).signed_in(), FarPhone(shop_app), []
    assert far_phone.pair(owner.make_code()).status_code == 200
    code = owner.make_code()
    for _ in range(8):
        desk = Desk(shop_app).signed_in()
        ended.append(cookie_of(desk))
        desk.post("/desk/sign-out")
    with LiveServer(shop_app.config["STORE_FOLDER"], files=crowd.FILES) as server:
        headers = {"Cookie": cookie_of(far_phone), "Content-Type": "application/json"}
        phone = [crowd.stalled(server, stack, "/api/entries", headers, 100_000) for _ in range(limits.THREADS + 8)]
        assert phone[-1].recv(12) == b"HTTP/1.1 429"
        before = [crowd.stalled(server, stack, "/desk/sign-in", FORM | {"Cookie": each}, 9_000) for each in ended * 4]
        for k in range(4 * 16):
            crowd.stalled(server, stack, "/desk/sign-in", FORM, 9_000, crowd.address(k // 16))
        assert "Job sheets" in sign_in(server)
        assert pair(server, code)["pairing"]
        before[-1].settimeout(limits.STRANGERS_BODY_S + SOON_S)
        assert before[-1].recv(12) == b"HTTP/1.1 408", "an ended sign-in is a stranger's, and has a stranger's time"


def test_who_is_no_more_known_is_a_stranger(shop_app, owner, far_phone):
    look = sender_of(shop_app)

    def name_of(cookie):
        return look({
            "REQUEST_METHOD": "POST", "PATH_INFO": "/", "SERVER_NAME": "x", "SERVER_PORT": "80",
            "wsgi.url_scheme": "http", "REMOTE_ADDR": "2001:db8::7", "HTTP_COOKIE": cookie,
        })  # fmt: skip

    person, phone, forged = cookie_of(owner), cookie_of(far_phone), f"{PLAIN_NAME}=x.y.z"
    assert [name is None for name, _ in map(name_of, (person, phone, forged, ""))] == [False, False, True, True]
    assert name_of(phone)[1] == "2001:db8::/64"
    owner.post("/desk/phones/{}/end".format(far_phone.session().json["pairing"]))
    owner.post("/desk/sign-out")
    assert [name_of(each)[0] for each in (person, phone)] == [None, None]
