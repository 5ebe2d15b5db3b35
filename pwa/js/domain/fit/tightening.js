// In which order and in which stages bolts are tightened. The twin of calc/fit/tightening.py. It never offers a torque:
// the stages are shares of the one that was typed.

import { STAGE_SHARES } from "../constants.js";
import { remainder, toDecimals } from "../numbers/arithmetic.js";

/**
 * The cross-pattern order of places round a circle: opposite places by pairs, an odd count by a step that shares no
 * factor with it.
 * @param {number} count
 * @returns {number[]} places from 0
 */
export function crossOrder(count) {
  const places = [...Array(count).keys()];
  if (count < 3) return places;
  if (count % 2 === 1) return places.map((k) => k * (count - 1) / 2 % count);
  return crossOrder(count / 2).flatMap((first) => [first, first + count / 2]);
}

/** @returns {number[]} the numbers of the bolts ([radius, clock], 1 is the first listed) in the order of tightening */
export function tighteningOrder(bolts) {
  const clockOf = (k) => remainder(bolts[k][1], 360);
  const places = [...bolts.keys()].sort((a, b) => clockOf(a) - clockOf(b) || bolts[a][0] - bolts[b][0] || a - b);
  return crossOrder(bolts.length).map((place) => places[place] + 1);
}

/**
 * @returns {object[]} stages [{torque, unit, angle_deg}] up to the typed torque; a typed angle is a stage of its own
 */
export function tighteningStages({ value, unit, angle_deg }) {
  const torques = [...STAGE_SHARES.slice(0, -1).map((share) => toDecimals(value * share, 0)), value];
  const stages = torques.map((torque) => ({ torque, unit, angle_deg: null }));
  return angle_deg === null ? stages : [...stages, { torque: null, unit: null, angle_deg }];
}
