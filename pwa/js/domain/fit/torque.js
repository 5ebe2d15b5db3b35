// How a typed torque is judged for thread and class. The twin of calc/fit/torque.py, where the sources stand.
// It never offers a torque, a force or a limit: the torque comes from the vehicle's service information.

import { toDecimals } from "../numbers/arithmetic.js";
import { checkChoice, checkKeys, checkNumber, checkText } from "../numbers/checks.js";
import { proofLoadN } from "./threads.js";

/** Newton metres in one of each unit that a torque may be typed in; exact by definition. */
export const NM_PER = Object.freeze({ "N·m": 1, "lbf·ft": 1.3558179483314004 });

// Torque = K times preload times diameter: K from slippery to dry and plated, preload by share of the proof load.
const K = { lowest: 0.12, highest: 0.2 };
const PROOF_SHARE = { lowest: 0.5, highest: 0.9 };

/** @returns {{value: number, unit: string, source: string, angle_deg: number|null}} checked; a source is required */
export function checkTorque(value, field) {
  checkKeys(value, field, ["value", "unit", "source"], ["angle_deg"]);
  const angle = value.angle_deg ?? null;
  return {
    value: checkNumber(value.value, `${field}.value`, 0.1, 1000),
    unit: checkChoice(value.unit, `${field}.unit`, Object.keys(NM_PER)),
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
  const newtonMetres = value * NM_PER[unit];
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
