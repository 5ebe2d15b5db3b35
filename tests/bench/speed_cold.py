"""How long a phone takes from its icon to a usable screen, with no network: against an empty page of the same worker.

Part of bench_speed. Each opening is a new browser on the same profile, and the server is gone. Usable means that the
next action can be tapped. Empty page and screens take turns, so that whatever else the machine does hits them alike.
"""

import logging
import shutil
import tempfile
import threading
from contextlib import contextmanager
from pathlib import Path

from app_driver import PHONE_SIZE, open_app
from werkzeug.serving import make_server

from server import create_app
from tests.browser import launch_options
from tests.live_server import ROOT

SLOWDOWN = 4  # a phone of some years against this machine
EMPTY = "/empty.html"
# The page tells when it can be used; its clock starts with the navigation, the worker's own start included.
_WATCH = """
(() => {
  const isUsable = () => location.pathname === '/empty.html' ? document.readyState === 'complete'
    : document.querySelector('#main h1') && document.querySelector('#bar .primary:enabled')?.checkVisibility();
  const look = () => {
    if (globalThis.usableMs || !isUsable()) return;
    globalThis.usableMs = performance.now();
    watching.disconnect();
  };
  const watching = new MutationObserver(look);
  watching.observe(document, { childList: true, subtree: true, attributes: true, attributeFilter: ['disabled'] });
  addEventListener('load', look);
})();
"""


@contextmanager
def served_with_an_empty_page(folder: Path):
    """Serve the real program with one more page in it; give its address and what stops it."""
    shutil.copytree(ROOT / "pwa", folder / "pwa")
    (folder / "pwa" / EMPTY[1:]).write_text('<!doctype html><html lang="en"><title>Empty</title><p>Empty')
    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    app = create_app({"STORE_FOLDER": folder / "store", "PWA_FOLDER": str(folder / "pwa")})
    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()

    def stop():
        server.shutdown()
        server.server_close()
        thread.join()

    yield f"http://127.0.0.1:{server.server_port}", stop


def cold_openings(playwright, openings: int) -> dict[str, list[float]]:
    """Return ms to usable: of the empty page, of the jobs' list, and of a job left in the middle of a step."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)

        def browser():
            options = {"viewport": PHONE_SIZE, "has_touch": True, "is_mobile": True, "locale": "en-GB"}
            return playwright.chromium.launch_persistent_context(folder / "profile", **options, **launch_options())

        with served_with_an_empty_page(folder) as (url, stop):
            context = browser()
            driver = open_app(context, url)
            driver.wait_ready()
            job = driver.new_job()
            context.close()
            stop()
        pages = {"empty page": EMPTY, "jobs": "/#/", "step": f"/#/job/{job}/step/vehicle.registration"}
        times = {page: [] for page in pages}
        for _ in range(openings):
            for page, address in pages.items():
                context = browser()
                times[page].append(_usable_ms(context, url + address))
                context.close()
        return times


def _usable_ms(context, url: str) -> float:
    page = context.pages[0]
    page.add_init_script(_WATCH)
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
    page.goto(url)
    usable_ms = page.wait_for_function("() => globalThis.usableMs", timeout=60_000).json_value()
    if not url.endswith(EMPTY):  # as a person would leave it: not before the program itself is there
        page.wait_for_function("() => performance.getEntriesByName('whole-program-here').length", timeout=60_000)
    return usable_ms
