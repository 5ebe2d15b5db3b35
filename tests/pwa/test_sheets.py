"""The sheets of a job: rows answered in place, undone, held, passed, locked, settled, and what one answer costs."""

from app_actions import TECHNICIAN
from app_driver import PHONE_SIZE
from playwright.sync_api import expect
from screen_checks import PHONE, wait_for_setting
from sheet_driver import CAME_MS, SheetDriver
from worker_site import wait_until

HOLD = "vehicle.inspection-supported"
# Two frames, after which the guard knows where each target stands; and a wait that ends and says what did not come.
_FRAMES = """
  const frame = () => new Promise(requestAnimationFrame);
  const until = async (isSo, what) => {
    for (const end = Date.now() + 10_000; !isSo(); await frame()) {
      if (Date.now() > end) throw new Error(`waited 10 s for ${what}`);
    }
  };
  await frame(); await frame();"""
# Two taps of one finger a moment apart; the clock stands, so that a busy machine makes no pause of it.
_BOUNCE = (
    f"async (slot) => {{{_FRAMES}"
    + """
  const [row, tick] = [`row-${slot}`, `tick-${slot}`].map((key) => document.querySelector(`[data-key="${key}"]`));
  const [clock, now] = [performance.now, performance.now() + 1000];
  const { left: clientX, top: clientY } = tick.getBoundingClientRect();
  const byFinger = { bubbles: true, cancelable: true, detail: 1, clientX, clientY };
  const tap = () => tick.dispatchEvent(new MouseEvent('click', byFinger));
  performance.now = () => now;
  tap();
  await until(() => row.dataset.state === 'done', `${slot} to be done`);
  tap();
  performance.now = clock;
  return tick.classList.contains('took-none');
}"""
)
_AT_ONCE = "keys => { for (const key of keys) document.querySelector(`[data-key='${key}']`).click(); }"
# The others at once, when the first is painted and so on its way to the disk.
_WHILE_SAVED = """async ([first, ...others]) => {
  document.querySelector(`[data-key='${first}']`).click();
  await new Promise((painted) => requestAnimationFrame(() => setTimeout(painted)));
  for (const key of others) document.querySelector(`[data-key='${key}']`).click();
}"""
_WRITTEN = f"async ([job, slot, count]) => (await {PHONE}.entries(job)).filter((e) => e.slot === slot).length === count"
# Counts what the store is asked from now on.
_COUNT = """() => {
  window.asked = { readwrite: [], readonly: [], jobs: 0 };
  const { transaction } = IDBDatabase.prototype;
  IDBDatabase.prototype.transaction = function (stores, mode = "readonly", options) {
    window.asked[mode].push([stores].flat().join());
    return transaction.call(this, stores, mode, options);
  };
  for (const name of ["getAll", "openCursor"]) {
    const ask = IDBIndex.prototype[name];
    IDBIndex.prototype[name] = function (...args) { window.asked.jobs += 1; return ask.apply(this, args); };
  }
}"""


def test_one_tap_answers_and_undo_says_what_goes_back(sheets):
    p = sheets("vehicle.tyres", "condition")
    p.driver.choose("vehicle.tyres", "unequal")
    p.driver.choose("vehicle.tyres", "right")
    assert p.driver.taps == 2
    expect(p.driver.key("bar-note")).to_contain_text("Right and equal back to Wrong or unequal")
    p.driver.tap("undo-last")
    expect(p.driver.key("option-vehicle.tyres-unequal")).to_have_attribute("aria-pressed", "true")
    assert p.value("vehicle.tyres") == "unequal"


def test_undo_goes_back_answer_by_answer_and_leaves_what_somebody_else_has_answered_since(sheets):
    p = sheets("vehicle.tyres", "condition")
    for option in ("right", "unequal", "right"):
        p.driver.choose("vehicle.tyres", option)
        expect(p.driver.key(f"option-vehicle.tyres-{option}")).to_have_attribute("aria-pressed", "true")
    p.driver.tap("undo-last")
    expect(p.driver.key("option-vehicle.tyres-unequal")).to_have_attribute("aria-pressed", "true")
    p.driver.tap("undo-last")
    expect(p.driver.key("option-vehicle.tyres-right")).to_have_attribute("aria-pressed", "true")
    p.save_elsewhere("vehicle.tyres", "field-set", {"value": "unequal"}, instead=True)
    p.driver.tap("undo-last")
    expect(p.driver.key("notice")).to_contain_text("Tom Reed has answered since")
    assert p.value("vehicle.tyres") == "unequal"


