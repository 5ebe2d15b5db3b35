// In which order the plans of the fit patterns are shown; the first is recommended. The twin of
// calc/choose/plan_order.py. It changes no plan.

import { CLOSE_COUNT, POINTS } from "../constants.js";

/** Whether a chance is so little below the best one that the simpler way is taken. */
export function isClose(bestChance, chance) {
  return (bestChance - chance) * POINTS <= CLOSE_COUNT;
}

/**
 * A plan that opens a needless wheel and leaves anything outside comes after all others; then by (toe_steps,
 * camber_steps, needless). Among equals first the fewest ring pairs whose chance is close to the best among them, then
 * the others by chance. Last, none with less than half the chance of another of equal steps stands first: a wheel that
 * is safely inside its own windows may still be what breaks one of the axle, and opening it is then not as needless as
 * it counts.
 * @param {object[]} plans as `choose` gives them, in the order of the patterns, which settles the last ties
 * @returns {object[]} the same plans, best first
 */
export function inOrder(plans) {
  const byRank = [...plans].sort(compared);
  const firsts = byRank.filter((plan, at) => at === 0 || compared(plan, byRank[at - 1]) !== 0);
  const ordered = firsts.flatMap((first) => firstThenByChance(byRank.filter((plan) => compared(plan, first) === 0)));
  const rivals = ordered.filter((plan) => comparedSteps(plan, ordered[0]) === 0);
  const best = Math.max(...rivals.map((plan) => plan.chance));
  const likely = rivals.find((plan) => 2 * plan.chance >= best);
  return [likely, ...ordered.filter((plan) => plan !== likely)];
}

function compared(a, b) {
  return comparedSteps(a, b) || a.needless - b.needless;
}

function comparedSteps(a, b) {
  return isNeedlessInVain(a) - isNeedlessInVain(b) || a.toe_steps - b.toe_steps || a.camber_steps - b.camber_steps;
}

function isNeedlessInVain({ needless, toe_outside: toe, camber_outside: camber }) {
  return needless > 0 && (toe > 0 || camber > 0) ? 1 : 0;
}

function firstThenByChance(plans) {
  const best = Math.max(...plans.map((plan) => plan.chance));
  const close = plans.filter((plan) => isClose(best, plan.chance));
  const [first] = close.sort((a, b) => a.pairs - b.pairs || b.chance - a.chance);
  const others = plans.filter((plan) => plan !== first).sort((a, b) => b.chance - a.chance);
  return [first, ...others];
}
