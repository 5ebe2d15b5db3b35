// Arithmetic that Python and JavaScript would do differently, stated so that both give the same digits.
// Angles that are chosen with never come here: those are whole millidegrees.

/** Rounds half away from zero to `decimals` places; never minus zero. */
export function toDecimals(number, decimals) {
  const scale = 10 ** decimals;
  const size = Math.floor(Math.abs(number) * scale + 0.5) / scale;
  return number < 0 && size > 0 ? -size : size;
}

/**
 * The remainder with the divisor's sign, for a divisor above zero: at least 0, where JavaScript's % may be negative.
 */
export function remainder(number, divisor) {
  const rest = number % divisor;
  return rest < 0 ? rest + divisor : rest + 0; // + 0 makes minus zero plain
}

/** An angle brought to more than minus half a turn, at most half a turn; `turn` is a whole turn in its unit. */
export function halfTurn(angle, turn) {
  const turned = remainder(angle, turn);
  return turned > turn / 2 ? turned - turn : turned;
}

/** Degrees from radians. */
export function degreesOf(rad) {
  return rad * (180 / Math.PI);
}

/** Radians from degrees. */
export function radiansOf(deg) {
  return deg * (Math.PI / 180);
}
