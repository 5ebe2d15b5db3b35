"""How soon a tap is answered on the first three sheets of a job, on a slow phone: interaction to next paint.

Part of bench_speed. Chromium measures each interaction itself (PerformanceObserver, entries of type "event", from
16 ms on). Of few interactions INP is the longest (web.dev, "Interaction to Next Paint").
"""

import tempfile
from pathlib import Path

from app_driver import PHONE_SIZE, open_app
from sheet_driver import SheetDriver
from sheet_walk import SheetWalk

from tests.browser import launch_options
from tests.live_server import LiveServer

SLOWDOWN = 6
_OBSERVE = """
const longest = globalThis.interactions = new Map();
new PerformanceObserver((list) => {
  for (const { interactionId, duration } of list.getEntries()) {
    if (interactionId) longest.set(interactionId, Math.max(duration, longest.get(interactionId) ?? 0));
  }
}).observe({ type: 'event', durationThreshold: 16, buffered: true });
"""


def interactions_of_a_job(playwright) -> tuple[int, list[float]]:
    """Return the number of taps and the ms of every interaction of at least 16 ms, up to the readings."""
    with tempfile.TemporaryDirectory() as folder, LiveServer(Path(folder)) as server:
        browser = playwright.chromium.launch(**launch_options())
        context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, is_mobile=True, locale="en-GB")
        context.add_init_script(_OBSERVE)
        driver = SheetDriver(open_app(context, server.url).page)
        driver.wait_ready()
        server.stop()
        context.new_cdp_session(driver.page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
        driver.page.evaluate("globalThis.interactions.clear()")
        SheetWalk(driver, Path(folder), driver.new_job()).run(until="possible")
        driver.page.wait_for_timeout(500)
        times = driver.page.evaluate("[...globalThis.interactions.values()]")
        browser.close()
        return driver.taps, times
