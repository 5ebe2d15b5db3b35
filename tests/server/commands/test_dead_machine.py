"""The shop's machine dies; a backup is restored on another one, and a phone goes on as if nothing had been.

Over HTTPS with real validation: the browser goes on trusting what was installed once, for the authority came along.
"""

import os
import signal

import pytest
from playwright.sync_api import expect

from tests.live_server import LiveServer, free_port
from tests.server.auth.test_new_owner import browser_that_trusts, make_code, open_phone, run_verb, sign_in
from tests.server.desks import OWNER, PASSWORD

pytestmark = pytest.mark.full


def test_a_phone_goes_on_at_another_machine_and_installs_nothing(chromium, launch_options, tmp_path):
    dead, other, backup, port = tmp_path / "dead", tmp_path / "other", tmp_path / "last.backup", free_port()
    run_verb(dead, "setup", "--shop", "Larkmoor", "--owner", OWNER, "--password-stdin", given=f"{PASSWORD}\n")
    run_verb(dead, "certificate")
    with (
        LiveServer(dead, port, https=True) as server,
        browser_that_trusts(dead, chromium, launch_options, tmp_path / "home") as browser,
    ):
        desk = browser.new_context().new_page()
        sign_in(desk, server.url)
        code = make_code(desk, server.url, "Pit phone")
        phone, heard = open_phone(browser, server.url, f"#/pair/{code.replace('-', '')}")
        phone.tap("pair")
        phone.name_technician("Iris Vance")
        sent = phone.new_job()
        phone.page.evaluate("location.hash = '#/'")
        expect(phone.key("unsent")).to_contain_text("Everything is sent")
        run_verb(dead, "backup", backup)

        os.kill(server.pid, signal.SIGKILL)
        server.stop()
        waiting = phone.new_job()
        phone.page.evaluate("location.hash = '#/'")
        expect(phone.key("unsent")).to_contain_text("Not sent")

        run_verb(other, "restore", backup)
        with LiveServer(other, port, https=True) as again:
            phone.tap("send-now")
            expect(phone.key("unsent")).to_contain_text("Everything is sent")
            expect(phone.key("sync")).not_to_contain_text("not known")
            for job in (sent, waiting):
                assert desk.goto(f"{again.url}/desk/jobs/{job}").status == 200, "the desk is still signed in too"
        assert heard == []
