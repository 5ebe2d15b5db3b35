// What the holds at the wheel take for an answer: numbers and marks read back off the rings, hub bolts tightened bolt
// by bolt and stage by stage, spacers under the caliper bracket. Pure: it shows nothing, saves nothing, and offers no
// torque of its own.

import { crossOrder, tighteningOrder, tighteningStages } from "../fit/tightening.js";
import { fit } from "../fit/fit.js";
import { SPACER_TOLERANCE_UM } from "../constants.js";
import { boltsOf, fitInputOf, torqueOf, TORQUE_UNITS } from "./fit-request.js";
import { swapFreely } from "../rings/rings.js";

/** A touch that comes sooner after the last is none: nobody turns a wrench so fast. */
export const LEAST_BETWEEN_TOUCHES_MS = 1500;
/** What is written on the rims of a wheel's rings, in every language. */
export const LETTER = { left: "L", right: "R" };

const COUNT = [2, 24];

/**
 * Compares what was read off the rings with the plan.
 * @param {{pair: number[]}|null} planned of the wheel
 * @param {"left"|"right"} side
 * @param {object|null} ringSet of the plan; unknown, its rings are taken to be unlike
 * @param {{letter?: string|null, inner?: number|null, outer?: number|null}} read as far as it is read
 * @returns {{matches: boolean, wrong: string[]}|null} `wrong`: "letter", "inner", "outer", or "exchanged": each ring
 *   stands at the other's mark; null where the plan puts no rings there
 */
export function readBack(planned, side, ringSet, read) {
  if (!planned) return null;
  const [inner, outer] = planned.pair;
  const [gotInner, gotOuter] = [read.inner ?? null, read.outer ?? null];
  const isWhole = gotInner !== null && gotOuter !== null;
  const isExchanged = isWhole && inner !== outer && gotInner === outer && gotOuter === inner;
  const mayStandEither = ringSet !== null && swapFreely(ringSet); // rings alike may go in either way round
  const wrong = [];
  if (read.letter && read.letter !== LETTER[side]) wrong.push("letter");
  if (isExchanged) wrong.push(...(mayStandEither ? [] : ["exchanged"]));
  else wrong.push(...wrongMarks({ inner, outer }, { inner: gotInner, outer: gotOuter }, mayStandEither && !isWhole));
  return { matches: wrong.length === 0 && isWhole && read.letter === LETTER[side], wrong };
}

function wrongMarks(wanted, got, mayStandEither) {
  const allowed = (ring) => (mayStandEither ? Object.values(wanted) : [wanted[ring]]);
  return Object.keys(wanted).filter((ring) => got[ring] !== null && !allowed(ring).includes(got[ring]));
}

/** @returns {boolean} whether a recorded reading says what the plan says; which way round, the hold has judged */
export function isReadBack(read, side, planned) {
  if (!read || !planned || read.letter !== LETTER[side]) return false;
  const got = String([read.inner, read.outer]);
  return got === String(planned.pair) || got === String([...planned.pair].reverse());
}

/**
 * Every touch of tightening one wheel's hub bolts, in the drawn order, stage after stage.
 * @param {object} fold of the job
 * @param {"left"|"right"} side
 * @param {number|null} [count] of the bolts, where nobody typed where they sit
 * @returns {{bolt: number, stage: number, stages: number, torque: number|null, unit: string|null, angle_deg:
 *   number|null}[]|null} stage from 0; null while the torque or the number of bolts is not known
 */
export function tighteningSteps(fold, side, count = null) {
  const torque = torqueOf(fold);
  const order = orderOf(fold, side, count);
  if (!torque || !order) return null;
  const stages = tighteningStages(torque);
  return stages.flatMap((each, stage) => order.map((bolt) => ({ bolt, stage, stages: stages.length, ...each })));
}

function orderOf(fold, side, count) {
  const at = boltsOf(fold, side)?.at;
  if (at) return tighteningOrder(at);
  const isCount = Number.isInteger(count) && count >= COUNT[0] && count <= COUNT[1];
  return isCount ? crossOrder(count).map((place) => place + 1) : null;
}

