"""A job begun with a dead server in Firefox and in WebKitGTK, and a reading typed: service worker, storage, keypad and
the way to the server are each engine's own. A whole job is done in Chromium, in test_one_job.py.
"""

import os
import time

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect
from sheet_driver import CAME_MS, SheetDriver
from webdriver import DriverError
from webkit_phone import webkit_driver, webkit_phone

from tests.browser import firefox_options, webkit_tools
from tests.live_server import LiveServer

pytestmark = pytest.mark.full

REGISTRATION, REGISTRATION_FIELD = "QX 41 LTM", "text-vehicle.registration"
# Neither engine promises to keep this storage, so the list says more than that.
UNSENT = "3 entries, oldest now"
CAMBER = "cell-base.left.camber.1"
# A person would take a moment; what came under the finger just now takes no tap.
MOMENT_S = CAME_MS / 1000 + 0.1

# Looks again with each call: WebDriver's scripts wait for no promise.
_STORED = """
import('/js/store/phone.js').then((store) => store.openPhone()).then((phone) => phone.unsent())
  .then(({ entries }) => { window.unsentNow = entries; });
return window.unsentNow === arguments[0];
"""


def found(engine: str, tools):
    """Return the tools, or say that the engine is missing; on CI that is a failure."""
    if tools is None:
        say = pytest.fail if os.environ.get("CI") == "true" else pytest.skip
        say(f"no {engine} here: run `sh tests/run` as root on Debian, which brings it (packages in tests/browser.py)")
    return tools


def test_a_job_is_begun_in_firefox(playwright_driver, tmp_path):
    options = found("Firefox", firefox_options())

    def opened():
        return playwright_driver.firefox.launch_persistent_context(
            tmp_path / "profile", viewport=PHONE_SIZE, has_touch=True, locale="en-GB", **options
        )

    with LiveServer(tmp_path / "store") as server:
        context = opened()
        driver = SheetDriver(open_app(context, server.url).page)
        driver.wait_ready()
        server.stop()
        job = begin(driver)
        expect(driver.key(CAMBER)).to_have_value("1.64")
        expect(driver.page.locator(".cell", has=driver.key(CAMBER))).to_contain_text("top in")
        context.close()

        context = opened()
        driver = SheetDriver(open_app(context, f"{server.url}/#/").page)
        expect(driver.key(f"job-{job}")).to_contain_text(REGISTRATION)
        expect(driver.key("unsent")).to_contain_text(UNSENT)
        server.start()
        expect(driver.key("unsent")).to_contain_text("Everything is sent", timeout=60_000)
        context.close()


def test_a_job_is_begun_in_webkit(tmp_path):
    found("WebKitGTK", webkit_tools())
    with LiveServer(tmp_path / "store") as server, webkit_driver() as address:
        with webkit_phone(address, tmp_path / "profile") as driver:
            driver.driver.goto(server.url)
            driver.name_technician()
            driver.wait_ready()
            server.stop()
            job = begin(driver)
            said = "return document.querySelector(arguments[0]).closest('.cell').innerText.includes('top in')"
            say_the_way(driver, said)
            driver.driver.wait(_STORED, 3)  # the angle is said while it is being saved

        with webkit_phone(address, tmp_path / "profile") as driver:
            driver.driver.goto(f"{server.url}/#/")
            driver.wait_text(f"job-{job}", REGISTRATION, limit_s=15)
            driver.wait_text("unsent", UNSENT, limit_s=15)
            server.start()
            driver.wait_text("unsent", "Everything is sent", limit_s=60)


def say_the_way(driver, said: str) -> None:
    """Tap it again, as a person would, where the phone was still busy and took no tap."""
    for limit_s in (10, 10, 60):
        try:
            return driver.driver.wait(said, f'[data-key="{CAMBER}"]', limit_s=limit_s)
        except DriverError:
            driver.tap("way-top-in")
    raise AssertionError("three taps on the way of the camber were not taken")


def begin(driver) -> str:
    """Open a job, type the registration and one angle on the phone's keypad: three entries."""
    job = driver.new_job()
    driver.fill(REGISTRATION_FIELD, REGISTRATION)
    driver.open_sheet(job, "readings")
    time.sleep(MOMENT_S)
    driver.tap(CAMBER)
    driver.wait_for("keypad")
    time.sleep(MOMENT_S)
    driver.type_keys("1.64")
    driver.tap("way-top-in")
    return job