def test_undo_right_behind_an_answer_that_is_still_being_saved_takes_that_answer_back(sheets):
    p = sheets("vehicle.tyres", "condition")
    p.driver.choose("vehicle.tyres", "unequal")
    p.driver.wait_for("undo-last")
    expect(p.driver.key("undo-last")).to_be_enabled()
    p.page.evaluate(_AT_ONCE, ["option-vehicle.tyres-right", "undo-last"])
    wait_until(p.page, _WRITTEN, [p.job, "vehicle.tyres", 3])  # the first answer, the one of now, the first again
    expect(p.driver.key("bar-note")).to_contain_text("Wrong or unequal back to open")
    assert p.value("vehicle.tyres") == "unequal"
    p.page.evaluate(_AT_ONCE, ["option-vehicle.tyres-right", "undo-last", "undo-last"])
    p.driver.wait_state("vehicle.tyres", "open")
    assert p.value("vehicle.tyres") is None


def test_what_stood_before_is_an_answer_again_while_another_is_being_saved(sheets):
    """Cause: a tap on what stood there gave only the pending look back, and the answer before it came after it."""
    p = sheets("vehicle.tyres", "condition")
    p.driver.choose("vehicle.tyres", "right")
    p.page.evaluate(_WHILE_SAVED, ["option-vehicle.tyres-unequal", "option-vehicle.tyres-right"])
    wait_until(p.page, _WRITTEN, [p.job, "vehicle.tyres", 3])
    expect(p.driver.key("option-vehicle.tyres-right")).to_have_attribute("aria-pressed", "true")
    assert p.fields("vehicle.tyres") == ["right", "unequal", "right"]
    height = "vehicle.ride-height"
    p.driver.choose(height, "right")
    p.page.evaluate(_WHILE_SAVED, [f"option-{height}-{each}" for each in ("no-figure", "out", "right")])
    wait_until(p.page, _WRITTEN, [p.job, height, 3])
    expect(p.driver.key(f"option-{height}-right")).to_have_attribute("aria-pressed", "true")
    assert p.fields(height) == ["right", "no-figure", "right"]


def test_of_two_answers_in_one_frame_the_last_alone_is_kept(sheets):
    p = sheets("vehicle.tyres", "condition")
    unequal, right = (f"option-vehicle.tyres-{option}" for option in ("unequal", "right"))
    p.page.evaluate(_AT_ONCE, [unequal, right, right])
    p.driver.wait_state("vehicle.tyres")
    assert p.fields("vehicle.tyres") == ["right"]
    p.page.evaluate(_AT_ONCE, [unequal, right])  # back to what stands: nothing was answered
    p.driver.choose("vehicle.wear-rear-left", "even")
    assert p.fields("vehicle.tyres") == ["right"]


def test_an_answer_is_one_writing_transaction_and_the_job_is_not_read_again(sheets):
    p = sheets("vehicle.tyres", "condition")
    p.page.wait_for_function("() => performance.getEntriesByName('whole-program-here').length")
    p.page.evaluate(_COUNT)
    p.driver.choose("vehicle.tyres", "right")
    p.driver.tick("vehicle.pressures")
    p.page.wait_for_timeout(300)
    asked = p.page.evaluate("() => window.asked")
    of_the_start = ("state", "state,summaries")  # the probe may come late
    writing = [stores for stores in asked["readwrite"] if stores not in of_the_start]
    assert (len(writing), asked["jobs"]) == (2, 0), writing


def test_a_glove_that_bounces_on_a_tick_does_not_take_it_back_and_a_later_tap_does(sheets):
    p = sheets("vehicle.tyres", "condition")
    assert p.page.evaluate(_BOUNCE, "vehicle.pressures")
    assert [entry["kind"] for entry in p.live("vehicle.pressures")] == ["step-done"]
    p.driver.tap("tick-vehicle.pressures")
    p.driver.wait_state("vehicle.pressures", "open")


