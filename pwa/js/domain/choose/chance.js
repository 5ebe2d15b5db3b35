// How likely it is that every window holds after fitting, counted on a fixed cloud of points.
// It judges a plan that is already chosen; it never changes which pair is best within a pattern.
// Angles in mdeg, in the order left camber, left toe, right camber, right toe.

import { POINTS } from "../constants.js";
import { normalPoints } from "./normal-points.js";
import { thickPointClock } from "../rings/rings.js";

/**
 * How many points of the cloud are inside every window; divided by POINTS it is the chance.
 * @param {number[]} predicted the four angles after fitting, mdeg
 * @param {number[][]} covariance 4 by 4, mdeg^2
 * @param {{toe: ToeOutside, camber: CamberOutside}} windows
 * @returns {number} 0 to POINTS
 */
export function pointsInside(predicted, covariance, { toe, camber }) {
  const [leftCamber, leftToe, rightCamber, rightToe] = predicted;
  const [[a], [b, c], [d, e, f], [g, h, i, j]] = lowerFactor(covariance);
  const z = normalPoints();
  let inside = 0;
  // most of the time that choosing takes: one angle after the other, out at once
  for (let at = 0; at < z.length; at += 4) {
    const u = leftCamber + a * z[at];
    if (u < camber.leftLow || u > camber.leftHigh) continue;
    const p = leftToe + b * z[at] + c * z[at + 1];
    if (p < toe.leftLow || p > toe.leftHigh) continue;
    const v = rightCamber + d * z[at] + e * z[at + 1] + f * z[at + 2];
    if (v < camber.rightLow || v > camber.rightHigh || u - v < camber.crossLow || u - v > camber.crossHigh) continue;
    const q = rightToe + g * z[at] + h * z[at + 1] + i * z[at + 2] + j * z[at + 3];
    if (q < toe.rightLow || q > toe.rightHigh || p + q < toe.totalLow || p + q > toe.totalHigh) continue;
    const thrust = (p - q) / 2;
    if (thrust >= toe.thrustLow && thrust <= toe.thrustHigh) inside++;
  }
  return inside;
}

/**
 * The covariance of the four angles after fitting, mdeg^2.
 * @param {{ringSet: object, pair: number[], effect: number[]}|null} left what the left wheel gets; null is no rings
 * @param {object|null} right the same of the right wheel
 * @param {object} spread as in choose's input, complete
 * @returns {number[][]} 4 by 4
 */
export function covarianceOf(left, right, spread) {
  const covariance = Array.from({ length: 4 }, () => [0, 0, 0, 0]);
  for (const [at, wheel, fitted] of [[0, "left", left], [2, "right", right]]) {
    const [cc, ct, tt] = wheelCovariance(fitted, spread.camber_sd[wheel], spread.toe_sd[wheel], spread);
    covariance[at][at] = cc;
    covariance[at][at + 1] = covariance[at + 1][at] = ct;
    covariance[at + 1][at + 1] = tt + spread.thrust_sd ** 2;
  }
  covariance[1][3] = covariance[3][1] = -(spread.thrust_sd ** 2);
  return covariance;
}

// [camber variance, covariance, toe variance] of one wheel.
function wheelCovariance(fitted, camberSd, toeSd, spread) {
  const sum = [camberSd ** 2, 0, toeSd ** 2];
  if (fitted === null) return sum;
  const clockSd = spread.clock_sd_deg * Math.PI / 180;
  addAlong(sum, [-fitted.effect[1] * clockSd, fitted.effect[0] * clockSd]);
  const { ringSet, pair } = fitted;
  for (const [ring, mark] of [[ringSet.inner, pair[0]], [ringSet.outer, pair[1]]]) {
    const markSd = spread.mark_sd_steps * 2 * Math.PI / ring.marks;
    const clock = thickPointClock(ring, mark);
    const [along, across] = [[Math.cos(clock), Math.sin(clock)], [-Math.sin(clock), Math.cos(clock)]];
    addAlong(sum, across.map((part) => part * ring.taper_mdeg * markSd));
    addAlong(sum, along.map((part) => part * ring.taper_sd_mdeg));
  }
  sum[0] += spread.seat_sd ** 2;
  sum[2] += spread.seat_sd ** 2;
  return sum;
}

function addAlong(sum, [camber, toe]) {
  sum[0] += camber * camber;
  sum[1] += camber * toe;
  sum[2] += toe * toe;
}

/**
 * The lower-triangular factor F with F F' = covariance. A pivot of zero or less gives a zero column: that direction
 * does not vary.
 * @param {number[][]} covariance symmetric
 * @returns {number[][]} rows of rising length
 */
export function lowerFactor(covariance) {
  const factor = covariance.map((_, row) => new Array(row + 1).fill(0));
  for (let column = 0; column < covariance.length; column++) {
    const pivot = rest(covariance, factor, column, column);
    if (pivot <= 0) continue;
    factor[column][column] = Math.sqrt(pivot);
    for (let row = column + 1; row < covariance.length; row++) {
      factor[row][column] = rest(covariance, factor, row, column) / factor[column][column];
    }
  }
  return factor;
}

function rest(covariance, factor, row, column) {
  let sum = covariance[row][column];
  for (let k = 0; k < column; k++) sum -= factor[row][k] * factor[column][k];
  return sum;
}
