// What is done at which wheels in a round, as the sheets ask it: by the plan, by what was opened meanwhile, and where
// the job ends without rings. Pure. Round 0 is "Take out": rings that sat in the axle before this job come out, before
// a reading of it counts.

import { plannedPairAt, hasSamePair, isTicked, openIn, planOf, wheelsWithRings } from "./checklist-slots.js";
import { KIND } from "./entry.js";
import { isBackedOut } from "./hub-bolts.js";
import { fieldOf } from "./slot-values.js";
import { SIDES } from "../numbers/sides.js";

export const TAKE_OUT = 0;
/** A field: why the job ends here without rings, a refusal's code or "no-rings"; null or unset: it goes on. */
export const ENDING = "finish.ending";

/** Rows that ease fasteners at every wheel of the plan in one go. */
const EASED = ["eased", "axle-nut-eased"];
const OLD_RINGS = { none: [], left: ["left"], right: ["right"], both: SIDES };

/** @returns {boolean} whether somebody has said that the job ends here without rings */
export function isEnding(fold) {
  return (fieldOf(fold, ENDING) ?? null) !== null;
}

/** @returns {string[]} the wheels at which old rings were found; while people differ, or nobody has looked, none */
export function oldRingsAt(fold) {
  return OLD_RINGS[fieldOf(fold, "vehicle.pair-fitted")] ?? [];
}

/** @returns {string[]} the wheels whose old rings are still in; older programs tick one step for both */
export function oldRingsIn(fold) {
  if (isTicked(fold, "vehicle.pair-removed")) return [];
  return oldRingsAt(fold).filter((side) => !isTicked(fold, fitSlot(TAKE_OUT, "pair-out", side)));
}

/** @returns {boolean} whether the sheets of taking out belong to the job: an older program needed none of them */
export function hasTakeOut(fold) {
  if (isBegun(fold, TAKE_OUT)) return true; // what was opened is closed, whatever is said of old rings by now
  if (oldRingsAt(fold).length === 0) return false;
  return !isTicked(fold, "vehicle.pair-removed");
}

/** The slot of a row at the wheels, or of the whole vehicle while it stands in the bay. */
export function fitSlot(round, name, side = null) {
  return `${round === 1 ? "" : `round.${round}.`}fit.${side ? `${side}.` : ""}${name}`;
}

/** @returns {boolean} whether anything live in the slot answers it; taking back does not */
export function isAnswered(fold, slot) {
  const isGiven = ({ kind, body }) => kind !== KIND.FIELD_SET || (body.value ?? null) !== null;
  const says = (entry) => entry.kind !== KIND.STEP_UNDONE && isGiven(entry);
  return (fold.slots[slot] ?? []).some(says);
}

/** @returns {boolean} whether the wheel came off in that round */
export function isOpened(fold, round, side) {
  return isAnswered(fold, fitSlot(round, "wheel-off", side));
}

/** @returns {boolean} whether the vehicle was got ready to be lifted in that round */
export function isRaised(fold, round) {
  return ["chocked", "lifted", "supported"].some((name) => isAnswered(fold, fitSlot(round, name)));
}

/** @returns {boolean} whether anything was raised, eased or opened in that round, with a plan or without */
export function isBegun(fold, round) {
  const isEasedAt = EASED.some((name) => isAnswered(fold, fitSlot(round, name)));
  return isRaised(fold, round) || isEasedAt || SIDES.some((side) => isOpened(fold, round, side));
}

/**
 * @returns {Object<string, string[]>|null} sides by what is done there; null while there is no single plan and nothing
 *   was begun. `rings`: rings go in; `old-pair`: the earlier ones come out; `bare`: it is opened and closed without
 *   rings; `work`: it is worked on at all; `same-pair`, `new-pair`: whether the pair that goes in is the one that sat
 *   there; `given-up`: it was begun on, were it only its fasteners, and the plan works there no more; `take-out`: round
 *   0
 */
