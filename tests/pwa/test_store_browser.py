"""The phone's store in two tabs at once. A browser that is killed just after "saved": tests/faults/test_kill.py."""

import pytest

OPEN = """async () => {
    const { openPhone } = await import("/js/store/phone.js");
    globalThis.phone = await openPhone();
    globalThis.heard = [];
    phone.onChange(({ jobs, cause }) => heard.push([jobs, cause]));
}"""
SAVE = """async ([job, slot, value]) => {
    const body = { value };
    return (await phone.save({ job, kind: "field-set", slot, after: [], body, by: "Ada Lind" })).id;
}"""
ENTRIES = "async (job) => phone.entries(job)"
SAVE_MANY = """async ([job, tab]) => {
    const save = (k) => phone.save({
        job, kind: "field-set", slot: `vehicle.${tab}-${k}`, after: [], body: { value: k }, by: "Ada Lind",
    });
    return (await Promise.all(Array.from({ length: 20 }, (_, k) => save(k)))).length;
}"""


@pytest.fixture
def tabs(page, origin):
    pages = [page, page.context.new_page()]
    for each in pages:
        each.goto(f"{origin}/tests/run.html")
        each.evaluate(OPEN)
    return pages


def test_two_tabs_share_one_device_and_give_no_number_twice(tabs):
    one, other = tabs
    job = one.evaluate("phone.newJob()")
    one.evaluate(SAVE, [job, "vehicle.vin", "x"])
    one.evaluate("([job]) => { globalThis.first = (" + SAVE_MANY + ")([job, 'a']); }", [job])
    assert other.evaluate(SAVE_MANY, [job, "b"]) == 20
    assert one.evaluate("first") == 20
    entries = other.evaluate(ENTRIES, job)
    assert sorted(entry["n"] for entry in entries) == list(range(1, 42))
    assert len({entry["device"] for entry in entries}) == 1
    assert one.evaluate("phone.unsent()")["entries"] == 41


def test_a_second_tab_hears_of_a_change_and_sees_it(tabs):
    one, other = tabs
    job = one.evaluate("phone.newJob()")
    saved = one.evaluate(SAVE, [job, "vehicle.vin", "x"])
    heard = """async () => {
        while (heard.length === 0) await new Promise((resolve) => setTimeout(resolve, 5));
        return heard;
    }"""
    assert other.evaluate(heard) == [[[job], "saved"]]
    assert [entry["id"] for entry in other.evaluate(ENTRIES, job)] == [saved]
