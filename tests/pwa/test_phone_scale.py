"""A phone that fetches a shop's past through the real program and server: what it draws and reads, counted."""

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect

from server import create_app
from tests.bench.past_month import PastMonth
from tests.live_server import ROOT, LiveServer

pytestmark = pytest.mark.full

JOBS, ENTRIES_A_JOB = 90, 12
COUNTS = (ROOT / "tests" / "pwa" / "idb-counts.js").read_text("utf-8")
# Every draw of a screen sets the place anew, be it the same.
WATCH = """
addEventListener("DOMContentLoaded", () => {
    globalThis.draws = [];
    new MutationObserver((changes) => {
        for (const _ of changes) globalThis.draws.push(performance.now());
    }).observe(document.getElementById("main"), { attributes: true, attributeFilter: ["data-place"] });
});
"""
LIMIT_MS = 60_000
WAITED_FOR = (
    6  # the entry, read back with what waits, what waits, names of ring sets, where it was left, what is half typed
)
QUIET = """() => {
    const { transactions } = globalThis.idbCounts.now();
    if (transactions !== globalThis.quiet?.transactions) globalThis.quiet = { transactions, since: performance.now() };
    return performance.now() - globalThis.quiet.since > 1500;
}"""
NEW_JOB = """() => new Promise((resolve) => {
    const main = document.getElementById("main");
    const before = globalThis.idbCounts.now();
    new MutationObserver((_changes, self) => {
        if (!main.dataset.place.startsWith("#/job/")) return;
        self.disconnect();
        resolve(globalThis.idbCounts.since(before).transactions);
    }).observe(main, { attributes: true, attributeFilter: ["data-place"] });
    document.querySelector('[data-key="new-job"]').click();
})"""
CARDS = 30  # at first, and with each tap on "more"


@pytest.fixture
def app(browser, tmp_path):
    """A phone beside a shop with many jobs of the last month."""
    create_app({"STORE_FOLDER": tmp_path, "DEMO_JOBS": False})
    past = PastMonth(tmp_path, ENTRIES_A_JOB)
    past.grow(JOBS)
    past.close()
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB")
    context.add_init_script(COUNTS)
    context.add_init_script(WATCH)
    with LiveServer(tmp_path) as server:
        yield open_app(context, server.url)
        context.close()


def test_a_new_job_waits_for_few_transactions(app):
    app.wait_ready(LIMIT_MS)
    app.page.wait_for_function(QUIET, polling=100, timeout=LIMIT_MS)
    assert app.page.evaluate(NEW_JOB) <= WAITED_FOR


def test_a_first_pull_draws_now_and_then_and_the_list_then_reads_no_entry(app):
    expect(app.key("jobs-done").locator("h2")).to_contain_text(str(JOBS * 4 // 5), timeout=LIMIT_MS)
    app.wait_ready(LIMIT_MS)
    drawn, took_ms = app.page.evaluate("[globalThis.draws.length, globalThis.draws.at(-1) - globalThis.draws[0]]")
    by_person_and_state = 20  # the name, the list, the sync's and the worker's own news
    assert drawn <= by_person_and_state + took_ms / 3000, f"{drawn} draws of {JOBS} jobs"
    before = app.page.evaluate("globalThis.idbCounts.now()")
    app.page.evaluate("() => { location.hash = '#/settings'; }")
    app.settle()
    app.page.evaluate("() => { location.hash = '#/'; }")
    app.settle()
    cards = app.key("jobs-done").locator(".job-card")
    expect(cards).to_have_count(CARDS)
    app.tap("more-done")
    expect(cards).to_have_count(2 * CARDS)
    expect(cards.nth(CARDS)).to_be_focused()
    assert app.page.evaluate("before => globalThis.idbCounts.since(before)", before)["entries"] == 0
    app.new_job()
    app.fill("text-vehicle.registration", "QX 41 LTM")
    app.page.evaluate("() => document.activeElement.blur()")
    expect(app.key("top-name")).to_have_text("QX 41 LTM")
    read = app.page.evaluate("before => globalThis.idbCounts.since(before)", before)["entries"]
    assert read < JOBS, f"{read} entries read for a new job and its first answer"
