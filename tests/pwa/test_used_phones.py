"""A context that is used again looks like a new one: a test must not see what another one has left."""

import pytest
from used_phones import give_back, take_phone

STORE = """async () => {
  localStorage.setItem("left", "1");
  document.cookie = "left=1";
  await (await caches.open("left")).put("/left", new Response("1"));
  await new Promise((done) => { indexedDB.open("left").onsuccess = done; });
}"""
STORED = """async () => ({
  local: localStorage.length, cookie: document.cookie, caches: await caches.keys(),
  databases: await indexedDB.databases(), isOnLine: navigator.onLine,
})"""
NOTHING = {"local": 0, "cookie": "", "caches": [], "databases": [], "isOnLine": True}
OPTIONS = {"viewport": {"width": 361, "height": 741}}  # no other test has these


def test_nothing_of_the_phone_before_is_there(browser, origin):
    context, page = take_phone(browser, origin, **OPTIONS)
    page.goto(f"{origin}/tests/run.html")
    page.evaluate(STORE)
    context.set_offline(True)
    context.new_page()
    give_back(context)
    again, page = take_phone(browser, origin, **OPTIONS)
    assert again is context
    assert again.pages == [page]
    page.goto(f"{origin}/tests/run.html")
    assert page.evaluate(STORED) == NOTHING
    give_back(again)


@pytest.mark.parametrize("change", ["add_init_script", "grant_permissions"])
def test_what_was_changed_for_good_is_not_used_again(browser, origin, change):
    context, _ = take_phone(browser, origin, **OPTIONS)
    getattr(context, change)({"add_init_script": "1", "grant_permissions": ["camera"]}[change])
    give_back(context)
    again, _ = take_phone(browser, origin, **OPTIONS)
    assert again is not context
    give_back(again)


def test_other_options_are_another_phone(browser, origin):
    context, _ = take_phone(browser, origin, **OPTIONS)
    give_back(context)
    other, _ = take_phone(browser, origin, **OPTIONS, locale="es-ES")
    assert other is not context
    give_back(other)
