"""A hostile text typed into every field of the phone's sheets, in a real browser, and looked at wherever it is shown.

It holds a NUL, which PostgreSQL cannot keep and which is no character; a sign that turns the order of what follows
round, so that an angle or a name would be read backwards; and markup. What can be seen of it reaches the desk whole,
every screen and page stays in its order, and both databases answer alike. What others send: test_hostile_texts.py.
"""

import csv
import io
import json
import re
import uuid

import pytest
from app_driver import PHONE_SIZE
from playwright.sync_api import expect
from screen_checks import go, open_ready

from tests.faults.test_hostile_texts import DESK, OPEN_ALL, SHEETS, TURNED, broken
from tests.live_server import ROOT, LiveServer
from tests.server.live_phones import LiveApp
from tests.server.phones import Phone

pytestmark = pytest.mark.full

TURN = "\u202e\u2067"  # right-to-left override and isolate, neither of them closed
TYPED = f"A\0B{TURN}<img src=x onerror=\"globalThis.ran='typed'\">12 km"
KEPT = TYPED.replace("\0", "").replace(TURN, "")
SHORT = "A\0B\u202e<i>12"  # a registration or a VIN
KEPT_SHORT = "AB<I>12"
PLATES = ("vehicle.registration", "vehicle.vin")
# Each text field that can be seen, by its key; those of the keypad take numbers alone and say so.
FIELDS = """() => [...document.querySelectorAll('#main textarea, #main input[type=text]:not([inputmode=none])')]
  .filter((node) => node.checkVisibility() && !node.readOnly && !node.disabled).map((node) => node.dataset.key)"""
ENTER = '(key) => { const node = document.querySelector(`[data-key="${key}"]`); node.focus(); node.select(); }'
REFUSED = "async () => (await (await import('/js/store/phone.js')).openPhone()).refused()"


def without_texts(entries: list[dict]) -> list[dict]:
    """Return a copy of a job that was never signed, in which no text was typed yet."""
    texts = {row["id"] for row in text_rows()}
    plain = [each for each in entries if each["kind"] != "job-signed" and bare(each["slot"]) not in texts]
    as_json = json.dumps(plain)
    for old in {each["id"] for each in entries} | {entries[0]["job"]}:
        as_json = as_json.replace(old, str(uuid.uuid4()))
    return json.loads(as_json)


def send(phone: Phone, entries: list[dict]) -> list[str]:
    """Send them as that phone's own; return the verdicts."""
    batch = []
    for entry in entries:
        phone.count += 1
        batch.append(entry | {"device": phone.device, "n": phone.count})
    return [each["verdict"] for each in phone.sync(batch)["results"]]


def text_rows() -> list[dict]:
    sheets = json.loads((ROOT / "pwa/checklist.json").read_text("utf-8"))["sheets"]
    rows = [row for sheet in sheets for part in (sheet, *sheet.get("pauses", [])) for row in part.get("rows", [])]
    return [row for row in rows if row["type"] == "text"]


def bare(slot: str) -> str:
    """The row of a slot: without its wheel."""
    return re.sub(r"\.(left|right)\.", ".", slot, count=1)


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """(address, a job of the demo that is not signed and holds no text)"""
    folder = tmp_path_factory.mktemp("shop")
    with LiveServer(folder / "store", environ={"DATABASE_URL": ""}) as server, LiveApp(server.url) as app:
        phone, jobs = Phone(app), {}
        for entry in phone.sync_all():
            jobs.setdefault(entry["job"], []).append(entry)
        signed = max((of for of in jobs.values() if of[-1]["kind"] == "job-signed"), key=len)
        copied = without_texts(signed)
        assert set(send(phone, copied)) == {"accepted"}
        yield server.url, copied[0]["job"]


@pytest.fixture(scope="module")
def typed(browser, shop):
    """(the phone, {(sheet, field): what it held after}): on every sheet each field that can be seen was typed into."""
    url, job = shop
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB")
    driver = open_ready(context, url)
    go(driver, "#/name")
    driver.fill("technician", TYPED)  # stands beside whatever this person enters
    driver.tap("keep-name")
    driver.wait_for("new-job")
    driver.page.on("dialog", lambda dialog: pytest.fail(f"it asked: {dialog.message}"))
    expect(driver.key(f"job-{job}")).to_have_count(1)
    done, errors = {}, []
    driver.page.on("pageerror", lambda error: errors.append(str(error)))
    for sheet in SHEETS:
        go(driver, f"#/job/{job}/sheet/{sheet}")
        driver.page.evaluate(OPEN_ALL)
        assert driver.page.evaluate(TURNED) == [], f"before anything is typed on {sheet}"
        while new := [key for key in driver.page.evaluate(FIELDS) if (sheet, key) not in done]:
            done[sheet, new[0]] = type_into(driver, new[0])
            driver.page.evaluate(OPEN_ALL)
    go(driver, "#/")
    expect(driver.key("unsent")).to_contain_text("Everything is sent", timeout=60_000)
    assert errors == []
    yield driver, done
    context.close()


