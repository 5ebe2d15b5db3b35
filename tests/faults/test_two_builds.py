"""Two builds of the whole program on one phone: {1, 2 page} x {1, 2 worker} x {1, 2 database}; database 2 is of the
next version. A running job stays on its build until the person taps; nothing saved or typed is lost; a page that is
older than the data says so. And the kill switch, with unsent work on the phone.
"""

import json
import shutil

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect
from sheet_driver import SheetDriver
from static_server import serving
from worker_site import WorkerSite, wait_until

from server.web.shell import worker_script
from tests.live_server import ROOT

pytestmark = pytest.mark.full

LOOK = "async () => { await (await navigator.serviceWorker.getRegistration()).update().catch(() => {}); }"
TAKE_OVER = "async () => (await navigator.serviceWorker.getRegistration()).waiting.postMessage({ type: 'take-over' })"
BUILD = "() => globalThis.build"
# The workers' sets of files. The phone's reserve of room lies in a cache too, and is no worker's.
SETS = "(await caches.keys()).filter((name) => name.startsWith('tapermark-')).length"
RESERVE = "(await caches.has('tapermark.reserve'))"
TITLE = "async () => (await (await fetch('/text/en/ui.json')).json())['ui.start.title']"
# The next version of the database has one store more; its step stands behind the released ones.
END_OF_STEPS = "\n];\n"
STEP_TO_NEXT = "  function toNext(database) {\n    database.createObjectStore('next');\n  },"
VERSION = max(int(file.stem[1:]) for file in (ROOT / "fixtures" / "databases").glob("v*.json"))
# `database`: 1 is this program's, 2 the next one's.
FACTS = """async (job) => {
    const versions = await indexedDB.databases();
    const phone = await (await import("/js/store/phone.js")).openPhone();
    const all = await phone.entries(job);
    return {
        ids: all.map(({ id }) => id).sort(), unsent: (await phone.unsent()).entries,
        saved: all.map(({ slot, kind, body }) => `${kind} ${slot}: ${body.value}`).sort(),
        health: phone.health, database: versions.find(({ name }) => name === "tapermark").version - VERSION + 1,
    };
}""".replace("VERSION", str(VERSION))
REGISTRATION, DESCRIPTION = "vehicle.registration", "vehicle.description"
TYPED = "white van, left lamp cracked"
LIMIT_MS = 20_000
# A text is kept after a rest in typing and when the program goes to the background; on this phone it stays half typed.
NO_REST = """(() => {
    const { setTimeout } = globalThis;
    globalThis.setTimeout = (act, ms, ...more) => (ms === 3000 ? 0 : setTimeout(act, ms, ...more));
    document.addEventListener("visibilitychange", (event) => event.stopImmediatePropagation(), true);
})()"""


def make_build(folder, build: int):
    """Copy the program; build 2 has another version, another text and the next version of the database."""
    shutil.copytree(ROOT / "pwa", folder)
    main = folder / "js" / "main.js"
    main.write_text(f"globalThis.build = {build};\n{main.read_text('utf-8')}", "utf-8")
    if build == 2:
        changelog, words, upgrades = (
            folder / "changelog.json",
            folder / "text/en/ui.json",
            folder / "js/store/upgrades.js",
        )
        changelog.write_text(json.dumps([{"version": "99.0.0", "date": "2026-11-25", "changes": []}]), "utf-8")
        changed = json.loads(words.read_text("utf-8")) | {"ui.start.title": "Jobs of build 2"}
        words.write_text(json.dumps(changed), "utf-8")
        steps = upgrades.read_text("utf-8")
        assert steps.count(END_OF_STEPS) == 1
        upgrades.write_text(steps.replace(END_OF_STEPS, f"\n{STEP_TO_NEXT}{END_OF_STEPS}"), "utf-8")
    return folder


@pytest.fixture(scope="module")
def builds(tmp_path_factory):
    folder = tmp_path_factory.mktemp("builds")
    return {build: make_build(folder / str(build), build) for build in (1, 2)}


