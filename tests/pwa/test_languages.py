"""Both languages in use: no text is missing, unused or still English, and every sheet is looked at in Spanish.

Completeness file by file is held in test_screen_texts.py. Decimal mark and words of Spanish: Unicode CLDR, by the
browser's own Intl.
"""

import json
import re
from pathlib import Path

import pytest
from app_driver import PHONE_SIZE, open_app
from playwright.sync_api import expect
from seeded_phone import SeededPhone
from sheet_walk import SHEETS

from calc.fit.threads import PROOF_STRESS_MPA

PWA = Path(__file__).resolve().parents[2] / "pwa"
# Words that stand on two lines.
_BROKEN = """(places) => [...document.querySelectorAll(places)].flatMap((place) => {
  const texts = document.createTreeWalker(place, NodeFilter.SHOW_TEXT);
  const words = [];
  while (texts.nextNode()) for (const { 0: word, index } of texts.currentNode.data.matchAll(/\\S+/g)) {
    const range = document.createRange();
    range.setStart(texts.currentNode, index);
    range.setEnd(texts.currentNode, index + word.length);
    if (new Set([...range.getClientRects()].map(({ top }) => Math.round(top))).size > 1) words.push(word);
  }
  return words;
})"""
# Folders and modules of the phone that name texts
SPEAKING = ("ui", "sync", "store", "domain/numbers/angle.js", "main.js")
SAME_IN_BOTH = {
    "map.base",
    "report.vin",
    "result.plan",
    "row.choose.plan.title",
    "sheet.plan.title",
    "ui.app-name",
    "settings.language.en",
    "settings.language.es",
    "ui.unit.lbf-ft",
    "fitting.pressures.unit.bar",
    "fitting.pressures.unit.psi",
}
# Short words that English cannot do without, none of which is a Spanish word.
ENGLISH = re.compile(r"\b(the|and|with|of|is|are|this|that|from|not|wheel|left|right|ring|rings|by|or|to)\b", re.I)
CLASS = r"\b({})\b".format("|".join(map(re.escape, PROOF_STRESS_MPA)))
BARE_DECIMAL = re.compile(r"(?<!\{)\b\d+[.,]\d")
# Frames every field that is shown, and goes once round its units; what the key of the unit said.
_UNITS_OF_THE_KEYPAD = """async () => {
  const said = new Set();
  const key = () => document.querySelector('[data-key="key-unit"]');
  for (const input of document.querySelectorAll(".cell input:not([disabled])")) {
    if (!input.checkVisibility() || input.closest("[inert]")) continue;
    input.focus();
    await new Promise(requestAnimationFrame);
    const seen = new Set();
    while (key() && !seen.has(key().textContent)) {
      seen.add(key().textContent);
      key().click();
      await new Promise((done) => setTimeout(done, 20));
    }
    seen.forEach((each) => said.add(each));
  }
  return [...said];
}"""
PLACEHOLDER = re.compile(r"\{[\w.]+\}")


def texts(language: str) -> dict[str, str]:
    merged = {}
    for file in sorted((PWA / "text" / language).glob("*.json")):
        merged |= json.loads(file.read_text("utf-8"))
    return merged


def stems(keys) -> set[str]:
    """Return the keys with those of plurals by their common part."""
    return {re.sub(r"\.(one|other)$", "", key) for key in keys} | set(keys)


def sources() -> str:
    files = [
        file
        for place in SPEAKING
        for file in sorted((PWA / "js").glob(f"{place}/**/*.js" if "." not in place else place))
    ]
    code = "\n".join(file.read_text("utf-8") for file in files)
    return re.sub(r"^\s*(/?\*|//).*$", "", code, flags=re.M)  # comments name kinds of keys


def named_keys(namespaces: set[str]) -> tuple[set[str], list[re.Pattern]]:
    """Return the keys that the code names whole, and a pattern for each that it puts together."""
    code, space = sources(), "|".join(map(re.escape, sorted(namespaces)))
    whole = set(re.findall(rf'"((?:{space})\.[\w.-]+)"', code))
    put_together = set(re.findall(rf"`((?:{space})\.[^`\n]*)`", code))
    parts = [re.split(r"\$\{[^}]*\}", key) for key in put_together]
    return whole, [re.compile(".+".join(map(re.escape, each))) for each in parts]


def test_every_key_that_the_code_names_or_puts_together_has_a_text_and_every_text_is_used():
    known = stems(texts("en"))
    whole, patterns = named_keys({key.split(".")[0] for key in known})
    assert len(whole) > 300
    prefixes = {key for key in whole if any(each.startswith(f"{key}.") for each in known)}
    assert not whole - known - prefixes, "named, and without a text"
    empty = [pattern.pattern for pattern in patterns if not any(map(pattern.fullmatch, known))]
    assert not empty, "put together, and fits no text"
    unused = {
        key
        for key in texts("en")
        if not stems([key]) & whole
        and not any(pattern.fullmatch(stem) for pattern in patterns for stem in stems([key]))
        and not key.startswith(tuple(f"{prefix}." for prefix in prefixes))
    }
    assert not unused, "texts that nothing names"


