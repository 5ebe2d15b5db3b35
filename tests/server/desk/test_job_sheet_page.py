"""A job sheet at the desk: one screen of summary, the rest folded, and two pages of paper that say whose they are."""

import re
import shutil

import pytest

from server import create_app
from tests.pdf_text import page_texts
from tests.server.demo_desk import DemoDesk, finished_job, ring_sets_of, words_of
from tests.server.past_jobs import PastJob
from tests.server.phones import Phone
from tests.server.pictures_to_send import encoded, keep, picture
from tests.server.served import served

SHOP = "LarkmoorWheelWorks"


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """(address, {registration: id}) of a demo shop with its job sheets."""
    folder = tmp_path_factory.mktemp("sheets")
    app = create_app({"STORE_FOLDER": folder / "store"})
    found = DemoDesk(app).client.get("/desk/").text
    jobs = {plate: job for job, plate in re.findall(r'/desk/jobs/([0-9a-f-]{36})">(DEMO \d+)<', found)}
    with served(app) as address:
        yield address, jobs
    app.extensions["database"].close()
    shutil.rmtree(folder)


def open_sheet(browser, site, plate, width=1280, height=900):
    page = browser.new_page(viewport={"width": width, "height": height})
    page.goto(f"{site[0]}/desk/jobs/{site[1][plate]}")
    return page


def bottom(page, selector):
    return max(page.locator(selector).evaluate_all("parts => parts.map(e => e.getBoundingClientRect().bottom)"))


def test_at_1280_the_summary_is_one_screen(browser, site):
    """Numbers, both maps, plan, bolts and signature, and below them the photos, large."""
    page = open_sheet(browser, site, "DEMO 351")
    assert page.locator(".summary .map").count() == 2
    assert bottom(page, ".thirds") <= 740
    widths = page.locator(".photos img").evaluate_all("all => all.map(e => e.getBoundingClientRect().width)")
    assert len(widths) == 3
    assert min(widths) >= 260
    assert bottom(page, ".photos img") <= 960
    page.close()


def test_what_somebody_must_know_stands_above_the_summary_in_a_line_that_leads_to_the_rest(browser, site):
    """So the summary is one screen whatever has happened, also on a small one."""
    page = open_sheet(browser, site, "DEMO 351", height=800)
    told = 0
    for plate, job in site[1].items():
        page.goto(f"{site[0]}/desk/jobs/{job}")
        for line in page.locator(".in-short a").all():
            told += 1
            whole = page.locator(line.get_attribute("href"))
            assert line.bounding_box()["y"] < page.locator(".summary").bounding_box()["y"] < whole.bounding_box()["y"]
        assert bottom(page, ".thirds") <= 800, plate
    assert told >= 2
    page.close()


def test_how_a_stop_stands_is_nowhere_cut_off(browser, desk):
    """Cause: two lines of it stood above the summary, and the whole once more below."""
    past = PastJob(desk.phone)
    awaited = "a bearing, the left brake line and the customer's word on what the axle may cost. " * 6
    past.add("job-stopped", None, {"reason": "hub-seized", "vehicle_state": "apart-on-stands", "awaited": awaited})
    job = past.send()
    with served(desk.app) as address:
        page = browser.new_page(viewport={"width": 400, "height": 740})
        page.goto(f"{address}/desk/jobs/{job}")
        stop = page.locator(".in-short li", has_text="Stopped: Hub seized")
        assert stop.inner_text().count("the left brake line") == 6
        assert stop.evaluate("line => line.scrollHeight <= line.clientHeight + 1")
        assert page.locator("main").inner_text().count("the left brake line") == 6
        page.close()


def test_what_was_said_step_by_step_is_folded_and_opens(browser, site):
    page = open_sheet(browser, site, "DEMO 365")
    row, hash_of_photo = page.get_by_text("Wheel off (left)"), page.locator(".photos code").first
    assert not row.is_visible()
    assert not hash_of_photo.is_visible()
    page.locator("summary", has_text=re.compile("^Fit")).click()
    row.wait_for(state="visible")
    page.locator(".photos summary").first.click()
    hash_of_photo.wait_for(state="visible")
    assert re.fullmatch(r"[0-9a-f]{64}", hash_of_photo.inner_text())
    page.close()


