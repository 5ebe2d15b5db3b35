// Advice codes: the right answer is often not a pair of rings. The twin of calc/choose/advice.py: codes only, the words
// are the screens'. An angle without a window is neither outside nor near an edge; "within" and "at most" include the
// limit, "above", "below" and "more than" exclude it. Camber readings are compared as they are where not both wheels
// have a window with two edges.

import {
  ALIKE_MDEG, CAMBER_APART_MDEG, CAMBER_NEED_APART_MDEG, EDGE_SDS, TOE_APART_MDEG, USUAL_CAMBER_MDEG, USUAL_TOE_MDEG,
} from "../constants.js";
import { isTooNear, need, needsOf } from "./base-reading.js";
import { SIDES } from "../numbers/sides.js";
import { isClosed } from "../numbers/window.js";

/**
 * @param {object} request checked input of choosing
 * @param {object[]} plans as `choose` gives them
 * @returns {string[]} the codes that apply, always in this order
 */
export function adviceOf(request, plans) {
  const isOutOfReach = plans.every((plan) => plan.toe_outside > 0 || plan.camber_outside > 0);
  return [
    ...SIDES.filter((wheel) => isTooNear(request, wheel)).map((wheel) => `reread-${wheel}`),
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
  const needs = { left: needsOf(request, "left"), right: needsOf(request, "right") };
  const isSkewed = isAxleSkewed(request, needs);
  const rules = {
    "skewed-axle": isSkewed,
    "one-wheel-off": isOneWheelOff(request, needs, isSkewed),
    "height-or-load": isHeightOrLoad(request, needs),
    "beyond-usual": isBeyondUsual(needs),
  };
  return Object.keys(rules).filter((code) => rules[code]);
}

function isAxleSkewed({ wheels: { left, right }, axle, spread }, needs) {
  return needs.left.toe * needs.right.toe < 0 &&
    need((left.toe - right.toe) / 2, axle.thrust) !== 0 && need(left.toe + right.toe, axle.total_toe) === 0 &&
    SIDES.every((wheel) => Math.abs(needs[wheel].camber) <= EDGE_SDS * spread.camber_sd[wheel]);
}

function isOneWheelOff(request, { left, right }, isSkewed) {
  return (Math.abs(left.toe - right.toe) > TOE_APART_MDEG && !isSkewed) ||
    Math.abs(left.camber - right.camber) > CAMBER_NEED_APART_MDEG ||
    Math.abs(camberApartTwice(request)) > 2 * CAMBER_APART_MDEG;
}

// Twice how far the cambers are apart, left less right, beyond what the windows' middles are.
function camberApartTwice({ wheels, windows }) {
  const apart = 2 * (wheels.left.camber - wheels.right.camber);
  const [left, right] = [windows.left.camber, windows.right.camber];
  return isClosed(left) && isClosed(right) ? apart - (left[0] + left[1] - right[0] - right[1]) : apart;
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
