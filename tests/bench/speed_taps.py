"""What each tap of a whole job costs the phone's processor until its answer is painted, on all thirteen sheets.

Part of bench_speed. It is reckoned from a trace (tap_trace.py), not by the clock: a busy machine makes no tap dearer.
"""

import tempfile
from pathlib import Path

from app_driver import PHONE_SIZE, open_app
from PIL import Image
from sheet_driver import SheetDriver
from sheet_walk import SheetWalk
from tap_trace import CATEGORIES, MARKS, Tap, read_taps

from tests.browser import launch_options
from tests.live_server import LiveServer

SLOWDOWN = 6
# They open a sheet, or the phone's own camera: no answer is painted.
_ANSWERS_NOTHING = ("next", "camera")


def taps_of_a_job(playwright) -> list[Tap]:
    """Walk a whole job without network and return its taps, but for those that answer nothing."""
    with tempfile.TemporaryDirectory() as name, LiveServer(Path(name)) as server:
        browser = playwright.chromium.launch(**launch_options())
        context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, is_mobile=True, locale="en-GB")
        context.add_init_script(MARKS)
        driver = SheetDriver(open_app(context, server.url).page)
        driver.wait_ready()
        server.stop()
        photo = Path(name) / "photo.jpg"
        Image.new("RGB", (1200, 1600), "grey").save(photo)
        found: list[Tap] = []

        def begin(_sheet: str) -> None:
            browser.start_tracing(page=driver.page, categories=CATEGORIES)

        def end(_sheet: str) -> None:
            found.extend(read_taps(browser.stop_tracing()))

        SheetWalk(driver, photo, driver.new_job(), visit=begin, leave=end).run()
        browser.close()
        return [tap for tap in found if tap.name.partition(" ")[2] not in _ANSWERS_NOTHING]
