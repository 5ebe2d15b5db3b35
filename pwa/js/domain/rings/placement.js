// Where everything sits, as the person at that wheel sees it, and how thick the stack is. The twin of
// calc/rings/placement.py. The person stands outboard and looks at the wheel: x to the viewer's right, y up. It decides
// nothing.

import { degreesOf, radiansOf, remainder, toDecimals } from "../numbers/arithmetic.js";
import { facesLook, markClock, thickPointClock, thickness } from "./rings.js";
import { effectMdeg, placedPair } from "./tilt.js";
import { roundHalfAway } from "../numbers/units.js";

/**
 * The place at a radius and clock angle, as the person at that wheel sees it.
 * @param {"left"|"right"} side
 * @returns {[number, number]} x to the viewer's right, y up, in the radius's unit
 */
export function seenAt(side, radius, clockRad) {
  const rearward = radius * Math.sin(clockRad);
  return [side === "left" ? rearward : -rearward, radius * Math.cos(clockRad)];
}

/**
 * How the faces of a pair lie to each other.
 * @returns {{slope: number, clockRad: number}} rise for each mm towards its thickest side, and that side's clock,
 *   within half a turn
 */
export function leanOf(ringSet, pair) {
  const rings = placedPair(ringSet, pair);
  const up = rings.reduce((sum, ring) => sum + Math.tan(ring.taperRad) * Math.cos(ring.clockRad), 0);
  const rearward = rings.reduce((sum, ring) => sum + Math.tan(ring.taperRad) * Math.sin(ring.clockRad), 0);
  return { slope: Math.hypot(up, rearward), clockRad: Math.atan2(rearward, up) };
}

/** @returns {object} the ring as seen: {marked_face, thick_clock_deg, thick_seen, marks: [[mark, clock_deg, x, y]]} */
export function drawnRing(ring, markAtTop, wheel) {
  const thick = wholeClockDeg(thickPointClock(ring, markAtTop));
  return {
    marked_face: facesLook(ring, wheel),
    thick_clock_deg: thick,
    thick_seen: seenPoint(wheel, thick),
    marks: Array.from({ length: ring.marks }, (_, k) => {
      const clock = wholeClockDeg(markClock(ring, markAtTop, ring.first_mark + k));
      return [ring.first_mark + k, clock, ...seenPoint(wheel, clock)];
    }),
  };
}

/** @returns {object[]} bolts or lugs as seen, numbered from 1: {number, radius_mm, clock_deg, seen} in mm */
export function drawnPlaces(places, wheel) {
  return places.map(([radius_mm, clock_deg], k) => {
    return { number: k + 1, radius_mm, clock_deg, seen: seenPoint(wheel, clock_deg, radius_mm) };
  });
}

/** @returns {number} thickness of the pair at a place [radius_mm, clock_deg], mm, not rounded */
export function stackAt(ringSet, [i, j], [radiusMm, clockDeg]) {
  return thickness(ringSet, i, j, radiusMm, radiansOf(clockDeg));
}

/** @returns {number} thickness of the pair at its centre, mm, not rounded */
export function centreMm(ringSet) {
  return ringSet.inner.centre_thickness_mm + ringSet.outer.centre_thickness_mm;
}

/**
 * The stack as a whole.
 * @returns {{centre_mm: number, least_mm: number, most_mm: number, thick_clock_deg: number|null, effect: number[]}}
 *   least and most at the smaller rim; the clock of the thickest point, null for a pair that does not tilt; effect in
 *   mdeg
 */
export function stackSummary(ringSet, pair) {
  const { slope, clockRad } = leanOf(ringSet, pair);
  const rimMm = Math.min(ringSet.inner.outer_diameter_mm, ringSet.outer.outer_diameter_mm) / 2;
  const [middle, lean] = [centreMm(ringSet), rimMm * slope];
  const thickDeg = toDecimals(remainder(degreesOf(clockRad), 360), 1) % 360;
  return {
    centre_mm: toDecimals(middle, 2),
    least_mm: toDecimals(middle - lean, 2),
    most_mm: toDecimals(middle + lean, 2),
    thick_clock_deg: toDecimals(lean, 2) > 0 ? thickDeg : null,
    effect: effectMdeg(placedPair(ringSet, pair)).map(roundHalfAway),
  };
}

function seenPoint(wheel, clockDeg, radius = 1) {
  return seenAt(wheel, radius, radiansOf(clockDeg)).map((mm) => toDecimals(mm, 4));
}

function wholeClockDeg(clockRad) {
  const deg = toDecimals(remainder(degreesOf(clockRad), 360), 3);
  return deg < 360 ? deg : 0;
}