def test_what_an_answer_means_is_said_at_its_row(sheets):
    p = sheets("vehicle.bearings", "condition")
    p.driver.choose("vehicle.tyres", "unequal")
    expect(p.driver.row("vehicle.tyres").locator('[data-key="warning"]')).to_be_visible()
    p.driver.tap("option-vehicle.bearings-faulty")
    p.driver.wait_state("vehicle.bearings", "refused")
    expect(p.driver.row("vehicle.bearings").locator('[data-key="end-here"]')).to_be_visible()


def test_a_longer_choice_opens_under_its_row_and_closes_when_answered(sheets):
    p = sheets("vehicle.tyres", "condition")
    p.driver.choose("vehicle.wear-rear-left", "inner")
    assert p.driver.taps == 2
    assert not p.driver.shows("option-vehicle.wear-rear-left-inner")
    expect(p.driver.key("open-vehicle.wear-rear-left")).to_contain_text("Inner edge")


def test_one_of_four_or_the_usual_one_of_more_is_answered_with_one_tap(sheets):
    p = sheets("vehicle.adjusters", "condition")
    p.driver.choose("vehicle.adjusters", "none")
    p.driver.choose("vehicle.wear-front-left", "even")
    assert p.driver.taps == 2
    assert not p.driver.shows("option-vehicle.adjusters-free")
    assert not p.driver.shows("option-vehicle.wear-front-right-inner"), "the others of many open when asked for"
    expect(p.driver.key("open-vehicle.adjusters")).to_contain_text("None")


# Taps one target, and what comes under the same finger when it has gone; the clock stands, as above.
_TAP_THROUGH = (
    f"async ([key, x, y]) => {{{_FRAMES}"
    + """
  const byFinger = { bubbles: true, cancelable: true, detail: 1, clientX: x, clientY: y };
  const under = () => document.elementFromPoint(x, y)?.closest('#main button');
  const [clock, now] = [performance.now, performance.now() + 1000];
  performance.now = () => now;
  const first = under();
  if (first?.dataset.key !== key) throw new Error(`expected ${key} under the finger, found ${first?.dataset.key}`);
  first.dispatchEvent(new MouseEvent('click', byFinger));
  await until(() => under() && under() !== first, `another button under the finger than ${key}`);
  const second = under();
  second.dispatchEvent(new MouseEvent('click', byFinger));
  performance.now = clock;
  const said = second.classList.contains('took-none') && document.querySelector('.took-none-said').textContent;
  return [second.dataset.key, said];
}"""
)
_UNDER = "([x, y]) => document.elementFromPoint(x, y)?.closest('#main button')?.dataset.key ?? null"


def test_what_came_under_the_finger_just_now_takes_no_tap_and_shows_it(sheets):
    """The list closes over the rows below; the second tap of the same finger must not answer one of them."""
    p = sheets("vehicle.mounting", "possible")
    slot, opener = "vehicle.mounting", "open-vehicle.mounting"
    p.driver.choose(slot, "bolt-on-unit")
    p.driver.row(slot).evaluate("row => row.scrollIntoView({ block: 'start' })")
    p.driver.tap(opener)
    box = p.driver.key(f"option-{slot}-bolt-on-stub").bounding_box()
    places = [(box["x"] + box["width"] * x, box["y"] + box["height"] * y) for x in (0.2, 0.8) for y in (0.1, 0.5, 0.9)]
    p.driver.tap(opener)
    at, below = next((at, key) for at in places if (key := p.page.evaluate(_UNDER, at)))
    p.driver.tap(opener)
    [key, said] = p.page.evaluate(_TAP_THROUGH, [f"option-{slot}-bolt-on-stub", *at])
    assert (key, "Too soon" in said) == (below, True)
    p.page.wait_for_function("() => !document.querySelector('.pending')")
    assert p.value(slot) == "bolt-on-stub"
    looks = "(key) => [...document.querySelector(`[data-key='${key}']`).attributes].map(({ value }) => value).join()"
    before = p.page.wait_for_function("() => !document.querySelector('.took-none')") and p.page.evaluate(looks, below)
    p.driver.tap(below)
    p.page.wait_for_function(f"([key, before]) => ({looks})(key) !== before", arg=[below, before])
    assert p.value(slot) == "bolt-on-stub"


def test_rows_that_stay_where_they_are_take_quick_taps(sheets):
    p = sheets("vehicle.tyres", "condition")
    p.page.wait_for_timeout(CAME_MS)
    p.driver.key("option-vehicle.tyres-right").click()
    p.driver.key("tick-vehicle.pressures").click()
    p.driver.wait_state("vehicle.pressures")
    p.driver.wait_state("vehicle.tyres")