def test_of_two_rounds_the_last_stands_above_and_all_of_them_behind_a_fold(browser, site):
    page = open_sheet(browser, site, "DEMO 351")
    heads = page.locator(".summary thead th").all_inner_texts()
    assert heads == ["Angle", "Maker’s window", "Base", "Predicted", "Check"]
    right_toe = page.locator(".summary tr", has_text="Right toe").inner_text()
    assert "0.11° toe" in right_toe  # the check of round 2; that of round 1 was 0.85
    assert "0.85" not in right_toe
    page.get_by_text("Every round").click()
    every = page.locator("details.fold[open] tr", has_text="Right toe")
    every.wait_for(state="visible")
    assert "0.85° toe" in every.inner_text()
    assert page.locator("details.fold[open] .map").count() == 2
    page.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("plate", ["DEMO 351", "DEMO 365"])
def test_a_signed_job_is_two_pages_each_with_shop_and_registration(browser, site, plate, paper):
    page = open_sheet(browser, site, plate)
    pages = page_texts(page.pdf(format=paper))
    page.close()
    assert len(pages) == 2
    for text in pages:
        assert text.startswith(f"{SHOP}·{plate.replace(' ', '')}·jobsheet{site[1][plate][:8]}")
    assert "atthetop" in "".join(pages)
    assert "Signed.Jonah" in "".join(pages) or "Signed.Ines" in "".join(pages)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_six_photos_and_a_note_are_still_two_pages(browser, desk, paper):
    phone = desk.phone
    job = finished_job(phone, ring_sets_of(phone), (12, 31), miss=(50, -30))
    phone.sync([phone.entry(job, "note-written", {"text": "The customer waits. " * 20})])
    for number in range(6):
        keep(phone, job, encoded(picture(160 + number, 120)))
    with served(desk.app) as address:
        page = browser.new_page()
        page.goto(f"{address}/desk/jobs/{job}")
        pages = page_texts(page.pdf(format=paper))
        page.close()
    assert len(pages) == 2
    assert all("TM12-345" in text for text in pages)


def test_bolts_and_torques_say_what_is_in_and_by_how_much(app):
    phone = Phone(app)
    past = PastJob(phone)
    past.plan(1, left=("demo-54", 12, 31), right=("demo-54", 3, 4))
    length = {"new": True, "length_mm": 45, "class": "10.9", "least_mm": 14.2, "outcome": "ok"}
    for side in ("left", "right"):
        past.tick(f"fit.{side}.bolt-length", hold=True, length=length)
    past.set("fit.torque", {"text": "88", "unit": "nm", "source": "the book", "angle_deg": None})
    past.set("torque.wheel", {"text": "120", "unit": "nm", "source": "the book", "angle_deg": None})
    job = past.sign()
    shown = words_of(phone.client.get(f"/desk/jobs/{job}"))
    said = shown[shown.index("Bolts and torques") : shown.index("Signed.")]
    assert said.count("new bolts, 45 mm, class 10.9; 14.2 mm screwed in") == 1
    assert ", left, right:" in said
    assert "88 N m, from: the book" in said
    assert "120 N m, from: the book" in said


def test_a_later_rounds_bolts_stand_in_place_of_the_first(app):
    phone = Phone(app)
    past = PastJob(phone)
    for number, mm in ((1, 45), (2, 50)):
        length = {"new": True, "length_mm": mm, "class": "10.9", "least_mm": 14, "outcome": "ok"}
        past.tick(f"{'' if number == 1 else 'round.2.'}fit.left.bolt-length", hold=True, length=length)
    job = past.sign()
    shown = words_of(phone.client.get(f"/desk/jobs/{job}"))
    said = shown[shown.index("Bolts and torques") : shown.index("Signed.")]
    assert "50 mm" in said
    assert "45 mm" not in said


GROUNDS = {"light": "rgb(244, 242, 236)", "dark": "rgb(16, 20, 23)", "contrast": "rgb(255, 255, 255)"}


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_theme_of_the_shared_tokens_takes_hold_and_paper_is_light(browser, site, scheme):
    """The same file serves the phone, whose settings may choose against the system."""
    page = browser.new_page(color_scheme=scheme)
    page.goto(f"{site[0]}/desk/audit")
    ground = "theme => { document.documentElement.dataset.theme = theme; const probe = document.createElement('i');" \
             " document.body.append(probe); probe.style.background = 'var(--ground)';" \
             " return getComputedStyle(probe).backgroundColor; }"  # fmt: skip
    seen = {theme: page.evaluate(ground, theme) for theme in ("system", "light", "dark", "contrast")}
    assert seen == {"system": GROUNDS[scheme], **GROUNDS}
    assert page.evaluate("getComputedStyle(document.documentElement).colorScheme") == "light"  # contrast is
    page.emulate_media(media="print", color_scheme=scheme)
    assert page.evaluate(ground, "system") == GROUNDS["light"]
    page.close()
