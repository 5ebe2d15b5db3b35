"""Counts the files that take part in one typed angle, by running it and not by a list: `python -m tests.walk_files`.

A phone with the base readings of a job open, and a demo shop's server in this process. On the phone: the modules in
which a function ran, from the first key of the keypad until nothing waits to be sent. At the server: the files in which
one ran, templates among them, from the request with the entry until its answer; then for the desk's page of that job.
What the phone asks for after that answer is held back, so that nothing else runs meanwhile.
"""

import itertools
import sys
import tempfile
import threading
import urllib.request
from collections.abc import Iterable
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from playwright.sync_api import Browser, sync_playwright

ROOT = Path(__file__).resolve().parent.parent
SERVER = ROOT / "server"
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "pwa")]

from app_driver import PHONE_SIZE  # noqa: E402
from screen_checks import PHONE, open_ready  # noqa: E402
from seeded_phone import DESCRIPTION, WINDOWS  # noqa: E402
from sheet_driver import SheetDriver  # noqa: E402

from server import create_app  # noqa: E402
from tests.browser import launch_options  # noqa: E402
from tests.server.listening import listening  # noqa: E402

AIM_PHONE, AIM_SAVING = 30, 45  # what we would like: on the phone, and with the server's until the entry is stored
_LIMIT_S = 30
_SAVE = f"""async ([job, facts]) => {{
  const phone = {PHONE};
  for (const [slot, kind, body] of facts) await phone.save({{ job, kind, slot, body, after: [], by: "Tom Reed" }});
}}"""
_AT_REST = f"""async () => {{
  const phone = {PHONE};
  const limit = performance.now() + {_LIMIT_S * 1000};
  const isWhole = () => performance.getEntriesByName("whole-program-here").length > 0;
  const isSyncing = async () => (await navigator.locks.query()).held.some(({{ name }}) => name === "tapermark.sync");
  while (!isWhole() || (await phone.unsent()).entries > 0 || (await isSyncing())) {{
    if (performance.now() > limit) throw new Error("expected the phone to come to rest within {_LIMIT_S} s");
    await new Promise(requestAnimationFrame);
  }}
}}"""

# What is half typed lies in the store once the typing rests, and leaves the place where each key goes at once.
_IS_DRAFT = "() => !Object.keys(localStorage).some((key) => key.startsWith('tapermark.draft.'))"


@dataclass(frozen=True)
class Walk:
    """Sorted paths: modules below pwa/js, files below server until the entry is stored, files for the desk's page."""

    phone: list[str]
    server: list[str]
    desk: list[str]


class Ran:
    """Hears which files' functions ran since `begin`, in threads that were made within its with statement."""

    def __init__(self):
        self._files: set[str] | None = None

    def __enter__(self):
        threading.setprofile(self._heard)
        return self

    def __exit__(self, *_):
        threading.setprofile(None)

    def begin(self) -> None:
        self._files = set()

    def end(self) -> list[str]:
        heard, self._files = self._files, None
        return _below(SERVER, map(Path, heard))

    def _heard(self, frame, event: str, _argument) -> None:
        files = self._files
        if files is not None and event == "call" and frame.f_code.co_name != "<module>":  # an import is no function
            files.add(frame.f_code.co_filename)


def walked(browser: Browser, folder: Path) -> Walk:
    """Type the camber of one wheel; `folder` is for the shop's store."""
    with Ran() as ran, _shop(folder) as url:
        context = browser.new_context(
            viewport=PHONE_SIZE, has_touch=True, locale="en-GB",
            service_workers="block",  # it would take the requests out of sight
            extra_http_headers={"Accept-Encoding": "identity"},  # to compress the whole program takes seconds
        )  # fmt: skip
        try:
            driver = SheetDriver(open_ready(context, url).page)
            job = driver.new_job()
            phone, server = _typed(driver, job, ran)
        finally:
            context.close()
        ran.begin()
        urllib.request.urlopen(f"{url}/desk/jobs/{job}", timeout=_LIMIT_S).read()
        return Walk(phone, server, ran.end())


def _typed(driver: SheetDriver, job: str, ran: Ran) -> tuple[list[str], list[str]]:
    page, sent, held = driver.page, [], []
    page.evaluate(_SAVE, [job, [DESCRIPTION, *WINDOWS]])
    driver.open_sheet(job, "readings")
    driver.aim("base.left.camber.1")
    page.evaluate(_AT_REST)

    def pass_on(route):
        if sent:
            return held.append(route)  # the entry has left the outbox
        if route.request.method == "POST":
            ran.begin()
            sent.append(route)
        return route.continue_()

    page.route("**/*", pass_on)
    profiler = page.context.new_cdp_session(page)
    profiler.send("Profiler.enable")
    profiler.send("Profiler.startPreciseCoverage", {"callCount": True, "detailed": False})
    profiler.send("Profiler.takePreciseCoverage")  # what ran until here
    with page.expect_request(lambda request: sent and request.method == "GET"):
        driver.type_keys("164")
        page.wait_for_function(_IS_DRAFT)  # nobody taps as fast as a test
        driver.tap("way-top-in")
    server = ran.end()
    ran_on_phone = _called(profiler.send("Profiler.takePreciseCoverage")["result"])
    for route in held:
        route.abort()  # nothing of it reaches the server while the desk's page is asked for
    return ran_on_phone, server


def _called(scripts: list[dict]) -> list[str]:
    calls = ((each["url"], part["count"]) for each in scripts for made in each["functions"] for part in made["ranges"])
    return sorted({url.split("/js/")[1] for url, count in calls if "/js/" in url and count > 0})


@contextmanager
def _shop(folder: Path):
    """A demo shop without jobs, the listener before it; gives its address.

    The listener looks up no sender: it would do so only now and then, where a body comes later than its head.
    """
    app = create_app({"STORE_FOLDER": folder, "DEMO_JOBS": False})
    try:
        with listening(application=app.wsgi_app) as served:
            yield f"http://127.0.0.1:{served.socket.getsockname()[1]}"
    finally:
        app.extensions["database"].close()


def _below(folder: Path, files: Iterable[Path]) -> list[str]:
    return sorted(file.relative_to(folder).as_posix() for file in files if file.is_relative_to(folder))


def told(files: list[str]) -> str:
    """A line for each folder."""
    in_folders = sorted(map(PurePosixPath, files), key=lambda file: (file.parent, file.name))
    folders = itertools.groupby(in_folders, lambda file: file.parent)
    return "\n".join(f"  {folder}: {', '.join(file.name for file in own)}" for folder, own in folders)


def main() -> int:
    with sync_playwright() as playwright, tempfile.TemporaryDirectory(prefix="tapermark-walk-") as folder:
        browser = playwright.chromium.launch(**launch_options())
        walk = walked(browser, Path(folder))
        browser.close()
    phone, saving = len(walk.phone), len(walk.phone) + len(walk.server)
    print(f"On the phone, from the first key until it is sent: {phone} modules (aim: {AIM_PHONE})\n{told(walk.phone)}")
    print(f"At the server, until it is stored: {len(walk.server)} files\n{told(walk.server)}")
    print(f"For the saving in all: {saving} (aim: {AIM_SAVING})")
    print(f"At the desk, for the job's page: {len(walk.desk)} files\n{told(walk.desk)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
