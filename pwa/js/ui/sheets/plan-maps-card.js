/** Both tilt maps of the plan that is shown, open; a tap on the large one tries another pair. */

import { SIDES } from "../../domain/numbers/sides.js";
import { bothSides } from "../../domain/job/readings.js";
import { TiltMap } from "../drawings/tilt-map.js";
import { tiltMapModel } from "../drawings/tilt-map-model.js";
import { TiltMaps } from "../drawings/tilt-maps.js";
import { element } from "../parts/element.js";
import { more } from "../parts/more-fold.js";
import { PlanModel } from "./plan-model.js";

export class PlanMapsCard {
  static saysTitle = true;
  #context;
  #row;
  #model;
  #small;
  #large = {};
  #models = null;
  #drawn = null;

  constructor(context, row) {
    this.#context = context;
    this.#row = row;
    const { t, app: { words } } = context;
    this.#model = PlanModel.of(context, row);
    this.#model.onChange(() => this.update(this.#row));
    this.#small = new TiltMaps({ t, words: (quantity, mdeg) => words.say(quantity, mdeg) });
    this.element = element("div", { class: "stack" }, this.#small.element,
      element("div", { class: "large-maps" }, SIDES.map((side) => this.#largeOf(side))));
    this.update(row);
  }

  update(row) {
    this.#row = row;
    this.element.hidden = !this.#model.hasPlans;
    if (this.element.hidden) return;
    const { choice, shown } = this.#model;
    const drawn = JSON.stringify([choice.input, shown.left, shown.right]);
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    this.#models = bothSides((side) => mapModel(choice, shown, side));
    this.#small.update(this.#models);
    for (const side of SIDES) this.#large[side]?.update(this.#models[side]);
  }

  /** Drawn when it is first opened: thousands of dots are not worth the wait of those who do not look. */
  #largeOf(side) {
    const { t, app: { words } } = this.#context;
    const details = more({ label: t("plan.map-large", { side: t(`ui.side.${side}`) }), key: `map-${side}` });
    details.addEventListener("toggle", () => {
      this.#large[side] = new TiltMap({ t, onTry: (point) => this.#model.try(side, point),
        words: (quantity, mdeg) => words.say(quantity, mdeg) });
      details.append(this.#large[side].element);
      this.#large[side].update(this.#models[side]);
    }, { once: true });
    return details;
  }
}

function mapModel(choice, plan, side) {
  const { input, tables } = choice;
  const { camber, toe } = input.wheels[side];
  const window = { camber: input.windows[side].camber, toe: input.windows[side].toe }; // an aim moves no dot
  return tiltMapModel({ side, window, plan, tables, base: [camber, toe], spread: input.spread,
    ringSetOf: (id) => choice.set(id).table.ring_set });
}