@pytest.fixture
def site(builds):
    site = WorkerSite(builds[1])
    with serving(site.handler()) as server:
        site.origin = server.origin
        yield site


@pytest.fixture
def app(browser, site):
    """A phone of build 1, its worker in charge, with a job whose second row is half typed."""
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True)
    context.add_init_script(NO_REST)
    app = SheetDriver(open_app(context, site.origin).page)
    wait_until(app.page, "() => navigator.serviceWorker.controller !== null")
    app.job_id = app.new_job()
    app.text(REGISTRATION, "QX 41 LTM")
    app.leave_field()
    app.wait_state(REGISTRATION)
    field(app).fill(TYPED)
    app.versions_before = facts(app)
    yield app
    context.close()


def facts(app: SheetDriver) -> dict:
    return app.page.evaluate(FACTS, app.job_id)


def field(app: SheetDriver):
    return app.key(f"text-{DESCRIPTION}")


def keep(app: SheetDriver) -> None:
    """Leave the field: what stands there is kept."""
    field(app).focus()
    app.leave_field()
    app.wait_state(DESCRIPTION)


def deploy(app: SheetDriver, site: WorkerSite, builds: dict) -> None:
    """Put build 2 on the server, and wait until its worker waits on the phone."""
    site.folder = builds[2]
    app.page.evaluate(LOOK)
    wait_until(app.page, "async () => (await navigator.serviceWorker.getRegistration()).waiting !== null")


def another_tab(app: SheetDriver, site: WorkerSite, past_the_worker: bool = False) -> SheetDriver:
    """Open Tapermark in a second tab; `past_the_worker`: as a reload with the shift key does."""
    page = app.page.context.new_page()
    if past_the_worker:
        cdp = page.context.new_cdp_session(page)
        cdp.send("Network.enable")
        cdp.send("Network.setBypassServiceWorker", {"bypass": True})
        cdp.send("Network.setCacheDisabled", {"cacheDisabled": True})
    page.goto(site.origin)
    other = SheetDriver(page)
    other.settle()
    other.job_id = app.job_id
    return other


def test_a_running_job_stays_on_its_build_until_the_tap_and_loses_nothing(app, site, builds):
    deploy(app, site, builds)
    assert (app.page.evaluate(BUILD), app.page.evaluate(TITLE)) == (1, "Jobs")
    app.page.reload()  # no tap
    app.settle()
    assert (app.page.evaluate(BUILD), field(app).input_value()) == (1, TYPED)
    app.page.evaluate("() => { location.hash = '#/'; }")  # leaving the sheet keeps what was typed
    app.settle()
    wait_until(app.page, f"async ([job, count]) => (await ({FACTS})(job)).unsent === count", [app.job_id, 3])
    kept = facts(app)
    app.key("update-now").click()  # no more is asked of this page: it goes
    app.page.wait_for_function("() => globalThis.build === 2")
    app.settle()
    assert (app.page.evaluate(BUILD), app.page.evaluate(TITLE)) == (2, "Jobs of build 2")
    assert facts(app) == kept | {"database": 2}
    app.open_job(app.job_id)
    assert field(app).input_value() == TYPED


def test_page_1_worker_2_database_1(app, site, builds):
    """Another tab changed over: this page goes on with its build and its modules, and can save."""
    deploy(app, site, builds)
    app.page.evaluate(TAKE_OVER)
    wait_until(app.page, f"async () => {SETS} === 1")
    assert (app.page.evaluate(BUILD), app.page.evaluate(TITLE)) == (1, "Jobs of build 2")
    keep(app)
    assert facts(app)["unsent"] == app.versions_before["unsent"] + 1
    assert facts(app)["database"] == 1
    app.page.evaluate("() => { location.hash = '#/'; }")
    app.settle()
    expect(app.key("update")).to_contain_text("another tab")


