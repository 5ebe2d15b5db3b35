// Whether a plan that was taken still answers what is asked now: a plan stands only for the readings and windows that
// it was chosen from, and while it keeps to where rings may go. Pure; it chooses nothing.

import { canonical } from "./fold.js";
import { SIDES } from "../numbers/sides.js";

/**
 * @param {{plan: object, input: object}} taken body of a plan-chosen entry
 * @param {object} input of `choose` as the job gives it now
 * @param {number} round that the plan was taken in
 */
export function isPlanCurrent({ plan, input: before }, input, round) {
  const [then, now] = [withoutTrust(before), withoutTrust(withSetsOf(before, input, plan))];
  if (round === 1) return isAlike(then, now);
  return isAlike(withoutRings(then), withoutRings(now)) && keepsTo(input, plan);
}

/** Alike whatever the order of keys, as the server may hand an entry back with its keys sorted. */
export function isAlike(a, b) {
  return canonical(a) === canonical(b);
}

/**
 * A ring set that is out of the question by now, as when the hub bolts were told later, changes nothing for a plan
 * without it.
 */
function withSetsOf(before, input, plan) {
  const { ring_sets: then } = before;
  const isLess = input.ring_sets.every((id) => then.includes(id));
  const isUsed = (id) => SIDES.some((side) => plan[side]?.ring_set === id);
  return isLess && then.filter(isUsed).every((id) => input.ring_sets.includes(id))
    ? { ...input, ring_sets: then } : input;
}

/** What the shop trusts may change under a plan; what a person has put in may not. */
function withoutTrust({ untrusted, ...input }) {
  return input;
}

/**
 * Programs have written differently where rings may go in a later round, so a plan is asked itself whether it keeps to
 * that.
 */
function withoutRings({ wheels, ...input }) {
  return { ...input, wheels: SIDES.map((side) => [wheels[side].camber, wheels[side].toe]) };
}

function keepsTo({ wheels }, plan) {
  return SIDES.every((side) => wheels[side].rings === "auto" || (wheels[side].rings === "yes")
    === (plan[side] !== null));
}