# Presses in the page itself, so that a busy machine does not make a short press a long one; gives how long it was.
_PRESS = """async ([selector, wait, drift]) => {
  const card = document.querySelector(selector).closest('.hold-card');
  const { left, top } = card.getBoundingClientRect();
  const send = (name, dy = 0) => card.dispatchEvent(new PointerEvent(name, {
    bubbles: true, isPrimary: true, button: 0, pointerId: 1, clientX: left + 20, clientY: top + 20 - dy }));
  card.setPointerCapture = () => {};
  const since = performance.now();
  send('pointerdown');
  send('pointermove', drift);
  await new Promise((resolve) => setTimeout(resolve, wait));
  const lasted = performance.now() - since;
  send('pointerup', drift);
  return lasted;
}"""


def test_a_press_that_is_too_short_or_goes_too_far_confirms_nothing(sheets):
    p = sheets(HOLD, "condition")
    selector = f'[data-key="hold-{HOLD}"]'
    p.page.wait_for_timeout(CAME_MS)
    assert p.page.evaluate(_PRESS, [selector, 1000, 60]) > 900  # 16 mm
    p.page.wait_for_timeout(300)
    assert p.driver.state(HOLD) == "open"
    while p.page.evaluate(_PRESS, [selector, 200, 0]) > 550:  # the machine was busy: it was a long one
        p.driver.tap_node(p.driver.row(HOLD).locator('[data-key="take-back"]'))
        p.driver.wait_state(HOLD, "open")
        p.page.wait_for_timeout(CAME_MS)
    p.page.wait_for_timeout(900)
    assert p.driver.state(HOLD) == "open"
    assert p.page.evaluate(_PRESS, [selector, 1000, 40]) > 900  # 11 mm
    p.driver.wait_state(HOLD)
    assert p.live(HOLD)[0]["kind"] == "step-done"


def test_a_hold_is_pressed_until_its_edge_has_filled(sheets):
    p = sheets(HOLD, "condition")
    p.driver.hold(HOLD)
    expect(p.driver.row(HOLD)).to_contain_text("Confirmed by Iris Vance")
    assert p.driver.taps == 1


def test_a_hold_by_keyboard_is_enter_and_then_enter_on_confirm(sheets):
    p = sheets(HOLD, "condition")
    p.driver.key(f"hold-{HOLD}").focus()
    p.page.keyboard.press("Enter")
    expect(p.driver.key(f"confirm-{HOLD}")).to_be_focused()
    assert p.driver.state(HOLD) == "open"
    p.page.keyboard.press("Enter")
    p.driver.wait_state(HOLD)
    assert p.live(HOLD)[0]["body"] == {"hold": True}


def test_a_hold_that_can_be_passed_asks_for_a_reason_in_words(sheets):
    p = sheets("fit.left.top-marked", "lift")
    slot = "fit.left.top-marked"
    p.driver.tap(f"not-so-{slot}")
    for reason in ("", "xxxxxxxxxxxx"):
        p.driver.row(slot).locator("textarea").fill(reason)
        p.driver.tap_node(p.driver.row(slot).locator('[data-key="pass-keep"]'))
        expect(p.driver.row(slot).locator('[role="alert"]')).not_to_be_empty()
    assert p.live(slot) == []
    p.driver.row(slot).locator("textarea").fill("The mark of last time is still there")
    p.driver.tap_node(p.driver.row(slot).locator('[data-key="pass-keep"]'))
    p.driver.wait_state(slot, "overridden")
    assert p.live(slot)[0]["kind"] == "hold-overridden"


def test_a_hold_that_nobody_can_pass_offers_to_stop(sheets):
    p = sheets(HOLD, "condition")
    p.driver.tap(f"not-so-{HOLD}")
    expect(p.driver.row(HOLD)).to_contain_text("Nobody can pass this hold")
    expect(p.driver.row(HOLD).locator("textarea")).to_have_count(0)


def test_a_shut_row_names_its_hold_takes_no_tap_and_leads_there(sheets):
    p = sheets(HOLD, "condition")
    shut = p.driver.row("vehicle.structure")
    assert p.driver.state("vehicle.structure") == "locked"
    shut.locator('[data-key="option-vehicle.structure-sound"]').click(force=True)
    expect(shut).to_contain_text("shaken front and rear")
    p.driver.tap_node(shut.locator('[data-key="to-lock"]'))
    expect(p.driver.key(f"hold-{HOLD}")).to_be_focused()
    assert p.live("vehicle.structure") == []


