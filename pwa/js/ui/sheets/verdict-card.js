/**
 * Whether rings can go in here at all, live at the top of the sheet: what the answers refuse, what they warn of, what
 * is still asked.
 */

import { button, element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { rowName } from "../words/row-words.js";

export class VerdictCard {
  #context;
  #drawn = null;

  constructor(context, row) {
    this.#context = context;
    this.element = element("div", { class: "stack", key: "verdict", role: "status" });
    this.update(row);
  }

  update() {
    const { t, sheet } = this.#context;
    const rows = sheet.rows.filter(({ card }) => card !== "verdict");
    const refused = rows.filter(({ refusal }) => refusal);
    const open = rows.filter(({ gate, state }) => gate && ["open", "locked"].includes(state));
    const drawn = JSON.stringify([refused.map(({ refusal, slot }) => [refusal, slot]), open.length,
      rows.map(({ warning }) => warning)]);
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    fill(this.element,
      refused.map((row) => this.#line(row, "refused", t(`refusal.${row.refusal}`))),
      refused.length > 0 && button({ key: "end-here", label: t("verdict.end-here"),
        onPress: () => this.#context.screen.end() }),
      refused.length === 0 && open.length > 0
        && remark({ name: "open", text: t("verdict.open", { count: open.length }), key: "verdict-open" }),
      refused.length === 0 && open.length === 0
        && element("div", { class: "big" }, remark({ name: "done", text: t(this.#freeKey()), key: "verdict-free" })));
  }

  /** A pair fitted already is asked after only later. */
  #freeKey() {
    return this.#context.job.field("vehicle.pair-fitted") === "none" ? "ui.gate.free" : "ui.gate.free-so-far";
  }

  #line(row, shape, text) {
    const { t, goTo } = this.#context;
    return element("div", { class: "stack" }, remark({ name: shape, text }),
      button({ key: `open-${row.slot}`, kind: "quiet narrow", label: t("ui.gate.open", { step: rowName(t, row) }),
        onPress: () => goTo(row.slot) }));
  }
}
