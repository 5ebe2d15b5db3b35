// What sits at the wheels by what was done, not by what is planned: a pair is there until a step says that it came out;
// and the part and lot numbers of the rings that are in, and of those that came out again. Pure.

import { currentRound, hasSamePair, isTicked, planOf, plannedPairAt } from "./checklist-slots.js";
import { KIND } from "./entry.js";
import { fitSlot } from "./round-work.js";
import { fieldOf } from "./slot-values.js";
import { SIDES } from "../numbers/sides.js";

/** Any of these, done at a wheel in a later round, says that the earlier pair is out. */
const OUT_WHEN_DONE = ["pair-out", "hub-back", "rings-in"];
const LOT = /^(?:round\.(\d+)\.)?(?:prepare\.(left|right)\.ring-lot|choose\.parts-lot)$/;
const LOT_STATES = ["in", "out", "unused"];

/** @returns {object|null} as `plannedPairAt`, and `leaving`: whether a plan takes the pair out which is still in */
export function installedPairAt(fold, side) {
  const planned = plannedPairAt(fold, side);
  const left = planned ? null : lastPlannedPair(fold, side);
  return planned ?? (left && !cameOut(fold, side, left.round) ? { ...left, leaving: true } : null);
}

/**
 * What was really put in: the pair of the plan that "Rings in" was ticked by, until it came out again.
 * @returns {object|null} {ring_set, pair, effect, round, table, leaving, closed}: `leaving` as above; `closed`: the hub
 *   was tightened over it
 */
export function fittedPairAt(fold, side) {
  for (let round = currentRound(fold); round >= 1; round -= 1) {
    const body = planOfTick(fold, round, side, "rings-in");
    const fitted = body?.plan[side];
    if (fitted) {
      const isSame = (other) => other?.ring_set === fitted.ring_set && String(other.pair) === String(fitted.pair);
      return {
        ...fitted, round, table: body.tables?.[fitted.ring_set],
        leaving: !isSame(plannedPairAt(fold, side)),
        closed: isSame(planOfTick(fold, round, side, "tightened")?.plan[side]),
      };
    }
    if (OUT_WHEN_DONE.some((step) => isDone(fold, fitSlot(round, step, side)))) return null;
  }
  return null;
}

/** The plan that a row at a wheel was ticked by; one that names none means the round's. */
function planOfTick(fold, round, side, name) {
  const slot = fitSlot(round, name, side);
  if (!isTicked(fold, slot)) return null;
  const id = fold.slots[slot][0].body.plan;
  return fold.plans.find((plan) => plan.id === id)?.body ?? planOf(fold, round);
}

/** @returns {string[]} the wheels without rings whose pair came out again */
export function takenOut(fold) {
  return SIDES.filter((side) => !installedPairAt(fold, side) && lastPlannedPair(fold, side));
}

/**
 * Part and lot numbers as typed in every round: of the rings at a wheel, or of the other parts (side null). The same
 * number stands once; where people differ about one, all their answers stand.
 * @param {object} fold of the job
 * @param {function(string|null, number): boolean} [isPutIn] whether what a round got ready for a wheel went in; else
 *   its plan is believed
 * @returns {{side: string|null, texts: string[], state: "in"|"out"|"unused"}[]} unused: of rings that were got ready
 *   and not fitted
 */
export function lotsOf(fold, isPutIn = () => true) {
  const lots = Object.keys(fold.slots).sort().flatMap((slot) => {
    const [, round, side = null] = LOT.exec(slot) ?? [];
    const texts = LOT.test(slot) ? textsIn(fold, slot) : [];
    return texts.length === 0 ? [] : [{ side, texts, state: lotState(fold, side, Number(round ?? 1), isPutIn) }];
  });
  const name = ({ side, texts }) => JSON.stringify([side, texts]);
  const best = new Map();
  for (const lot of lots) {
    const other = best.get(name(lot));
    if (!other || LOT_STATES.indexOf(lot.state) < LOT_STATES.indexOf(other.state)) best.set(name(lot), lot);
  }
  return [...best.values()];
}

function textsIn(fold, slot) {
  const set = fold.slots[slot].filter(({ kind, body }) => kind === KIND.FIELD_SET && body.value);
  return [...new Set(set.map(({ body }) => body.value))];
}

function lotState(fold, side, round, isPutIn) {
  if (!isPutIn(side, round)) return "unused";
  if (!side) return "in";
  if (!planOf(fold, round)?.plan[side]) return "unused";
  const out = outInRound(fold, side, round);
  if (!out) return "in";
  return wentBack(fold, side, out) ? lotState(fold, side, out, isPutIn) : "out";
}

/** The very rings that came out in a round went in again in it; older programs did not ask, and meant that. */
function wentBack(fold, side, round) {
  return hasSamePair(fold, side, round) && fieldOf(fold, `round.${round}.prepare.${side}.same-rings`) !== "other";
}

/** Whether the pair that the plan of a round put at a wheel was taken out in a later one. */
function cameOut(fold, side, round) {
  return outInRound(fold, side, round) !== undefined;
}

function outInRound(fold, side, round) {
  const later = Array.from({ length: currentRound(fold) - round }, (_, n) => round + 1 + n);
  return later.find((each) => OUT_WHEN_DONE.some((step) => isDone(fold, `round.${each}.fit.${side}.${step}`)));
}

function isDone(fold, slot) {
  return (fold.slots[slot] ?? []).some(({ kind }) => kind === KIND.STEP_DONE);
}

/** The newest pair that any plan put at a wheel, also where a later plan takes it out. */
function lastPlannedPair(fold, side) {
  for (let round = currentRound(fold); round >= 1; round -= 1) {
    if (planOf(fold, round)?.plan[side]) return plannedPairAt(fold, side, round);
  }
  return null;
}
