"""The second job on a known vehicle type, on a phone without network: what it costs, what the desk sees of it."""

import re

import pytest
from app_driver import PHONE_SIZE, open_app
from known_type import FACTS, NAME, TORQUES, accept, bring, propose
from known_walk import KnownWalk
from PIL import Image
from playwright.sync_api import expect
from sheet_driver import SheetDriver

from tests.live_server import LiveServer

pytestmark = pytest.mark.full

# What the job may cost a thumb.
MOST = {"sheets": 13, "wheel": 36, "rest": 120, "typed": 90}
_ENTRIES = """async (job) => {
  const { openPhone } = await import("/js/store/phone.js");
  return (await openPhone()).entries(job);
}"""


def test_the_second_job_on_a_type_without_network_reaches_the_desk_with_its_revision(browser, tmp_path):
    photo = tmp_path / "photo.jpg"
    Image.new("RGB", (1200, 1600), "grey").save(photo)
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, is_mobile=True, locale="en-GB")
    with LiveServer(tmp_path / "store") as server:
        opened = open_app(context, server.url)
        opened.wait_ready()
        propose(opened.page)
        accept(context, server.url)
        bring(opened.page)
        server.kill()

        driver = SheetDriver(opened.page)
        job = driver.new_job()
        walk = KnownWalk(driver, photo, job)
        walk.run()
        assert {name: walk.counts[name] for name in MOST if walk.counts[name] > MOST[name]} == {}, walk.by_sheet
        check_taken(driver.page.evaluate(_ENTRIES, job))

        driver.tap_on("to-start")
        server.start()
        driver.page.evaluate("() => dispatchEvent(new Event('online'))")  # it would wait minutes after so many tries
        expect(driver.key("unsent")).to_contain_text("Everything is sent", timeout=60_000)
        check_desk(context, server.url, job)
    context.close()


def check_taken(entries: list[dict]) -> None:
    taken = {entry["slot"]: entry["body"]["from"] for entry in entries if "from" in entry["body"]}
    wanted = {*FACTS, *TORQUES, "window.left.camber", "window.right.toe", "window.total-toe", "window.source"}
    assert wanted <= taken.keys()
    assert {each["revision"] for each in taken.values()} == {1}
    never = "pilot|gap|brake|vehicle.*bracket|suspension|voltage|tyre"
    assert not [slot for slot in taken if re.search(never, slot)]
    (bolts,) = (e for e in entries if e["slot"] == "vehicle.bolts" and "length_mm" in e["body"]["value"])
    assert bolts["body"]["value"]["bolts"]["turns"] == 12, "what is measured here stands with what is the type's"


def check_desk(context, url: str, job: str) -> None:
    desk = context.new_page()
    desk.goto(f"{url}/desk/types/")
    desk.get_by_role("link", name=NAME).click()
    expect(desk.locator("main")).to_contain_text("QX 41 LTM")
    assert desk.locator(f'a[href*="{job}"]').count() >= 1
