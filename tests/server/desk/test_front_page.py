"""The desk's front page: what somebody has to look at first, each thing only while it is so, and the open jobs."""

import re
from datetime import UTC, datetime, timedelta

import pytest

from server.desk.words.words import ago
from server.keys import certificate
from server.limits import DAY_MS
from tests.server.databases import on_both_databases
from tests.server.demo_desk import words_of
from tests.server.desk.test_rechecks import asks
from tests.server.desk.test_types_of_vehicles import Lead, proposing
from tests.server.desks import PASSWORD, SHOP, Desk, FarPhone
from tests.server.past_jobs import PastJob
from tests.server.ring_forms import GOOD, thickness_fields
from tests.server.stores import backup_of

CALM = "Nothing waits for anybody here."


def first(client_get):
    """The part of the front page above the list."""
    return words_of(client_get("/desk/")).partition("All job sheets")[0]


def test_where_nothing_waits_it_says_so_and_a_search_shows_only_what_is_found(desk):
    assert CALM in first(desk.get)
    PastJob(desk.phone, "AB 1").send()
    assert "Open jobs" in first(desk.get)
    found = desk.words("/desk/?find=AB")
    assert "Open jobs" not in found
    assert CALM not in found


@on_both_databases
def test_two_answers_are_named_until_somebody_says_which_one_holds(phone, second_phone):
    job = PastJob(phone, "AB 1", description="a van").send()
    second_phone.sync([second_phone.entry(job, "field-set", {"value": "a lorry"}, "vehicle.description")])
    page = phone.client.get("/desk/").text
    assert re.search(rf'Two answers to settle.*href="/desk/jobs/{job}">AB 1, .*: 1 question<', page, re.S)
    live = re.findall(r'name="seen" value="([^"]+)"', phone.client.get(f"/desk/jobs/{job}").text)
    fields = {"csrf_token": phone.token(), "slot": "vehicle.description", "seen": live, "keep": live[0]}
    assert phone.client.post(f"/desk/jobs/{job}/settle", data=fields).status_code == 303
    assert "Two answers" not in first(phone.client.get)


@pytest.mark.parametrize(
    ("said", "words"),
    [({"unsent": 3}, "Pit phone: 3 entries or photos not sent; last contact 2026-09-21"),
     ({"unsent": 1}, "Pit phone: 1 entry or photos not sent"),
     ({"unsent": 3, "kept": False}, "Pit phone: 3 entries or photos not sent, what it stores may be cleared")],
)  # fmt: skip
def test_a_phone_that_waits_is_named_with_what_it_has(owner, far_phone, said, words):
    assert "Phones that wait" not in first(owner.get)
    assert far_phone.post([], **said).status_code == 200
    assert words in first(owner.get)
    far_phone.post([], unsent=0, kept=True)
    assert "Phones that wait" not in first(owner.get)


def test_a_phone_that_has_sent_everything_is_not_named_whatever_its_browser_may_clear(owner, far_phone):
    """Cause: one whose browser had promised nothing stood under "Phones that wait" for ever."""
    past = PastJob(far_phone)
    assert far_phone.post(past.entries, unsent=0, kept=False).status_code == 200
    assert "Phones that wait" not in first(owner.get)
    assert "may be cleared" in owner.get("/desk/phones").text


def test_a_phone_that_was_paired_again_is_named_by_what_it_says_now(any_shop_app):
    """Cause: where its session was lost, nobody spoke for its former pairing any more, and that waited for ever."""
    owner, far_phone = Desk(any_shop_app).signed_in(), FarPhone(any_shop_app)
    far_phone.pair(owner.make_code())
    far_phone.post([], unsent=7)
    assert "Pit phone: 7 entries" in first(owner.get)
    again = FarPhone(any_shop_app, device=far_phone.device)
    again.pair(owner.make_code("The same phone"))
    again.post(PastJob(again).entries, unsent=2)
    assert "Pit phone: 7 entries" not in first(owner.get)
    assert "The same phone: 2 entries" in first(owner.get)
    again.post([], unsent=0)
    assert "Phones that wait" not in first(owner.get)


def test_photos_to_come_of_a_phone_that_was_paired_again_are_counted_once(any_shop_app, clock):
    owner, far_phone = Desk(any_shop_app).signed_in(), FarPhone(any_shop_app)
    far_phone.pair(owner.make_code())
    past = PastJob(far_phone)
    past.add(
        "photo-attached", None, {"sha256": "0" * 64, "mime": "image/jpeg", "bytes": 9, "about": "fit.witness-line"}
    )
    far_phone.post(past.entries, unsent=0)
    clock.now_ms += 1
    again = FarPhone(any_shop_app, device=far_phone.device)
    again.pair(owner.make_code("The same phone"))
    again.post([], unsent=0)
    shown = first(owner.get)
    assert "The same phone: 1 photo to come" in shown
    assert "Pit phone: " not in shown


def test_a_photo_that_has_not_come_is_a_reason_too_and_a_phone_that_was_ended_is_none(owner, far_phone):
    body = {"sha256": "0" * 64, "mime": "image/jpeg", "bytes": 9, "about": "fit.witness-line"}
    past = PastJob(far_phone)
    past.add("photo-attached", None, body)
    far_phone.post(past.entries, unsent=0)
    assert "Pit phone: 1 photo to come" in first(owner.get)
    (pairing,) = re.findall(r'/desk/phones/([0-9a-f-]{36})/end"', owner.get("/desk/phones").text)
    assert owner.post(f"/desk/phones/{pairing}/end").status_code == 303
    assert "Phones that wait" not in first(owner.get)


