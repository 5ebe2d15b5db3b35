// Metric screw threads M8 to M16: sizes and proof loads. The twin of calc/fit/threads.py, where the sources stand.
// It knows nothing of torque or rings. A thread is {diameter_mm, pitch_mm}; stresses in MPa, forces in N.

import { COARSE_PITCH_MM, FINE_PITCHES_MM, PROOF_STRESS_MPA, STRESS_DIAMETER_PITCHES } from "../constants.js";
import { checkChoice, checkKeys, checkNumber } from "../numbers/checks.js";
import { InputError } from "../numbers/input-error.js";

/** Pitches in mm by nominal diameter, coarse first. */
export const PITCHES_MM = Object.freeze(Object.fromEntries(
  Object.entries(COARSE_PITCH_MM).map(([diameter, coarse]) => [diameter, [coarse, ...FINE_PITCHES_MM[diameter]]])));

/** @returns {{diameter_mm: number, pitch_mm: number}} the thread, if it is one of those above */
export function checkThread(value, field) {
  checkKeys(value, field, ["diameter_mm", "pitch_mm"]);
  const diameter = checkNumber(value.diameter_mm, `${field}.diameter_mm`, 1, 100);
  const pitch = checkNumber(value.pitch_mm, `${field}.pitch_mm`, 0.1, 10);
  const pitches = PITCHES_MM[diameter];
  if (!pitches) throw new InputError("bad-input", `${field}.diameter_mm`, "8, 10, 12, 14 or 16", diameter);
  if (!pitches.includes(pitch)) {
    throw new InputError("bad-input", `${field}.pitch_mm`, `${pitches.join(" or ")} for M${diameter}`, pitch);
  }
  return value;
}

/** @returns {string} the property class, if it is one of those above */
export function checkClass(value, field) {
  return checkChoice(value, field, Object.keys(PROOF_STRESS_MPA));
}

/** @returns {number} proof load in N: the class's proof stress times the nominal stress area */
export function proofLoadN(thread, propertyClass) {
  const diameter = thread.diameter_mm - STRESS_DIAMETER_PITCHES * thread.pitch_mm;
  return PROOF_STRESS_MPA[propertyClass] * (Math.PI / 4 * diameter * diameter);
}
