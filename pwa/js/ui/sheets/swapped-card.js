/**
 * The readings with the wheels swapped from side to side, in a table by the place where they were read, and what
 * follows from them.
 */

import { KIND } from "../../domain/job/entry.js";
import { swappedSlot, swappedWheels } from "../../domain/job/crooked-axle.js";
import { SHOP_SPREAD } from "../../domain/job/shop-spread.js";
import { WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { element, fill } from "../parts/element.js";
import { remark } from "../parts/signal.js";
import { AngleCell } from "./angle-cell.js";

const NOTHING = { camber: null, toe: null };

export class SwappedCard {
  #context;
  #cells = new Map();
  #saving = Promise.resolve();
  #shop = null;
  #follows = element("div", { class: "stack", role: "status", key: "swap-follows" });

  constructor(context, row) {
    this.#context = context;
    const { t } = context;
    this.element = element("div", { class: "stack" },
      element("section", { class: "cells sided" },
        element("div", { class: "cells-head" }, element("span", { text: t("swap.read-at") }),
          SIDES.map((side) => element("span", { text: t(`ui.side.${side}`) }))),
        WHEEL_ANGLES.map((part) => element("div", { class: "cells-line" },
          element("span", { class: "cells-title", text: t(`readings.${part}`) }),
          SIDES.map((side) => this.#cell(side, part))))),
      this.#follows);
    this.update(row);
    context.app.phone.setting(SHOP_SPREAD).then((shop) => { this.#shop = shop ?? null; this.update(); });
  }

  update() {
    for (const [name, cell] of this.#cells) cell.update(this.#kept(...name.split(" ")));
    const { t, job } = this.#context;
    const swap = swappedWheels(job.fold, this.#shop);
    fill(this.#follows, swap ? swapWords(this.#context, swap) : element("p", { text: t("swap.missing") }));
  }

  reveal() {
    this.#cells.values().next().value.input.focus({ preventScroll: true });
  }

  #cell(side, part) {
    const { t } = this.#context;
    const cell = new AngleCell(this.#context, {
      key: `${swappedSlot(side)}.${part}`,
      label: t("swap.cell", { side: t(`ui.side.${side}`), part: t(`ui.quantity.${part}`) }), quantity: part,
      kept: this.#kept(side, part), keep: (angle) => this.#keep(side, part, angle),
    });
    this.#cells.set(`${side} ${part}`, cell);
    return cell.element;
  }

  #kept(side, part) {
    return this.#context.job.body(swappedSlot(side), KIND.READING_TAKEN)?.[part] ?? null;
  }

  /** One after the other: both angles of a wheel stand in one entry. */
  #keep(side, part, angle) {
    const slot = swappedSlot(side);
    const save = () => this.#context.save({ slot },
      { kind: KIND.READING_TAKEN, body: { ...(this.#context.job.body(slot, KIND.READING_TAKEN) ?? NOTHING),
        [part]: angle } });
    this.#saving = this.#saving.then(save, save);
    return this.#saving;
  }
}

/** What each angle says: with the wheels, with hub and axle, both, or too little to tell. */
function swapWords({ t, app: { words } }, swap) {
  return WHEEL_ANGLES.filter((part) => swap[part]).map((part) => {
    const { went, stayed, verdict } = swap[part];
    const figures = { part: t(`readings.${part}`), went: words.size(part, went), stayed: words.size(part, stayed) };
    return remark({ name: verdict === "not-told" ? "open" : "warning", key: `swap-${part}-${verdict}`,
      text: t(`swap.${verdict}`, figures) });
  });
}
