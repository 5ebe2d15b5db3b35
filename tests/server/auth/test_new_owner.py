"""What a new owner does, in real browsers over HTTPS: set up, serve, sign in, enter rings, pair a phone, see its job.

The browser trusts the shop's authority as an installed certificate, by a certificate store in a home of its own, and
validates for real.
"""

import json
import os
import re
import subprocess
import sys
from contextlib import contextmanager

import pytest
from playwright.sync_api import expect

from tests.browser import certutil
from tests.live_server import ROOT, LiveServer
from tests.pwa.app_driver import AppDriver
from tests.server.desks import OWNER, PASSWORD
from tests.server.ring_forms import RING

pytestmark = pytest.mark.full

_TEXTS = ROOT / "pwa" / "text" / "en" / "ui.json"
# Script in what people type: shown as text on the phone and at the desk, or the pages would say so.
SHOP = "Larkmoor <img src=x onerror=alert(1)>"
TECHNICIAN = "Iris <script>alert(2)</script> Vance"


def run_verb(store, *arguments, given=""):
    return subprocess.run(
        [sys.executable, "-m", "server", *arguments], cwd=ROOT, input=given, capture_output=True, text=True, check=True,
        env=os.environ | {"TAPERMARK_STORE": str(store), "DATABASE_URL": ""}, timeout=60,
    ).stdout  # fmt: skip


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    """A shop as the README says: setup, certificate, serve."""
    store = tmp_path_factory.mktemp("new") / "store"
    run_verb(store, "setup", "--shop", SHOP, "--owner", OWNER, "--password-stdin", given=f"{PASSWORD}\n")
    run_verb(store, "certificate")
    with LiveServer(store, https=True) as live:
        yield live


@contextmanager
def browser_that_trusts(store, chromium, launch_options, home):
    """Chromium whose user has installed the authority of the shop in this folder."""
    database = home / ".pki" / "nssdb"
    database.mkdir(parents=True)
    authority = store / "certificate" / "authority.crt"
    for arguments in (["-N", "--empty-password"], ["-A", "-t", "C,,", "-n", "shop", "-i", str(authority)]):
        subprocess.run([certutil(), "-d", f"sql:{database}", *arguments], check=True, timeout=30)
    browser = chromium.launch(**launch_options, env=os.environ | {"HOME": str(home)})
    yield browser
    browser.close()


@pytest.fixture(scope="module")
def trusting_browser(server, chromium, launch_options, tmp_path_factory):
    with browser_that_trusts(server.store_folder, chromium, launch_options, tmp_path_factory.mktemp("home")) as browser:
        yield browser


def told_nothing_bad(page):
    """Collect what the page complains about: errors, and breaches of the content security policy."""
    heard = []
    page.on("pageerror", lambda error: heard.append(str(error)))
    page.on("console", lambda line: heard.append(line.text) if "Content Security Policy" in line.text else None)
    return heard


def sign_in(page, url):
    page.goto(f"{url}/desk/")
    page.get_by_label("Name").fill(OWNER)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Job sheets", exact=True)).to_be_visible()


def make_ring_set(page, url):
    """Type in the inner ring; the outer ring is as it."""
    page.goto(f"{url}/desk/rings/new")
    page.get_by_label("Name, as it is written").fill("Bought in spring")
    for name, text in RING.items():
        field = page.locator(f'[name="inner.{name}"]')
        (field.select_option if name in ("direction", "marked_face_right") else field.fill)(text)
    expect(page.get_by_label("Same as the inner ring")).to_be_checked()
    page.get_by_role("button", name="Keep as revision 1").click()
    expect(page.get_by_text("Rings alike: swap freely.")).to_be_visible()


def make_code(page, url, name):
    page.goto(f"{url}/desk/phones")
    page.get_by_label("What this phone is called here").fill(name)
    page.get_by_role("button", name="Make a code").click()
    return page.locator("p.code").inner_text()


def open_phone(browser, url, place=""):
    page = browser.new_context(viewport={"width": 360, "height": 740}).new_page()
    heard = told_nothing_bad(page)
    page.goto(f"{url}/{place}")
    return AppDriver(page), heard


