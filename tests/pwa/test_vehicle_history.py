"""What is fitted in a vehicle, on every phone without network: one line a wheel, also of jobs that others did."""

import json
import uuid

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect
from screen_checks import PHONE, assert_clean, go
from sheet_driver import SheetDriver

pytestmark = pytest.mark.full

PLATE = "QX 41 LTM"
NOTHING_CAME = {
    "results": [], "entries": [], "next": {"epoch": "", "seq": 0, "id": None}, "more": False, "restart": False,
    "high_water": 0, "backed_up_through": 0, "wanted_photos": [], "new_device": None,
}  # fmt: skip
# Writes a signed job with rings in at the left wheel, as sheets would, and sends it.
_SIGNED = f"""async (plate) => {{
  const phone = {PHONE};
  const job = phone.newJob();
  const add = (kind, slot, body) => phone.save({{ job, kind, slot, after: [], body, by: "Tom Reed" }});
  await add("job-opened", null, {{ checklist: 2 }});
  await add("field-set", "vehicle.registration", {{ value: plate }});
  await add("field-set", "vehicle.vin", {{ value: "VIN A1" }});
  const left = {{ ring_set: "demo-54", pair: [12, 31], effect: [100, -200] }};
  const plan = {{ left, right: null, predicted: {{ left: [0, 0], right: [0, 0] }}, chance: 0.9 }};
  await add("plan-chosen", "round.1.plan", {{ plan, input: {{}}, tables: {{}} }});
  await add("step-done", "fit.left.rings-in", {{ hold: false }});
  const length = {{ new: true, length_mm: 45, class: "10.9", outcome: "fits" }};
  await add("step-done", "fit.left.bolt-length", {{ hold: true, length }});
  await add("job-signed", null, {{ covers: [] }});
  return job;
}}"""
_HAS_COME = f"""async () => {{
  const lines = await {PHONE}.lines();
  const limit = performance.now() + 20_000;
  while ((await lines.position()).epoch === "") {{
    if (performance.now() > limit) throw new Error("expected what is fitted within 20 s");
    await new Promise((go) => setTimeout(go, 100));
  }}
}}"""


@pytest.fixture
def phones(browser, url):
    """(one that signs the job, opener of others that hold no job of the shop)"""
    made = []

    def another(*, whole: bool = False, **options):
        context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB", **options)
        made.append(context)
        if not whole:
            answer = json.dumps(NOTHING_CAME)
            context.route("**/api/entries", lambda route: route.fulfill(
                status=200, content_type="application/json", headers={"X-Tapermark": "1"}, body=answer))  # fmt: skip
        return SheetDriver(open_app(context, url).page)

    yield another
    for context in made:
        context.close()


@pytest.fixture
def signed(phones):
    first = phones(whole=True)
    job = first.page.evaluate(_SIGNED, PLATE)
    go(first, "#/")
    expect(first.key("unsent")).to_contain_text("Everything is sent", timeout=60_000)
    return job


def begun(driver, registration: str):
    """Open a job without network and type what tells the vehicle."""
    driver.page.evaluate(_HAS_COME)
    driver.page.wait_for_function("() => performance.getEntriesByName('whole-program-here').length")
    driver.page.context.set_offline(True)
    driver.new_job()
    driver.text("vehicle.registration", registration, enter=True)
    return driver.key("vehicle-history")


def test_a_phone_that_never_had_the_job_tells_what_it_left_in_without_network(phones, signed):
    other = phones()
    told = begun(other, PLATE.lower().replace(" ", "-"))
    expect(told).to_contain_text("By our record rings are fitted")
    expect(told).to_contain_text(signed[:8])
    expect(told).to_contain_text("LEFT: Demo 54, inner 12 meets outer 31, at the top; hub bolts 45 mm, 10.9, new")
    expect(told).to_contain_text("RIGHT: No rings here")
    assert_clean(other, "vehicle history")
    other.tap("history-open")
    expect(other.key("notice")).to_contain_text("cannot be reached from here")
    kept = other.page.evaluate(f"async () => (await {PHONE}.jobs()).map(({{ job }}) => job)")
    assert signed not in kept


@pytest.mark.usefixtures("signed")
def test_another_registration_tells_nothing_and_the_vin_tells_it_too(phones):
    other = phones()
    told = begun(other, "ZZ 99")
    expect(told).to_be_hidden()
    other.page.evaluate("() => { document.querySelectorAll('details').forEach((each) => { each.open = true; }); }")
    other.text("vehicle.vin", "vin a1")
    other.leave_field()
    expect(told).to_contain_text("inner 12 meets outer 31")


def test_no_fitting_names_a_customer(phones, signed):
    other = phones()
    other.page.evaluate(_HAS_COME)
    kept = other.page.evaluate("""async () => {
      const request = indexedDB.open("tapermark-lines");
      const database = await new Promise((resolve) => { request.onsuccess = () => resolve(request.result); });
      const all = await new Promise((resolve) => {
        const asked = database.transaction("fittings").objectStore("fittings").getAll();
        asked.onsuccess = () => resolve(asked.result);
      });
      database.close();
      return JSON.stringify(all, (_, part) => (part instanceof Uint8Array ? String.fromCharCode(...part) : part));
    }""")
    assert json.dumps(uuid.UUID(signed).bytes.decode("latin-1"), ensure_ascii=False)[1:-1] in kept
    for word in ("QX41LTM", "QX 41 LTM", "VINA1", "VIN A1", "DEMO 3"):
        assert word not in kept