def test_no_key_begins_with_a_choice_between_two_beginnings():
    """The search above does not find such a key, and a text can be missing under one of the two."""
    assert not re.findall(r"\bt\(\s*`\$\{[^}]*\?.*", sources())


def test_nothing_is_left_in_english():
    english, spanish = texts("en"), texts("es")
    same = {key for key, text in english.items() if text == spanish[key] and re.search(r"[a-z]{3}", bare(text))}
    assert same <= SAME_IN_BOTH
    leftover = {key: text for key, text in spanish.items() if key not in SAME_IN_BOTH and ENGLISH.search(bare(text))}
    assert not leftover


def bare(text: str) -> str:
    return PLACEHOLDER.sub("", text)


@pytest.mark.parametrize(
    ("locale", "language"), [("es-MX", "es"), ("en-GB", "en"), ("fr-FR", "en")], ids=["Spanish", "English", "other"]
)
def test_the_language_follows_the_phone(browser, url, locale, language):
    context = browser.new_context(viewport=PHONE_SIZE, locale=locale)
    page = context.new_page()
    page.goto(url)
    expect(page.locator("html")).to_have_attribute("lang", language)
    expect(page.locator("h1")).to_have_text(texts(language)["ui.name.title"])
    context.close()


def test_another_language_is_chosen_in_the_settings_and_stays(browser, url):
    context = browser.new_context(viewport=PHONE_SIZE, locale="en-GB")
    driver = open_app(context, url)
    driver.tap_on("settings")
    driver.tap("language-es")
    expect(driver.page.locator("h1")).to_have_text(texts("es")["settings.title"])
    driver.page.close()
    again = open_app(context, url)
    expect(again.page.locator("h1")).to_have_text(texts("es")["settings.title"])
    expect(again.page.locator("html")).to_have_attribute("lang", "es")
    context.close()


def test_numbers_are_written_in_one_place():
    """Else one screen has two decimal marks where language and region differ: es writes 0,42 and es-MX 0.42."""
    at_home = {"ui/words/text.js", "domain/numbers/units.js", "ui/words/date-words.js"}
    modules = (PWA / "js").rglob("*.js")
    assert {
        file.relative_to(PWA / "js").as_posix() for file in modules if "NumberFormat" in file.read_text("utf-8")
    } == at_home
    plain = [key for language in ("en", "es") for key, text in texts(language).items() if BARE_DECIMAL.search(text)]
    assert not plain, "a number in a text stands in braces, so that it is written as the region does"


@pytest.mark.parametrize("language", [pytest.param("en", marks=pytest.mark.full), "es"])
def test_no_word_breaks_on_a_key_or_beside_a_reading(browser, origin, language):
    phone = SeededPhone(browser, origin, language=language)
    phone.open_job([])
    phone.work_until("base.readings")
    driver = phone.show("sheet/readings")
    for quantity in ("camber", "toe"):
        driver.aim(f"base.left.{quantity}.1")
        expect(driver.key("way-top-in" if quantity == "camber" else "way-in")).to_be_visible()
        assert driver.page.evaluate(_BROKEN, ".dock-keys .button-label, .readings-table .cells-title") == []
    phone.close()


@pytest.mark.full
@pytest.mark.parametrize(("locale", "typed", "foreign"), [("es-ES", "0,42", r"\d\.\d"), ("es-MX", "0.42", r"\d,\d")])
def test_every_sheet_is_in_spanish(browser, origin, locale, typed, foreign):
    """No English text is on any sheet, and every number has the decimal mark of the region."""
    english = {text for text in texts("en").values() if len(text) > 3} - set(texts("es").values())
    phone = SeededPhone(browser, origin, language="es", locale=locale)
    phone.open_job([])
    assert phone.work_until("finish.sign", pairs=2) == "finish.sign"
    units: set[str] = set()
    for sheet in SHEETS:
        driver = phone.show(f"sheet/{sheet}")
        for pause in driver.page.locator('[data-key^="open-pause-"]').all():
            pause.click()
            look(driver, f"{sheet}, {pause}", english, foreign)
        look(driver, sheet, english, foreign)
        units |= set(phone.page.evaluate(_UNITS_OF_THE_KEYPAD))
        if sheet == "readings":
            driver.aim("base.left.toe.1")
            driver.type_keys("0.42")
            expect(driver.key("cell-base.left.toe.1")).to_have_value(typed)
    assert {"lbf ft", "pulg"} <= units, "every field was in each of its units"
    assert not [unit for unit in units if "[" in unit], "a unit without a text"
    phone.close()


def look(driver, name: str, english: set[str], foreign: str) -> None:
    lines = {line.strip() for line in driver.screen_text.splitlines()}
    assert not lines & english, f"{name}: English on the screen"
    assert not re.search(r"\[[\w-]+\.[\w.-]+\]", driver.screen_text), f"{name}: a text is missing"
    figures = re.sub(CLASS, "", driver.screen_text)  # a class of bolts is a name, no number
    assert not re.search(foreign, figures), f"{name}: another decimal mark"
