// How toe may have been read or typed wrong: its sign or its unit, at base, at check or at both. The twin of
// calc/prove/toe_slips.py. It knows factors alone, no rings and no readings: causes.js says what each would have shown.

import { MISREAD_READINGS, SLIP_TYPED_IN, TOE_DIAMETERS_MM, TOE_UNIT_FACTORS } from "../constants.js";
import { MDEG_PER_RAD } from "../rings/tilt.js";

/**
 * @param {{base: string|null, check: string|null}} toeUnits in which toe was typed, null where it is not known
 * @returns {{code: string, detail: object, factor: number, weight: number}[]} the slips of toe-sign-mistaken, then
 *   those of toe-unit-mistaken that the typed units leave room for: recorded toe is `factor` times the true one
 */
export function toeSlips(toeUnits) {
  const signs = MISREAD_READINGS.map((reading) => {
    return { code: "toe-sign-mistaken", detail: { reading }, factor: -1, weight: 1 };
  });
  const units = Object.entries(slipFactors()).flatMap(([slip, factors]) => {
    const readings = MISREAD_READINGS.filter((reading) => mayBeTyped(slip, reading, toeUnits));
    return readings.flatMap((reading) => factors.map((factor) => {
      return { code: "toe-unit-mistaken", detail: { reading, slip }, factor, weight: 1 / factors.length };
    }));
  });
  return [...signs, ...units];
}

// Per slip of unit the toe recorded over the toe meant; a length in mm is D sin(toe), near zero.
function slipFactors() {
  const mdegPerMm = TOE_DIAMETERS_MM.map((diameter) => Math.asin(1 / diameter) * MDEG_PER_RAD);
  return {
    ...Object.fromEntries(Object.entries(TOE_UNIT_FACTORS).map(([slip, factor]) => [slip, [factor]])),
    "millimetres-for-degrees": mdegPerMm.map((mdeg) => 1000 / mdeg),
    "degrees-for-millimetres": mdegPerMm.map((mdeg) => mdeg / 1000),
  };
}

// A unit that is not known leaves room for every slip.
function mayBeTyped(slip, reading, toeUnits) {
  const wanted = SLIP_TYPED_IN[slip];
  const names = Object.keys(toeUnits).filter((name) => reading === name || reading === "both");
  return wanted === undefined || names.every((name) => toeUnits[name] === null || toeUnits[name] === wanted);
}
