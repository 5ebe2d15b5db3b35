/** Camber and toe of the front wheels, as found and as left, in two small tables; toe alone is enough. */

import { KIND } from "../../domain/job/entry.js";
import { WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { element } from "../parts/element.js";
import { AngleCell } from "./angle-cell.js";

const TIMES = ["before", "after"];
const NOTHING = { camber: null, toe: null };

export class FrontReadings {
  #context;
  #cells = new Map();
  #saving = Promise.resolve();

  constructor(context, row) {
    this.#context = context;
    const { t } = context;
    this.element = element("div", { class: "stack" }, TIMES.map((time) => element("section", { class: "cells sided" },
      element("div", { class: "cells-head" }, element("span", { text: t(`ui.reading.front.${time}`) }),
        SIDES.map((side) => element("span", { text: t(`ui.side.${side}`) }))),
      WHEEL_ANGLES.map((part) => element("div", { class: "cells-line" },
        element("span", { class: "cells-title", text: t(`readings.${part}`) }),
        SIDES.map((side) => this.#cell(time, side, part)))))));
    this.update(row);
  }

  update() {
    for (const [name, cell] of this.#cells) cell.update(this.#kept(...name.split(" ")));
  }

  reveal() {
    this.#cells.values().next().value.input.focus({ preventScroll: true });
  }

  #cell(time, side, part) {
    const { t } = this.#context;
    const cell = new AngleCell(this.#context, {
      key: `front.${time}.${side}.${part}`,
      label: `${t(`ui.side.${side}`)} ${t(`ui.quantity.${part}`)}, ${t(`ui.reading.front.${time}`)}`, quantity: part,
      kept: this.#kept(time, side, part), keep: (angle) => this.#keep(time, side, part, angle),
    });
    this.#cells.set(`${time} ${side} ${part}`, cell);
    return cell.element;
  }

  #kept(time, side, part) {
    return this.#context.job.body(`front.${time}.${side}`, KIND.READING_TAKEN)?.[part] ?? null;
  }

  /** One after the other: both angles of a wheel stand in one entry. */
  #keep(time, side, part, angle) {
    const slot = `front.${time}.${side}`;
    const save = () => this.#context.save({ slot },
      { kind: KIND.READING_TAKEN, body: { ...(this.#context.job.body(slot, KIND.READING_TAKEN) ?? NOTHING),
        [part]: angle } });
    this.#saving = this.#saving.then(save, save);
    return this.#saving;
  }
}
