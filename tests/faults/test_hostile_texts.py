"""A hostile text in every field that takes one, seen on every sheet of the phone, in its report and on the desk.

A whole job of the demo is sent anew with such texts in the place of whatever a person typed, as a phone of somebody who
means ill would send it, and looked at on another phone of 360 px. Nothing runs, and nothing breaks out of its place.
"""

import copy
import json
import re
import uuid

import pytest
from app_driver import PHONE_SIZE
from playwright.sync_api import expect
from screen_checks import go, open_ready

from server.records.entry_rules import judge
from tests.live_server import ROOT, LiveServer
from tests.server.live_phones import LiveApp
from tests.server.phones import Phone

pytestmark = pytest.mark.full

MARKUP = (
    "=HYPERLINK(\"x\")\u202e\u2066<img src=x onerror=\"globalThis.ran='img'\"><script>globalThis.ran='script'</script>"
    "{{7*7}}${7*7}</textarea></title>'\"\u200f\U0001f468\u200d\U0001f527\ufdfd"
)
LENGTHS = (10_000, 1_000, 200, 120, 100, 60, 40)
# What the program itself wrote in words of its own: a code, a number, a time, an id.
CODE = re.compile(r"[a-z0-9.:+-]*(T[0-9:.+Z-]*)?")
NOT_TYPED = ("plan-chosen", "job-opened", "reading-taken", "job-signed", "job-reopened")
SHEETS = [
    sheet["id"] if sheet.get("per") != "wheel" else f"{sheet['id']}.{side}"
    for sheet in json.loads((ROOT / "pwa/checklist.json").read_text("utf-8"))["sheets"]
    for side in (("left", "right") if sheet.get("per") == "wheel" else ("",))
]
OPEN_ALL = """() => {
  for (const part of document.querySelectorAll('details')) part.open ||= part.checkVisibility();
}"""
DESK = ("vehicles", "rechecks", "recall", "types/", "audit", "phones", "export", "keeping", "learning")
BROKEN = """() => {
  const out = [];
  for (const node of [document.documentElement, document.getElementById('main')]) {
    if (node && node.scrollWidth > node.clientWidth) out.push(`${node.tagName} scrolls sideways`);
  }
  const scrolls = (node) => node && node !== document.body
    && (['auto', 'scroll', 'hidden'].includes(getComputedStyle(node).overflowX) || scrolls(node.parentElement));
  for (const node of document.querySelectorAll('body *')) {
    const { left, right, width } = node.getBoundingClientRect();
    const isOut = width > 0 && (right > innerWidth + 1 || left < -5); // the key that leads back has its edge outside
    if (!isOut || !node.checkVisibility() || node.closest('.hidden-text, svg') || scrolls(node.parentElement)) continue;
    out.push(`${node.tagName}.${node.className} ${node.dataset.key ?? ''} sticks out`);
  }
  if (globalThis.ran) out.push(`ran ${globalThis.ran}`);
  if (document.querySelector('img[src="x"]')) out.push('its picture is one');
  if ([...document.scripts].some((script) => script.text.includes('globalThis.ran'))) out.push('its script is one');
  return out.slice(0, 8);
}"""

# Letters and figures that stand beside each other in a text and not on the screen: [the text around them].
TURNED = """() => {
  const turns = ({ value }) => /[\\u202a-\\u202e\\u2066-\\u2069]/.test(value);
  const fields = [...document.querySelectorAll('input, textarea')].filter((node) => node.checkVisibility());
  const found = fields.filter(turns).map((node) => `${node.dataset.key ?? node.name} holds what turns it`);
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const range = document.createRange();
  const place = (node, at) => {
    range.setStart(node, at);
    range.setEnd(node, at + 1);
    return range.getClientRects()[0];
  };
  while (walker.nextNode()) {
    const node = walker.currentNode;
    const box = node.parentElement;
    if (!box.checkVisibility() || box.closest('script, style, textarea, .hidden-text')) continue;
    const beside = [...node.data.matchAll(/[A-Za-z0-9](?=[A-Za-z0-9])/g)];
    for (const { index } of [...beside.slice(0, 150), ...beside.slice(-150)]) {  // of a very long one its two ends
      const [one, next] = [place(node, index), place(node, index + 1)];
      const isTurned = one && next && Math.abs(one.top - next.top) < 2 && next.left < one.left - 0.5;
      if (!isTurned) continue;
      const around = node.data.slice(Math.max(0, index - 30), index + 30);
      found.push(`${box.localName}.${box.className} runs backwards: ${JSON.stringify(around)}`);
      break;
    }
  }
  return found;
}"""


def hostile(length: int) -> str:
    return MARKUP[:length] if length <= len(MARKUP) else MARKUP + "W" * (length - len(MARKUP))


def typed_places(part, path=()):
    """Give the path of each text within an entry's body that a person typed."""
    pairs = part.items() if isinstance(part, dict) else enumerate(part) if isinstance(part, list) else ()
    for key, inner in pairs:
        if isinstance(inner, str) and not CODE.fullmatch(inner):
            yield (*path, key)
        yield from typed_places(inner, (*path, key))


def put(body, path, text: str) -> None:
    for key in path[:-1]:
        body = body[key]
    body[path[-1]] = text


