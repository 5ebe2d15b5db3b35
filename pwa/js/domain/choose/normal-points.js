// A fixed cloud of points that stands for four independent standard normals: the Halton sequence sent through the
// inverse normal distribution. Fixed, so that the same plan always shows the same chance, in Python and here.

import {
  CENTRE_OVER, CENTRE_UNDER, FAR_OVER, FAR_UNDER, HALTON_BASES, NEAR_OVER, NEAR_UNDER, POINTS,
} from "../constants.js";

/**
 * The standard normal deviate below which a share of all values lies.
 * @param {number} share more than 0, less than 1
 * @returns {number} accurate to about 1 part in 10^16
 */
export function inverseNormal(share) {
  const fromMiddle = share - 0.5;
  if (Math.abs(fromMiddle) <= 0.425) {
    const r = 0.180625 - fromMiddle * fromMiddle;
    return fromMiddle * polynomial(CENTRE_OVER, r) / polynomial(CENTRE_UNDER, r);
  }
  const r = Math.sqrt(-Math.log(fromMiddle < 0 ? share : 1 - share));
  const deviate = r <= 5
    ? polynomial(NEAR_OVER, r - 1.6) / polynomial(NEAR_UNDER, r - 1.6)
    : polynomial(FAR_OVER, r - 5) / polynomial(FAR_UNDER, r - 5);
  return fromMiddle < 0 ? -deviate : deviate;
}

/**
 * Point n of the Halton sequence in one base: the digits of n mirrored behind the point.
 * @param {number} n from 1
 * @param {number} base
 * @returns {number} more than 0, less than 1
 */
export function radicalInverse(n, base) {
  let mirrored = 0;
  let denominator = 1;
  for (let rest = n; rest > 0; rest = Math.floor(rest / base)) {
    mirrored = mirrored * base + (rest % base);
    denominator *= base;
  }
  return mirrored / denominator;
}

let points = null;

/** @returns {Float64Array} POINTS times four standard normals, made at the first call */
export function normalPoints() {
  points ??= makePoints();
  return points;
}

function makePoints() {
  const made = new Float64Array(POINTS * HALTON_BASES.length);
  for (let at = 0; at < made.length; at++) {
    const n = 1 + Math.floor(at / HALTON_BASES.length);
    made[at] = inverseNormal(radicalInverse(n, HALTON_BASES[at % HALTON_BASES.length]));
  }
  return made;
}

function polynomial(coefficients, x) {
  let sum = 0;
  for (let power = coefficients.length - 1; power >= 0; power--) sum = sum * x + coefficients[power];
  return sum;
}
