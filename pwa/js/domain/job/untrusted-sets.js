// Which ring sets of the shop are untrusted, and which of them a person has put in for this job after reading the
// doubts. Pure.

import { fieldOf } from "./slot-values.js";
import { SIDES } from "../numbers/sides.js";

/** Slot of the untrusted ring sets that a person has put in: ring set id -> the doubts that were read. */
export const PUT_IN = "rings.put-in";

/** @returns {Object<string, string[]>} ring set id -> the doubts that were read when it was put in */
export function putIn(fold) {
  return fieldOf(fold, PUT_IN) ?? {};
}

/** @returns {boolean} whether a person has put the set in, and has read every doubt that it has now */
export function isPutIn(fold, { id, doubts }) {
  const read = putIn(fold)[id];
  return Boolean(read) && doubts.every((code) => read.includes(code));
}

/**
 * What the input of choosing says of trust.
 * @param {object} fold of the job
 * @param {{id: string, doubts?: string[]}[]} sets the ring sets of that input
 * @returns {{untrusted?: object, put_in?: string[]}} each key only where there is something to say
 */
export function trustOf(fold, sets) {
  const known = sets.map(({ id, doubts = [] }) => ({ id, doubts }));
  const untrusted = known.filter(({ doubts }) => doubts.length > 0);
  const chosen = known.filter((set) => isPutIn(fold, set)).map(({ id }) => id);
  return {
    ...(untrusted.length > 0 && { untrusted: Object.fromEntries(untrusted.map(({ id, doubts }) => [id, doubts])) }),
    ...(chosen.length > 0 && { put_in: chosen }),
  };
}

/**
 * What is doubted about the ring sets that a plan uses: as it was when the plan was made, else as the shop says now.
 * @param {object} plan
 * @param {function(string): {doubts?: string[]}|undefined} setOf gives a ring set by its id
 * @returns {[string, string[]][]} ring set id and its doubts
 */
export function doubtsOfPlan(plan, setOf = () => undefined) {
  const used = [...new Set(SIDES.map((side) => plan[side]?.ring_set).filter(Boolean))];
  return used.map((id) => [id, plan.doubts?.[id] ?? setOf(id)?.doubts ?? []]).filter(([, doubts]) => doubts.length > 0);
}