def type_into(driver, key: str) -> str:
    """Type as a keyboard or a paste gives it, and leave the field; returns what it holds then."""
    driver.page.evaluate(ENTER, key)
    driver.page.keyboard.insert_text(SHORT if key.removeprefix("text-") in PLATES else TYPED)
    driver.page.evaluate("() => document.activeElement.blur()")
    return driver.page.evaluate("(key) => document.querySelector(`[data-key='${key}']`)?.value ?? ''", key)


@pytest.fixture(scope="module")
def stored(shop, typed):  # noqa: ARG001 what it typed
    """The entries of the job, as the shop gives them to another phone."""
    with LiveApp(shop[0]) as app:
        yield [entry for entry in Phone(app).sync_all() if entry["job"] == shop[1]]


def test_nothing_that_was_typed_is_refused_or_lost(typed, stored):
    """Cause: a NUL out of a paste had the server refuse the whole answer."""
    driver, done = typed
    assert driver.page.evaluate(REFUSED) == []
    assert len(done) > 25, sorted(done)
    slots = [key.removeprefix("text-") for _, key in done if key.startswith("text-")]
    kept = {each["slot"]: each["body"]["value"] for each in stored if each["slot"] in slots}
    assert kept == {slot: KEPT_SHORT if slot in PLATES else KEPT for slot in slots}
    assert {each["by"] for each in stored if each["slot"] in slots} == {KEPT}


def test_every_screen_of_the_phone_stays_in_its_order(shop, typed):
    job, found = shop[1], []
    for place in ("#/", *(f"#/job/{job}/sheet/{key}" for key in SHEETS), f"#/job/{job}/stop", f"#/job/{job}/report"):
        go(typed[0], place)
        typed[0].page.evaluate(OPEN_ALL)
        found += broken(typed[0].page, place.replace(job, ""))
    assert found == []


def test_every_page_of_the_desk_stays_in_its_order(shop, typed):
    page, found = typed[0].page.context.new_page(), []
    for path in ("", *(f"jobs/{shop[1]}{part}" for part in ("", "/history", "/trace", "/erase")), *DESK):
        page.goto(f"{shop[0]}/desk/{path}")
        found += broken(page, path)
    page.close()
    assert found == []


def test_no_cell_of_the_table_is_turned(shop, typed):
    asking = typed[0].page.context.request
    token = re.search(r'name="csrf_token" value="([^"]+)"', asking.get(f"{shop[0]}/desk/export").text())[1]
    table = (
        asking.post(f"{shop[0]}/desk/export.csv", form={"csrf_token": token, "form": "comma"})
        .body()
        .decode("utf-8-sig")
    )
    rows = [row for row in csv.DictReader(io.StringIO(table, newline="")) if row["job"] == shop[1]]
    assert [row["registration"] for row in rows] == ["AB<I>12"] * len(rows)
    assert rows
    assert not set(TURN) & set(table)


def test_both_databases_answer_alike(shop, stored, tmp_path, postgres):
    """The same entries, a note with a NUL and one with what turns a line, sent to shops on both: pages say the same."""
    name = f"typed{uuid.uuid4().hex[:8]}"
    notes = []
    for text in (TYPED, TYPED.replace("\0", "")):
        entry = stored[0] | {"id": str(uuid.uuid4()), "kind": "note-written", "body": {"text": text}}
        notes.append(entry | {"slot": entry["id"]})
    answers = []
    try:
        for folder, url in (("lite", ""), ("large", postgres.create(name))):
            with LiveServer(tmp_path / folder, environ={"DATABASE_URL": url}) as server, LiveApp(server.url) as app:
                verdicts = send(Phone(app), [*stored, *notes])
                page = app.test_client().get(f"/desk/jobs/{shop[1]}").text
                page = re.sub(r"\d\d:\d\d", "hh:mm", page)  # they come one after the other
                answers.append((verdicts, [line.strip() for line in page.splitlines() if "&lt;i" in line.lower()]))
    finally:
        postgres.drop(name)
    assert answers[0] == answers[1]
    assert answers[0][0] == ["accepted"] * len(stored) + ["refused", "accepted"]
    assert len(answers[0][1]) > 10
