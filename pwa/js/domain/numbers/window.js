// Where a value stands to its window. Pure, in whole mdeg; the words are elsewhere. A window is [low, high]; an edge
// that is null is open ("at most", "at least").

/** @returns {[number, number]|null} the window with an edge at infinity where it is open */
export function edgesOf(window) {
  return window && [window[0] ?? -Infinity, window[1] ?? Infinity];
}

/** @returns {boolean} whether a window has both edges */
export function isClosed(window) {
  return window !== null && edgesOf(window).every(Number.isFinite);
}

/**
 * @param {number} mdeg
 * @param {[number|null, number|null]} window lowest and highest allowed
 * @returns {number} how far beyond the nearer edge: negative below the window, positive above it, 0 inside
 */
export function beyond(mdeg, window) {
  const [low, high] = edgesOf(window);
  return mdeg < low ? mdeg - low : mdeg > high ? mdeg - high : 0;
}
