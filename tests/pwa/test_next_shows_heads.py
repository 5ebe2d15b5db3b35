"""The main button brings the head of the next open row into sight: its title, below what stands over the rows."""

import pytest

# Everything of a wheel's sheet that no answer refuses.
FACTS = [
    ["fit.left.line", "field-set", {"value": "opened"}],
    ["vehicle.caliper-bracket", "field-set", {"value": "outboard-of-ear"}],
    ["vehicle.axle-nut", "field-set", {"value": "yes"}],
]
BEGINS = {
    "vehicle": "vehicle.registration", "condition": "vehicle.tyres", "readings": "base.windows",
    "possible": "vehicle.under-supported", "plan": "choose.advice", "bench.left": "prepare.left.right-set",
    "lift": "fit.chocked", "wheel.left": "fit.left.wheel-off", "down": "fit.left.line-bled",
    "check": "check.plates-free", "finish": "finish.front",
}  # fmt: skip
# The row where the main button leads now.
_NEXT = """async ([id, sheet]) => {
  const { Job } = await import("/js/domain/job/living-job.js");
  const { nextRow } = await import("/js/ui/sheets/next-open.js");
  const { openPhone } = await import("/js/store/phone.js");
  const checklist = await (await fetch("/checklist.json")).json();
  const job = new Job({ id, entries: await (await openPhone()).entries(id), checklist });
  return nextRow(job.sheet(sheet), null)?.slot ?? null;
}"""
# Once the keypad has come, where a field is framed.
_SETTLED = """async () => {
  const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  for (let count = 0; count < 4; count += 1) await frame();
  return !document.querySelector(".cell.framed") || Boolean(document.querySelector("#bar .keypad-dock"));
}"""
# The row of a slot may be a line of a table.
_CELL = """document.querySelector(`[data-key="cell-${slot}"], [data-key="cell-${slot}.torque"]`)"""
_ROW = f"document.querySelector(`[data-key=\"row-${{slot}}\"]`) ?? {_CELL}?.closest('.sheet-row')"
_HIDDEN_BY = """(slot) => {
  const row = ROW;
  const line = CELL?.closest(".cells-line");
  const title = (line ?? row).querySelector(".row-title, .cells-title");
  const head = (title ?? row).getBoundingClientRect();
  const banner = document.querySelector(".wheel-banner");
  const over = banner && getComputedStyle(banner).position === "sticky" ? banner.getBoundingClientRect().bottom : 0;
  const top = Math.max(over, document.getElementById("top").getBoundingClientRect().bottom);
  const bottom = document.getElementById("bar").getBoundingClientRect().top;
  if (head.top < top - 1) return `${Math.round(top - head.top)} px under what stands at the top`;
  const end = title ? head.bottom : head.top; // without a title its first line
  return end > bottom + 1 ? `${Math.round(end - bottom)} px under the bar` : null;
}""".replace("ROW", _ROW).replace("CELL", _CELL)


_IS_THERE = f"(slot) => ({_ROW})?.checkVisibility()"
_IS_DRAWN = f"(slot) => !['open', 'locked'].includes(({_ROW})?.dataset.state)"


@pytest.mark.parametrize(
    "sheet", [each if each == "wheel.left" else pytest.param(each, marks=pytest.mark.full) for each in BEGINS]
)
def test_the_head_of_each_row_is_in_sight_where_the_main_button_leads(sheets, sheet):
    p = sheets(BEGINS[sheet], sheet, facts=FACTS)
    hidden, seen = {}, []
    while (slot := p.page.evaluate(_NEXT, [p.job, sheet])) and slot not in seen:
        p.driver.next()
        p.page.wait_for_function(_IS_THERE, arg=slot)
        assert p.page.evaluate(_SETTLED)
        if words := p.page.evaluate(_HIDDEN_BY, slot):
            hidden[slot] = words
        seen.append(slot)
        if p.driver.shows("keypad"):
            p.page.keyboard.press("Escape")
            p.driver.wait_gone("keypad")
        p.work_one()
        p.page.wait_for_function(_IS_DRAWN, arg=slot)
    assert len(seen) > 3
    assert hidden == {}