export function workOf(fold, round) {
  if (round === TAKE_OUT) return takeOutWork(fold);
  const planned = wheelsWithRings(fold, round);
  const ending = isEnding(fold);
  // a vehicle that is off the ground keeps its holds, whatever became of the plan: it is as if that worked nowhere
  if (!planned && !ending && !isBegun(fold, round)) return null;
  // a job that ends here keeps at work a wheel whose rings are in: they are proved like any, or taken out again
  const rings = (planned ?? []).filter((side) => !ending || isTicked(fold, fitSlot(round, "rings-in", side)));
  const open = ending ? rings : openIn(fold, round);
  const old = SIDES.filter((side) => open.includes(side) && plannedPairAt(fold, side, round - 1));
  const bare = old.filter((side) => !rings.includes(side));
  const isTouched = (side) => isOpened(fold, round, side) || isEased(fold, round, side);
  const givenUp = SIDES.filter((side) => !rings.includes(side) && !bare.includes(side) && isTouched(side));
  const isSame = (side) => hasSamePair(fold, side, round);
  return {
    rings, "old-pair": old, "bare": [...bare, ...givenUp.filter((side) => isEmptied(fold, round, side))],
    "work": SIDES.filter((side) => rings.includes(side) || bare.includes(side) || givenUp.includes(side)),
    "same-pair": rings.filter(isSame), "new-pair": rings.filter((side) => !isSame(side)),
    "given-up": givenUp, "take-out": [],
  };
}

/** Fasteners are eased for the whole vehicle in one go, by the plan that was in force then. */
function isEased(fold, round, side) {
  const answers = EASED.flatMap((name) => fold.slots[fitSlot(round, name)] ?? []);
  const eased = answers.filter(({ kind }) => kind === KIND.STEP_DONE);
  const inForce = isEnding(fold) ? planOf(fold, round) : null; // for a tick of an older program, which names none
  const plans = eased.map(({ body }) => fold.plans.find(({ id }) => id === body.plan)?.body ?? inForce);
  return plans.some((body) => body?.plan[side] || body?.open?.includes(side));
}

/** @returns {boolean} whether the hub came off its seat in that round; older programs tick its bolts */
export function isHubLoose(fold, round, side) {
  return ["hub-bolts", "hub-free"].some((name) => isAnswered(fold, fitSlot(round, name, side)));
}

/**
 * A bolt was backed out to be measured, nobody wrote down at which wheel, and tightening both hubs puts it in again.
 * @param {string[]} [willClose] sides whose hubs the plan is still to tighten
 * @returns {boolean} whether it may be out, by anybody's answer
 */
export function mayBoltBeOut(fold, round, willClose = []) {
  const isTightenedIn = (side) => (at) => isTicked(fold, fitSlot(at, "tightened", side));
  const rounds = Array.from({ length: round }, (_, k) => k + 1);
  return (fold.slots["vehicle.bolts"] ?? []).some(({ body }) => isBackedOut(body.value))
    && SIDES.some((side) => !willClose.includes(side) && !rounds.some(isTightenedIn(side)));
}

/** A hub that was loosened and over which no pair is to stay. */
function isEmptied(fold, round, side) {
  const isLoose = isHubLoose(fold, round, side);
  const hadNone = round !== TAKE_OUT && !plannedPairAt(fold, side, round - 1);
  return isLoose && (hadNone || isAnswered(fold, fitSlot(round, "pair-out", side)));
}

function takeOutWork(fold) {
  const found = oldRingsAt(fold);
  const sides = isEnding(fold) ? [] : found; // where it ends here, a hub that did not come closes over its old rings
  // fasteners were eased before somebody said that the rings are elsewhere, or that there are none
  const answers = fold.slots["vehicle.pair-fitted"] ?? [];
  const isMoved = found.length === 0 || answers.some(({ after }) => after.length > 0);
  const isAnyEased = EASED.some((name) => isAnswered(fold, fitSlot(TAKE_OUT, name)));
  const isEasedThere = (side) => isAnyEased && (isMoved || found.includes(side));
  const isBegun = (side) => isOpened(fold, TAKE_OUT, side) || isEasedThere(side);
  const givenUp = SIDES.filter((side) => !sides.includes(side) && isBegun(side));
  const work = SIDES.filter((side) => sides.includes(side) || givenUp.includes(side));
  return {
    "rings": [], "same-pair": [], "new-pair": [], "old-pair": sides,
    "bare": work.filter((side) => sides.includes(side) || isEmptied(fold, TAKE_OUT, side)), work,
    "given-up": givenUp, "take-out": work,
  };
}
