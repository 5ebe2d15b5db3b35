// What repeated readings are worth: the twin of calc/numbers/stats.py, for whole millidegrees. It knows nothing of
// rings.

import { PRIOR_READINGS } from "../constants.js";
import { roundHalfAway } from "./units.js";

/** Mean of one or more readings in whole mdeg, halves away from zero. */
export function meanMdeg(readings) {
  return roundHalfAway(sum(readings) / readings.length);
}

/**
 * Standard deviation of the mean of one or more readings, in mdeg: few readings lean on the default, many speak for
 * themselves; one gives the default.
 */
export function sdOfMean(readings, defaultSd) {
  const count = readings.length;
  const mean = sum(readings) / count;
  const squares = sum(readings.map((reading) => (reading - mean) ** 2));
  return Math.sqrt((PRIOR_READINGS * defaultSd ** 2 + squares) / (count + PRIOR_READINGS - 1) / count);
}

function sum(numbers) {
  return numbers.reduce((total, number) => total + number, 0);
}
