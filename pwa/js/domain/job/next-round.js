// A next round from the check readings of this one: refit as planned, a second pass, or the pair out. Pure: an
// estimate, said to be one.

import { choose, planWith } from "../choose/choose.js";
import { chooseInputOf } from "./job.js";
import { bothSides, meanReadings } from "./readings.js";
import { plannedPairAt } from "./checklist-slots.js";
import { effectsTakenOff } from "./rounds.js";
import { trustOf } from "./untrusted-sets.js";

/**
 * @param {object} fold of the job
 * @param {number} round the one that has been read
 * @param {{kind: "refit"|"second"|"out", open: string[], causes: object, tables: object[]}} wish `causes`: for each
 *   opened wheel that was fitted in this round the row of prove's `causes` that is taken as true; `tables` those to
 *   choose from, the planned ones among them; `doubts`: ring set id -> what is doubted of it; `shop` its own spreads
 * @returns {{plan: object, input: object, advice: string[], open: string[], less: object, bare?: string[]}} what
 *   `round.<N+1>.plan` is to hold
 * @throws {InputError} where no plan can be made
 */
export function nextRound(fold, round, { kind, open, causes, tables, doubts = {}, shop = null }) {
  const less = effectsTakenOff(open, bothSides((side) => reallyIn(fold, round, side, kind, causes[side] ?? null)));
  const begun = { open, less, ...(kind === "out" && { bare: open }) };
  const ids = tables.map((table) => table.ring_set.id);
  const trust = trustOf(fold, ids.map((id) => ({ id, doubts: doubts[id] })));
  const input = { ...chooseInputOf(fold, round + 1, ids, begun, shop).input, ...trust };
  if (kind === "second") {
    const { plans, advice } = choose(input, tables);
    return { plan: plans[0], input, advice, ...begun };
  }
  if (kind === "out") return { plan: planWith(input, tables, { left: null, right: null }), input,
    advice: [], ...begun };
  const planned = bothSides((side) => (open.includes(side) ? pairOf(plannedPairAt(fold, side, round)) : null));
  const inAgain = { ...input, ...(trust.untrusted
    && { put_in: [...new Set([...(trust.put_in ?? []), ...setsIn(planned)])] }) };
  return { plan: planWith(inAgain, tables, planned), input, advice: [], ...begun };
}

/** What is in goes back as planned, whatever has come to be doubted of it meanwhile: the plan says so. */
function setsIn(planned) {
  return Object.values(planned).filter(Boolean).map(({ ring_set: id }) => id);
}

// What has to be taken off the check reading to get where the wheel starts from.
function reallyIn(fold, round, side, kind, cause) {
  const fitted = plannedPairAt(fold, side, round);
  if (!fitted) return [0, 0];
  if (!cause) return fitted.effect;
  const { camber, toe } = meanReadings(fold, `round.${round}.check`)[side];
  const before = lessEffect(cause.after_refit, fitted.effect);
  // what lies between the faces comes out with the pair
  const start = kind === "refit" ? before : cause.second_pass_base ?? before;
  return [camber - start[0], toe - start[1]];
}

function lessEffect([camber, toe], effect) {
  return [camber - effect[0], toe - effect[1]];
}

function pairOf(fitted) {
  return fitted && { ring_set: fitted.ring_set, pair: fitted.pair };
}
