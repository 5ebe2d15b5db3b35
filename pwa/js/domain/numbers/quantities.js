// The measured quantities: the two angles of a wheel, those of the axle, what each may be typed in, and in which words
// it goes up and down. The twin of calc/numbers/quantities.py. Pure.

import { SIGN_WORDS, WHEEL_ANGLES } from "../constants.js";

export { WHEEL_ANGLES };

/** The angles of the axle: [quantity, its name among numbers]. */
export const AXLE_ANGLES = Object.freeze([["total-toe", "total_toe"], ["thrust", "thrust"],
  ["cross-camber", "cross_camber"]]);

const ANGLES = ["deg", "deg-min"];
const LENGTHS = ["mm", "inch"];
/** Quantities that some equipment shows as a length across the wheel. */
const ALSO_LENGTHS = ["toe", "total-toe"];

/** @returns {string[]} units in the order in which they are offered */
export function unitsOf(quantity) {
  return ALSO_LENGTHS.includes(quantity) ? [...ANGLES, ...LENGTHS] : ANGLES;
}

/** @returns {boolean} whether that unit is a length, which wants a diameter beside it */
export function isLength(unit) {
  return LENGTHS.includes(unit);
}

/** @returns {[string, string]} the word where it is positive and where it is negative */
export function signWordsOf(quantity) {
  return SIGN_WORDS[quantity];
}

/** @returns {string} the word for the sign of an angle; zero counts as positive */
export function signWordOf(quantity, mdeg) {
  return SIGN_WORDS[quantity][mdeg < 0 ? 1 : 0];
}