def test_what_two_people_differ_about_is_settled_in_place(sheets):
    p = sheets("vehicle.tyres", "condition")
    p.driver.choose("vehicle.tyres", "right")
    p.save_elsewhere("vehicle.tyres", "field-set", {"value": "unequal"})
    row = p.driver.row("vehicle.tyres")
    expect(row).to_contain_text("Two people said different things")
    expect(row.locator('[data-key^="settle-"]')).to_have_count(2)
    p.driver.tap_node(row.locator('[data-key^="settle-"]', has_text="Tom Reed"))
    p.driver.wait_state("vehicle.tyres")
    assert p.value("vehicle.tyres") == "unequal"


def test_an_answer_in_another_tab_is_here_at_once(sheets):
    p = sheets("vehicle.tyres", "condition")
    other = p.context.new_page()
    other.goto(p.page.url)
    driver = SheetDriver(other)
    driver.settle()
    driver.choose("vehicle.tyres", "right")
    p.driver.wait_state("vehicle.tyres")
    p.driver.choose("vehicle.tyres", "unequal")
    assert p.value("vehicle.tyres") == "unequal", "the later answer knew of the other tab's"


def test_text_is_kept_on_leaving_on_a_rest_and_on_the_way_to_another_sheet(sheets):
    p = sheets("vehicle.registration")
    p.driver.text("vehicle.registration", "qx 41 ltm")
    p.driver.text("vehicle.description", "Van, 2019")
    expect(p.driver.key("top-name")).to_have_text("QX 41 LTM")
    p.page.wait_for_function("() => document.activeElement.localName === 'textarea'")
    expect(p.driver.key("bar-note")).to_contain_text("Van, 2019", timeout=10_000)  # by the rest alone
    p.page.keyboard.type(", red")
    p.driver.open_sheet(p.job, "condition")
    p.page.wait_for_timeout(300)
    assert p.value("vehicle.description") == "Van, 2019, red"
    assert p.driver.typed == len("qx 41 ltm") + len("Van, 2019")


def test_chips_answer_with_one_tap(sheets):
    p = sheets("vehicle.tyres", "condition")
    p.driver.tap("chip-vehicle.load-driver")
    p.driver.wait_state("vehicle.load")
    assert (p.driver.taps, p.value("vehicle.load")) == (1, "Driver's weight")


def test_the_main_button_leads_to_the_next_open_row_and_then_to_the_next_sheet(sheets):
    p = sheets("vehicle.tyres", "condition")
    expect(p.driver.key("next")).to_contain_text("Tyre sizes")
    p.driver.choose("vehicle.tyres", "right")
    p.driver.next()
    expect(p.driver.key("option-vehicle.wear-rear-left-even")).to_be_visible()
    assert p.live("vehicle.wear-rear-left") == []
    p.driver.open_sheet(p.job, "vehicle")
    expect(p.driver.key("next")).to_contain_text("Next sheet: Condition")
    p.driver.next()
    p.page.wait_for_url("**/sheet/condition")


def test_the_main_button_right_behind_the_last_answer_leads_to_the_next_sheet(sheets):
    """Cause: the row was still being saved, and open, so that the button led back to it."""
    p = sheets("vehicle.steering-wheel")
    p.page.evaluate(
        "keys => keys.forEach((key) => document.querySelector(`[data-key='${key}']`).click())",
        ["option-vehicle.steering-wheel-straight", "next"],
    )
    p.page.wait_for_url("**/sheet/condition")


def test_show_how_is_on_for_newcomers_and_a_switch_of_the_person(sheets):
    p = sheets(HOLD, "condition")
    why = p.driver.row("vehicle.bearings").locator(".row-why")
    expect(why).to_be_visible()
    p.driver.tap("show-how")
    expect(why).to_be_hidden()
    expect(p.driver.row("vehicle.bearings").locator(".row-method")).to_be_visible()
    wait_for_setting(p.page, "show_how", {TECHNICIAN: False})
    p.page.reload()
    p.driver.settle()
    expect(why).to_be_hidden()
    assert p.page.viewport_size == PHONE_SIZE
