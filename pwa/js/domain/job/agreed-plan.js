// What the customer has agreed to, or somebody went past asking about: by what the plans do, not by which entry says
// it, for taking back and settling write the same plan anew. Pure.

import { planOf, wheelsOf } from "./checklist-slots.js";
import { SIDES } from "../numbers/sides.js";

/**
 * @param {object} fold of the job
 * @param {number} round
 * @param {object[]} live entries of the consent; those of older programs do not name a plan
 * @returns {"plan"|"wheels"|"anew"} the yes is to what this round does; to another round that stands, at all wheels
 *   that this one works on; or it has to be asked for anew
 */
export function agreedTo(fold, round, live) {
  const ids = namedIn(live);
  if (ids.length === 0 || plansLive(fold, round).length === 0 || stands(fold, round, ids)) return "plan";
  const before = roundsBefore(round).filter((each) => stands(fold, each, ids));
  const agreed = before.flatMap((each) => wheelsOf(fold, each)?.work ?? []);
  const work = wheelsOf(fold, round)?.work ?? SIDES;
  return before.length > 0 && work.every((side) => agreed.includes(side)) ? "wheels" : "anew";
}

/**
 * What a new yes is to: the plan of this round, and the plans of earlier rounds that an earlier yes still holds for.
 * @returns {{plan: string|null, before?: string[]}} ids of plan-chosen entries; a part of the entry's body
 */
export function agreement(fold, round, live) {
  const [plan, ...others] = plansLive(fold, round);
  const before = namedIn(live).filter((id) => roundsBefore(round).some((each) => stands(fold, each, [id])));
  return { plan: plan && others.length === 0 ? plan.id : null, ...(before.length > 0 && { before }) };
}

/**
 * @param {string|null} id of the plan that something was written for; null where there was none
 * @returns {boolean} whether that round's plan does something else now
 */
export function isForOtherWork(fold, round, id) {
  return id ? !stands(fold, round, [id]) : plansLive(fold, round).length > 0;
}

/**
 * @param {string|undefined} id of the plan that something at a wheel was confirmed under; undefined where the entry
 *   names none
 * @returns {boolean} whether the round's plan still puts the same pair in there
 */
export function isOfSamePair(fold, round, side, id) {
  const then = fold.plans.find((plan) => plan.id === id)?.body.plan;
  const now = planOf(fold, round)?.plan;
  return !then || !now || JSON.stringify(pairAt(then, side)) === JSON.stringify(pairAt(now, side));
}

function roundsBefore(round) {
  return Array.from({ length: round - 1 }, (_, n) => n + 1);
}

function namedIn(live) {
  return live.flatMap(({ body }) => [body.plan, ...(body.before ?? [])]).filter(Boolean);
}

function plansLive(fold, round) {
  const slot = `round.${round}.plan`;
  return fold.plans.filter((plan) => (fold.slots[slot] ?? []).includes(plan));
}

/** Whether one of these plans was for that round and does what its plan does now. */
function stands(fold, round, ids) {
  const agreed = fold.plans.filter(({ id, slot }) => ids.includes(id) && slot === `round.${round}.plan`)
    .map(({ body }) => wheelWorkOf(body));
  return plansLive(fold, round).some(({ body }) => agreed.includes(wheelWorkOf(body)));
}

function wheelWorkOf({ plan, open }) {
  return JSON.stringify(SIDES.map((side) => pairAt(plan, side) ?? open?.includes(side) ?? false));
}

function pairAt(plan, side) {
  return plan?.[side] ? [plan[side].ring_set, plan[side].pair] : null;
}
