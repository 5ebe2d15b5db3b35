/** The tilt map of each wheel with what a plan does, one under the other, closed until asked for. A tap tries another pair. */

import { SIDES } from "../../../domain/numbers/sides.js";
import { element } from "../../parts/element.js";
import { tiltMapModel } from "../../drawings/tilt-map-model.js";
import { TiltMap } from "../../drawings/tilt-map.js";
import { more } from "../../parts/more.js";

export class PlanMaps {
  #app;
  #onTry;
  #models = {};
  #maps = {};

  /** @param {{app: App, onTry: function("left"|"right", {ring_set: string, pair: number[]}): void}} options */
  constructor({ app, onTry }) {
    this.#app = app;
    this.#onTry = onTry;
    this.element = element("div", { class: "stack" }, SIDES.map((side) => this.#mapOf(side)));
  }

  /** @param {{plan: Object, choice: PlanChoice}} shown */
  update({ plan, choice }) {
    const { input, tables } = choice;
    SIDES.forEach((side) => {
      const { camber, toe } = input.wheels[side];
      const window = { camber: input.windows[side].camber, toe: input.windows[side].toe }; // an aim moves no dot
      this.#models[side] = tiltMapModel({
        side, window, plan, tables, base: [camber, toe], spread: input.spread, ringSetOf: (id) => choice.set(id).table.ring_set,
      });
      this.#maps[side]?.update(this.#models[side]);
    });
  }

  /** Drawn when it is first opened: thousands of dots are not worth the wait of those who do not look. */
  #mapOf(side) {
    const { t } = this.#app;
    const details = more({ label: t("ui.choose.map", { side: t(`ui.side.${side}`) }), key: `map-${side}` });
    details.addEventListener("toggle", () => {
      this.#maps[side] = new TiltMap({ t, onTry: (point) => this.#onTry(side, point) });
      details.append(this.#maps[side].element);
      this.#maps[side].update(this.#models[side]);
    }, { once: true });
    return details;
  }
}
