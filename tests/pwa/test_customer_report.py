"""The customer's report: the same on a phone and at the desk, with the shop's head and foot, and whole on paper."""

import io
import re
import unicodedata
from pathlib import Path

import pytest
from app_driver import PHONE_SIZE
from PIL import Image, ImageDraw
from screen_checks import PHONE, go, open_ready

from tests.pdf_text import page_texts

ADDRESS, TELEPHONE = "Windmill Road 12\nOldbridge OB3 4QT", "555 0142"
FOOT = "Larkmoor Wheel Works Ltd, company 12345.\nComplaints within a month, in writing, to the address above."
PLATES = ("DEMO 351", "DEMO 365")  # signed: two rounds with photos of both; one round with a hold gone past
PAPERS = {"A4": 718, "Letter": 741}  # width in px inside of 10 mm margins

_BRING = f"""async (job) => {{
  const phone = {PHONE};
  await (await import("/js/sync/find-jobs.js")).bringJob(phone, job);
}}"""
_HEAD_HERE = f"""async () => {{
  const phone = {PHONE};
  const limit = performance.now() + 30_000;
  while (!(await phone.setting("letterhead"))?.logo) {{
    if (performance.now() > limit) throw new Error("expected the shop's logo on the phone within 30 s");
    await new Promise(requestAnimationFrame);
  }}
}}"""
# Every part of the report in its order, as a customer reads it, and what the pictures are.
_SAID = """() => {
  const report = document.querySelector(".report");
  const parts = [...report.querySelectorAll("h1, h2, p, li, th, td, figcaption, footer, desc")];
  return {
    parts: parts.map((node) => [node.closest("[data-key]").dataset.key, node.localName, node.textContent]),
    pictures: [...report.querySelectorAll("img")].map((image) => [image.alt, image.naturalWidth, image.naturalHeight]),
  };
}"""
_CUT = """() => [...document.querySelectorAll(".report *")].filter((node) => node.scrollWidth > node.clientWidth + 1
  && getComputedStyle(node).display !== "inline" && !node.closest("svg")).map((node) => node.outerHTML.slice(0, 80))"""


def logo() -> bytes:
    image, out = Image.new("RGBA", (900, 300), (0, 0, 0, 0)), io.BytesIO()
    ImageDraw.Draw(image).ellipse((20, 20, 280, 280), outline="black", width=40)
    image.save(out, "PNG")
    return out.getvalue()


@pytest.fixture(scope="module")
def shop(browser, url):
    """(page at the desk, phone, {plate: job}): an owner has said what the report says of the shop, and both know it."""
    context = browser.new_context(locale="en-GB", viewport={"width": 1280, "height": 900})
    desk = context.new_page()
    desk.goto(f"{url}/desk/report")
    desk.get_by_label("Address").fill(ADDRESS)
    desk.get_by_label("Telephone").fill(TELEPHONE)
    desk.get_by_label("Foot of the report").fill(FOOT)
    desk.get_by_text("Keep these words").click()
    desk.get_by_label("A picture").set_input_files({"name": "l.png", "mimeType": "image/png", "buffer": logo()})
    desk.get_by_text("Use this logo").click()
    desk.locator(".logo img").wait_for()
    desk.goto(f"{url}/desk/")
    jobs = {plate: job for job, plate in re.findall(r'/desk/jobs/([0-9a-f-]{36})">(DEMO \d+)<', desk.content())}
    other = browser.new_context(viewport=PHONE_SIZE, has_touch=True, locale="en-GB")
    phone = open_ready(other, url)
    phone.page.evaluate(_HEAD_HERE)
    for plate in PLATES:
        phone.page.evaluate(_BRING, jobs[plate])
    yield desk, phone, jobs
    context.close()
    other.close()


def at_desk(shop, url, plate):
    desk, _, jobs = shop
    desk.goto(f"{url}/desk/jobs/{jobs[plate]}")
    desk.get_by_text("Report for the customer").click()
    desk.locator("#report[data-done]").wait_for()
    return desk


def on_phone(shop, plate):
    _, phone, jobs = shop
    go(phone, f"#/job/{jobs[plate]}/report")
    phone.page.wait_for_function(
        "plate => document.querySelector('.report-vehicle')?.textContent.startsWith(plate)", arg=plate
    )
    phone.page.evaluate("() => Promise.all([...document.querySelectorAll('.report img')].map((each) => each.decode()))")
    return phone.page


