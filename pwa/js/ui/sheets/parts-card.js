/**
 * Parts and rings: at hand, not needed here, or to order, each with one tap; "all at hand" answers those that nobody
 * has answered. What the plan needs and is not here is a hold before the hub comes off; this only asks.
 */

import { partsAsked } from "../../domain/job/plan-still-holds.js";
import { button, element, fill } from "../parts/element.js";

const STATES = ["at-hand", "not-needed", "to-order"];

export class PartsCard {
  #context;
  #row;
  #lines = new Map();
  #nodes = new Map();
  #all;
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t } = context;
    this.#all = button({ key: "all-at-hand", label: t("plan.parts.all"), kind: "option",
      onPress: () => this.#answer(Object.fromEntries(this.#open().map((item) => [item, "at-hand"]))) });
    this.element = element("div", { class: "stack parts-card" }, this.#all, row.items.map((item) => this.#line(item)));
    this.update(row);
  }

  update(row) {
    this.#row = row;
    for (const [item, options] of this.#lines) {
      for (const [state, option] of options) option.setAttribute("aria-pressed", String(row.value?.[item] === state));
    }
    const asked = this.#asked();
    for (const [item, node] of this.#nodes) node.hidden = !asked.includes(item);
    this.#all.hidden = this.#open().length === 0;
  }

  reveal() {
    this.#all.focus({ preventScroll: true });
  }

  #line(item) {
    const { t } = this.#context;
    const options = new Map(STATES.map((state) => [state, button({
      key: `part-${item}-${state}`, label: t(`plan.parts.${state}`),
      name: `${t(`single-use.${item}`)}: ${t(`single-use-state.${state}`)}`, kind: "option", pressed: false,
      onPress: () => this.#answer({ [item]: state }),
    })]));
    this.#lines.set(item, options);
    const node = element("div", { class: "part-line", role: "group", "aria-label": t(`single-use.${item}`),
      key: `part-${item}` },
      element("p", { text: t(`single-use.${item}`) }), element("div", { class: "options" }, ...options.values()));
    this.#nodes.set(item, node);
    return node;
  }

  /** What this vehicle does not have is neither listed nor recorded. */
  #asked() {
    return partsAsked(this.#context.job.fold, this.#row.items);
  }

  #open() {
    return this.#asked().filter((item) => !this.#row.value?.[item]);
  }

  /** One after the other: all of them stand in one entry. */
  #answer(change) {
    this.#saving = this.#saving.then(() =>
      this.#context.save(this.#row, { body: { value: { ...this.#row.value, ...change } } }));
    return this.#saving;
  }
}
