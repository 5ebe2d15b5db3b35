"""The whole main job with a dead server in Firefox and in WebKitGTK: service worker, storage, keypad, photo and the way
to the server are each engine's own. Chromium does the same, and more, in test_one_job.py.
"""

import os

import pytest
from app_driver import PHONE_SIZE, open_app
from job_walk import REGISTRATION, JobWalk
from PIL import Image
from playwright.sync_api import expect
from webkit_phone import webkit_driver, webkit_phone

from tests.browser import firefox_options, webkit_tools
from tests.live_server import LiveServer


@pytest.fixture
def photo(tmp_path):
    path = tmp_path / "fitted rings.jpg"
    Image.radial_gradient("L").resize((1200, 1600)).convert("RGB").save(path)
    return path


def found(engine: str, tools):
    """Return the tools, or say that the engine is missing; on CI that is a failure."""
    if tools is None:
        say = pytest.fail if os.environ.get("CI") == "true" else pytest.skip
        say(f"no {engine} here: run `sh tests/run` as root on Debian, which brings it (packages in tests/browser.py)")
    return tools


def test_the_main_job_in_firefox(playwright_driver, photo, tmp_path):
    options = found("Firefox", firefox_options())

    def opened():
        return playwright_driver.firefox.launch_persistent_context(
            tmp_path / "profile", viewport=PHONE_SIZE, has_touch=True, locale="en-GB", **options
        )

    with LiveServer(tmp_path / "store") as server:
        context = opened()
        driver = open_app(context, server.url)
        driver.wait_ready()
        server.stop()
        job = driver.new_job()
        walk_to_the_end(driver, photo)
        context.close()

        context = opened()
        driver = open_app(context, server.url)
        expect(driver.key(f"job-{job}")).to_contain_text(REGISTRATION)
        expect(driver.key("unsent")).to_contain_text("1 photo")
        server.start()
        expect(driver.key("unsent")).to_contain_text("Everything is sent", timeout=60_000)
        context.close()


def test_the_main_job_in_webkit(photo, tmp_path):
    found("WebKitGTK", webkit_tools())
    with LiveServer(tmp_path / "store") as server, webkit_driver() as address:
        with webkit_phone(address, tmp_path / "profile") as driver:
            driver.driver.goto(server.url)
            driver.name_technician()
            driver.wait_ready()
            server.stop()
            job = driver.new_job()
            walk_to_the_end(driver, photo)

        with webkit_phone(address, tmp_path / "profile") as driver:
            driver.driver.goto(server.url)
            driver.wait_text(f"job-{job}", REGISTRATION, limit_s=15)
            driver.wait_text("unsent", "1 photo", limit_s=15)
            server.start()
            driver.wait_text("unsent", "Everything is sent", limit_s=60)


def walk_to_the_end(driver, photo) -> None:
    walk = JobWalk(driver, photo)
    walk.until()
    assert {"vehicle.registration", "base.readings", "round.1.plan", "fit.left.hub-supported", "finish.sign"} <= set(
        walk.walked
    )
