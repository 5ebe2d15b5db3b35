/**
 * What the consent begins with: findings from the readings that the plan was chosen from, work from the plan itself.
 * Only a beginning: the technician puts it into the words that the customer understands. It keeps nothing.
 */

import { axleOf } from "../domain/axle.js";
import { SIDES } from "../domain/sides.js";
import { outsideWords } from "./plan-card.js";

const AXLE = [["total-toe", "total_toe"], ["thrust", "thrust"], ["cross-camber", "cross_camber"]];

/**
 * @param {App} app
 * @param {{wheels: Object, windows: Object, axle: Object}} input what the plan was chosen from
 */
export function findingsWords(app, { wheels, windows, axle }) {
  const { t } = app;
  const together = axleOf(wheels);
  const wheel = (side) => t("fitting.consent.found.wheel", {
    side: t(`ui.side.${side}`),
    camber: angleWords(app, "camber", wheels[side].camber, windows[side].camber),
    toe: angleWords(app, "toe", wheels[side].toe, windows[side].toe),
  });
  const both = AXLE.filter(([, name]) => axle[name])
    .map(([quantity, name]) => `${t(`ui.quantity.${quantity}`)} ${angleWords(app, quantity, together[name], axle[name])}`);
  return [...SIDES.map(wheel), both.length > 0 && t("fitting.consent.found.axle", { angles: both.join(", ") })].filter(Boolean).join("\n");
}

/**
 * @param {App} app
 * @param {Object} plan one plan of `choose`
 * @param {function(string): string} nameOf the name of a ring set
 */
export function workWords(app, plan, nameOf) {
  const { t } = app;
  const wheel = (side) => {
    const [inner, outer] = plan[side]?.pair ?? [];
    const words = { side: t(`ui.side.${side}`), set: plan[side] && nameOf(plan[side].ring_set), inner, outer };
    return t(plan[side] ? "fitting.consent.work.rings" : "fitting.consent.work.none", words);
  };
  return [...SIDES.map(wheel), t("fitting.consent.work.afterwards", { outside: outsideWords(app, plan) })].join("\n");
}

function angleWords({ t, words }, quantity, mdeg, limits) {
  const angle = words.say(quantity, mdeg);
  return limits ? t("fitting.consent.found.angle", { angle, judged: words.judge(quantity, mdeg, limits) }) : angle;
}
