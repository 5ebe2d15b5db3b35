"""A server that is being renewed half-way: every request is answered by the old or by the new one, as chance has it.

A phone runs one build, the old one whole or the new one whole, also without network; a page that came mixed says so.
"""

import contextlib
import json
import random

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import Error, expect
from sheet_driver import SheetDriver
from static_server import serving
from worker_site import WorkerSite, wait_until, worker_script

from tests.faults.test_two_builds import make_build

pytestmark = pytest.mark.full

LOOK = "async () => { await (await navigator.serviceWorker.getRegistration())?.update().catch(() => {}); }"
SETTLED = "async () => !(await navigator.serviceWorker.getRegistration())?.installing"
# Between the servers one may come to wait and be replaced; asked while it waits, a worker says its version.
NEW_ONE_WAITS = """async () => {
  const { waiting, installing } = await navigator.serviceWorker.getRegistration();
  if (!waiting || installing) return false;
  const { port1, port2 } = new MessageChannel();
  const said = new Promise((resolve) => { port1.onmessage = ({ data }) => resolve(data); });
  waiting.postMessage({ type: "verify" }, [port2]);
  const { version, whole } = await said;
  return whole && version === "99.0.0";
}"""
# The hashes of what a page is handed by its worker, as the list of a build has them.
HANDED = """async (urls) => {
  const hash = async (url) => {
    const digest = await crypto.subtle.digest("SHA-256", await (await fetch(url)).arrayBuffer());
    return [url, btoa(String.fromCharCode(...new Uint8Array(digest)))];
  };
  return Object.fromEntries(await Promise.all(urls.map(hash)));
}"""
TYPED = "white van, left lamp cracked"
FIELD = "text-vehicle.description"


@pytest.fixture(scope="module")
def builds(tmp_path_factory):
    folder = tmp_path_factory.mktemp("builds")
    return {build: make_build(folder / str(build), build) for build in (1, 2)}


@pytest.fixture(scope="module")
def lists(builds):
    """Build -> URL -> hash."""
    line = {build: worker_script(folder).split(b";\n")[0] for build, folder in builds.items()}
    return {build: json.loads(text.partition(b" = ")[2])["files"] for build, text in line.items()}


@pytest.fixture
def site(builds):
    site = WorkerSite(builds[1])
    site.other = builds[2]
    site.cache_control = "no-cache"  # as the server has it
    with serving(site.handler()) as server:
        site.origin = server.origin
        yield site


@pytest.fixture
def context(browser):
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True)
    yield context
    context.close()


def build_of(page, lists) -> int:
    """Return the build that page and worker are of; fails where they are of two."""
    handed = page.evaluate(HANDED, list(lists[1]))
    build = page.evaluate("globalThis.build")
    assert handed == lists[build], [url for url in handed if handed[url] != lists[build].get(url)]
    return build


def test_an_installed_phone_keeps_to_one_build_and_takes_the_new_one_whole(context, site, builds, lists):
    app = SheetDriver(open_app(context, site.origin).page)
    wait_until(app.page, "() => navigator.serviceWorker.controller !== null")
    app.job_id = app.new_job()
    app.key(FIELD).fill(TYPED)
    app.leave_field()
    app.wait_state("vehicle.description")
    site.alternating = random.Random(17)
    for _ in range(8):
        app.page.evaluate(LOOK)
        wait_until(app.page, SETTLED)
        assert build_of(app.page, lists) == 1, "nobody has tapped"
    site.down = True
    app.page.reload()
    app.settle()
    assert build_of(app.page, lists) == 1
    expect(app.key(FIELD)).to_have_value(TYPED)
    site.down, site.alternating, site.folder = False, None, builds[2]
    app.page.evaluate("() => { location.hash = '#/'; }")
    app.settle()
    app.page.evaluate(LOOK)
    wait_until(app.page, NEW_ONE_WAITS)
    with contextlib.suppress(Error):  # the page may be loading again before the tap was counted
        app.tap("update-now")
    app.page.wait_for_function("() => globalThis.build === 2")
    app.settle()
    site.down = True
    app.page.reload()
    app.settle()
    assert build_of(app.page, lists) == 2
    app.open_job(app.job_id)
    expect(app.key(FIELD)).to_have_value(TYPED)


def test_a_first_visit_runs_one_build_or_says_that_it_must_be_loaded_again(context, site, builds):
    site.alternating = random.Random(18)
    for _ in range(6):
        page = context.new_page()
        page.route("**/sw.js", lambda route: route.abort())  # no worker comes: each visit is a first one
        page.goto(site.origin)
        said = page.locator("#cannot-start:visible, [data-key=update]:has-text('being renewed')")
        expect(said).to_have_count(1)
        page.close()
    site.alternating, site.folder = None, builds[2]
    open_app(context, site.origin).wait_for("new-job")


def test_a_page_whose_modules_do_not_fit_together_says_so(context, site):
    """Cause: a module that lacks a name ends the program before it runs, and nobody showed the words."""
    lacking = "export const nothing = 0;"
    page = context.new_page()
    page.route("**/js/ui/app.js", lambda route: route.fulfill(body=lacking, content_type="text/javascript"))
    page.goto(site.origin)
    expect(page.locator("#cannot-start")).to_be_visible()


def test_a_phone_that_began_between_the_servers_ends_with_one_whole_build(context, site, builds, lists):
    """Its first worker comes whole or not at all, and its second start is of one build."""
    site.alternating = random.Random(19)
    page = context.new_page()
    page.goto(site.origin)
    for _ in range(4):
        page.evaluate("() => navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' }).catch(() => {})")
    site.alternating, site.folder = None, builds[2]
    page.reload()
    wait_until(page, "() => navigator.serviceWorker.controller !== null")
    page.reload()
    page.wait_for_selector("#main h1")
    assert build_of(page, lists) == 2
