// What two rings do at any clocks, in closed form: for clocks between marks, rings turned over and pairs turned on the
// bolts. The twin of calc/rings/tilt.py. It knows no readings. Taper and clocks in radians, effects in mdeg.

import { radiansOf } from "../numbers/arithmetic.js";
import { thickPointClock } from "./rings.js";

/** Millidegrees in a radian. */
export const MDEG_PER_RAD = 180000 / Math.PI;

/**
 * A ring where it sits.
 * @param {object} ring
 * @param {number} markAtTop
 * @returns {{taperRad: number, clockRad: number, taperSdMdeg: number, stepRad: number}}
 */
export function placedRing(ring, markAtTop) {
  return {
    taperRad: radiansOf(ring.taper_mdeg / 1000),
    clockRad: thickPointClock(ring, markAtTop),
    taperSdMdeg: ring.taper_sd_mdeg,
    stepRad: 2 * Math.PI / ring.marks,
  };
}

/** The two rings of an index pair where they sit, inner first. */
export function placedPair(ringSet, [i, j]) {
  return [placedRing(ringSet.inner, i), placedRing(ringSet.outer, j)];
}

/** The ring the wrong way round: its thick point stands mirrored about the vertical. */
export function turnedOver(placed) {
  return { ...placed, clockRad: -placed.clockRad };
}

/** The pair turned as one, towards the rear positive. */
export function turnedBy(rings, turnRad) {
  return rings.map((placed) => ({ ...placed, clockRad: placed.clockRad + turnRad }));
}

/**
 * The exact effect of two placed rings, not rounded: the hub face's normal is the product of their rotations.
 * @param {object[]} rings inner and outer, placed
 * @returns {number[]} [camber, toe] in mdeg
 */
export function effectMdeg([inner, outer]) {
  const [sineA, cosineA] = [Math.sin(inner.taperRad), Math.cos(inner.taperRad)];
  const [sineB, cosineB] = [Math.sin(outer.taperRad), Math.cos(outer.taperRad)];
  const between = Math.cos(inner.clockRad - outer.clockRad);
  const alongInner = sineA * cosineB + sineB * between * (cosineA - 1);
  const outboard = cosineA * cosineB - sineA * sineB * between;
  const camber = alongInner * Math.cos(inner.clockRad) + sineB * Math.cos(outer.clockRad);
  const toe = alongInner * Math.sin(inner.clockRad) + sineB * Math.sin(outer.clockRad);
  return [Math.atan2(camber, outboard) * MDEG_PER_RAD, Math.atan2(toe, outboard) * MDEG_PER_RAD];
}
