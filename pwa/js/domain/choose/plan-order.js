// In which order the plans of the fit patterns are shown; the first is recommended. It changes no plan.

import { POINTS } from "./normal-points.js";

const CLOSE_POINTS = 819; // a fifth of the points: less chance than that does not pay for another pair of rings

/**
 * By (toe_steps, camber_steps); among equals first the fewest ring pairs whose chance is close to the best among them,
 * then the others by chance.
 * @param {object[]} plans as `choose` gives them, in the order of the patterns, which settles the last ties
 * @returns {object[]} the same plans, best first
 */
export function inOrder(plans) {
  const bySteps = [...plans].sort((a, b) => a.toe_steps - b.toe_steps || a.camber_steps - b.camber_steps);
  const firsts = bySteps.filter((plan, at) => at === 0 || !isEqualInSteps(plan, bySteps[at - 1]));
  return firsts.flatMap((first) => firstThenByChance(bySteps.filter((plan) => isEqualInSteps(plan, first))));
}

function isEqualInSteps(a, b) {
  return a.toe_steps === b.toe_steps && a.camber_steps === b.camber_steps;
}

function firstThenByChance(plans) {
  const best = Math.max(...plans.map((plan) => plan.chance));
  const close = plans.filter((plan) => (best - plan.chance) * POINTS <= CLOSE_POINTS);
  const [first] = close.sort((a, b) => a.pairs - b.pairs || b.chance - a.chance);
  const others = plans.filter((plan) => plan !== first).sort((a, b) => b.chance - a.chance);
  return [first, ...others];
}
