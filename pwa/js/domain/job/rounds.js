// The rounds of a job: what each started from, what it read, and how a next one is started. Pure.
//
// The body of `round.N.plan`, N > 1, may hold three parts more: "open": the wheels that are opened in this round (a
// wheel that stays closed keeps its rings, and its part of the plan is null; an opened wheel whose part is null loses
// them), "less": {left: [camber, toe], right: ...}, what is taken off the check reading of the round before to get what
// this round starts from, in mdeg ([0, 0] for a closed wheel), and "bare": the opened wheels that get no rings in this
// round, because their reading carries no new plan.

import { currentRound, planOf, wheelsOf } from "./checklist-slots.js";
import { SIDES } from "../numbers/sides.js";
import { baseOf } from "./job.js";
import { bothSides, agreedReadings } from "./readings.js";

/**
 * @returns {{round: number, body: object, base: object, check: object}[]} every round that has a plan, the first first;
 *   in `check` an angle whose readings contradict each other is null
 */
export function roundsOf(fold) {
  return Array.from({ length: currentRound(fold) }, (_, n) => n + 1).filter((round) => planOf(fold, round))
      .map((round) => ({
    round, body: planOf(fold, round), base: baseOf(fold, round), check: agreedReadings(fold, `round.${round}.check`),
  }));
}

/**
 * @returns {object|null} the check readings of the last round, as agreedReadings gives them; null while work was
 *   planned after the newest whole ones: what they say is no longer what sits there
 */
export function lastCheck(fold) {
  for (let round = currentRound(fold); round >= 1; round -= 1) {
    const check = agreedReadings(fold, `round.${round}.check`);
    if (planOf(fold, round) && isWhole(check)) return check;
    if (isWorkPlanned(fold, round)) return null;
  }
  return null;
}

/** While people differ about a plan, there may be work. */
function isWorkPlanned(fold, round) {
  return fold.conflicts.includes(`round.${round}.plan`) || wheelsOf(fold, round)?.work.length > 0;
}

/** @returns {boolean} whether both wheels have camber and toe */
export function isWhole(wheels) {
  return SIDES.every((side) => wheels[side].camber !== null && wheels[side].toe !== null);
}

/**
 * What is taken off the check reading at each wheel: nothing where it stays closed, else what `really` says was in it.
 * @param {string[]} open
 * @param {{left?: number[], right?: number[]}} really effect of what is really in each opened wheel, in mdeg
 */
export function effectsTakenOff(open, really) {
  return bothSides((side) => (open.includes(side) ? really[side] ?? [0, 0] : [0, 0]));
}
