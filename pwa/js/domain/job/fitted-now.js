// What sits at the wheels by what was done, not by what is planned: a pair is there until a step says that it came out; and
// the part and lot numbers of the rings that are in, and of those that came out again. Pure.

import { currentRound, fittedAt, hasSamePair, planOf } from "./checklist-slots.js";
import { KIND } from "./entry.js";
import { fieldOf } from "./settled.js";
import { SIDES } from "../numbers/sides.js";

/** Any of these, done at a wheel in a later round, says that the pair of before is out. */
const OUT_WHEN_DONE = ["pair-out", "hub-back", "rings-in"];
const LOT = /^(?:round\.(\d+)\.)?(?:prepare\.(left|right)\.ring-lot|choose\.parts-lot)$/;
const LOT_STATES = ["in", "out", "unused"];

/** @returns {object|null} as `fittedAt`, and `leaving`: whether a plan takes the pair out which is still in */
export function sitsAt(fold, side) {
  const planned = fittedAt(fold, side);
  const left = planned ? null : lastPairBefore(fold, side);
  return planned ?? (left && !cameOut(fold, side, left.round) ? { ...left, leaving: true } : null);
}

/** @returns {string[]} the wheels without rings whose pair came out again */
export function takenOut(fold) {
  return SIDES.filter((side) => !sitsAt(fold, side) && lastPairBefore(fold, side));
}

/**
 * Part and lot numbers as typed in every round: of the rings at a wheel, or of the other parts (side null). The same number
 * stands once; where people differ about one, all their answers stand.
 * @returns {{side: string|null, texts: string[], state: "in"|"out"|"unused"}[]} unused: of rings that were got ready and not fitted
 */
export function lotsOf(fold) {
  const lots = Object.keys(fold.slots).sort().flatMap((slot) => {
    const [, round, side = null] = LOT.exec(slot) ?? [];
    const texts = LOT.test(slot) ? textsIn(fold, slot) : [];
    return texts.length === 0 ? [] : [{ side, texts, state: side ? lotState(fold, side, Number(round ?? 1)) : "in" }];
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

function lotState(fold, side, round) {
  if (!planOf(fold, round)?.plan[side]) return "unused";
  const out = outInRound(fold, side, round);
  if (!out) return "in";
  return wentBack(fold, side, out) ? lotState(fold, side, out) : "out";
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
function lastPairBefore(fold, side) {
  for (let round = currentRound(fold); round >= 1; round -= 1) {
    if (planOf(fold, round)?.plan[side]) return fittedAt(fold, side, round);
  }
  return null;
}
