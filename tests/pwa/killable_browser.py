"""A browser of our own that can be killed without warning, with the phone's store opened in its page."""

import os
import signal
import subprocess
import time

OPEN = """async () => {
    const { openPhone } = await import("/js/store/phone.js");
    globalThis.phone = await openPhone();
    globalThis.heard = [];
    phone.onChange(({ job, cause }) => heard.push([job, cause]));
}"""
SAVE = """async ([job, slot, value]) => {
    const body = { value };
    return (await phone.save({ job, kind: "field-set", slot, after: [], body, by: "Ada Lind" })).id;
}"""
ENTRIES = "async (job) => phone.entries(job)"


def open_phone(page, origin: str) -> None:
    page.goto(f"{origin}/tests/run.html")
    page.evaluate(OPEN)


class KillableBrowser:
    """A browser of our own on a profile folder, driven over its debugging port, killed without warning."""

    def __init__(self, chromium, executable: str, profile):
        port_file = profile / "DevToolsActivePort"
        port_file.unlink(missing_ok=True)
        switches = ["--headless=new", "--no-sandbox", "--remote-debugging-port=0", f"--user-data-dir={profile}"]
        self._process = subprocess.Popen(
            [executable, *switches, "about:blank"],
            start_new_session=True,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            self._browser = chromium.connect_over_cdp(f"http://127.0.0.1:{port_in(port_file)}")
        except BaseException:
            self.kill()
            raise
        self.page = self._browser.contexts[0].new_page()

    def kill(self) -> None:
        """End the browser and all its processes at once, as an empty battery would."""
        os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()


def port_in(port_file, limit_s: float = 20) -> int:
    deadline = time.monotonic() + limit_s
    while time.monotonic() < deadline:
        if port_file.exists() and (text := port_file.read_text()):
            return int(text.splitlines()[0])
        time.sleep(0.05)
    raise RuntimeError(f"the browser opened no debugging port within {limit_s} s")


def save_and_kill(chromium, executable: str, profile, origin: str, kills: int) -> None:
    """Save, kill within 50 ms of "saved", open again, and find everything; raises AssertionError at a loss."""
    saved = []
    job = "00000000-0000-4000-8000-0000000000aa"
    for k in range(kills + 1):
        browser = KillableBrowser(chromium, executable, profile)
        try:
            open_phone(browser.page, origin)
            found = {entry["id"] for entry in browser.page.evaluate(ENTRIES, job)}
            assert set(saved) <= found, f"lost after kill {k}: {set(saved) - found}"
            saved.append(browser.page.evaluate(SAVE, [job, f"vehicle.field-{k}", k]))
        finally:
            browser.kill()
