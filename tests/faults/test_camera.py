"""The camera kills the page, is cancelled, or brings a picture: nothing typed is lost, the
step opens again, and a photo that did not arrive is said.
"""

import contextlib

import pytest
from app_driver import PHONE_SIZE, AppDriver
from playwright.sync_api import Error, expect
from screen_checks import go, open_ready, seed_job

from tests.live_server import LiveServer
from tests.server.pictures_to_send import encoded

STEP = "vehicle.found-photo"
CANCEL = "() => document.querySelector('[data-key=photo-file]').dispatchEvent(new Event('cancel'))"
HIDE = "() => document.dispatchEvent(new Event('visibilitychange'))"
PICTURE = {"name": "shot.jpg", "mimeType": "image/jpeg", "buffer": encoded()}


@pytest.fixture(scope="module")
def url(tmp_path_factory):
    with LiveServer(tmp_path_factory.mktemp("camera")) as server:
        yield server.url


@pytest.fixture
def app(browser, url):
    """A phone at the photo step of a job."""
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB", service_workers="block")
    app = open_ready(context, url)
    app.job_id = seed_job(app, "vehicle.adjusters")
    go(app, f"#/job/{app.job_id}/step/{STEP}")
    yield app
    context.close()


def facts_of(app: AppDriver) -> dict:
    return app.page.evaluate(
        """async (job) => {
            const phone = await (await import("/js/store/phone.js")).openPhone();
            return { entries: await phone.entries(job), health: phone.health, lost: phone.lost };
        }""",
        app.job_id,
    )


def test_a_renderer_that_crashes_while_the_camera_is_open(app, url):
    go(app, f"#/job/{app.job_id}/steps")
    app.tap("notes")
    app.key("note").fill("left nut rounded")  # typed and not kept
    go(app, f"#/job/{app.job_id}/step/{STEP}")
    before = facts_of(app)
    with app.page.expect_file_chooser():
        app.tap("camera")
    with app.page.expect_event("crash"), contextlib.suppress(Error):
        app.page.goto("chrome://crash", timeout=5000)
    again = AppDriver(app.page.context.new_page())
    again.page.goto(url)
    again.job_id = app.job_id
    expect(again.key("photo-lost")).to_be_visible()
    assert (again.job, again.slot) == (app.job_id, STEP)
    assert facts_of(again) == before
    again.photo(PICTURE)
    expect(again.key("photo-lost")).to_have_count(0)
    go(again, f"#/job/{app.job_id}/steps")
    expect(again.key("note")).to_have_value("left nut rounded")


def test_a_cancelled_camera_is_asked_again_by_a_fresh_input(app):
    for _ in range(2):
        with app.page.expect_file_chooser():
            app.tap("camera")
        app.page.evaluate(HIDE)
        app.page.evaluate(CANCEL)
        expect(app.key("photo-file")).to_have_count(0)
    app.photo(PICTURE)
    app.page.reload()
    expect(app.page.locator(".photos img")).to_have_count(1)
    assert not app.shows("photo-lost"), "nothing is awaited any more"


def test_camera_and_gallery_are_two_buttons_and_only_one_forces_the_camera(app):
    for button, capture in (("camera", "environment"), ("gallery", None)):
        with app.page.expect_file_chooser():
            app.tap(button)
        assert app.key("photo-file").get_attribute("capture") == capture