def test_a_backup_is_asked_for_where_none_was_made_or_the_newest_is_three_days_old(
    shop_app, owner, far_phone, clock, tmp_path
):
    assert "No backup" not in first(owner.get), "nothing would be lost"
    far_phone.post(PastJob(far_phone).entries)
    assert "No backup None was ever made; 2 entries would be lost with this machine. Run:" in first(owner.get)
    backup_of(shop_app, tmp_path / "first.backup")
    assert "ackup" not in first(owner.get)
    far_phone.post(PastJob(far_phone).entries)
    clock.now_ms += 3 * DAY_MS - 1
    owner.signed_in()
    assert "ackup" not in first(owner.get)
    clock.now_ms += 1
    assert "Backup is out of date The newest is of 2026-09-21 14:13 UTC; 2 entries would be lost" in first(owner.get)


@pytest.mark.parametrize(("left", "words"), [(31, ""), (29, "It ends on 2026-10-20."), (-1, "It ended on 2026-09-20:")])
def test_a_certificate_is_named_a_month_before_it_ends(make_shop_app, tmp_path, clock, left, words):
    """A server that runs renews it from 60 days before: a month before something has gone wrong with that."""
    app = make_shop_app()
    owner = Desk(app).signed_in()
    now = datetime.fromtimestamp(clock.now_ms / 1000, UTC)
    certificate.make(tmp_path / "shop", ["localhost", "127.0.0.1"], now + timedelta(days=left - 820))
    shown = first(owner.get)
    assert ("The certificate ends" in shown) == bool(words)
    assert words in shown


@on_both_databases
def test_a_recheck_is_named_from_its_day_on(phone, clock):
    clock.now_ms = 1_795_600_000_000  # 2026-11-25
    PastJob(phone, "SOON 1").set("finish.recheck-after", asks(50, "2026-11-26")).sign()
    PastJob(phone, "FAR 1").set("finish.recheck-after", asks(80)).sign()
    assert "Fasteners to recheck" not in first(phone.client.get)
    clock.now_ms += DAY_MS
    assert "Fasteners to recheck" in first(phone.client.get)
    assert "SOON 1: today" in first(phone.client.get)
    clock.now_ms += DAY_MS
    shown = first(phone.client.get)
    assert "SOON 1: due 2026-11-26" in shown
    assert "FAR 1" not in shown


def test_a_ring_set_that_is_not_trusted_and_a_proposed_type_are_named(desk):
    odd = [(mark, mm + (0.15 if mark == 31 else 0)) for mark, mm in GOOD]
    assert desk.post("/desk/rings/new?from=thickness", thickness_fields(odd, accept="yes")).status_code == 303
    proposing(desk.phone, "AB 1")
    shown = first(desk.get)
    assert "Vehicle types proposed" in shown
    assert "Ring sets not trusted" in shown
    Lead(desk.phone).decide(entry=Lead(desk.phone).waiting())
    assert "Vehicle types proposed" not in first(desk.get)


def test_what_only_the_office_may_open_is_named_to_a_technician_without_a_way_there(owner, far_phone, shop_app):
    owner.add_person("Jonah Brask", "technician")
    far_phone.post([], unsent=2)
    technician = Desk(shop_app).signed_in("Jonah Brask", PASSWORD)
    page = technician.get("/desk/").text
    assert "Pit phone: 2 entries" in page
    assert "/desk/phones" not in page


def test_open_jobs_say_where_they_stand_who_wrote_last_on_which_phone_and_since_when(owner, far_phone, clock):
    """Of a signed job nothing stands there; the newest change is first."""
    far_phone.post(PastJob(far_phone, "SIGNED 1").tick("fit.left.wheel-off").entries)
    late = PastJob(far_phone, "LATE 1", description="a hatch").tick("fit.left.wheel-off")
    far_phone.post(late.entries)
    clock.now_ms += 3 * 3600 * 1000
    read = PastJob(far_phone, "READ 1")
    read.add("reading-taken", "base.left.1", {"camber": None, "toe": None}, by="Jonah Brask")
    read.add("photo-attached", None, {"sha256": "1" * 64, "about": "round.2.fit.right.witness-line"}, by="Jonah Brask")
    far_phone.post(read.entries)
    shown = first(owner.get)
    rows = shown[shown.index("Waiting since") :]
    rows = rows.replace(" ,", ",")
    assert "READ 1 not described Right wheel Jonah Brask Pit phone 2026-09-21 17:13 UTC, less than 2 minutes" in rows
    assert "LATE 1 a hatch Left wheel Ines Tavell Pit phone 2026-09-21 14:13 UTC, 3 hours" in rows
    assert rows.index("READ 1") < rows.index("LATE 1")


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(-5, "less than 2 minutes"), (1, "less than 2 minutes"), (2, "2 minutes"), (119, "119 minutes"), (120, "2 hours"),
     (2879, "47 hours"), (2880, "2 days")],
)  # fmt: skip
def test_how_long_ago_is_said_in_the_largest_unit(minutes, words):
    assert ago(minutes * 60_000) == words


def test_the_demo_is_not_asked_for_a_backup(desk):
    PastJob(desk.phone).send()
    assert "ackup" not in first(desk.get)
    assert SHOP in desk.words("/desk/")
