"""The desk's pages in a browser: nothing over the side, nothing the policy forbids, contrast 7:1, names for all."""

import shutil
from datetime import UTC, datetime

import pytest

from server import create_app
from server.keys import certificate
from tests.accessibility import violations
from tests.server.api.test_at_hand import Stores
from tests.server.demo_desk import DemoDesk
from tests.server.desk.test_rechecks import asks
from tests.server.desk.test_types_of_vehicles import Lead, a_type, proposing, window
from tests.server.past_jobs import PastJob
from tests.server.phones import BufferedClient
from tests.server.served import served

PAGES = [
    "/desk/", "/desk/jobs/{job}", "/desk/jobs/{job}/history", "/desk/jobs/{job}/trace", "/desk/jobs/{job}/erase",
    "/desk/jobs/{job}/report",
    "/desk/rings/", "/desk/rings/demo-66", "/desk/rings/new", "/desk/rings/new?from=thickness",
    "/desk/rings/new?from=paper", "/desk/rings/demo-54/1/drawing",
    "/desk/rings/demo-54/1/cut?side=left&inner=12&outer=31&bolts=54+45&clearance=12",
    "/desk/rings/demo-54/1/cut?side=left&inner=99&outer=31", "/desk/learning", "/desk/keeping", "/desk/export",
    "/desk/vehicles", "/desk/vehicles?find=DEMO402", "/desk/recall?rings=demo-54", "/desk/recall?lot=-",
    "/desk/rechecks", "/desk/at-hand", "/desk/types/", "/desk/types/{type}", "/desk/types/decide?type={type}",
    "/desk/types/decide?type={type}&entry={entry}",
    "/desk/phones", "/desk/report", "/desk/people", "/desk/me", "/desk/import", "/desk/audit", "/desk/sign-in",
    "/desk/certificate",
]  # fmt: skip
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "wcag2aaa"]}}
NOT_ASKED = (
    "target-size-enhanced",
    "identical-links-same-purpose",
)  # a document for a mouse: the phone has the large ones


@pytest.fixture(scope="module")
def desk_site(tmp_path_factory):
    """(origin, {name: value for the pages' addresses}) of a demo shop with its job sheets."""
    folder = tmp_path_factory.mktemp("screens")
    certificate.make(folder / "store", certificate.names_of_this_machine(), datetime.now(UTC))
    app = create_app({"STORE_FOLDER": folder / "store"})
    app.test_client_class = BufferedClient
    jobs = DemoDesk(app).client.get("/api/jobs?registration=DEMO402").json["jobs"]
    with served(app) as origin:
        yield origin, {"job": jobs[0]["id"], **remembered(app)}
    app.extensions["database"].close()
    shutil.rmtree(folder)


def remembered(app):
    """Fill the pages of the shop's memory: a type and a proposal that differs, a recheck, a count that cannot be."""
    phone = DemoDesk(app).phone
    lead, stores = Lead(phone), Stores(phone)
    proposing(phone, "AB 1")
    lead.decide(entry=lead.waiting())
    (known,) = lead.known()
    past = PastJob(phone, "CD 2").set("finish.vehicle-type", {"type": a_type(windows=[window(low=-1400)])})
    past.set("finish.recheck-after", asks(80, "2026-01-01")).plan(1, left=("demo-54", 12, 31))
    van = stores.place("Van 1")
    stores.change("added", van, 1, ring_set="demo-66")
    past.plan(2, left=("demo-66", 1, 2), right=("demo-66", 3, 4))
    past.set("prepare.left.ring-lot", "B-2207").set("finish.rings-from", {"place": van}).sign()
    return {"type": known["id"], "entry": lead.waiting()[0]}


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), pytest.param(360, "dark", marks=pytest.mark.full)])
def test_every_page_can_be_read_by_everybody(desk_site, browser, width, scheme):
    origin, names = desk_site
    complaints = []
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)
    page = context.new_page()
    page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    for path in PAGES:
        page.goto(origin + path.format(**names))
        over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        complaints += [f"{path}: {over} px over the side"] if over > 0 else []
        found = violations(page, RULES)
        complaints += [
            f"{path}: {each['id']}: {each['nodes'][0]['html'][:160]}" for each in found if each["id"] not in NOT_ASKED
        ]
    context.close()
    complaints = [each for each in complaints if "422" not in each]  # one of the pages is a refusal on purpose
    assert not complaints, "\n".join(complaints)


def test_at_360_px_no_table_is_cut_off_without_a_hint(desk_site, browser):
    """A job's angles are read without sliding, each under its label; any other wide table says that it slides, and what
    can be pressed or typed in never stands beyond the side.
    """
    origin, names = desk_site
    context = browser.new_context(viewport={"width": 360, "height": 900})
    page = context.new_page()
    page.goto(origin + "/desk/jobs/{job}".format(**names))
    cells = page.locator(".summary td").evaluate_all(
        """cells => cells.map(cell =>
            [cell.dataset.label, cell.getBoundingClientRect().right, cell.scrollWidth - cell.clientWidth])"""
    )
    assert any(label.startswith("Check") for label, _, _ in cells)
    beyond = page.locator("figure.map > svg").evaluate_all(
        """maps => maps.flatMap(map => [...map.querySelectorAll("text")].filter(text => {
            const [own, all] = [text.getBoundingClientRect(), map.getBoundingClientRect()];
            return own.left < all.left || own.right > all.right;
        }).map(text => text.textContent))"""
    )
    assert beyond == [], "a label of the map is cut off"
    assert all(label and right <= 360 and over <= 0 for label, right, over in cells)
    for path in PAGES:
        page.goto(origin + path.format(**names))
        cut = page.locator(".wide").evaluate_all(
            """wides => wides.filter(wide => wide.scrollWidth > wide.clientWidth
            && getComputedStyle(wide, '::before').content === 'none').length"""
        )
        assert cut == 0, path
        rights = page.locator("main button, main input").evaluate_all(
            "parts => parts.map(part => part.getBoundingClientRect().right)"
        )
        assert all(right <= 360 for right in rights), path
    context.close()
