// What a stack leaves of a bolt's or stud's engagement. The twin of calc/fit/engagement.py, where the sources stand.

import { WANTED_DIAMETERS } from "../constants.js";
import { toDecimals } from "../numbers/arithmetic.js";

/** @returns {number} wanted engagement in mm: for a stud the whole nut and one pitch, else diameters by metal */
export function wantedMm(thread, metal, nutHeightMm) {
  if (nutHeightMm !== null) return nutHeightMm + thread.pitch_mm;
  return WANTED_DIAMETERS[metal] * thread.diameter_mm;
}

/**
 * What a stack leaves of one bolt's engagement, in mm.
 * @param {number} stackMm
 * @param {number} engagedMm today's engagement, without rings
 * @param {number} wantMm
 * @param {number|null} depthMm usable depth of a blind hole; null where the bolt cannot bottom
 * @returns {{left_mm: number, longer_by_mm: number, bottoms_at_mm: number|null}} bottoms_at_mm: the extra length at
 *   which a longer bolt would touch the bottom
 */
export function engagementAtBolt(stackMm, engagedMm, wantMm, depthMm) {
  const leftMm = engagedMm - stackMm;
  return {
    left_mm: toDecimals(leftMm, 2),
    longer_by_mm: toDecimals(Math.max(wantMm - leftMm, 0), 2),
    bottoms_at_mm: depthMm === null ? null : toDecimals(depthMm - leftMm, 2),
  };
}

/**
 * @returns {{at_least_mm: number, less_than_mm: number|null, possible: boolean}} the extra length that suits all bolts
 */
export function commonLength(engagements) {
  const atLeast = Math.max(...engagements.map((each) => each.longer_by_mm));
  const limits = engagements.map((each) => each.bottoms_at_mm).filter((limit) => limit !== null);
  const lessThan = limits.length > 0 ? Math.min(...limits) : null;
  return { at_least_mm: atLeast, less_than_mm: lessThan, possible: lessThan === null || atLeast < lessThan };
}