@pytest.mark.parametrize("worker", [1, 2])
def test_page_1_database_2_says_not_saved_and_the_value_is_saved_after_the_reload(app, site, builds, worker):
    """A second tab with build 2 brings the database forward under the first one."""
    deploy(app, site, builds)
    if worker == 2:
        app.page.evaluate(TAKE_OVER)
        wait_until(app.page, f"async () => {SETS} === 1")
    other = another_tab(app, site, past_the_worker=worker == 1)
    assert other.page.evaluate(BUILD) == 2
    assert facts(other) == app.versions_before | {"database": 2}, "page 2, and everything is still there"
    field(app).focus()
    app.leave_field()
    expect(app.key("not-saved")).to_contain_text("NOT SAVED")
    assert field(app).input_value() == TYPED
    other.page.goto("about:blank")
    other.page.goto(f"{site.origin}/#/")
    other.settle()
    other.tap("save-rescued")
    expect(other.key("rescued")).to_have_count(0)
    assert facts(other)["unsent"] == app.versions_before["unsent"] + 1


def test_page_2_worker_1_database_2_saves(app, site, builds):
    deploy(app, site, builds)
    other = another_tab(app, site, past_the_worker=True)
    other.page.evaluate("hash => { location.hash = hash; }", f"#/job/{app.job_id}/sheet/vehicle")
    other.settle()
    assert (other.page.evaluate(BUILD), field(other).input_value()) == (2, TYPED)
    keep(other)
    # Once or twice: the first tab keeps what it holds when it loses the focus, if its database is still open then.
    assert set(facts(other)["saved"]) == {*app.versions_before["saved"], f"field-set {DESCRIPTION}: {TYPED}"}


def test_a_page_that_starts_older_than_the_data_says_so_and_harms_nothing(app, site, builds):
    """As after a release was taken back. The first page stays open, or the browser would change over by itself."""
    deploy(app, site, builds)
    another_tab(app, site, past_the_worker=True).page.close()
    page = app.page.context.new_page()
    page.goto(site.origin)
    expect(page.locator("body")).to_contain_text("Reload", timeout=LIMIT_MS)
    assert page.evaluate(BUILD) == 1
    again = another_tab(app, site, past_the_worker=True)
    assert facts(again) == app.versions_before | {"database": 2}


def test_a_browser_that_changes_over_while_no_page_is_open_keeps_the_job_and_what_was_typed(app, site, builds):
    deploy(app, site, builds)
    app.page.close()
    again = SheetDriver(app.page.context.new_page())
    again.job_id = app.job_id
    for _ in range(2):  # the browser takes its time to notice that no page is left
        again.page.goto(site.origin)
        again.settle()
        assert field(again).input_value() == TYPED
    found = facts(again)
    assert found == app.versions_before | {"database": found["database"]}


def test_the_kill_switch_leaves_three_unsent_entries_and_the_draft_alone(app, site, builds):
    keep(app)
    assert facts(app)["unsent"] == 3
    field(app).fill(f"{TYPED}, tow bar")
    before = facts(app)
    wait_until(app.page, f"async () => {RESERVE}")
    site.worker = worker_script(builds[1], off=True)
    # a look may join one that the page has under way, which has the older worker; a phone looks at each coming back
    wait_until(
        app.page,
        f"async () => {{ await ({LOOK})().catch(() => {{}});"
        f" return !(await navigator.serviceWorker.getRegistration()) && {SETS} === 0; }}",
    )
    assert app.page.evaluate(f"async () => {RESERVE}"), "the reserve is the phone's, not the worker's"
    assert facts(app) == before
    site.asked.clear()
    app.page.goto(f"{site.origin}/?again#/")
    app.settle()
    assert any(path.startswith("/?again") for _, path, _ in site.asked), "from the network"
    expect(app.key("unsent")).to_contain_text("3")
    assert facts(app) == before
    # a page asks for its worker at every start: that may bring the switched-off one back; it keeps and answers nothing
    wait_until(app.page, f"async () => {SETS} === 0")
    assert not app.shows("update")
