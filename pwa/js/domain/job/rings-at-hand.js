// Ring sets that lie where this phone works: chosen from first, and taken from. Counts are pairs, as the shop knows
// them; one that cannot be is said and holds nothing up. Pure.

import { isClose } from "../choose/plan-order.js";
import { SIDES } from "../numbers/sides.js";

/**
 * @param {{places: {id, name}[], counts: {place, ring_set, pairs}[]}|null} list of `GET /api/rings-at-hand`
 * @param {string} place where this phone works, or that the job names
 * @returns {{place: {id, name}, pairs: Map<string, number>}|null} ring set -> pairs; null where the place is not known
 */
export function ringsAt(list, place) {
  const found = list?.places.find(({ id }) => id === place);
  if (!found) return null;
  const own = list.counts.filter((count) => count.place === place);
  return { place: found, pairs: new Map(own.map(({ ring_set: ringSet, pairs }) => [ringSet, pairs])) };
}

/**
 * The ring sets to choose from.
 * @param {string[]} ids that suit
 * @param {{atHand: object|null, isSaid: boolean, taken: string[]|null, putIn: string[]}} known `atHand` as ringsAt;
 *   `isSaid`: a person has said which sets to choose from; `taken`: those that the plan which holds was chosen from;
 *   `putIn` by a person
 * @returns {string[]} where nobody has said it: those at hand, if there are any; what was taken stays whatever has come
 *   since
 */
export function hereFirst(ids, { atHand, isSaid, taken, putIn }) {
  if (!atHand || isSaid) return ids;
  const here = ids.filter((id) => (taken ? taken.includes(id) : (atHand.pairs.get(id) ?? 0) > 0 || putIn.includes(id)));
  return here.length > 0 ? here : ids;
}

/**
 * @returns {{ring_set: string, taken: number, here: number}[]} of each set of a plan: pairs that it takes, pairs that
 *   are there
 */
export function pairsOf(plan, { pairs }) {
  const sets = [...new Set(SIDES.map((side) => plan[side]?.ring_set).filter(Boolean))];
  return sets.map((id) => ({ ring_set: id, taken: SIDES.filter((side) => plan[side]?.ring_set === id).length,
    here: pairs.get(id) ?? 0 }));
}

/**
 * What other jobs take that no count has off it yet: the shop counts the pairs of closed jobs, once it has them.
 * @param {{job, state, unsent, takes}[]} jobs on this phone, as phone.jobs() tells them
 * @param {{job: string, place: string}} asked `job` that asks
 * @returns {Map<string, {open: {jobs: number, pairs: number}, unsent: {jobs: number, pairs: number}}>} by ring set;
 *   `unsent`: closed, and not all of it is at the shop
 */
export function alsoTaken(jobs, { job: asking, place }) {
  const others = jobs.filter(({ job, state, unsent, takes }) => job !== asking && takes?.place === place
    && (state === "open" || unsent > 0));
  const found = new Map();
  for (const { state, takes } of others) {
    for (const id of new Set(takes.ring_sets)) {
      if (!found.has(id)) found.set(id, { open: { jobs: 0, pairs: 0 }, unsent: { jobs: 0, pairs: 0 } });
      const count = found.get(id)[state === "open" ? "open" : "unsent"];
      count.jobs += 1;
      count.pairs += takes.ring_sets.filter((each) => each === id).length;
    }
  }
  return found;
}

/**
 * @returns {boolean} whether a plan leaves less outside than another, or as much with a chance that is clearly higher
 */
export function isClearlyBetter(plan, other) {
  const [more] = ["toe_steps", "camber_steps"].map((name) => plan[name] - other[name]).filter((steps) => steps !== 0);
  return more !== undefined ? more < 0 : !isClose(plan.chance, other.chance);
}
