// Bolt patterns as lists of [radius in mm, clock in degrees]: which turns and mirrorings bring one onto itself.
// The twin of calc/rings/bolt_pattern.py.

import { MOST_BOLTS, SLACK_MM } from "../constants.js";
import { radiansOf, remainder, toDecimals } from "../numbers/arithmetic.js";
import { checkList, checkNumber } from "../numbers/checks.js";

/** @returns {number[][]} the list, checked: clocks from -360 to 720 as typed */
export function checkBolts(value, field, fewest = 0) {
  return checkList(value, field, fewest, MOST_BOLTS).map((item, k) => {
    const [radius, clock] = checkList(item, `${field}[${k}]`, 2, 2);
    return [checkNumber(radius, `${field}[${k}][0]`, 1, 1000), checkNumber(clock, `${field}[${k}][1]`, -360, 720)];
  });
}

/** @returns {boolean} whether every bolt stands within `slackMm` of the middle of some slot */
export function servedBy(bolts, slots, slackMm = SLACK_MM) {
  const middles = slots.map(pointOf);
  return bolts.every((bolt) => {
    const [x, y] = pointOf(bolt);
    return middles.some((middle) => Math.hypot(x - middle[0], y - middle[1]) <= slackMm);
  });
}

/** @returns {number[]} the turns in degrees, over 0 and below 360, rising, that bring the pattern onto itself */
export function patternTurns(bolts) {
  if (bolts.length === 0) return [];
  const [radius, first] = bolts[0];
  const alike = bolts.filter(([other]) => Math.abs(other - radius) <= SLACK_MM);
  const turns = new Set(alike.map(([, clock]) => toDecimals(remainder(clock - first, 360), 6)));
  return [...turns].sort((a, b) => a - b).filter((turn) => {
    return turn > 0 && turn < 360 && servedBy(bolts, bolts.map(([r, clock]) => [r, clock + turn]));
  });
}

// [rearward, up]
function pointOf([radiusMm, clockDeg]) {
  const clock = radiansOf(clockDeg);
  return [radiusMm * Math.sin(clock), radiusMm * Math.cos(clock)];
}
