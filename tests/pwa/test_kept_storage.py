"""Whether the browser has promised to keep the storage: what the phone says of it, and the desk, both ways."""

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect
from screen_checks import assert_clean, go

from tests.kept_profile import allow_keeping
from tests.live_server import LiveServer

pytestmark = pytest.mark.full

# A browser that promises when it is asked, as one does whose site is used a lot.
PROMISES_WHEN_ASKED = """() => {
  globalThis.asked = 0;
  StorageManager.prototype.persisted = async () => globalThis.asked > 0;
  StorageManager.prototype.persist = async () => { globalThis.asked += 1; return true; };
}"""


@pytest.fixture
def server(tmp_path):
    with LiveServer(tmp_path / "store") as server:
        yield server


@pytest.fixture
def phone(chromium, launch_options, tmp_path, server):
    """Opens Tapermark on a profile of its own, which may be kept or not."""
    opened = []

    def opened_on(is_allowed: bool):
        profile = tmp_path / f"profile-{is_allowed}"
        if is_allowed:
            allow_keeping(profile, server.url)
        opened.append(
            chromium.launch_persistent_context(profile, viewport=PHONE_SIZE, locale="en-GB", **launch_options)
        )
        return open_app(opened[-1], server.url)

    yield opened_on
    for context in opened:
        context.close()


def storage_at_the_desk(phone, server) -> str:
    """Return what the desk says of the storage of the phone that was in contact last."""
    desk = phone.page.context.new_page()
    desk.goto(f"{server.url}/desk/phones")
    text = desk.locator('[data-label="Storage"]').first.inner_text()
    desk.close()
    return text


def test_a_phone_that_may_be_kept_is_ready_and_the_desk_sees_it(phone, server):
    app = phone(is_allowed=True)
    app.wait_ready()
    expect(app.key("ready")).to_have_attribute("data-ready", "true")
    expect(app.key("ready")).to_have_text("Ready without network")
    server.stop()
    app.new_job()
    app.page.goto(f"{server.url}/#/")
    expect(app.key("unsent")).to_contain_text("Not sent: 1 entry")
    server.start()
    app.tap("send-now")
    expect(app.key("unsent")).to_have_text("Everything is sent")
    assert storage_at_the_desk(app, server) == "kept"


def test_a_phone_without_the_promise_says_what_may_be_lost_and_the_desk_sees_it(phone, server):
    app = phone(is_allowed=False)
    app.wait_ready()
    server.stop()
    app.new_job()
    app.page.goto(f"{server.url}/#/")
    expect(app.key("ready")).to_have_attribute("data-ready", "false")
    for words in ("Works without network", "not kept for sure", "the program too", "Settings"):
        expect(app.key("ready")).to_contain_text(words)
    expect(app.key("unsent")).to_contain_text("may clear it on a full disk")
    server.start()
    app.tap("send-now")
    expect(app.key("unsent")).to_have_text("Everything is sent")
    assert storage_at_the_desk(app, server) == "may be cleared"


@pytest.fixture
def asking(browser, url):
    """A phone whose browser promises once it is asked; nobody has asked yet."""
    context = browser.new_context(viewport=PHONE_SIZE, locale="en-GB")
    context.add_init_script(f"({PROMISES_WHEN_ASKED})()")
    app = open_app(context, url)
    app.wait_ready()
    expect(app.key("ready")).to_contain_text("not kept for sure")
    assert app.page.evaluate("asked") == 0
    yield app
    context.close()


def test_settings_say_how_to_have_it_kept_and_ask_again(asking):
    asking.tap_on("settings")
    expect(asking.key("persistence")).to_contain_text("on the home screen")
    assert_clean(asking, "settings of a phone that is not kept")
    asking.tap("keep-ask")
    expect(asking.key("persistence")).to_contain_text("has promised not to clear it")
    expect(asking.key("keep-ask")).to_have_count(0)


def test_installing_asks_for_it(asking):
    asking.page.evaluate("globalThis.dispatchEvent(new Event('appinstalled'))")
    expect(asking.key("ready")).to_have_attribute("data-ready", "true")
    assert asking.page.evaluate("asked") == 1