@pytest.mark.parametrize("plate", PLATES)
def test_phone_and_desk_say_the_same_part_by_part(shop, url, plate):
    desk, phone = at_desk(shop, url, plate).evaluate(_SAID), on_phone(shop, plate).evaluate(_SAID)
    assert desk["parts"] == phone["parts"]
    assert desk["pictures"] == phone["pictures"]
    said = [text for _, _, text in desk["parts"]]
    titles = [text for _, tag, text in desk["parts"] if tag in ("h1", "h2")]
    wanted = ["Report for the customer", "What was not done", "What was agreed", "What is fitted"]
    assert titles[:6] == [*wanted, "Parts and equipment", "Please note"]
    assert ["Larkmoor Wheel Works", ADDRESS, f"Telephone {TELEPHONE}"] == said[:3]
    assert said[-1] == FOOT
    assert any("meets outer" in text for text in said)
    assert any("78 N m" in text for text in said)
    assert sum(tag == "desc" for _, tag, _ in desk["parts"]) == 2, "both maps"
    assert desk["pictures"][0] == ["", 600, 200], "the logo"
    assert all(width > 100 for _, width, _ in desk["pictures"])
    assert len(desk["pictures"]) == 1 + sum(tag == "figcaption" for _, tag, _ in desk["parts"]) - 2


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("plate", PLATES)
@pytest.mark.full
@pytest.mark.parametrize("where", ["phone", "desk"])
def test_on_paper_it_is_one_page_with_nothing_cut(shop, url, where, plate, paper):
    page = on_phone(shop, plate) if where == "phone" else at_desk(shop, url, plate)
    said, before = page.evaluate(_SAID)["parts"], page.viewport_size
    pages = page_texts(page.pdf(format=paper))
    assert len(pages) == 1
    printed = unicodedata.normalize("NFKC", pages[0])  # a font may draw two letters as one
    bare = [unicodedata.normalize("NFKC", re.sub(r"\s", "", text)) for _, tag, text in said if tag != "desc"]
    assert [text for text in bare if text not in printed] == []
    assert "Backtothejobsheet" not in pages[0]
    page.emulate_media(media="print")
    page.set_viewport_size({"width": PAPERS[paper], "height": 1000})
    cut = page.evaluate(_CUT)
    over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    page.emulate_media(media="null")
    page.set_viewport_size(before)
    assert (cut, over) == ([], 0)


@pytest.mark.full
def test_the_head_of_another_shop_stays_out(shop):
    page = on_phone(shop, PLATES[0])
    rename = f"async (name) => {PHONE}.setSetting('shop', {{ name, demo: false }})"
    page.evaluate(rename, "Quarry Lane Garage")
    go(shop[1], "#/")
    try:
        head = on_phone(shop, PLATES[0]).locator(".report-head").inner_text()
        assert "Quarry Lane Garage" in head
        assert TELEPHONE not in head
        assert page.locator(".report-logo, .report-foot").count() == 0
    finally:
        page.evaluate(rename, "Larkmoor Wheel Works")
        go(shop[1], "#/")


def test_the_file_that_is_saved_has_head_logo_and_foot_in_it(shop):
    page = on_phone(shop, PLATES[1])
    with page.expect_download() as saving:
        shop[1].tap("save-file")
    html = Path(saving.value.path()).read_text("utf-8")
    assert not re.findall(r'(?:src|href)="(?!data:)', html)
    assert re.search(r'class="report-logo" src="data:image/jpeg;base64,', html)
    assert TELEPHONE in html
    assert FOOT.splitlines()[1] in html


@pytest.mark.full
def test_at_the_desk_it_speaks_the_shops_language(shop, url):
    desk = shop[0]
    for language, title in (("es", "Informe para el cliente"), ("en", "Report for the customer")):
        desk.goto(f"{url}/desk/report")
        desk.get_by_label("Language of the report").select_option(language)
        desk.get_by_text("Keep these words").click()
        page = at_desk(shop, url, PLATES[0])
        assert page.locator(".report h1").inner_text() == title
        assert page.locator("html").get_attribute("lang") == language
        assert page.locator(".report").get_by_text(re.compile(r"^\[")).count() == 0, "a key without words"
