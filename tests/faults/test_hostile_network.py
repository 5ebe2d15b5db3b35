"""A hostile network between the whole program and the real server: the outbox is unchanged or
emptied, never wrong, and the start screen says which.
"""

import json
import uuid

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect

from tests.faults.hostile_proxy import HostileProxy, Spoil
from tests.live_server import ROOT, LiveServer
from tests.server.pictures_to_send import encoded

pytestmark = pytest.mark.full

WORDS = json.loads((ROOT / "pwa" / "text" / "en" / "phone.json").read_text("utf-8"))
SAVE = """async ([job, text, photo]) => {
    const { openPhone } = await import("/js/store/phone.js");
    const { sha256Hex } = await import("/js/store/photos.js");
    const phone = await openPhone();
    const save = (more) => phone.save({ job, slot: null, after: [], by: "A", ...more });
    const opened = await save({ kind: "job-opened", body: { checklist: 2 } });
    const field = await save({ kind: "field-set", slot: "vehicle.description", body: { value: text } });
    const bytes = Uint8Array.from(photo).buffer;
    const taken = { bytes, mime: "image/jpeg", sha256: await sha256Hex(bytes) };
    const { mime, sha256 } = taken;
    const about = { width: 64, height: 48, about: "witness", caption: "", mime, sha256, bytes: bytes.byteLength };
    const photographed = await save({ kind: "photo-attached", body: about, photo: taken });
    return [opened, field, photographed];
}"""
STATE = "async () => (await (await import('/js/store/phone.js')).openPhone()).unsent()"
GET = "async (path) => { const answer = await fetch(path); return answer.ok ? await answer.json() : answer.status; }"
LIMIT_MS = 25_000

OFFLINE, STRANGER = "sync.offline", "sync.not-our-server"
# Each with what the screen says. Of a cut reply the server has had the request, of a cut request it has not.
SPOILS = [
    (Spoil("portal"), STRANGER),
    (Spoil("empty-object"), STRANGER),
    (Spoil("no-content"), STRANGER),
    (Spoil("bad-gateway"), STRANGER),
    (Spoil("portal", "/api/entries"), STRANGER),
    (Spoil("empty-object", "/api/entries"), STRANGER),
    (Spoil("no-content", "/api/entries"), STRANGER),
    (Spoil("bad-gateway", "/api/entries"), STRANGER),
    *[(Spoil("reply-cut", "/api/entries", share), OFFLINE) for share in (0, 0.1, 0.5, 0.9)],
    *[(Spoil("request-cut", "/api/entries", share), OFFLINE) for share in (0.1, 0.5, 0.9)],
]
PHOTO_SPOILS = [
    (Spoil("portal", "/api/photos/"), STRANGER),
    *[(Spoil("reply-cut", "/api/photos/", share), OFFLINE) for share in (0, 0.1, 0.5, 0.9)],
    *[(Spoil("request-cut", "/api/photos/", share), OFFLINE) for share in (0.1, 0.5, 0.9)],
]


@pytest.fixture(scope="module")
def proxy(tmp_path_factory):
    with LiveServer(tmp_path_factory.mktemp("hostile")) as server, HostileProxy(server.port) as proxy:
        yield proxy


@pytest.fixture(scope="module")
def app(browser, proxy):
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, service_workers="block")
    driver = open_app(context, proxy.url)
    expect(driver.key("unsent")).to_contain_text("Everything is sent", timeout=LIMIT_MS)
    yield driver
    context.close()


@pytest.fixture
def saved(app, proxy):
    """A job that begins, with a field and a photo, saved while there is no way to the server."""
    proxy.spoil = Spoil("request-cut")
    job = str(uuid.uuid4())
    photo = encoded(comment=job.encode())
    entries = app.page.evaluate(SAVE, [job, "white van", list(photo)])
    yield job, entries
    proxy.spoil = None
    app.tap("send-now")
    expect(app.key("unsent")).to_contain_text("Everything is sent", timeout=LIMIT_MS)
    assert unsent(app) == (0, 0)
    held = app.page.evaluate(GET, f"/api/jobs/{job}/entries")["entries"]
    assert sorted(held, key=lambda entry: entry["n"]) == entries, "the server has each entry once, as it was saved"
    assert app.page.evaluate("async (path) => (await fetch(path)).status", photo_path(entries)) == 200


def photo_path(entries) -> str:
    return f"/api/photos/{entries[-1]['body']['sha256']}"


def unsent(app) -> tuple[int, int]:
    found = app.page.evaluate(STATE)
    return found["entries"], found["photos"]


def send(app, proxy, spoil: Spoil) -> None:
    """Meet the spoiled network by a tap, and wait until it has struck and the screen no longer says that it sends."""
    proxy.spoil = spoil
    app.tap("send-now")
    proxy.await_strike(spoil, LIMIT_MS / 1000)
    expect(app.key("sync")).not_to_contain_text(WORDS["sync.sending"], timeout=LIMIT_MS)


@pytest.mark.parametrize(("spoil", "said"), SPOILS, ids=lambda each: str(each))
def test_entries_stay_in_the_outbox_and_the_screen_says_so(app, proxy, saved, spoil, said):  # noqa: ARG001
    send(app, proxy, spoil)
    expect(app.key("sync")).to_contain_text(WORDS[said], timeout=LIMIT_MS)
    assert unsent(app) == (3, 1)
    expect(app.key("unsent")).to_contain_text("photo")


@pytest.mark.parametrize(("spoil", "said"), PHOTO_SPOILS, ids=lambda each: str(each))
def test_a_photo_that_does_not_get_through_waits_alone(app, proxy, saved, spoil, said):
    send(app, proxy, spoil)
    expect(app.key("sync")).to_contain_text(WORDS[said], timeout=LIMIT_MS)
    assert unsent(app) == (0, 1), "a reading never waits for its photo"
    proxy.spoil = None
    if spoil.how != "reply-cut":
        assert app.page.evaluate("async (path) => (await fetch(path)).status", photo_path(saved[1])) == 404


def test_a_network_of_one_byte_a_second_is_given_up_within_the_time_limit(app, proxy, saved):  # noqa: ARG001
    send(app, proxy, Spoil("slow", "/api/session"))
    expect(app.key("sync")).to_contain_text(WORDS[OFFLINE], timeout=LIMIT_MS)
    assert unsent(app) == (3, 1)


def test_without_a_way_and_with_nothing_to_send_nothing_is_called_unsent(app, proxy):
    look_again(app, proxy, Spoil("request-cut"))
    expect(app.key("sync")).to_contain_text(WORDS[f"{OFFLINE}.nothing-waits"], timeout=LIMIT_MS)
    expect(app.key("unsent")).to_contain_text("Everything is sent")
    look_again(app, proxy, None)
    expect(app.key("sync")).not_to_contain_text(WORDS[f"{OFFLINE}.nothing-waits"], timeout=LIMIT_MS)


def test_a_clock_that_is_wrong_is_said_as_long_as_it_is(app, proxy):
    look_again(app, proxy, Spoil("a-century-back", "/api/session"))
    expect(app.key("clock")).to_contain_text("ahead of the shop's", timeout=LIMIT_MS)
    look_again(app, proxy, None)
    expect(app.key("clock")).to_have_count(0, timeout=LIMIT_MS)


def look_again(app, proxy, spoil: Spoil | None) -> None:
    """Sync as when the network says that it is back, over this one."""
    proxy.spoil = spoil
    app.page.evaluate("() => dispatchEvent(new Event('online'))")
