"""The camera kills the page, is cancelled, or brings a picture: nothing typed is lost, the row is in view
again, and a photo that did not arrive is said.
"""

import contextlib

import pytest
from playwright.sync_api import Error, expect
from screen_checks import PHONE
from sheet_driver import SheetDriver
from sheets_phone import SheetsPhone
from static_server import serving

from tests.server.pictures_to_send import encoded

pytestmark = pytest.mark.full

SLOT, SHEET = "vehicle.found-photo", "condition"
CANCEL = "() => document.querySelector('[data-key=photo-file]').dispatchEvent(new Event('cancel'))"
HIDE = "() => document.dispatchEvent(new Event('visibilitychange'))"
PICTURE = {"name": "shot.jpg", "mimeType": "image/jpeg", "buffer": encoded()}
FACTS = f"async (job) => {{ const phone = {PHONE}; return [await phone.entries(job), phone.health, phone.lost]; }}"


@pytest.fixture(scope="module")
def origin():
    with serving() as server:
        yield server.origin


@pytest.fixture
def phone(browser, origin):
    """A phone at a row of a photo that is folded away under "More"."""
    phone = SheetsPhone(browser, origin, "vehicle.adjusters", f"{SHEET}/{SLOT}")
    expect(camera(phone.driver)).to_be_visible()
    yield phone
    phone.close()


def camera(driver: SheetDriver):
    return driver.row(SLOT).locator('[data-key="camera"]')


def open_camera(driver: SheetDriver) -> None:
    with driver.page.expect_file_chooser():
        driver.tap_node(camera(driver))


def photograph(driver: SheetDriver) -> None:
    driver.photograph(SLOT, PICTURE)
    expect(driver.row(SLOT).locator("img")).to_have_count(1)


def test_a_renderer_that_crashes_while_the_camera_is_open(phone):
    phone.driver.tap("menu")
    phone.driver.tap("notes")
    phone.driver.fill("note", "left nut rounded")  # typed and not kept
    phone.driver.tap("close-list")
    before = phone.page.evaluate(FACTS, phone.job)
    open_camera(phone.driver)
    with phone.page.expect_event("crash"), contextlib.suppress(Error):
        phone.page.goto("chrome://crash", timeout=5000)
    again = SheetDriver(phone.context.new_page())
    again.page.goto(phone.origin)
    expect(again.key("photo-lost")).to_be_in_viewport()
    assert (again.job, again.sheet) == (phone.job, SHEET)
    assert again.page.evaluate(FACTS, phone.job) == before
    photograph(again)
    expect(again.key("photo-lost")).to_have_count(0)
    again.tap("menu")
    expect(again.key("note")).to_have_value("left nut rounded")


def test_a_cancelled_camera_is_asked_again_by_a_fresh_input(phone):
    for _ in range(2):
        open_camera(phone.driver)
        phone.page.evaluate(HIDE)
        phone.page.evaluate(CANCEL)
        expect(phone.driver.key("photo-file")).to_have_count(0)
    photograph(phone.driver)
    phone.page.reload()
    expect(phone.driver.row(SLOT).locator("img")).to_have_count(1)
    assert not phone.driver.shows("photo-lost"), "nothing is awaited any more"


def test_camera_and_gallery_are_two_buttons_and_only_one_forces_the_camera(phone):
    for button, capture in (("camera", "environment"), ("gallery", None)):
        with phone.page.expect_file_chooser():
            phone.driver.tap_node(phone.driver.row(SLOT).locator(f'[data-key="{button}"]'))
        assert phone.driver.key("photo-file").get_attribute("capture") == capture