def test_pairing_asks_for_it(asking):
    answer = {"format": 1, "csrf": "x", "pairing": "x", "shop": {"name": "Ringworks", "demo": False}}
    asking.page.route("**/api/pair", lambda route: route.fulfill(json=answer, headers={"X-Tapermark": "1"}))
    go(asking, "#/pair")
    asking.fill("pair-code", "ABCD2345")
    asking.tap_on("pair")
    expect(asking.key("ready")).to_have_attribute("data-ready", "true")
    assert asking.page.evaluate("asked") == 1


def test_the_first_save_asks_for_it(asking):
    asking.new_job()
    go(asking, "#/")
    expect(asking.key("ready")).to_have_attribute("data-ready", "true")
    assert asking.page.evaluate("asked") == 1


# As a browser that lets a page have no more of its database, and later does again.
DEAF = """() => {
  globalThis.real ??= IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = () => { throw new DOMException('gone', 'InvalidStateError'); };
  dispatchEvent(new Event('online'));
}"""
HEARS_AGAIN = """() => {
  IDBDatabase.prototype.transaction = globalThis.real;
  dispatchEvent(new Event('online'));
}"""
EMPTIED = """() => new Promise((resolve, reject) => {
  Object.assign(indexedDB.deleteDatabase('tapermark'), { onsuccess: resolve, onerror: reject });
})"""


@pytest.fixture
def ready_phone(browser, url):
    """A phone that is kept and has sent everything."""
    context = browser.new_context(viewport=PHONE_SIZE, locale="en-GB")
    context.add_init_script(f"({PROMISES_WHEN_ASKED})()")
    app = open_app(context, url)
    app.new_job()
    go(app, "#/")
    expect(app.key("ready")).to_have_text("Ready without network")
    expect(app.key("unsent")).to_have_text("Everything is sent")
    yield app
    context.close()


def says_nothing_is_safe(app) -> None:
    for words in ("Everything is sent", "Ready without network"):
        expect(app.page.locator("body")).not_to_contain_text(words)


def test_while_the_store_cannot_be_read_nothing_is_called_sent_or_safe(ready_phone):
    page = ready_phone.page
    page.evaluate(DEAF)
    expect(page.get_by_role("alert")).to_contain_text("storage does not answer")
    says_nothing_is_safe(ready_phone)
    expect(ready_phone.key("top-unsent")).to_contain_text("cannot be read")
    page.evaluate(HEARS_AGAIN)
    expect(ready_phone.key("unsent")).to_have_text("Everything is sent")
    expect(ready_phone.key("ready")).to_have_text("Ready without network")


def test_a_store_that_cannot_be_read_at_the_start_is_said_and_read_later(ready_phone):
    page = ready_phone.page
    page.add_init_script(f"if (sessionStorage.getItem('deaf')) ({DEAF})();")
    page.evaluate("sessionStorage.setItem('deaf', '1')")
    page.reload()
    expect(page.get_by_role("alert")).to_contain_text("storage does not answer")
    says_nothing_is_safe(ready_phone)
    page.evaluate(HEARS_AGAIN)
    page.evaluate("dispatchEvent(new Event('pageshow'))")
    expect(ready_phone.key("unsent")).to_have_text("Everything is sent")
    expect(ready_phone.key("top-name")).to_have_text("Tapermark")
    assert not ready_phone.shows("technician"), "the name is known"


def test_an_emptied_phone_says_what_is_gone_until_it_is_read(ready_phone):
    page = ready_phone.page
    page.route("**/api/**", lambda route: route.abort())
    job = ready_phone.new_job()
    go(ready_phone, "#/")
    page.evaluate(EMPTIED)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(ready_phone.key("lost")).to_contain_text("1 entry that had not been sent is back from a second copy")
    expect(ready_phone.key(f"job-{job}")).to_be_visible()
    expect(ready_phone.key("unsent")).to_contain_text("Not sent: 1 entry")
    says_nothing_is_safe(ready_phone)
    assert_clean(ready_phone, "a phone that was emptied")
    page.unroute("**/api/**")
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(ready_phone.key("unsent")).to_contain_text("Nothing waits to be sent since this phone lost what it stored")
    says_nothing_is_safe(ready_phone)
    ready_phone.tap("lost-read")
    expect(ready_phone.key("unsent")).to_have_text("Everything is sent")
    expect(ready_phone.key("ready")).to_have_text("Ready without network")
