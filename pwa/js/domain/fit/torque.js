// How a typed torque is judged for thread and class. The twin of calc/fit/torque.py, where the sources stand.
// It never offers a torque, a force or a limit: the torque comes from the vehicle's service information.

import {
  NM_PER_LBF_FT, NUT_FACTOR_HIGHEST, NUT_FACTOR_LOWEST, PROOF_SHARE_HIGHEST, PROOF_SHARE_LOWEST, TORQUE_UNIT_NAMES,
} from "../constants.js";
import { toDecimals } from "../numbers/arithmetic.js";
import { checkChoice, checkKeys, checkNumber, checkText } from "../numbers/checks.js";
import { proofLoadN } from "./threads.js";

/** Newton metres in one of each unit that a torque may be typed in. */
export const NM_PER = Object.freeze({ "N·m": 1, "lbf·ft": NM_PER_LBF_FT });

/**
 * In which unit a figure is usual. "other" is a slip of unit that can be told; most are "either", for a lbf·ft is only
 * 1.36 N·m.
 * @returns {"typed"|"other"|"either"|"neither"}
 */
export function unitThatFits(value, unit, thread, propertyClass) {
  const other = unit === "N·m" ? "lbf·ft" : "N·m";
  const [typedFits, otherFits] = [unit, other]
    .map((each) => judgedTorque(value * NM_PER[each], thread, propertyClass) === "usual");
  if (typedFits) return otherFits ? "either" : "typed";
  return otherFits ? "other" : "neither";
}

/**
 * What is known of a torque's unit, and whether a person still has to say it by name, as the source prints it.
 * @param {object} torque checked; `unit_named` is the name of a unit that a person read in the source
 * @param {object|null} thread
 * @param {string|null} propertyClass
 * @returns {{fits: string|null, named: "confirmed"|"differs"|null, to_be_named: boolean}} `fits` as unitThatFits, null
 *   where no judgement is possible
 */
export function unitQuestion({ value, unit, angle_deg, unit_named = null }, thread, propertyClass) {
  const canJudge = angle_deg === null && thread !== null && propertyClass !== null;
  const fits = canJudge ? unitThatFits(value, unit, thread, propertyClass) : null;
  const named = unit_named === null ? null : unit_named === TORQUE_UNIT_NAMES[unit] ? "confirmed" : "differs";
  return { fits, named, to_be_named: named !== "confirmed" };
}

/**
 * @returns {{value: number, unit: string, source: string, angle_deg: number|null, unit_named: string|null}} checked; a
 *   source is required
 */
export function checkTorque(value, field) {
  checkKeys(value, field, ["value", "unit", "source"], ["angle_deg", "unit_named"]);
  const [angle, named] = [value.angle_deg ?? null, value.unit_named ?? null];
  return {
    value: checkNumber(value.value, `${field}.value`, 0.1, 1000),
    unit: checkChoice(value.unit, `${field}.unit`, Object.keys(NM_PER)),
    source: checkText(value.source, `${field}.source`),
    angle_deg: angle === null ? null : checkNumber(angle, `${field}.angle_deg`, 1, 360),
    unit_named: named === null ? null : checkChoice(named, `${field}.unit_named`, Object.values(TORQUE_UNIT_NAMES)),
  };
}

/**
 * How a typed torque is judged. One that an angle follows is only a snug torque, so it is not judged.
 * @param {object} torque checked
 * @param {object|null} thread
 * @param {string|null} propertyClass
 * @returns {{nm: number, judged: "low"|"usual"|"high"|null, why: string|null, unit: object}} why it is not judged;
 *   `unit` as unitQuestion
 */
export function torqueReport(torque, thread, propertyClass) {
  const { value, unit, angle_deg } = torque;
  const newtonMetres = value * NM_PER[unit];
  const isKnown = thread !== null && propertyClass !== null;
  const why = angle_deg !== null ? "followed-by-an-angle" : isKnown ? null : "thread-or-class-not-given";
  const judged = why === null ? judgedTorque(newtonMetres, thread, propertyClass) : null;
  return { nm: toDecimals(newtonMetres, 1), judged, why, unit: unitQuestion(torque, thread, propertyClass) };
}

function judgedTorque(newtonMetres, thread, propertyClass) {
  const proofNm = proofLoadN(thread, propertyClass) * thread.diameter_mm / 1000;
  if (newtonMetres < NUT_FACTOR_LOWEST * PROOF_SHARE_LOWEST * proofNm) return "low";
  return newtonMetres > NUT_FACTOR_HIGHEST * PROOF_SHARE_HIGHEST * proofNm ? "high" : "usual";
}
