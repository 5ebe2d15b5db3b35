"""Another display unit converts what is shown and never what was stored; the technician's own text stays with it.

0.42 degrees are 25.2 minutes; across a wheel of 381 mm, 381 sin(0.42 degrees) = 2.79 mm = 0.110 inch (by hand).
"""

import json

import pytest
from app_driver import PHONE_SIZE
from playwright.sync_api import expect
from screen_checks import PHONE, go, open_ready, seed_job

from tests.live_server import LiveServer

_ENTRIES = f"async (job) => JSON.stringify(await {PHONE}.entries(job))"
SHOWN = {
    "deg": "0.42° toe\u2011in",
    "deg-min": "0°25' toe\u2011in",
    "mm": "2.79 mm toe\u2011in",
    "inch": "0.110″ toe\u2011in",
}


@pytest.fixture(scope="module")
def app(browser, tmp_path_factory):
    with LiveServer(tmp_path_factory.mktemp("units")) as server:
        context = browser.new_context(viewport=PHONE_SIZE, locale="en-GB")
        yield open_ready(context, server.url)
        context.close()


def test_the_unit_of_the_screen_changes_nothing_stored(app):
    job = seed_job(app, "base.windows")
    before = app.page.evaluate(_ENTRIES, job)
    readings = [entry for entry in json.loads(before) if entry["slot"] == "base.left.1"]
    assert [reading["body"]["toe"]["text"] for reading in readings] == ["0.42"]
    for unit, shown in SHOWN.items():
        go(app, "#/settings")
        app.fill("diameter", "381")
        app.tap(f"toe-unit-{unit}")
        go(app, f"#/job/{job}/step/base.readings")
        expect(app.key("change-base.left.1-toe")).to_contain_text(shown)
    assert app.page.evaluate(_ENTRIES, job) == before
