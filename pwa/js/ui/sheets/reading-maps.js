/**
 * How both wheels stand before anything is planned: in one line what is outside, and both tilt maps. It plans nothing.
 */

import { axleOf } from "../../domain/choose/axle.js";
import { AXLE_ANGLES, WHEEL_ANGLES } from "../../domain/numbers/quantities.js";
import { bothSides } from "../../domain/job/readings.js";
import { isWhole } from "../../domain/job/rounds.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { TiltMaps } from "../drawings/tilt-maps.js";
import { element } from "../parts/element.js";

export class ReadingMaps {
  #context;
  #maps;
  #line = element("p", { class: "rings-could", key: "outside-line", role: "status" });
  #drawn = null;

  constructor(context, row) {
    this.#context = context;
    const { t, app: { words } } = context;
    this.#maps = new TiltMaps({ t, words: (quantity, mdeg) => words.say(quantity, mdeg) });
    this.element = element("div", { class: "stack" }, this.#line, this.#maps.element);
    this.update(row);
  }

  update() {
    const { job } = this.#context;
    const wheels = job.readings("base");
    const windows = job.windows();
    const drawn = JSON.stringify([wheels, windows]);
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    this.element.hidden = !isWhole(wheels);
    if (this.element.hidden) return;
    this.#maps.update(bothSides((side) =>
      ({ side, base: [wheels[side].camber, wheels[side].toe], window: windows[side], predicted: null, check: null,
        tables: [] })));
    this.#line.textContent = this.#words(wheels, windows);
  }

  #words(wheels, windows) {
    const { t, app: { words } } = this.#context;
    const axle = axleOf(wheels);
    const isOut = (quantity, mdeg, limits) => limits !== null && words.judge(quantity, mdeg, limits) !== t("ui.inside");
    const outside = [
      ...SIDES.flatMap((side) => WHEEL_ANGLES.filter((part) => isOut(part, wheels[side][part], windows[side][part]))
        .map((part) => `${t(`ui.side.${side}`)} ${t(`ui.quantity.${part}`)}`)),
      ...AXLE_ANGLES.filter(([quantity, name]) => isOut(quantity, axle[name], windows[name]))
      .map(([quantity]) => t(`ui.quantity.${quantity}`)),
    ];
    return outside.length === 0 ? t("readings.all-inside") : t("readings.outside", { what: outside.join(", ") });
  }
}
