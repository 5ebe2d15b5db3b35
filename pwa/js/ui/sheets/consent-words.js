/**
 * What the consent begins with: findings from what was read before this round, work from its plan.
 * Only a beginning: the technician puts it into the words that the customer understands. It keeps nothing.
 */

import { axleOf } from "../../domain/choose/axle.js";
import { planOf, wheelsOf } from "../../domain/job/checklist-slots.js";
import { AXLE_ANGLES } from "../../domain/numbers/quantities.js";
import { meanReadings } from "../../domain/job/readings.js";
import { isWhole } from "../../domain/job/rounds.js";
import { SIDES } from "../../domain/numbers/sides.js";
import { doubtsOfPlan } from "../../domain/job/untrusted-sets.js";
import { doubtedWords } from "../words/doubt-words.js";
import { outsideWords } from "./plan-table.js";

/**
 * What a later plan starts from is an estimate; found was what the instrument read.
 * @param {App} app
 * @param {object} fold of the job, with a plan for that round
 * @param {number} round
 */
export function findingsWords(app, fold, round) {
  const { t } = app;
  const { windows, axle } = planOf(fold, round).input;
  const wheels = meanReadings(fold, round === 1 ? "base" : `round.${round - 1}.check`);
  if (!isWhole(wheels)) return "";
  const together = axleOf(wheels);
  const wheel = (side) => t("fitting.consent.found.wheel", {
    side: t(`ui.side.${side}`),
    camber: angleWords(app, "camber", wheels[side].camber, windows[side].camber),
    toe: angleWords(app, "toe", wheels[side].toe, windows[side].toe),
  });
  const both = AXLE_ANGLES.filter(([, name]) => axle[name])
    .map(([quantity, name]) =>
      `${t(`ui.quantity.${quantity}`)} ${angleWords(app, quantity, together[name], axle[name])}`);
  return [...SIDES.map(wheel), both.length > 0 && t("fitting.consent.found.axle", { angles: both.join(", ") })]
    .filter(Boolean).join("\n");
}

/**
 * @param {App} app
 * @param {object} fold of the job, with a plan for that round
 * @param {number} round
 * @param {function(string): string} nameOf the name of a ring set
 */
export function workWords(app, fold, round, nameOf) {
  const { t } = app;
  const { plan, open } = planOf(fold, round);
  const bare = wheelsOf(fold, round).bare;
  const wheel = (side) => {
    const [inner, outer] = plan[side]?.pair ?? [];
    const words = { side: t(`ui.side.${side}`), set: plan[side] && nameOf(plan[side].ring_set), inner, outer };
    const what = plan[side] ? "rings" : bare.includes(side) ? "out" : open && !open.includes(side) ? "closed" : "none";
    return t(`fitting.consent.work.${what}`, words);
  };
  const doubted = doubtsOfPlan(plan).map(([id, doubts]) => doubtedWords(t, nameOf(id), doubts));
  return [...SIDES.map(wheel), ...doubted, t("fitting.consent.work.afterwards", { outside: outsideWords(app, plan) })]
    .join("\n");
}

function angleWords({ t, words }, quantity, mdeg, limits) {
  const angle = words.say(quantity, mdeg);
  return limits ? t("fitting.consent.found.angle", { angle, judged: words.judge(quantity, mdeg, limits) }) : angle;
}