def test_a_browser_that_does_not_know_the_authority_does_not_come_in(server, browser):
    page = browser.new_context().new_page()
    with pytest.raises(Exception, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(server.url)


def test_from_setup_to_a_job_at_the_desk(server, trusting_browser):
    desk = trusting_browser.new_context().new_page()
    desk_heard = told_nothing_bad(desk)
    sign_in(desk, server.url)
    make_ring_set(desk, server.url)
    code = make_code(desk, server.url, "Pit phone")

    phone, heard = open_phone(trusting_browser, server.url)
    phone.name_technician(TECHNICIAN)
    expect(phone.key("sync")).to_contain_text("not known to the shop")
    job = phone.new_job()  # before it is paired: nothing waits for the shop
    phone.page.evaluate("location.hash = '#/'")
    phone.tap("pair-now")
    phone.key("pair-code").fill(code.lower())
    phone.tap("pair")
    expect(phone.key("notice")).to_contain_text(f"Paired with {SHOP}")
    expect(phone.key("unsent")).to_contain_text("sent")
    expect(phone.key("sync")).not_to_contain_text("not known")
    shell = "navigator.serviceWorker.ready.then((registration) => registration.active !== null)"
    assert phone.page.evaluate(shell), "the worker registers over HTTPS with real validation"
    phone.wait_ready()  # with the shop's own ring set

    desk.goto(f"{server.url}/desk/")
    desk.locator(f'a[href="/desk/jobs/{job}"]').first.click()
    desk.goto(f"{server.url}/desk/jobs/{job}/history")
    expect(desk.get_by_text(TECHNICIAN).first).to_be_visible()
    desk.goto(f"{server.url}/desk/phones")
    row = desk.locator("tbody tr", has_text="Pit phone")
    expect(row).to_contain_text("nothing")
    expect(row).to_contain_text(re.compile(r"0\.\d+\.\d+"))
    assert heard + desk_heard == []


def test_the_square_brings_the_code_and_an_ended_phone_keeps_its_work(server, trusting_browser):
    desk = trusting_browser.new_context().new_page()
    sign_in(desk, server.url)
    code = make_code(desk, server.url, "Van phone")
    expect(desk.locator("svg.segno")).to_be_visible()
    phone, heard = open_phone(trusting_browser, server.url, f"#/pair/{code.replace('-', '')}")
    assert phone.key("pair-code").input_value() == code.replace("-", "")
    phone.tap("pair")
    phone.name_technician(TECHNICIAN)
    expect(phone.key("sync")).not_to_contain_text("not known")
    assert phone.page.evaluate("history.state === null && !location.hash.includes('pair')")

    desk.goto(f"{server.url}/desk/phones")
    desk.get_by_role("link", name="End the pairing of Van phone").click()
    desk.get_by_role("button", name="End").click()
    expect(desk.locator("tbody tr", has_text="Van phone")).to_contain_text("ended")
    phone.new_job()
    phone.page.evaluate("location.hash = '#/'")
    expect(phone.key("sync")).to_contain_text("has ended this phone's pairing", timeout=30_000)
    expect(phone.key("unsent")).to_be_visible()
    expect(phone.key("unsent")).not_to_contain_text(json.loads(_TEXTS.read_text("utf-8"))["ui.status.all-sent"])
    phone.tap("pair-now")
    expect(phone.key("pairing-state")).to_contain_text("stays on it")
    phone.key("pair-code").fill(code)
    phone.tap("pair")
    expect(phone.key("pair-code-error")).to_contain_text("used already")
    phone.tap("pairing-export")
    with phone.page.expect_download() as download:
        phone.tap("export")
    file = download.value.path()

    desk.goto(f"{server.url}/desk/import")
    desk.get_by_label("File, such as").set_input_files(file)
    desk.get_by_role("button", name="Take in").click()
    expect(desk.get_by_text("entries, accepted")).to_be_visible()
    assert heard == []
