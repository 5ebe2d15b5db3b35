"""The phone's pairing is lost while work waits on it: everything stays, the screen says
what to do, and after the desk's code all of it arrives once, as the work of those who did it.
"""

import pytest

from tests.faults.shop import START_MS

JOB = "11111111-1111-4111-8111-111111111111"
EIGHT_DAYS_MS = 8 * 24 * 3600 * 1000


@pytest.fixture
def phone(pages, shop):
    phone = pages[0]
    phone.road.serve = shop.answer
    phone.start("phone", START_MS)
    yield phone
    phone.end()


def begin(phone) -> dict:
    opening = {"job": JOB, "kind": "job-opened", "slot": None, "body": {"checklist": 2}, "by": "Ada Lind"}
    return phone.call("save", opening)["entry"]


def save(phone, number: int, by: str) -> dict:
    slot, body = f"window.source-{number}", {"value": number}
    return phone.call("save", {"job": JOB, "kind": "field-set", "slot": slot, "body": body, "by": by})["entry"]


def own(phone) -> dict:
    """What is on the phone, without what the shop has only told it."""
    return {what: part for what, part in phone.call("contents").items() if what != "lines"}


def lose_the_key(shop):
    shop.change_key()


def end_the_pairing(shop):
    shop.end_pairings()


@pytest.mark.parametrize(("lose", "said"), [(lose_the_key, "sync.not-paired"), (end_the_pairing, "sync.pairing-ended")])
def test_after_eight_days_offline_everything_arrives_once_with_the_desks_code(phone, shop, lose, said):
    saved = [begin(phone), *(save(phone, k, "Ada Lind") for k in range(3))]
    assert phone.sync()["status"] == "idle"
    shop.become_real()
    lose(shop)
    shop.clock_ms += EIGHT_DAYS_MS
    phone.set_clock(START_MS + EIGHT_DAYS_MS)
    saved += [save(phone, k, "Ada Lind") for k in range(3, 6)]
    saved += [save(phone, k, "Bo Ferrand") for k in range(6, 8)]  # another person has the phone now
    before = own(phone)
    for _ in range(3):
        state = phone.sync()
        assert (state["status"], state["text"]) == ("not-paired", said)
    assert own(phone) == before, "nothing was dropped, nothing changed"
    phone.kill()
    assert phone.call("contents")["unsent"]["entries"] == 5

    assert phone.call("pairBy", shop.new_code()) is None
    assert phone.sync()["status"] == "idle"
    assert sorted(shop.entries(), key=lambda entry: entry["n"]) == saved
    assert [entry["by"] for entry in saved] == ["Ada Lind"] * 7 + ["Bo Ferrand"] * 2


def test_a_wrong_code_changes_nothing(phone, shop):
    saved = [begin(phone), save(phone, 1, "Ada Lind")]
    shop.become_real()
    right = shop.new_code()
    assert phone.call("pairBy", "3333-3333") == "pair-code-wrong"
    assert phone.sync()["status"] == "not-paired"
    assert phone.call("pairBy", right) is None
    assert phone.sync()["status"] == "idle"
    assert shop.entries() == saved
