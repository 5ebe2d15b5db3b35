// The measured quantities: the two angles of a wheel, those of the axle, what each may be typed in, and in which words it
// goes up and down. The signs of the whole program stand here once for JavaScript, as in calc/numbers/quantities.py. Pure.

/** The angles of one wheel, in the order of every pair of numbers. */
export const PARTS = Object.freeze(["camber", "toe"]);

/** The angles of the axle: [quantity, its name among numbers]. */
export const AXLE = Object.freeze([["total-toe", "total_toe"], ["thrust", "thrust"], ["cross-camber", "cross_camber"]]);

const ANGLES = ["deg", "deg-min"];
const LENGTHS = ["mm", "inch"];
/** Quantities that some equipment shows as a length across the wheel. */
const ALSO_LENGTHS = ["toe", "total-toe"];

/** For each quantity the positive way first. */
export const WAYS = Object.freeze({
  "camber": ["top-out", "top-in"],
  "toe": ["in", "out"],
  "total-toe": ["in", "out"],
  "thrust": ["right", "left"],
  "cross-camber": ["more", "less"],
});

/** @returns {string[]} units in the order in which they are offered */
export function unitsOf(quantity) {
  return ALSO_LENGTHS.includes(quantity) ? [...ANGLES, ...LENGTHS] : ANGLES;
}

/** @returns {boolean} whether that unit is a length, which wants a diameter beside it */
export function isLength(unit) {
  return LENGTHS.includes(unit);
}

/** @returns {[string, string]} the positive way and the negative way */
export function waysOf(quantity) {
  return WAYS[quantity];
}

/** @returns {string} the way that a signed angle goes; zero counts as positive */
export function wayOf(quantity, mdeg) {
  return WAYS[quantity][mdeg < 0 ? 1 : 0];
}
