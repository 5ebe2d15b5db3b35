"""One rear-axle job on a phone that lost the network: from the first tap to the photo at the shop's desk.

Protects the line that everything else stands on. The server is a real process that is stopped and started, the browser
is closed and opened again on the same profile, the photo is a real JPEG.
"""

import io
import itertools
import json
import re
from pathlib import Path

import numpy as np
import pytest
from app_driver import PHONE_SIZE, open_app
from PIL import Image, ImageDraw, ImageFilter
from playwright.sync_api import expect
from sheet_driver import SheetDriver
from sheet_walk import BASE, CHECK, REGISTRATION, SheetWalk

from tests.faults.durability import check_durability, spy_on
from tests.live_server import ROOT, LiveServer

ROW_TEXTS = json.loads((ROOT / "pwa" / "text" / "en" / "titles.json").read_text("utf-8"))
PHOTO_SIZE = (1200, 1600)
JPEG_MEAN = 3  # grey levels between two generations of JPEG, on average over a picture
# What the job may cost a thumb: a wheel's sheet without its bolts, and all the rest.
MOST = {"sheets": 13, "wheel": 36, "rest": 148, "typed": 200}
HOLDS = ("fit.chocked", "fit.supported", "fit.left.hub-supported", "fit.right.hub-supported", "fit.pedal")


@pytest.fixture
def photo(tmp_path) -> Path:
    """A picture in which up, down, left and right cannot be mistaken."""
    across = np.linspace(0, 255, PHOTO_SIZE[0], dtype=np.uint8)[None, :].repeat(PHOTO_SIZE[1], axis=0)
    down = np.linspace(0, 255, PHOTO_SIZE[1], dtype=np.uint8)[:, None].repeat(PHOTO_SIZE[0], axis=1)
    picture = Image.fromarray(np.stack([across, down, np.full_like(across, 90)], axis=2))
    ImageDraw.Draw(picture).ellipse((150, 200, 700, 750), fill="white", outline="black", width=30)
    path = tmp_path / "fitted rings.jpg"
    picture.filter(ImageFilter.GaussianBlur(2)).save(path, quality=92)
    return path


@pytest.fixture
def profile(chromium, launch_options, tmp_path):
    """Opens the browser on one profile, as often as asked; each call closes the one before."""
    opened = []

    def reopen():
        for context in opened:
            context.close()
        context = chromium.launch_persistent_context(
            tmp_path / "profile", viewport=PHONE_SIZE, has_touch=True, is_mobile=True, **launch_options
        )
        opened[:] = [context]
        spy_on(context)
        return context

    yield reopen
    for context in opened:
        context.close()


def test_a_whole_job_without_network_reaches_the_desk(profile, photo, tmp_path):
    server = LiveServer(tmp_path / "store")
    with server:
        driver = SheetDriver(open_app(profile(), server.url).page)
        driver.wait_ready()
        server.stop()

        job = driver.new_job()
        walk = SheetWalk(driver, photo, job)
        walk.run()
        assert {name: walk.counts[name] for name in MOST if walk.counts[name] > MOST[name]} == {}, str(walk.by_sheet)
        driver.tap_on("to-start")
        check_durability(driver.page, job)

        driver = open_app(profile(), server.url)
        expect(driver.key(f"job-{job}")).to_contain_text(REGISTRATION)
        assert not driver.shows("technician"), "the name was asked for twice"
        expect(driver.key("unsent")).to_contain_text("photo")

        server.start()
        expect(driver.key("unsent")).to_contain_text("Everything is sent", timeout=60_000)
        desk = driver.page.context.new_page()
        desk.goto(f"{server.url}/desk/jobs/{job}")
        desk.evaluate("() => { for (const fold of document.querySelectorAll('details')) fold.open = true; }")
        check_readings(desk)
        check_plans_and_steps(desk)
        check_photos(desk, server, photo)
        check_kept_once(desk, server, job)


def check_readings(desk) -> None:
    text = desk.locator("main").inner_text()
    for readings in (BASE, CHECK):
        for number, _way in itertools.chain(*readings.values()):
            assert number in text, f"{number} is not at the desk"


def check_plans_and_steps(desk) -> None:
    text = desk.locator("main").inner_text()
    assert len(re.findall(r"(?:inner )?\d+ meets (?:outer )?\d+, at the top", text)) >= 2, "both plans are wanted"
    for hold in HOLDS:
        title = ROW_TEXTS[f"row.{re.sub(r'[.](left|right)[.]', '.', hold)}.title"]
        assert title in text, f"the desk does not show: {title}"


def check_photos(desk, server: LiveServer, photo: Path) -> None:
    addresses = desk.locator("img").evaluate_all("images => images.map(image => image.src)")
    names = {re.search(r"[0-9a-f]{64}", address)[0] for address in addresses}
    assert names, "no photo at the desk"
    with Image.open(photo) as taken:
        wanted = np.asarray(taken.convert("RGB"), dtype=float)
    for name in names:
        answer = desk.request.get(f"{server.url}/api/photos/{name}")
        assert answer.status == 200
        with Image.open(io.BytesIO(answer.body())) as kept:
            assert kept.size == PHOTO_SIZE
            assert not kept.getexif()
            assert np.abs(np.asarray(kept.convert("RGB"), dtype=float) - wanted).mean() < JPEG_MEAN


def check_kept_once(desk, server: LiveServer, job: str) -> None:
    """Every number of the phone's count is there, and none twice."""
    entries = desk.request.get(f"{server.url}/api/jobs/{job}/entries").json()["entries"]
    numbers = sorted(entry["n"] for entry in entries)
    assert numbers == list(range(1, len(numbers) + 1))
    assert {"consent-recorded", "plan-chosen", "job-signed"} <= {entry["kind"] for entry in entries}
    plans = {entry["id"] for entry in entries if entry["kind"] == "plan-chosen"}
    at_wheels = [e for e in entries if e["kind"] == "step-done" and re.search(r"\.(left|right)\.", e["slot"])]
    assert {entry["body"].get("plan") for entry in at_wheels} == plans, "a tick at a wheel names its plan"
