"""How long a phone takes from its icon to a usable screen, with no network: against an empty page of the same worker.

Part of bench_speed. Each opening is a new browser on the same profile, and the server is gone. Usable means that the
next action can be tapped, be it in the picture of the screen that was left; whole that the program has drawn it and
every row answers. Empty page and screens take turns, so that whatever else the machine does hits them alike.
"""

import logging
import shutil
import tempfile
from contextlib import contextmanager
from pathlib import Path

from app_driver import PHONE_SIZE, open_app
from werkzeug.serving import make_server

from server import create_app
from tests.at_once import begun, ended
from tests.browser import launch_options
from tests.live_server import ROOT

SLOWDOWN = 4  # a phone of some years against this machine
EMPTY = "/empty.html"
# The page tells when it can be used; its clock starts with the navigation, the worker's own start included.
_WATCH = """
(() => {
  const isUsable = () => location.pathname === '/empty.html' ? document.readyState === 'complete'
    : document.querySelector('#main h1') && document.querySelector('#bar .primary:enabled')?.checkVisibility();
  const isWhole = () => location.pathname === '/empty.html' || document.getElementById('main')?.dataset.place;
  const look = () => {
    if (isUsable()) globalThis.usableMs ??= performance.now();
    if (!globalThis.usableMs || !isWhole()) return;
    globalThis.wholeMs = performance.now();
    watching.disconnect();
  };
  const watching = new MutationObserver(look);
  const told = { attributes: true, attributeFilter: ['disabled', 'data-place'] };
  watching.observe(document, { childList: true, subtree: true, ...told });
  addEventListener('load', look);
})();
"""


@contextmanager
def served_with_an_empty_page(folder: Path, program: Path):
    """Serve the real program with one more page in it; give its address and what stops it."""
    shutil.copytree(program, folder / "pwa")
    (folder / "pwa" / EMPTY[1:]).write_text('<!doctype html><html lang="en"><title>Empty</title><p>Empty')
    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    app = create_app({"STORE_FOLDER": folder / "store", "PWA_FOLDER": str(folder / "pwa")})
    server = make_server("127.0.0.1", 0, app, threaded=True)
    serving = begun(server.serve_forever)

    def stop():
        server.shutdown()
        server.server_close()
        ended(serving)

    yield f"http://127.0.0.1:{server.server_port}", stop


def cold_openings(playwright, openings: int, program: Path = ROOT / "pwa") -> dict[str, list[float]]:
    """Return ms to usable: of the empty page, of the jobs' list, of a job left at a sheet; and until that is whole."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)

        def browser():
            options = {"viewport": PHONE_SIZE, "has_touch": True, "is_mobile": True, "locale": "en-GB"}
            return playwright.chromium.launch_persistent_context(folder / "profile", **options, **launch_options())

        with served_with_an_empty_page(folder, program) as (url, stop):
            context = browser()
            driver = open_app(context, url)
            driver.wait_ready()
            job = driver.new_job()
            context.close()
            stop()
        pages = {"empty page": EMPTY, "jobs": "/#/", "sheet": f"/#/job/{job}/sheet/vehicle"}
        times = {page: [] for page in (*pages, "sheet whole")}
        for _ in range(openings):
            for page, address in pages.items():
                if page == "sheet":
                    _leave_at(browser(), url + address)
                context = browser()
                usable_ms, whole_ms = _times_ms(context, url + address)
                times[page].append(usable_ms)
                if page == "sheet":
                    times["sheet whole"].append(whole_ms)
                context.close()
        return times


def _leave_at(context, url: str) -> None:
    """Open a sheet and put the phone away once it has stood still."""
    page = context.pages[0]
    page.goto(url)
    page.wait_for_function("() => localStorage.getItem('tapermark.sheet-look')", timeout=60_000)
    page.wait_for_timeout(1000)  # localStorage goes to the disk after a while
    context.close()


def _times_ms(context, url: str) -> tuple[float, float]:
    page = context.pages[0]
    page.add_init_script(_WATCH)
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
    page.goto(url)
    page.wait_for_function("() => globalThis.wholeMs", timeout=60_000)
    if not url.endswith(EMPTY):  # as a person would leave it: not before the program itself is there
        page.wait_for_function("() => performance.getEntriesByName('whole-program-here').length", timeout=60_000)
    return tuple(page.evaluate("() => [globalThis.usableMs, globalThis.wholeMs]"))
