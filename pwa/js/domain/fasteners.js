// Bolts and studs: what a stack leaves of their engagement, in which order they are tightened, and how a typed torque is
// judged. The twin of calc/engagement.py, tightening.py and torque.py, where the sources stand.
// It never offers a torque, a force or a limit: the torque comes from the vehicle's service information.

import { remainder, toDecimals } from "./arithmetic.js";
import { checkChoice, checkKeys, checkNumber, checkText } from "./checks.js";
import { proofLoadN } from "./threads.js";

/** Wanted engagement in nominal diameters by metal: a setting (common practice, no source). */
export const WANTED_DIAMETERS = { steel: 1.0, iron: 1.5, aluminium: 2.0 };

const STAGE_SHARES = [0.3, 0.7]; // before the typed torque itself (common practice, no source)
const NM_PER_LBF_FT = 1.3558179483314004; // exact by definition
// Torque = K times preload times diameter: K from slippery to dry and plated, preload by share of the proof load.
const K = { lowest: 0.12, highest: 0.2 };
const PROOF_SHARE = { lowest: 0.5, highest: 0.9 };

/** @returns {number} wanted engagement in mm: for a stud the whole nut and one pitch, else diameters by metal */
export function wantedMm(thread, metal, wantedDiameters, nutHeightMm) {
  if (nutHeightMm !== null) return nutHeightMm + thread.pitch_mm;
  return (wantedDiameters ?? WANTED_DIAMETERS[metal]) * thread.diameter_mm;
}

/**
 * What a stack leaves of one bolt's engagement, in mm.
 * @param {number} stackMm
 * @param {number} engagedMm today's engagement, without rings
 * @param {number} wantMm
 * @param {number|null} depthMm usable depth of a blind hole; null where the bolt cannot bottom
 * @returns {{left_mm: number, longer_by_mm: number, bottoms_at_mm: number|null}} bottoms_at_mm: the extra length at which
 *   a longer bolt would touch the bottom
 */
export function engagementAtBolt(stackMm, engagedMm, wantMm, depthMm) {
  const leftMm = engagedMm - stackMm;
  return {
    left_mm: toDecimals(leftMm, 2),
    longer_by_mm: toDecimals(Math.max(wantMm - leftMm, 0), 2),
    bottoms_at_mm: depthMm === null ? null : toDecimals(depthMm - leftMm, 2),
  };
}

/** @returns {{at_least_mm: number, less_than_mm: number|null, possible: boolean}} the extra length that suits all bolts */
export function commonLength(engagements) {
  const atLeast = Math.max(...engagements.map((each) => each.longer_by_mm));
  const limits = engagements.map((each) => each.bottoms_at_mm).filter((limit) => limit !== null);
  const lessThan = limits.length > 0 ? Math.min(...limits) : null;
  return { at_least_mm: atLeast, less_than_mm: lessThan, possible: lessThan === null || atLeast < lessThan };
}

/**
 * The cross-pattern order of places round a circle: opposite places by pairs, an odd count by a step that shares no
 * factor with it.
 * @param {number} count
 * @returns {number[]} places from 0
 */
export function crossOrder(count) {
  const places = [...Array(count).keys()];
  if (count < 3) return places;
  if (count % 2 === 1) return places.map((k) => k * (count - 1) / 2 % count);
  return crossOrder(count / 2).flatMap((first) => [first, first + count / 2]);
}

/** @returns {number[]} the numbers of the bolts ([radius, clock], 1 is the first listed) in the order of tightening */
export function tighteningOrder(bolts) {
  const clockOf = (k) => remainder(bolts[k][1], 360);
  const places = [...bolts.keys()].sort((a, b) => clockOf(a) - clockOf(b) || bolts[a][0] - bolts[b][0] || a - b);
  return crossOrder(bolts.length).map((place) => places[place] + 1);
}

/** @returns {object[]} rounds [{torque, unit, angle_deg}] up to the typed torque; a typed angle is a round of its own */
export function tighteningStages({ value, unit, angle_deg }) {
  const torques = [...STAGE_SHARES.map((share) => toDecimals(value * share, 0)), value];
  const stages = torques.map((torque) => ({ torque, unit, angle_deg: null }));
  return angle_deg === null ? stages : [...stages, { torque: null, unit: null, angle_deg }];
}

/** @returns {{value: number, unit: string, source: string, angle_deg: number|null}} checked; a source is required */
export function checkTorque(value, field) {
  checkKeys(value, field, ["value", "unit", "source"], ["angle_deg"]);
  const angle = value.angle_deg ?? null;
  return {
    value: checkNumber(value.value, `${field}.value`, 0.1, 1000),
    unit: checkChoice(value.unit, `${field}.unit`, ["N·m", "lbf·ft"]),
    source: checkText(value.source, `${field}.source`),
    angle_deg: angle === null ? null : checkNumber(angle, `${field}.angle_deg`, 1, 360),
  };
}

/**
 * How a typed torque is judged. One that an angle follows is only a snug torque, so it is not judged.
 * @param {object} torque checked
 * @param {object|null} thread
 * @param {string|null} propertyClass
 * @returns {{nm: number, judged: "low"|"usual"|"high"|null, why: string|null}} why it is not judged
 */
export function torqueReport({ value, unit, angle_deg }, thread, propertyClass) {
  const newtonMetres = unit === "lbf·ft" ? value * NM_PER_LBF_FT : value;
  const isKnown = thread !== null && propertyClass !== null;
  const why = angle_deg !== null ? "followed-by-an-angle" : isKnown ? null : "thread-or-class-not-given";
  const judged = why === null ? judgedTorque(newtonMetres, thread, propertyClass) : null;
  return { nm: toDecimals(newtonMetres, 1), judged, why };
}

function judgedTorque(newtonMetres, thread, propertyClass) {
  const proofNm = proofLoadN(thread, propertyClass) * thread.diameter_mm / 1000;
  if (newtonMetres < K.lowest * PROOF_SHARE.lowest * proofNm) return "low";
  return newtonMetres > K.highest * PROOF_SHARE.highest * proofNm ? "high" : "usual";
}
