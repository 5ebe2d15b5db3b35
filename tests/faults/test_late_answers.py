"""A network on which answers come 60 seconds late: what is typed is kept, each screen opens, sync goes on afterwards.

A minute is 3 seconds here, for the network and for the phone's time limits alike.
"""

import uuid

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect
from sheet_driver import SheetDriver
from worker_site import wait_until

from tests.faults.hostile_proxy import HostileProxy, Spoil
from tests.live_server import LiveServer

pytestmark = pytest.mark.full

SPEED = 20
LATE_S = 60 / SPEED
# Only while the network is slow: afterwards a busy machine has the time that a phone has.
SHORT_MINUTES = """(() => {
  const { timeout } = AbortSignal;
  globalThis.minutes = { speed: 1 };
  AbortSignal.timeout = (ms) => timeout.call(AbortSignal, ms / globalThis.minutes.speed);
})()"""
PATHS = ["/api/session", "/api/entries", "/api/", "/"]
PLACES = ["#/", "#/settings", "#/new", "#/find", "#/"]
FIELD = "vehicle.description"
LIMIT_MS = 60_000
HELD = "async (path) => (await (await fetch(path)).json()).entries"


@pytest.fixture(scope="module")
def proxy(tmp_path_factory):
    with LiveServer(tmp_path_factory.mktemp("late")) as server, HostileProxy(server.port) as proxy:
        yield proxy


@pytest.fixture(scope="module")
def app(browser, proxy):
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True)
    context.add_init_script(SHORT_MINUTES)
    app = SheetDriver(open_app(context, proxy.url).page)
    wait_until(app.page, "() => navigator.serviceWorker.controller !== null")
    all_is_sent(app)
    app.job_id = app.new_job()
    yield app
    context.close()


def all_is_sent(app) -> None:
    app.page.evaluate("() => { location.hash = '#/'; }")
    app.settle()
    app.page.evaluate("() => dispatchEvent(new Event('online'))")
    expect(app.key("unsent")).to_contain_text("Everything is sent", timeout=LIMIT_MS)


@pytest.mark.parametrize("path", PATHS)
def test_with_answers_a_minute_late_work_goes_on_and_everything_is_sent_afterwards(app, proxy, path):
    typed = f"white van {uuid.uuid4()}"
    proxy.spoil = spoil = Spoil("late", path, after_s=LATE_S)
    app.page.evaluate(f"() => {{ minutes.speed = {SPEED}; dispatchEvent(new Event('online')); }}")
    proxy.await_strike(spoil, LIMIT_MS / 1000)
    app.open_sheet(app.job_id, "vehicle")
    if app.shows(f"open-{FIELD}"):
        app.tap(f"open-{FIELD}")
    field = app.key(f"text-{FIELD}")
    field.fill(typed)
    app.leave_field()
    app.wait_state(FIELD)
    for place in PLACES:
        app.page.evaluate("place => { location.hash = place; }", place)
        app.settle()
    expect(app.key("unsent")).not_to_contain_text("Everything is sent")
    app.page.reload()
    app.settle()
    app.open_sheet(app.job_id, "vehicle")
    assert typed in app.screen_text or field.input_value() == typed
    proxy.spoil = None
    all_is_sent(app)
    held = app.page.evaluate(HELD, f"/api/jobs/{app.job_id}/entries")
    assert [entry["body"].get("value") for entry in held].count(typed) == 1, "once, however often it was sent"
