// Metric screw threads M8 to M16: sizes and proof loads. The twin of calc/fit/threads.py, where the sources stand.
// It knows nothing of torque or rings. A thread is {diameter_mm, pitch_mm}; stresses in MPa, forces in N.

import { checkChoice, checkKeys, checkNumber } from "../numbers/checks.js";
import { InputError } from "../numbers/input-error.js";

/** Pitches in mm by nominal diameter, coarse first (ISO 261, ISO 262). */
export const PITCHES_MM = { 8: [1.25, 1.0], 10: [1.5, 1.25, 1.0], 12: [1.75, 1.5, 1.25], 14: [2.0, 1.5], 16: [2.0, 1.5] };

/** Stress under proof load by property class, for diameters up to 16 mm (ISO 898-1). */
export const PROOF_STRESS_MPA = { "8.8": 580, "9.8": 650, "10.9": 830, "12.9": 970 };

const STRESS_DIAMETER_PITCHES = 0.938194; // ISO 898-1, nominal stress area

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
