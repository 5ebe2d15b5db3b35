// Clearances cut into rings: between which marks they lie, and whether rings that are cut serve once more.
// The twin of calc/rings/cutting.py. A slot is known by its clock against the ring's thick point, so how the cut rings
// were marked does not matter.

import { degreesOf, remainder, toDecimals } from "../numbers/arithmetic.js";
import { servedBy } from "./bolt-pattern.js";
import { clockSense } from "./rings.js";

/** @returns {number} a mark number counted round the ring, to 0.01 */
export function wrappedMark(ring, mark) {
  const turned = toDecimals(remainder(mark - ring.first_mark, ring.marks), 2);
  return toDecimals((turned < ring.marks ? turned : 0) + ring.first_mark, 2);
}

/**
 * Where one bolt's clearance lies on a ring, in mark numbers counted upwards.
 * @param {object} ring
 * @param {number} markAtTop
 * @param {number[]} bolt [radius in mm, clock in degrees]; the radius is more than half the clearance
 * @param {number} clearanceMm
 * @returns {{centre: number, from: number, to: number, between: number[]}} between: the whole marks just outside it
 */
export function clearanceMarks(ring, markAtTop, [radiusMm, clockDeg], clearanceMm) {
  const halfDeg = degreesOf(Math.asin(clearanceMm / 2 / radiusMm));
  const edges = [-halfDeg, halfDeg].map((turn) => markAtClock(ring, markAtTop, clockDeg + turn)).sort((a, b) => a - b);
  return {
    centre: wrappedMark(ring, markAtClock(ring, markAtTop, clockDeg)),
    from: wrappedMark(ring, edges[0]),
    to: wrappedMark(ring, edges[1]),
    between: [
      wrappedMark(ring, Math.floor(toDecimals(edges[0], 2))),
      wrappedMark(ring, Math.ceil(toDecimals(edges[1], 2))),
    ],
  };
}

/**
 * Whether a ring cut for one clock of its thick point can go in at another: as it is, its slots move with the thick
 * point; turned over, they lie mirrored about it. As it is comes first, because turning over turns the marked face too.
 * @param {number[][]} bolts
 * @param {number} oldThickDeg
 * @param {number} newThickDeg
 * @param {number} slackMm
 * @returns {{serves: boolean, turned_over: boolean}}
 */
export function cutRingServes(bolts, oldThickDeg, newThickDeg, slackMm) {
  const asItIs = bolts.map(([radius, clock]) => [radius, clock + newThickDeg - oldThickDeg]);
  if (servedBy(bolts, asItIs, slackMm)) return { serves: true, turned_over: false };
  const mirrored = bolts.map(([radius, clock]) => [radius, newThickDeg + oldThickDeg - clock]);
  const serves = servedBy(bolts, mirrored, slackMm);
  return { serves, turned_over: serves };
}

function markAtClock(ring, markAtTop, clockDeg) {
  return markAtTop + clockSense(ring) * clockDeg / 360 * ring.marks;
}
