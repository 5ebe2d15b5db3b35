// Whole random numbers that are the same in every run. Not fit for anything but tests.

/** Returns a function (low, high) -> whole number from low to high, both included. */
export function seededWhole(seed) {
  let state = seed;
  return (low, high) => {
    state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff;
    return low + Math.floor(state / 0x80000000 * (high - low + 1));
  };
}