def made_hostile(entry: dict) -> tuple[dict, int]:
    """Return the entry with the longest hostile text that the rules take in each place, and how many places."""
    made, count = entry | {"by": hostile(200)}, 0
    for path in [] if entry["kind"] in NOT_TYPED else typed_places(entry["body"]):
        for length in LENGTHS:
            tried = copy.deepcopy(made)
            put(tried["body"], path, hostile(length))
            if judge(tried).verdict == "accepted":
                made, count = tried, count + 1
                break
    return made, count


def sent(phone: Phone, entries: list[dict], more: list, without=()) -> tuple[str, int]:
    """Send a copy of a job with hostile texts; returns the new job and the number of places."""
    job, ids, places = str(uuid.uuid4()), {each["id"]: str(uuid.uuid4()) for each in entries}, 1
    batch = []
    as_json = json.dumps([each for each in entries if each["kind"] not in without])
    for old, new in (*ids.items(), (entries[0]["job"], job)):
        as_json = as_json.replace(old, new)
    for entry in json.loads(as_json):
        phone.count += 1
        made, count = made_hostile(entry | {"device": phone.device, "n": phone.count})
        places += count
        batch.append(made)
    filled = {each["slot"] for each in batch}
    for slot, kind, body in more:
        if slot is None or slot not in filled:
            made, count = made_hostile(phone.entry(job, kind, body, slot))
            batch.append(made)
            places += count
    answer = phone.sync(batch)
    assert {each["verdict"] for each in answer["results"]} == {"accepted"}
    return job, places


def more_texts() -> list:
    """What the demo leaves empty: each row that takes a text, a note, a hold that was gone past."""
    checklist = json.loads((ROOT / "pwa/checklist.json").read_text("utf-8"))
    found = [(None, "note-written", {"text": "A note"}), ("fit.left.hub-supported", "hold-overridden", {"reason": "A"})]
    for sheet in checklist["sheets"]:
        for row in [*sheet.get("rows", []), *(row for pause in sheet.get("pauses", []) for row in pause["rows"])]:
            first, _, rest = row["id"].partition(".")
            sides = ("left.", "right.") if sheet.get("per") == "wheel" else ("",)
            if row["type"] == "text":
                found += [(f"{first}.{side}{rest}", "field-set", {"value": "A text"}) for side in sides]
    return found


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """(address, the signed job, the same not signed, a stopped one): jobs with hostile texts in a demo shop."""
    with LiveServer(tmp_path_factory.mktemp("shop")) as server, LiveApp(server.url) as app:
        phone = Phone(app)
        jobs: dict[str, list] = {}
        for entry in phone.sync_all():
            jobs.setdefault(entry["job"], []).append(entry)
        ended = {kind: [job for job, all_of in jobs.items() if all_of[-1]["kind"] == kind]
                 for kind in ("job-signed", "job-stopped")}  # fmt: skip
        signed = max(ended["job-signed"], key=lambda job: len(jobs[job]))
        made = [
            sent(phone, jobs[signed], more_texts()),
            sent(phone, jobs[signed], more_texts(), without=("job-signed",)),
            sent(phone, jobs[ended["job-stopped"][0]], more_texts()),
        ]
        assert sum(places for _, places in made) > 60, made
        yield server.url, [job for job, _ in made]


@pytest.fixture(scope="module")
def phone(browser, shop):
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB")
    driver = open_ready(context, shop[0])
    driver.page.on("dialog", lambda dialog: pytest.fail(f"it asked: {dialog.message}"))
    signed, still_open, stopped = shop[1]
    expect(driver.key(f"job-{still_open}")).to_have_count(1)
    for job in (signed, stopped):  # lines on this phone, which never worked on them
        go(driver, "#/")
        expect(driver.key(f"line-{job}")).to_have_count(1)
        assert broken(driver.page, "the list with lines") == []
        go(driver, f"#/job/{job}")
        assert broken(driver.page, "the screen of a line") == []
        driver.tap("take-along")
        expect(driver.key("line-about")).to_have_count(0)
    yield driver
    context.close()


def broken(page, name: str) -> list[str]:
    return [f"{name}: {each}" for each in page.evaluate(BROKEN) + page.evaluate(TURNED)]


@pytest.mark.parametrize("which", [0, 1, 2], ids=["signed", "open", "stopped"])
def test_no_text_breaks_out_of_its_place_on_any_screen_of_the_phone(shop, phone, which):
    job, errors = shop[1][which], []
    phone.page.on("pageerror", lambda error: errors.append(str(error)))
    found = []
    for place in ("#/", *(f"#/job/{job}/sheet/{key}" for key in SHEETS), f"#/job/{job}/stop", f"#/job/{job}/report"):
        go(phone, place)
        phone.page.evaluate(OPEN_ALL)
        found += broken(phone.page, place.replace(job, ""))
    assert (found, errors) == ([], [])


def test_no_text_breaks_out_of_its_place_on_any_page_of_the_desk(shop, phone):
    page = phone.page.context.new_page()
    found = []
    pages = [f"jobs/{job}{part}" for job in shop[1] for part in ("", "/history", "/trace", "/erase")]
    for path in ("", *pages, *DESK):
        page.goto(f"{shop[0]}/desk/{path}")
        found += broken(page, path)
    page.close()
    assert found == []
