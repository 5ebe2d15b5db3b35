"""The service worker against origins that mean it ill: only exactly our own files are kept, all or none of them,
and only the person's tap changes over to another build."""

import pytest
from static_server import serving
from worker_site import WorkerSite, make_build, wait_until

from server.web.shell import worker_script

IN_CHARGE = "() => navigator.serviceWorker.controller !== null"

CACHES = """async () => {
    const kept = {};
    for (const name of (await caches.keys()).sort()) {
        const cache = await caches.open(name);
        for (const request of await cache.keys()) {
            kept[name + " " + new URL(request.url).pathname] = await (await cache.match(request)).text();
        }
    }
    return kept;
}"""
# An update that is refused rejects registration.update(); what counts is what the page is told.
LOOK = "async () => { await (await navigator.serviceWorker.getRegistration()).update().catch(() => {}); }"


@pytest.fixture
def builds(tmp_path):
    """Folders of three builds; 1 and 2 differ in version, 2 and 3 only in content."""
    return {b: make_build(tmp_path / str(b), b, v) for b, v in ((1, "0.1.0"), (2, "0.2.0"), (3, "0.2.0"))}


@pytest.fixture
def site(builds):
    site = WorkerSite(builds[1])
    with serving(site.handler()) as server:
        site.origin = server.origin
        yield site


@pytest.fixture
def installed(site, page):
    """A page of build 1 with its worker in charge."""
    page.goto(site.origin + "/")
    wait_until(page, IN_CHARGE)
    return page


def wait_for_state(page, status: str) -> None:
    wait_until(page, "(wanted) => globalThis.updates?.state.status === wanted", status)


def wait_for_build(page, build: int) -> None:
    wait_until(page, "(wanted) => globalThis.build === wanted", build)


def opens_without_network(site, page, build: int) -> None:
    site.down = True
    page.goto(site.origin + "/")
    wait_for_build(page, build)
    assert page.title() == f"build {build}"
    assert page.evaluate("async () => (await (await fetch('/words.json')).json()).build") == build
    site.down = False


def test_the_shell_is_kept_whole_and_opens_without_network(site, installed):
    kept = installed.evaluate(CACHES)
    names = {"/", "/js/main.js", "/js/sync/update.js", "/js/sync/ready.js", "/words.json", "/changelog.json"}
    assert {key.split(" ")[1] for key in kept} == names
    assert len({key.split(" ")[0] for key in kept}) == 1
    assert next(iter(kept)).startswith("tapermark-0.1.0-")
    opens_without_network(site, installed, 1)
    assert installed.evaluate("ready()") == {"ready": True, "missing": []}


@pytest.mark.parametrize("mode", WorkerSite.MODES)
def test_a_bad_update_changes_nothing_and_the_page_is_told(site, installed, builds, mode):
    before = installed.evaluate(CACHES)
    site.folder, site.other, site.mode = builds[2], builds[3], mode
    installed.evaluate(LOOK)
    wait_for_state(installed, "failed")
    assert installed.evaluate(CACHES) == before
    opens_without_network(site, installed, 1)


@pytest.mark.parametrize("mode", WorkerSite.MODES)
def test_a_bad_first_install_keeps_nothing_and_the_page_is_told(site, page, builds, mode):
    site.mode, site.other = mode, builds[3]
    page.goto(site.origin + "/")
    wait_for_state(page, "failed")
    assert page.evaluate(CACHES) == {}
    assert page.evaluate("ready()") == {"ready": False, "missing": ["shell"]}


def test_a_page_in_place_of_the_worker_leaves_the_older_one_at_work(site, installed):
    before = installed.evaluate(CACHES)
    site.worker = b"<html>Welcome to the guest network</html>"
    installed.evaluate(LOOK)
    assert installed.evaluate(CACHES) == before
    opens_without_network(site, installed, 1)


