/** The tilt map of each wheel with what a plan does, one under the other, closed until asked for. A tap tries another pair. */

import { covarianceOf } from "../domain/chance.js";
import { checkedInput } from "../domain/choose-input.js";
import { SIDES } from "../domain/sides.js";
import { element } from "./element.js";
import { TiltMap } from "./tilt-map.js";

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
    const covariance = covarianceOf(withSet(plan.left, choice), withSet(plan.right, choice), checkedInput(choice.input, choice.tables).spread);
    SIDES.forEach((side, at) => {
      const [start, fitted] = [2 * at, plan[side]];
      this.#models[side] = {
        side,
        base: [choice.input.wheels[side].camber, choice.input.wheels[side].toe],
        window: { camber: choice.input.windows[side].camber, toe: choice.input.windows[side].toe }, // an aim moves no dot
        tables: choice.tables,
        predicted: { at: plan.predicted[side], covariance: [0, 1].map((row) => covariance[start + row].slice(start, start + 2)), ring_set: fitted?.ring_set ?? null, pair: fitted?.pair ?? null },
        check: null,
      };
      this.#maps[side]?.update(this.#models[side]);
    });
  }

  /** Drawn when it is first opened: thousands of dots are not worth the wait of those who do not look. */
  #mapOf(side) {
    const { t } = this.#app;
    const details = element("details", { class: "more", key: `map-${side}` },
      element("summary", { class: "button quiet" }, element("span", { class: "button-label", text: t("ui.choose.map", { side: t(`ui.side.${side}`) }) })));
    details.addEventListener("toggle", () => {
      this.#maps[side] = new TiltMap({ t, onTry: (point) => this.#onTry(side, point) });
      details.append(this.#maps[side].element);
      this.#maps[side].update(this.#models[side]);
    }, { once: true });
    return details;
  }
}

function withSet(fitted, choice) {
  return fitted && { ringSet: choice.set(fitted.ring_set).table.ring_set, pair: fitted.pair, effect: fitted.effect };
}
