// Where a value stands to its window. Pure, in whole mdeg; the words are elsewhere.

/**
 * @param {number} mdeg
 * @param {[number, number]} window lowest and highest allowed
 * @returns {number} how far beyond the nearer edge: negative below the window, positive above it, 0 inside
 */
export function beyond(mdeg, [low, high]) {
  return mdeg < low ? mdeg - low : mdeg > high ? mdeg - high : 0;
}
