// A card template made by hand from a rubbing of the flange, where there is no printer: what to mark on the card, with
// a rule and a pair of compasses alone. Pure; lengths in mm, as seen by the person at that wheel.

import { CLEARANCE_MM } from "../constants.js";
import { clearanceMarks } from "../rings/cutting.js";
import { thickPointClock } from "../rings/rings.js";
import { remainder, toDecimals } from "../numbers/arithmetic.js";
import { RINGS } from "../numbers/sides.js";

/**
 * @param {{side: "left"|"right", ringSet: object, pair: number[], bolts: object|null}} fitting
 * @returns {{rings: object[], bolts: object[]}} rings: {name, mark, outer_mm, bore_mm, thick: place}; bolts: {number,
 *   radius_mm, place, hole_mm: width of the clearance or null, between: {inner, outer} or null}. A place is {clock_deg,
 *   way: "top"|"rear"| "front"|"bottom", chord_mm: straight from the top point of the same circle}
 */
export function cardTemplate({ ringSet, pair, bolts }) {
  const hole = bolts?.thread ? CLEARANCE_MM[bolts.thread.diameter_mm] : null;
  return {
    rings: RINGS.map((name, k) => ({
      name,
      mark: pair[k],
      outer_mm: ringSet[name].outer_diameter_mm,
      bore_mm: ringSet[name].bore_diameter_mm,
      thick: placeOn(ringSet[name].outer_diameter_mm / 2, thickPointClock(ringSet[name], pair[k]) * 180 / Math.PI),
    })),
    bolts: (bolts?.at ?? []).map(([radius_mm, clock], k) => ({
      number: k + 1,
      radius_mm: toDecimals(radius_mm, 1),
      place: placeOn(radius_mm, clock),
      hole_mm: hole,
      between: hole && Object.fromEntries(
        RINGS.map((name, at) => [name, clearanceMarks(ringSet[name], pair[at], [radius_mm, clock], hole).between])),
    })),
  };
}

/** Where a point of a circle is, as the straight distance from that circle's top, and on which hand. */
export function placeOn(radiusMm, clockDeg) {
  const clock_deg = toDecimals(remainder(clockDeg, 360), 1) % 360;
  const chord = 2 * radiusMm * Math.sin(clock_deg * Math.PI / 360);
  const way = clock_deg === 0 ? "top" : clock_deg === 180 ? "bottom" : clock_deg < 180 ? "rear" : "front";
  return { clock_deg, way, chord_mm: toDecimals(chord, 1) };
}
