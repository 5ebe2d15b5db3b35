/** Which of the parts really went in: each is one tap, and the report says so. */

import { partsAsked } from "../../domain/job/plan-still-holds.js";
import { button, element } from "../parts/element.js";

const ITEMS = ["hub-bolts", "axle-nut", "bracket-bolts", "seal", "locker", "clips", "brake-fluid", "bearing"];

export class PartsUsedCard {
  #context;
  #row;
  #buttons = new Map();
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t } = context;
    for (const item of ITEMS) this.#buttons.set(item,
      button({ key: `used-${item}`, label: t(`report.part.${item}`), kind: "option", pressed: false,
        onPress: () => this.#turn(item) }));
    this.element = element("div", { class: "options-list", role: "group" }, ...this.#buttons.values());
    this.update(row);
  }

  update(row) {
    this.#row = row;
    const asked = partsAsked(this.#context.job.fold, ITEMS);
    for (const [item, node] of this.#buttons) {
      node.hidden = !asked.includes(item);
      node.setAttribute("aria-pressed", String(Boolean(row.value?.[item])));
    }
  }

  reveal() {
    this.#buttons.values().next().value.focus({ preventScroll: true });
  }

  #turn(item) {
    this.#saving = this.#saving.then(() => {
      const { [item]: was, ...others } = this.#row.value ?? {};
      return this.#context.save(this.#row, { body: { value: was ? others : { ...others, [item]: "replaced" } } });
    });
    return this.#saving;
  }
}
