// Which slot a checklist step has in a round and at a wheel, and what that round does at which wheels.
// Pure. It knows nothing of answers, holds or screens.

import { KIND } from "./entry.js";
import { settledAt } from "./slot-values.js";
import { SIDES } from "../numbers/sides.js";

const FIT = { id: "fit", rounds: true };
const ROUND_SLOT = /^round\.(\d+)\./;

/**
 * The round that the job is in: the highest that any live entry speaks of.
 * @param {{slots: object}} fold of the job
 * @returns {number} 1, 2, ...
 */
export function currentRound(fold) {
  const rounds = Object.keys(fold.slots).map((slot) => Number(ROUND_SLOT.exec(slot)?.[1] ?? 1));
  return Math.max(1, ...rounds);
}

/**
 * The plan of a round.
 * @returns {object|null} the body of the plan-chosen entry; null while there is none, or while people differ about it
 */
export function planOf(fold, round) {
  return settledAt(fold, `round.${round}.plan`, KIND.PLAN_CHOSEN)?.body ?? null;
}

/**
 * With which wheels open, and from which fitted effects, a later round was begun. Its plans all carry that, so it is
 * still known when the plan was taken back or people differ about it. Where they do not agree, nothing is opened: a
 * wheel that nobody opens keeps what it has, and no reading is taken for that of a bare one; which of them holds is
 * asked.
 * @returns {{open?: string[], less?: {left: number[], right: number[]}, bare?: string[], among?: object[]}} empty in
 *   round 1 and for plans of older programs. `bare`: opened wheels whose pair comes out and that get none, because
 *   their reading carries no new plan. `among`: the plan-chosen entries that open different things, one of each
 */
export function beginningOf(fold, round) {
  if (round === 1) return {};
  const single = planOf(fold, round);
  if (single) return beginningIn(single);
  const said = new Map(fold.plans.filter(({ slot }) => slot === `round.${round}.plan`)
    .map((entry) => [JSON.stringify(beginningIn(entry.body)), entry]));
  const [first, ...others] = said.values();
  if (others.length === 0) return first ? beginningIn(first.body) : {};
  return { open: [], less: { left: [0, 0], right: [0, 0] }, among: [first, ...others] };
}

function beginningIn({ open, less, bare }) {
  const sides = (named) => named && SIDES.filter((side) => named.includes(side)); // whatever order they were tapped in
  return { open: sides(open), less: less && { left: less.left, right: less.right }, bare: sides(bare) };
}

/** @returns {string[]|null} the sides that get rings in the plan of that round; null while there is no single plan */
export function wheelsWithRings(fold, round) {
  const body = planOf(fold, round);
  return body && SIDES.filter((side) => body.plan[side]);
}

/**
 * @returns {{ring_set: string, pair: number[], effect: number[], round: number, table: string|undefined}|null} the pair
 *   that the plans up to a round put at a wheel; null: none, or taken out again
 */
export function plannedPairAt(fold, side, round = currentRound(fold)) {
  for (let n = round; n >= 1; n -= 1) {
    const body = planOf(fold, n);
    const fitted = body?.plan[side];
    if (fitted) return { ...fitted, round: n, table: body.tables?.[fitted.ring_set] };
    if (body?.open?.includes(side)) return null;
  }
  return null;
}

/** @returns {string[]} the wheels that are opened in a round; in a round that does not say, those that get rings */
export function openIn(fold, round) {
  const body = planOf(fold, round);
  return body?.open ?? SIDES.filter((side) => body?.plan[side]);
}

/**
 * What is done at which wheels in a round; null while there is no single plan.
 * @returns {{"rings": string[], "old-pair": string[], "bare": string[], "work": string[], "same-pair": string[],
 *   "new-pair": string[], "given-up": string[], "emptied": string[]}|null}
 *   rings go in; the pair of an earlier round comes out; it comes out and none goes in; the wheel is opened at all; the
 *   pair that goes in is the one that sat there; it is another; the wheel is off and the plan, which was changed
 *   meanwhile, works there no more; its hub is open too, and no pair is to sit there
 */
export function wheelsOf(fold, round) {
  const rings = wheelsWithRings(fold, round);
  if (!rings) return null;
  const open = openIn(fold, round);
  const old = SIDES.filter((side) => open.includes(side) && plannedPairAt(fold, side, round - 1));
  const bare = old.filter((side) => !rings.includes(side));
  const isSame = (side) => hasSamePair(fold, side, round);
  const work = SIDES.filter((side) => rings.includes(side) || bare.includes(side));
  const isDone = (side, id) => isTicked(fold, slotOf(FIT, { id: `fit.${id}`, per: "wheel" }, { round, wheel: side }));
  const givenUp = SIDES.filter((side) => !work.includes(side) && isDone(side, "wheel-off"));
  return {
    rings, "old-pair": old, bare, work, "same-pair": rings.filter(isSame),
    "new-pair": rings.filter((side) => !isSame(side)),
    "given-up": givenUp,
    "emptied": givenUp.filter((side) => isDone(side, "hub-bolts")
      && (!plannedPairAt(fold, side, round) || isDone(side, "pair-out"))),
  };
}

/** @returns {boolean} whether a step of ticking was done, and nobody took it back */
export function isTicked(fold, slot) {
  const live = fold.slots[slot] ?? [];
  return live.length > 0 && live.every(({ kind }) => kind === KIND.STEP_DONE);
}

/**
 * @returns {boolean} whether a round puts the pair in again that sat at the wheel before it: same ring set of the same
 *   data, same marks
 */
export function hasSamePair(fold, side, round) {
  const { plan, tables } = planOf(fold, round) ?? {};
  const [before, now] = [plannedPairAt(fold, side, round - 1), plan?.[side]];
  if (!before || !now) return false;
  return before.ring_set === now.ring_set && before.table === tables?.[now.ring_set]
    && String(before.pair) === String(now.pair);
}

/**
 * The slot of a step: its own `slot` where the data give one, else its id, with the side put in after the stage (a step
 * of the whole vehicle has none, also when it is asked about from a wheel's step) and the round in front.
 * @param {object} stage of checklist.json
 * @param {object} step of that stage
 * @param {{round: number, wheel: string|null}} at
 */
export function slotOf(stage, step, { round, wheel }) {
  if (step.slot) return step.slot.replace("{round}", round);
  const prefix = stage.rounds && round > 1 ? `round.${round}.` : "";
  return prefix + (step.per === "wheel" ? step.id.replace(".", `.${wheel}.`) : step.id);
}
