"""Rechecks of fasteners on the phone: asked once on Finish, listed without network, done with one tap and a name."""

from datetime import date, timedelta

import pytest
from app_driver import PHONE_SIZE
from playwright.sync_api import expect
from screen_checks import PHONE, assert_clean, go, open_ready

AFTER, DONE = "finish.recheck-after", "finish.recheck-done"
ODOMETER = ["vehicle.odometer", "field-set", {"value": {"number": 84210, "text": "84210", "unit": "km"}}]
PLATE = ["vehicle.registration", "field-set", {"value": "QX 41 LTM"}]
USUAL = {"recheck": {"distance": {"number": 100, "text": "50–100", "unit": "km"}, "day": None,
                     "source": "common-practice", "page": ""}}  # fmt: skip
_TELL = f"async (list) => {{ const lines = await {PHONE}.lines(); await lines.keepList('rechecks', list); }}"
# A signed job that asks for a recheck; the ids of the job and of what asks for it
_SIGNED = f"""async (value) => {{
  const phone = {PHONE};
  const job = phone.newJob();
  const save = (kind, slot, body) => phone.save({{ job, kind, slot, after: [], body, by: "Tom Reed" }});
  await save("job-opened", null, {{ checklist: 2 }});
  await save("field-set", "vehicle.registration", {{ value: "FAR 41" }});
  const asked = await save("field-set", "{AFTER}", {{ value }});
  await save("job-signed", null, {{ covers: [asked.id] }});
  return [job, asked.id];
}}"""
_ALL_SENT = f"""async () => {{
  const phone = {PHONE};
  const limit = performance.now() + 30_000;
  while ((await phone.unsent()).entries > 0) {{
    if (performance.now() > limit) throw new Error("expected all to be sent within 30 s");
    await new Promise(requestAnimationFrame);
  }}
}}"""


@pytest.fixture
def p(sheets):
    return sheets(AFTER, "finish", facts=[ODOMETER, PLATE])


def signed(p):
    """Sign the job as it is and go to the list of jobs."""
    assert p.work_until(None) is None
    p.page.evaluate("() => { location.hash = '#/'; }")
    p.driver.settle()


@pytest.mark.full
def test_one_tap_says_what_is_common_practice_and_marks_it_so(p):
    p.driver.tap("recheck-usual")
    p.driver.wait_state(AFTER)
    assert (p.driver.taps, p.value(AFTER)) == (1, USUAL)
    expect(p.driver.key("recheck-said")).to_have_text("after 50–100 km, by 84310 km; common practice, no source")
    assert p.live("finish.recheck-slip")[0]["kind"] == "step-done", "a phone of the release before waits for the slip"
    p.driver.tap("undo-last")
    p.driver.wait_state(AFTER, "open")
    assert p.value(AFTER) is None
    assert p.live("finish.recheck-slip")[0]["kind"] == "step-undone"


@pytest.mark.full
def test_what_the_service_information_says_is_kept_as_soon_as_it_can_be(p):
    p.driver.tap("recheck-other")
    p.driver.tap("recheck-source-common-practice")
    expect(p.driver.key("recheck-problem")).to_contain_text("A distance or a day is missing")
    assert p.live(AFTER) == []
    p.driver.tap("recheck-source-service-information")
    yesterday, later = (str(date.today() + timedelta(days)) for days in (-2, 40))
    p.driver.key("recheck-day").fill(yesterday)
    expect(p.driver.key("recheck-problem")).to_contain_text("is past")
    assert p.live(AFTER) == []
    p.driver.key("recheck-day").fill(later)
    p.driver.wait_state(AFTER)
    p.driver.number(f"{AFTER}.distance", "80")
    p.driver.tap("recheck-same-page")
    expect(p.driver.key("recheck-said")).to_have_text(
        f"after 80 km, by 84290 km; by {later}; service information, as asked"
    )
    distance = {"number": 80, "text": "80", "unit": "km"}
    assert p.value(AFTER)["recheck"] | {"page": ""} == {
        "distance": distance, "day": later, "source": "service-information", "page": "",
    }  # fmt: skip
    p.driver.tap("recheck-usual")
    expect(p.driver.key("recheck-usual")).to_have_attribute("aria-pressed", "true")
    assert p.value(AFTER) == USUAL


@pytest.mark.full
def test_what_two_people_say_stands_in_words(p):
    p.driver.tap("recheck-usual")
    p.driver.wait_state(AFTER)
    p.save_elsewhere(AFTER, "field-set", {"value": {"recheck": {**USUAL["recheck"], "day": "2031-02-03"}}})
    row = p.driver.row(AFTER)
    expect(row).to_contain_text("Two people said different things")
    expect(row.locator('[data-key^="settle-"]', has_text="by 2031-02-03")).to_have_count(1)


@pytest.mark.full
def test_a_slip_that_was_ticked_before_is_not_asked_for_again(sheets):
    p = sheets(AFTER, "finish", facts=[ODOMETER])
    p.save_elsewhere("finish.recheck-slip", "step-done", {"hold": False})
    p.driver.wait_state(AFTER)


def test_what_is_due_is_listed_without_network_and_done_with_one_tap_and_a_name(p):
    p.driver.tap("recheck-usual")
    p.driver.wait_state(AFTER)
    signed(p)
    p.cut_network()
    expect(p.driver.key("rechecks")).to_contain_text("1 recheck of fasteners to come")
    p.driver.tap_on("rechecks")
    [asked] = p.live(AFTER)
    card = p.driver.key(f"recheck-{asked['id']}")
    expect(card).to_contain_text("QX 41 LTM")
    expect(card).to_contain_text("after 50–100 km, by 84310 km; common practice, no source")
    done = f"recheck-done-{asked['id']}"
    p.driver.tap_node(card.locator(f'[data-key="{done}"]', has_text="Done, by Iris Vance"))
    expect(card).to_contain_text("Done by Iris Vance")
    assert p.value(DONE) == {"recheck_of": [asked["id"]], "by": "Iris Vance", "day": str(date.today())}
    p.driver.tap(f"recheck-back-{asked['id']}")
    p.driver.wait_for(done)
    assert p.value(DONE) is None
    p.driver.tap(done)
    p.driver.wait_gone(done)
    p.driver.tap_on("to-start")
    p.driver.wait_gone("rechecks")
    p.driver.open_job(p.job)
    assert p.driver.state("finish.sign") in (None, "done")


