"""Counts what a plain two-wheel job costs a thumb: sheets, taps, typed characters, screen heights scrolled.

`python -m tests.bench.bench_taps` walks it on the real screens against a real server, on a fresh phone, for a vehicle
type that the shop has never seen, and for one that it knows: proposed by an earlier job, accepted at the desk. A tap is
a tap: a key of the keypad, an option, the main button that opens the next sheet; a select counts two. The last line is
JSON: wheel is the larger of the two wheel sheets without its bolts, rest all other sheets; find: from the start screen
to a first plan on "Find a pair" where the windows are known.
"""

import json
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "pwa")]

from app_driver import PHONE_SIZE, open_app  # noqa: E402
from find_walk import read_to_plan, type_windows  # noqa: E402
from known_type import accept, bring, propose  # noqa: E402
from known_walk import KnownWalk  # noqa: E402
from PIL import Image  # noqa: E402
from sheet_driver import SheetDriver  # noqa: E402
from sheet_walk import SheetWalk  # noqa: E402

from tests.browser import launch_options  # noqa: E402
from tests.live_server import LiveServer  # noqa: E402

_HEIGHTS = """() => {
  const main = document.getElementById('main');
  return main.scrollHeight / main.clientHeight;
}"""


def fresh_phone(browser, url: str) -> SheetDriver:
    """Return a phone with the shop's ring sets, at its start screen."""
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, is_mobile=True, locale="en-GB")
    opened = open_app(context, url)
    opened.wait_ready()
    return SheetDriver(opened.page)


def counts_of_finding(browser, url: str) -> dict:
    """Find a pair where the windows were typed before, and make a job of it; returns the taps to the first plan."""
    driver = fresh_phone(browser, url)
    type_windows(driver)
    driver.tap("back")
    driver.wait_for("find-pair")
    driver.taps = 0
    read_to_plan(driver)
    counts = {"taps": driver.taps}
    driver.tap("become-job")
    driver.page.wait_for_url("**/job/**")
    driver.page.context.close()
    return counts


def counts_of_a_job(browser, url: str, photo: Path, is_known: bool = False) -> dict:
    """Walk the plain job on a fresh phone; returns its counts, and under "by_sheet" those of each sheet."""
    driver = fresh_phone(browser, url)
    if is_known:
        propose(driver.page)
        accept(driver.page.context, url)
        bring(driver.page)
    heights = {}

    def leave(sheet: str) -> None:
        heights[sheet] = round(driver.page.evaluate(_HEIGHTS), 1)

    walk = (KnownWalk if is_known else SheetWalk)(driver, photo, driver.new_job(), leave=leave)
    walk.run()
    driver.page.context.close()
    by_sheet = {sheet: {**each, "heights": heights[sheet]} for sheet, each in walk.by_sheet.items()}
    return {**walk.counts, "by_sheet": by_sheet}


def measure(folder: Path) -> dict:
    """Start a server and a browser and walk each once; `folder` is for what both keep."""
    photo = folder / "photo.jpg"
    Image.new("RGB", (1200, 1600), "grey").save(photo)
    with sync_playwright() as playwright, LiveServer(folder / "store") as server:
        browser = playwright.chromium.launch(**launch_options())
        try:
            return {
                "find": counts_of_finding(browser, server.url),
                "unknown": counts_of_a_job(browser, server.url, photo),
                "known": counts_of_a_job(browser, server.url, photo, is_known=True),
            }
        finally:
            browser.close()


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        measured = measure(Path(folder))
    for kind in ("unknown", "known"):
        print(kind)
        for name, each in measured[kind].pop("by_sheet").items():
            print(f"{name:12} {each['taps']:4} taps {each['typed']:4} typed {each['heights']:5} screens high")
    print(json.dumps(measured))


if __name__ == "__main__":
    main()
