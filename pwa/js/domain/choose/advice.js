// Advice codes: the right answer is often not a pair of rings. The twin of calc/choose/advice.py: codes only, the words are the
// screens'. An angle without a window is neither outside nor near an edge; "within" includes the limit, "above", "below"
// and "more than" exclude it.

import { PARTS } from "../numbers/quantities.js";
import { SIDES } from "../numbers/sides.js";

const EDGE_SDS = 2;
const ONE_WHEEL_MDEG = 800;
const ALIKE_MDEG = 300;
const USUAL_CAMBER_MDEG = 2000;
const USUAL_TOE_MDEG = 1000;

/**
 * @param {object} request checked input of choosing
 * @param {object[]} plans as `choose` gives them, the recommended one first
 * @returns {string[]} the codes that apply, always in this order
 */
export function adviceOf(request, plans) {
  const isOutOfReach = plans.every((plan) => plan.toe_outside > 0 || plan.camber_outside > 0);
  return [
    ...SIDES.filter((wheel) => isWorthRereading(request, plans[0], wheel)).map((wheel) => `reread-${wheel}`),
    ...damageOf(request),
    ...(isOutOfReach ? ["out-of-reach"] : []),
  ];
}

/**
 * The patterns of damage that the base readings alone show.
 * @param {object} request checked input of choosing
 * @returns {string[]} the codes that apply, always in this order
 */
export function damageOf(request) {
  const needs = { left: needOf(request, "left"), right: needOf(request, "right") };
  const rules = {
    "skewed-axle": isAxleSkewed(request, needs),
    "one-wheel-off": isOneWheelOff(needs),
    "height-or-load": isHeightOrLoad(request, needs),
    "beyond-usual": isBeyondUsual(needs),
  };
  return Object.keys(rules).filter((code) => rules[code]);
}

// The smallest move of the base reading into the wheel's own windows, signed.
function needOf({ wheels, windows }, wheel) {
  return {
    camber: move(wheels[wheel].camber, windows[wheel].camber),
    toe: move(wheels[wheel].toe, windows[wheel].toe),
  };
}

function move(angle, window) {
  if (window === null) return 0;
  return Math.min(Math.max(angle, window[0]), window[1]) - angle;
}

function isWithin(angle, window) {
  return move(angle, window) === 0;
}

function isWorthRereading(request, recommended, wheel) {
  if (recommended[wheel] === null) return isNearEdge(request, wheel);
  const { camber, toe } = needOf(request, wheel);
  const isNeeded = camber !== 0 || toe !== 0;
  return isNeeded && Math.abs(camber) < request.band.camber && Math.abs(toe) < request.band.toe;
}

function isNearEdge({ wheels, windows, spread }, wheel) {
  return PARTS.some((angle) => {
    const reach = EDGE_SDS * spread[`${angle}_sd`][wheel];
    return (windows[wheel][angle] ?? []).some((edge) => Math.abs(wheels[wheel][angle] - edge) <= reach);
  });
}

function isAxleSkewed({ wheels: { left, right }, axle }, needs) {
  return needs.left.toe * needs.right.toe < 0 && needs.left.camber === 0 && needs.right.camber === 0 &&
    !isWithin((left.toe - right.toe) / 2, axle.thrust) && isWithin(left.toe + right.toe, axle.total_toe);
}

function isOneWheelOff({ left, right }) {
  return Math.abs(left.camber - right.camber) > ONE_WHEEL_MDEG || Math.abs(left.toe - right.toe) > ONE_WHEEL_MDEG;
}

function isHeightOrLoad({ band }, needs) {
  const [left, right] = [needs.left.camber, needs.right.camber];
  return left * right > 0 && Math.min(Math.abs(left), Math.abs(right)) > band.camber &&
    Math.abs(left - right) < ALIKE_MDEG;
}

function isBeyondUsual(needs) {
  return Object.values(needs).some(({ camber, toe }) => {
    return Math.abs(camber) > USUAL_CAMBER_MDEG || Math.abs(toe) > USUAL_TOE_MDEG;
  });
}
