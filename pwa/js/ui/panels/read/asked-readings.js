/**
 * Which readings a step asks for: the rear wheels before (base) and after fitting (check), with repeats, or the front
 * wheels, once before and once after, toe alone being enough.
 */

import { currentRound } from "../../../domain/job/checklist-slots.js";
import { windowOf } from "../../../domain/job/job.js";

/**
 * @returns {{sets: Array<{prefix: string, key: string}>, repeats: boolean, needs: string[], slot: function, window: function, title: function}}
 *   sets are asked one after the other; slot(prefix, side, n) names where a reading is kept
 */
export function askedReadings(step, job) {
  if (step.panel === "front-readings") return FRONT;
  const prefix = step.panel === "readings" ? "base" : `round.${currentRound(job.fold)}.check`;
  return { ...REAR, sets: [{ prefix, key: step.panel === "readings" ? "base" : "check" }] };
}

const REAR = {
  axle: "rear",
  repeats: true,
  slot: (prefix, side, n) => `${prefix}.${side}.${n}`,
  window: (job, { side, part }) => windowOf(job.fold, side ? `window.${side}.${part}` : `window.${part}`),
  title: (t, { side, part, n }) => (side ? t("ui.reading.title", { n, part: t(`ui.quantity.${part}`) }) : t(`ui.quantity.${part}`)),
};

const FRONT = {
  axle: "front",
  repeats: false,
  sets: [{ prefix: "front.before", key: "front-before" }, { prefix: "front.after", key: "front-after" }],
  slot: (prefix, side) => `${prefix}.${side}`,
  window: () => null,
  title: (t, { prefix, part }) => t("ui.reading.front-title", { when: t(`ui.reading.${prefix}`), part: t(`ui.quantity.${part}`) }),
};
