// What one wheel aims at: its part of the distance, which decides between results that are equally far outside.
// The sums run in the order that the rule states, so that Python and JavaScript get the same double.

const LEAST_HALF_MDEG = 50;

/** One wheel's part of the distance. An angle without a term has the half Infinity, so its term is always 0. */
export class WheelAim {
  /**
   * @param {number} camber aimed angle in mdeg
   * @param {number} camberHalf mdeg that count as 1
   * @param {number} toe aimed angle in mdeg
   * @param {number} toeHalf mdeg that count as 1
   */
  constructor(camber, camberHalf, toe, toeHalf) {
    Object.assign(this, { camber, camberHalf, toe, toeHalf });
  }

  /** @returns {number} the wheel's part of the distance */
  distance(camber, toe) {
    const toeTerm = (toe - this.toe) / this.toeHalf;
    const camberTerm = (camber - this.camber) / this.camberHalf;
    return toeTerm * toeTerm + camberTerm * camberTerm;
  }

  /** @returns {number} the least `distance` in a box; exactly so, because rounding never reverses an order */
  least(camberLow, camberHigh, toeLow, toeHigh) {
    return this.distance(within(this.camber, camberLow, camberHigh), within(this.toe, toeLow, toeHigh));
  }

  /** @returns {WheelAim} the same aim for changes of a wheel that reads `base` */
  from(base) {
    return new WheelAim(this.camber - base.camber, this.camberHalf, this.toe - base.toe, this.toeHalf);
  }
}

function within(value, low, high) {
  return value < low ? low : value > high ? high : value;
}

/**
 * @param {{windows: object, axle: object}} request checked input of choosing
 * @param {"left"|"right"} wheel
 * @returns {WheelAim}
 */
export function aimOf({ windows, axle }, wheel) {
  const { camber, toe, aim } = windows[wheel];
  const camberTerm = term(camber, aim?.[0]);
  const isTotalAlone = axle.total_toe !== null && windows.left.toe === null && windows.right.toe === null;
  const toeTerm = isTotalAlone ? term(axle.total_toe.map((edge) => edge / 2)) : term(toe, aim?.[1]);
  return new WheelAim(...camberTerm, ...toeTerm);
}

// [aim, half]
function term(window, aim) {
  if (window === null) return [0, Infinity];
  const [low, high] = window;
  return [aim ?? (low + high) / 2, Math.max((high - low) / 2, LEAST_HALF_MDEG)];
}