def test_a_day_that_is_past_stands_first_and_says_so(sheets):
    p = sheets(AFTER, "finish", facts=[ODOMETER, PLATE])
    p.save_elsewhere(AFTER, "field-set", {"value": USUAL})
    p.save_elsewhere(AFTER, "field-set", {"value": {"recheck": {**USUAL["recheck"], "day": "2026-01-02"}}})
    p.save_elsewhere(None, "job-signed", {"covers": []})
    p.page.goto(f"{p.origin}/#/rechecks")
    p.driver.settle()
    cards = p.page.locator('[data-key="rechecks"] > section')
    expect(cards).to_have_count(2)
    expect(cards.first).to_contain_text("overdue: after 50–100 km, by 84310 km; by 2026-01-02")
    assert_clean(p.driver, "rechecks")


@pytest.mark.full
def test_the_report_says_what_was_agreed_and_not_what_is_usual(p):
    p.driver.tap("recheck-other")
    p.driver.number(f"{AFTER}.distance", "80")
    p.driver.tap("recheck-source-service-information")
    p.driver.wait_state(AFTER)
    p.show("report")
    cautions = p.driver.key("report-cautions")
    expect(cautions).to_contain_text("rechecked after 80 km, by 84290 km; service information")
    expect(cautions).not_to_contain_text("50 to 100")


def told(p, *rows, more=False):
    """Let the shop's list come: (entry, job, registration, day)."""
    rows = [
        {"entry": entry, "job": job, "registration": plate, "vehicle": "Marrow Vale", "last_day": "2026-11-02",
         "day": day, "distance": {"text": "80", "unit": "km", "by": 99390}, "source": "service-information",
         "page": "sheet 12"}
        for entry, job, plate, day in rows
    ]  # fmt: skip
    p.page.evaluate(_TELL, {"rechecks": rows, "more": more})


@pytest.mark.full
def test_the_shop_s_others_are_listed_without_network_and_one_that_is_here_stands_once(p):
    p.driver.tap("recheck-usual")
    p.driver.wait_state(AFTER)
    [asked] = p.live(AFTER)
    others = [(f"e{n}", f"j{n}", f"FAR {n}", f"2031-02-{n:02}") for n in range(1, 29)]
    told(p, (asked["id"], p.job, "QX 41 LTM", None), ("e0", "j0", "LATE 1", "2026-01-02"), *others,
         ("e30", "j30", "LAST 1", None), more=True)  # fmt: skip
    signed(p)
    p.cut_network()
    expect(p.driver.key("rechecks")).to_have_text("More than 31 rechecks of fasteners to come")
    p.driver.tap_on("rechecks")
    cards = p.page.locator('[data-key="rechecks"] > section')
    expect(cards).to_have_count(30)
    expect(cards.first).to_contain_text("LATE 1")
    expect(cards.first).to_contain_text(
        "overdue: after 80 km, by 99390 km; by 2026-01-02; service information, sheet 12"
    )
    expect(cards.first).to_contain_text("It comes with the network")
    expect(p.driver.key("recheck-done-e0")).to_have_count(0)
    expect(p.driver.key("rechecks-more")).to_contain_text("The shop has more than these")
    assert_clean(p.driver, "rechecks of the shop")
    p.driver.tap("more-rechecks")
    expect(cards).to_have_count(31)
    expect(cards.filter(has_text="QX 41 LTM")).to_have_count(1)
    expect(p.driver.key(f"recheck-done-{asked['id']}")).to_have_count(1)
    p.driver.tap("recheck-fetch-e0")
    expect(cards.first.locator('[data-key="recheck-trouble"]')).to_contain_text("cannot be reached from here")
    expect(cards).to_have_count(31)


@pytest.fixture
def far_job(browser, url, demo_shop):
    """(job, what asks for its recheck) of another phone; no phone is sent that job by itself."""
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB")
    other = open_ready(context, url)
    job, asked = other.page.evaluate(_SIGNED, USUAL)
    other.page.evaluate(_ALL_SENT)
    context.close()
    demo_shop.let_age(job)
    return job, asked


@pytest.mark.full
def test_a_job_of_another_phone_is_fetched_and_then_done_with_one_tap(browser, url, far_job):
    job, asked = far_job
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB")
    app = open_ready(context, url)
    app.wait_for("rechecks")
    go(app, "#/rechecks")
    card = app.key(f"recheck-{asked}")
    expect(card).to_contain_text("FAR 41")
    assert job not in app.page.evaluate(f"async () => {PHONE}.jobIds()")
    app.tap(f"recheck-fetch-{asked}")
    app.wait_for(f"recheck-done-{asked}")
    app.page.context.set_offline(True)
    app.tap(f"recheck-done-{asked}")
    app.wait_for(f"recheck-back-{asked}")
    app.tap_on(f"recheck-job-{asked}")
    assert f"#/job/{job}" in app.url
    entries = app.page.evaluate(f"async (job) => {PHONE}.entries(job)", job)
    [done] = [entry["body"]["value"] for entry in entries if entry["slot"] == DONE]
    assert done["recheck_of"] == [asked]
    context.close()