def test_a_newer_build_waits_for_the_tap(site, installed, builds):
    installed.evaluate("async () => { const c = await caches.open('not-ours'); await c.put('/x', new Response('x')); }")
    site.folder = builds[2]
    installed.evaluate(LOOK)
    wait_for_state(installed, "waiting")
    assert installed.evaluate("build") == 1
    installed.reload()  # a reload is no tap
    wait_for_state(installed, "waiting")
    assert installed.evaluate("async () => (await (await fetch('/words.json')).json()).build") == 1
    with installed.expect_navigation():
        installed.evaluate("updates.accept()")
    wait_for_build(installed, 2)
    wait_until(installed, "async () => (await caches.keys()).length === 2")
    assert {key.split(" ")[0][:15] for key in installed.evaluate(CACHES)} == {"not-ours", "tapermark-0.2.0"}
    opens_without_network(site, installed, 2)


def test_two_builds_of_one_version_never_share_a_cache(site, builds, page):
    site.folder = builds[2]
    page.goto(site.origin + "/")
    wait_until(page, IN_CHARGE)
    site.folder = builds[3]
    page.evaluate(LOOK)
    wait_for_state(page, "waiting")
    assert page.evaluate("async () => (await (await fetch('/words.json')).json()).build") == 2
    assert len(page.evaluate("caches.keys()")) == 2


def test_a_build_that_differs_in_the_worker_alone_never_deletes_the_set_in_use(site, installed):
    before = installed.evaluate(CACHES)
    full = b"\nCache.prototype.put = () => Promise.reject(new DOMException('full', 'QuotaExceededError'));\n"
    site.worker = worker_script(site.folder) + full
    installed.evaluate(LOOK)
    wait_for_state(installed, "failed")
    assert installed.evaluate(CACHES) == before
    opens_without_network(site, installed, 1)


def test_another_tab_is_told_that_it_runs_the_older_build(site, installed, builds):
    other = installed.context.new_page()
    other.goto(site.origin + "/")
    site.folder = builds[2]
    installed.evaluate(LOOK)
    wait_for_state(installed, "waiting")
    with installed.expect_navigation():
        installed.evaluate("updates.accept()")
    wait_for_state(other, "elsewhere")
    assert other.evaluate("build") == 1, "never reloaded under the person"


def test_what_is_not_the_shell_goes_to_the_server_and_is_never_kept(site, installed):
    before = installed.evaluate(CACHES)
    for path in ("/api/session", "/desk/", "/desk", "/login", "/logout", "/pair", "/nothing"):
        site.asked.clear()
        assert installed.evaluate("async path => (await fetch(path)).text()", path) == f"GET {path}"
        assert ("GET", path, None) in site.asked
    assert installed.evaluate(CACHES) == before


def test_writes_and_parts_of_files_go_to_the_server(site, installed):
    site.asked.clear()
    installed.evaluate("async () => { await fetch('/words.json', {method: 'POST', body: 'x'}); }")
    installed.evaluate(
        "async () => { await fetch('/words.json', {cache: 'no-store', headers: {Range: 'bytes=0-3'}}); }"
    )
    assert [(method, part) for method, path, part in site.asked if path == "/words.json"] == [
        ("POST", None),
        ("GET", "bytes=0-3"),
    ]


def test_the_start_address_may_carry_a_question(site, installed):
    site.down = True
    installed.goto(site.origin + "/?from=home#/settings")
    assert installed.title() == "build 1"


def test_a_damaged_file_on_the_phone_is_noticed(installed):
    damage = """async () => {
        const cache = await caches.open((await caches.keys())[0]);
        await cache.put("/words.json", new Response("{}", {headers: {"Content-Type": "application/json"}}));
    }"""
    installed.evaluate(damage)
    assert installed.evaluate("ready()") == {"ready": False, "missing": ["shell"]}


def test_the_files_are_looked_at_one_after_the_other(installed):
    """Asked for all at once they keep a tap waiting, which has to find out whether the disk has room."""
    [worker] = installed.context.service_workers
    worker.evaluate("""() => {
        const { match } = caches;
        self.most = self.looks = self.now = 0;
        caches.match = async (...asked) => {
            self.looks += 1;
            self.most = Math.max(self.most, ++self.now);
            return match.apply(caches, asked).finally(() => { self.now -= 1; });
        };
    }""")
    assert installed.evaluate("ready()") == {"ready": True, "missing": []}
    looks, most = worker.evaluate("() => [self.looks, self.most]")
    assert looks > 3
    assert most == 1


