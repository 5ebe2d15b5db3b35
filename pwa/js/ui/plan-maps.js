/** The tilt map of each wheel with what the recommended plan does, one under the other, closed until asked for. */

import { covarianceOf } from "../domain/chance.js";
import { checkedInput } from "../domain/choose-input.js";
import { element } from "./element.js";
import { TiltMap } from "./tilt-map.js";

const SIDES = ["left", "right"];

/** @param {{app: App, plan: Object, choice: PlanChoice}} options */
export function planMaps({ app, plan, choice }) {
  const covariance = covarianceOf(withSet(plan.left, choice), withSet(plan.right, choice), checkedInput(choice.input, choice.tables).spread);
  return SIDES.map((side, at) => {
    const start = 2 * at;
    return mapOf({ app, choice, side, plan, covariance: [0, 1].map((row) => covariance[start + row].slice(start, start + 2)) });
  });
}

/** Drawn when it is first opened: thousands of dots are not worth the wait of those who do not look. */
function mapOf({ app, choice, side, plan, covariance }) {
  const { t } = app;
  const fitted = plan[side];
  const model = {
    side,
    base: [choice.input.wheels[side].camber, choice.input.wheels[side].toe],
    window: choice.input.windows[side],
    tables: choice.tables,
    predicted: { at: plan.predicted[side], covariance, ring_set: fitted?.ring_set ?? null, pair: fitted?.pair ?? null },
    check: null,
  };
  const details = element("details", { class: "more", key: `map-${side}` },
    element("summary", { class: "button quiet" }, element("span", { class: "button-label", text: t("ui.choose.map", { side: t(`ui.side.${side}`) }) })));
  details.addEventListener("toggle", () => {
    const map = new TiltMap({ t });
    details.append(map.element);
    map.update(model);
  }, { once: true });
  return details;
}

function withSet(fitted, choice) {
  return fitted && { ringSet: choice.set(fitted.ring_set).table.ring_set, pair: fitted.pair, effect: fitted.effect };
}
