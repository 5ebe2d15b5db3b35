/**
 * What the tilt map of one wheel shows of a plan, when it is chosen and when it is proved. Both take the spread that
 * the plan was made with.
 */

import { covarianceOf } from "../../domain/choose/chance.js";
import { completeSpread } from "../../domain/choose/choose-input.js";

/**
 * @param {{side: "left"|"right", base: number[], window: {camber: number[]|null, toe: number[]|null}, plan: Object,
 *   spread: Object, ringSetOf: function(string): Object|undefined, tables: Object[], check?: number[]|null}} of
 *   `spread` as in the input that the plan was chosen from; `tables` those whose points are drawn
 * @returns {Object} for TiltMap.update; the other wheel's rings do not spread this one's prediction
 */
export function tiltMapModel({ side, base, window, plan, spread, ringSetOf, tables, check = null }) {
  const fitted = plan[side];
  const ringSet = fitted && ringSetOf(fitted.ring_set);
  const placed = ringSet ? { ringSet, pair: fitted.pair, effect: fitted.effect } : null;
  const start = side === "left" ? 0 : 2;
  const rows = covarianceOf(side === "left" ? placed : null, side === "right" ? placed : null,
    completeSpread(spread ?? {})).slice(start, start + 2);
  return {
    side, base, window, tables, check,
    predicted: {
      at: plan.predicted[side], covariance: rows.map((row) => row.slice(start, start + 2)),
      ring_set: fitted?.ring_set ?? null, pair: fitted?.pair ?? null,
    },
  };
}
