"""What a phone cannot send goes to the desk as a file: saved from Settings, taken in on the desk's
page, and when the phone can send again nothing is there twice.
"""

import json
import uuid

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect
from screen_checks import go

from tests.faults.test_hostile_network import SAVE, photo_path, unsent
from tests.live_server import LiveServer
from tests.server.pictures_to_send import encoded

LIMIT_MS = 20_000


@pytest.fixture
def server(tmp_path):
    with LiveServer(tmp_path / "store") as server:
        yield server


@pytest.fixture
def app(browser, server):
    context = browser.new_context(viewport=PHONE_SIZE, has_touch=True, service_workers="block")
    yield open_app(context, server.url)
    context.close()


@pytest.mark.full
def test_work_that_cannot_be_sent_reaches_the_desk_as_a_file_once(app, server):
    app.page.route("**/api/**", lambda route: route.abort())
    job = str(uuid.uuid4())
    entries = app.page.evaluate(SAVE, [job, "white van", list(encoded())])
    go(app, "#/settings")
    with app.page.expect_download() as download:
        app.tap("export")
    file = download.value.path()
    exported = json.loads(file.read_text("utf-8"))
    assert sorted(exported["entries"], key=lambda entry: entry["n"]) == entries
    assert [photo["sha256"] for photo in exported["photos"]] == [entries[-1]["body"]["sha256"]]

    desk = app.page.context.new_page()
    desk.goto(f"{server.url}/desk/import")
    desk.locator("input[type=file]").set_input_files(file)
    desk.locator("main form button").first.click()
    expect(desk.locator("main")).to_contain_text("accepted")
    assert held(app, job) == entries
    assert app.page.context.request.get(f"{server.url}{photo_path(entries)}").status == 200
    assert unsent(app) == (len(entries), 1), "the phone does not know"

    app.page.unroute("**/api/**")
    go(app, "#/")
    app.tap("send-now")
    expect(app.key("unsent")).to_contain_text("Everything is sent", timeout=LIMIT_MS)
    assert held(app, job) == entries


def held(app, job: str) -> list[dict]:
    answer = app.page.context.request.get(f"{app.page.url.split('/#')[0]}/api/jobs/{job}/entries").json()
    return sorted(answer["entries"], key=lambda entry: entry["n"])
