/**
 * What each measured quantity may be typed in, and the two ways it can go, positive first
 * (design: toe in, camber top out, thrust to the right, total toe in, left more positive than right).
 */

const LENGTH_TOO = ["deg", "deg-min", "mm", "inch"];
const ANGLE_ONLY = ["deg", "deg-min"];

const QUANTITIES = {
  "camber": { units: ANGLE_ONLY, ways: ["top-out", "top-in"] },
  "toe": { units: LENGTH_TOO, ways: ["in", "out"] },
  "total-toe": { units: LENGTH_TOO, ways: ["in", "out"] },
  "thrust": { units: ANGLE_ONLY, ways: ["right", "left"] },
  "cross-camber": { units: ANGLE_ONLY, ways: ["more", "less"] },
};

/** @returns {string[]} units in the order in which they are offered */
export function unitsOf(quantity) {
  return QUANTITIES[quantity].units;
}

/** @returns {[string, string]} the positive way and the negative way */
export function waysOf(quantity) {
  return QUANTITIES[quantity].ways;
}

/** @returns {string} the way that a signed number of millidegrees goes; zero counts as positive */
export function wayOf(quantity, mdeg) {
  return QUANTITIES[quantity].ways[mdeg < 0 ? 1 : 0];
}