def test_a_browser_that_emptied_the_cache_asks_the_network(installed):
    installed.evaluate("async () => { for (const name of await caches.keys()) await caches.delete(name); }")
    assert installed.evaluate("async () => (await (await fetch('/words.json')).json()).build") == 1


def test_the_kill_switch_removes_worker_and_caches_and_nothing_else(site, installed, builds):
    keep = """async () => {
        const database = await new Promise((resolve, reject) => Object.assign(indexedDB.open("tapermark"), {
            onupgradeneeded: ({target}) => target.result.createObjectStore("outbox", {keyPath: "id"}),
            onsuccess: ({target}) => resolve(target.result), onerror: reject}));
        const transaction = database.transaction("outbox", "readwrite");
        for (const id of [1, 2, 3]) transaction.objectStore("outbox").put({id});
        await new Promise((resolve) => { transaction.oncomplete = resolve; });
        database.close();
        localStorage.setItem("tapermark.witness", "x");
        await (await caches.open("not-ours")).put("/x", new Response("x"));
    }"""
    count = """async () => {
        const database = await new Promise((resolve, reject) => Object.assign(indexedDB.open("tapermark"), {
            onsuccess: ({target}) => resolve(target.result), onerror: reject}));
        const request = database.transaction("outbox").objectStore("outbox").count();
        return new Promise((resolve) => { request.onsuccess = () => resolve(request.result); });
    }"""
    switch_off = """async () => {
        const registration = await (await navigator.serviceWorker.getRegistration()).update();
        globalThis.off = registration.installing ?? registration.waiting ?? registration.active;
    }"""
    # a page may still ask the worker that removes itself whether the shell is whole
    ask_late = """() => new Promise((resolve) => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = ({ data }) => resolve(data.whole);
        off.postMessage({ type: "verify" }, [port2]);
    })"""
    installed.evaluate(keep)
    site.worker = worker_script(builds[1], off=True)
    installed.evaluate(switch_off)
    wait_until(installed, "async () => !(await navigator.serviceWorker.getRegistration())")
    assert installed.evaluate(ask_late) is False
    assert installed.evaluate("caches.keys()") == ["not-ours"], "asking made no set anew"
    site.folder = builds[2]
    installed.route("**/sw.js", lambda route: route.abort())  # this page would register it again
    installed.goto(site.origin + "/")
    assert installed.title() == "build 2", "from the network"
    assert installed.evaluate("caches.keys()") == ["not-ours"]
    assert installed.evaluate(count) == 3
    assert installed.evaluate("localStorage.getItem('tapermark.witness')") == "x"


def test_a_first_install_that_failed_is_tried_again_when_the_page_comes_to_the_front(site, page):
    site.mode = "cut off"
    page.goto(site.origin + "/")
    wait_for_state(page, "failed")
    site.mode = None
    page.evaluate("() => window.dispatchEvent(new Event('focus'))")
    wait_until(page, IN_CHARGE)
    wait_for_state(page, "none")
    assert page.evaluate("ready()") == {"ready": True, "missing": []}


def test_a_page_of_the_first_visit_is_told_too_when_another_tab_changes_over(site, installed, builds):
    """Its first worker came while it was open; that was no change-over, the second one is."""
    site.folder = builds[2]
    installed.evaluate(LOOK)
    wait_for_state(installed, "waiting")
    installed.evaluate(
        "async () => (await navigator.serviceWorker.getRegistration()).waiting.postMessage({type: 'take-over'})"
    )
    wait_for_state(installed, "elsewhere")


def test_a_browser_that_blocks_workers_has_none_and_is_not_ready(site, browser):
    context = browser.new_context(service_workers="block")
    page, errors = context.new_page(), []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(site.origin + "/")
    wait_for_build(page, 1)
    for _ in range(2):  # at the start, and when the person comes back
        page.evaluate("updates.look()")
    assert page.evaluate("updates.state.status") == "none"
    assert page.evaluate("ready()") == {"ready": False, "missing": ["shell"]}
    context.close()
    assert errors == []