/**
 * The part of the hold's entry that says what was done.
 * @param {{bolt: number, stage: number}[]} done every touch, stage from 1
 * @param {object} torque as torqueOf gives it
 * @returns {{bolts: object[], stages: object[]}}
 */
export function tighteningRecord(done, torque) {
  return { bolts: done.map(({ bolt, stage }) => ({ bolt, stage })), stages: stagesOf(torque) };
}

function stagesOf(torque) {
  const unit = Object.keys(TORQUE_UNITS).find((id) => TORQUE_UNITS[id] === torque.unit) ?? null;
  return tighteningStages(torque).map((stage) => ({ ...stage, unit: stage.torque === null ? null : unit }));
}

/**
 * Whether a record still says that every bolt went through every stage of what is typed now. A torque that was
 * corrected afterwards, or a bolt that nobody knew of, opens the hold again.
 */
export function isTightened(fold, side, record) {
  const torque = torqueOf(fold);
  if (!torque || !Array.isArray(record?.bolts)) return false;
  if (JSON.stringify(record.stages) !== JSON.stringify(stagesOf(torque))) return false;
  const wanted = tighteningSteps(fold, side, new Set(record.bolts.map(({ bolt }) => bolt)).size);
  return wanted !== null && wanted.length === record.bolts.length
    && wanted.every(({ bolt, stage }, at) => record.bolts[at].bolt === bolt && record.bolts[at].stage === stage + 1);
}

/**
 * A touch of tightening, as it is kept while the wheel is half done.
 * @param {object} step of tighteningSteps
 */
export function touchOf({ bolt, stage, torque, angle_deg }) {
  return { bolt, stage: stage + 1, torque, angle_deg };
}

/**
 * How many touches of a half-done record still count: those that follow the drawn order from its beginning, to the
 * torque that is typed now. Where the torque was corrected in between, the wheel begins anew: nobody knows which bolt
 * has which.
 */
export function touchesSoFar(steps, done) {
  const asked = steps.map(touchOf);
  const isSame = (touch, k) => JSON.stringify(asked[k]) === JSON.stringify(touch);
  const at = done.findIndex((touch, k) => !isSame(touch, k));
  return at < 0 ? done.length : at;
}

/**
 * The spacers that the bracket wants with this pair, from the shop's stock.
 * @param {object} fold of the job
 * @param {"left"|"right"} side
 * @param {{ringSet: object, pair: number[]}} fitting
 * @returns {{lug: number, wanted_mm: number, pieces_mm: number[], mm: number, off_mm: number, isTooThin: boolean,
 *   isTooThick: boolean, left_mm: number|null}[]|null} null where nobody typed the lugs: then the stack is measured at
 *   each lug
 */
export function spacersWanted(fold, side, fitting) {
  const { spacers } = fit(fitInputOf(fold, side, fitting));
  return spacers && spacers.map(({ number, wanted_mm, pieces_mm, off_mm, near_enough, left_mm }) => ({
    lug: number, wanted_mm, pieces_mm, mm: (Math.round(wanted_mm * 1000) + Math.round(off_mm * 1000)) / 1000, off_mm,
    isTooThin: !near_enough && off_mm < 0, isTooThick: !near_enough && off_mm > 0, left_mm,
  }));
}

/**
 * Whether a record of spacers lets the bracket go on: at each lug what was put in is as thick as the stack there, or
 * nobody could compute that and it was measured. What is too thin or too thick keeps the hold open.
 * @param {{spacers: {lug: number, wanted_mm: number|null, mm: number}[]}} record
 */
export function isSpaced({ spacers }) {
  const um = (mm) => Math.round(mm * 1000);
  const isNear = ({ wanted_mm: wanted, mm }) => wanted === null || Math.abs(um(mm) - um(wanted)) <= SPACER_TOLERANCE_UM;
  const isGiven = ({ mm }) => typeof mm === "number";
  return Array.isArray(spacers) && spacers.length > 0 && spacers.every((each) => isGiven(each) && isNear(each));
}
