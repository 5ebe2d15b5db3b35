// How far both cambers, or both toes, are outside their windows: at a point, and at best anywhere within a box.
// It decides nothing. Everything is exact: whole or half millidegrees, far above what a double would round.
//
// u is the left wheel's angle, v the right wheel's. A window may hold for u, v, u + v (total toe) and u - v (cross
// camber; thrust as u - v at half weight, with twice its limits). Each excess is convex, so their sum is, and its least
// value in a box of (u, v) follows exactly from linear duality: charge ys per unit of u + v and yd per unit of u - v,
// at most the window's weight; then both wheels fall apart into one dimension,
//   least(box) = max over ys, yd of L(ys + yd) + R(ys - yd) - price(ys, yd),   L(s) = min over u of excess(u) + s u.
// L and R bend only where their argument is -1, 0 or 1, so the maximum is on one of the few (ys, yd) where those lines
// cross: they are written out below. A window that is not given has the limits -Infinity and Infinity, one that is open
// on one side has one of them; its price is then infinite, and what charges it never is the maximum.

const NO_WINDOW = [-Infinity, Infinity];

function excess(value, low, high) {
  return value < low ? low - value : value > high ? value - high : 0;
}

function within(value, low, high) {
  return value < low ? low : value > high ? high : value;
}

/** The two cambers with their windows and cross camber = left - right. */
export class CamberOutside {
  /**
   * @param {number[]|null} left window [low, high] of the left camber in mdeg
   * @param {number[]|null} right the same of the right camber
   * @param {number[]|null} cross the same of left - right
   */
  constructor(left, right, cross) {
    [this.leftLow, this.leftHigh] = left ?? NO_WINDOW;
    [this.rightLow, this.rightHigh] = right ?? NO_WINDOW;
    [this.crossLow, this.crossHigh] = cross ?? NO_WINDOW;
  }

  /** @returns {number} mdeg outside, summed over the windows */
  at(left, right) {
    return excess(left, this.leftLow, this.leftHigh) + excess(right, this.rightLow, this.rightHigh) +
      excess(left - right, this.crossLow, this.crossHigh);
  }

  /** @returns {number} the least of `at` for left in [u0, u1] and right in [v0, v1] */
  least(u0, u1, v0, v1) {
    const { leftLow, leftHigh, rightLow, rightHigh } = this;
    const [uUp, uDown] = [within(leftLow, u0, u1), within(leftHigh, u0, u1)];
    const [vUp, vDown] = [within(rightLow, v0, v1), within(rightHigh, v0, v1)];
    const [leftUp, leftDown] = [excess(uUp, leftLow, leftHigh), excess(uDown, leftLow, leftHigh)];
    const [rightUp, rightDown] = [excess(vUp, rightLow, rightHigh), excess(vDown, rightLow, rightHigh)];
    return Math.max(
      leftUp + rightUp,
      leftUp + uUp + rightDown - vDown - this.crossHigh,
      leftDown - uDown + rightUp + vUp + this.crossLow,
    );
  }
}

/** The two toes with their windows, total toe = left + right and thrust = (left - right) / 2. */
export class ToeOutside {
  /**
   * @param {number[]|null} left window [low, high] of the left toe in mdeg
   * @param {number[]|null} right the same of the right toe
   * @param {number[]|null} total the same of left + right
   * @param {number[]|null} thrust the same of (left - right) / 2
   */
  constructor(left, right, total, thrust) {
    [this.leftLow, this.leftHigh] = left ?? NO_WINDOW;
    [this.rightLow, this.rightHigh] = right ?? NO_WINDOW;
    [this.totalLow, this.totalHigh] = total ?? NO_WINDOW;
    [this.thrustLow, this.thrustHigh] = thrust ?? NO_WINDOW;
  }

  /** @returns {number} mdeg outside, summed over the windows; may end in .5 */
  at(left, right) {
    return excess(left, this.leftLow, this.leftHigh) + excess(right, this.rightLow, this.rightHigh) +
      excess(left + right, this.totalLow, this.totalHigh) +
      excess((left - right) / 2, this.thrustLow, this.thrustHigh);
  }

  /** @returns {number} the least of `at` for left in [u0, u1] and right in [v0, v1] */
  least(u0, u1, v0, v1) {
    const { leftLow, leftHigh, rightLow, rightHigh, totalLow, totalHigh, thrustLow, thrustHigh } = this;
    // L(s) and R(s) for s = 0, +-1/2, +-1, +-3/2: up to 1 the window's own edge holds the angle, beyond it the box's.
    const [uUp, uDown] = [within(leftLow, u0, u1), within(leftHigh, u0, u1)];
    const [vUp, vDown] = [within(rightLow, v0, v1), within(rightHigh, v0, v1)];
    const [left0, leftDown] = [excess(uUp, leftLow, leftHigh), excess(uDown, leftLow, leftHigh)];
    const [right0, rightDown] = [excess(vUp, rightLow, rightHigh), excess(vDown, rightLow, rightHigh)];
    const [leftHalf, leftMinusHalf] = [left0 + uUp / 2, leftDown - uDown / 2];
    const [rightHalf, rightMinusHalf] = [right0 + vUp / 2, rightDown - vDown / 2];
    const [left1, leftMinus1] = [left0 + uUp, leftDown - uDown];
    const [right1, rightMinus1] = [right0 + vUp, rightDown - vDown];
    const plain = Math.max(
      left0 + right0,
      left1 + right1 - totalHigh,
      leftMinus1 + rightMinus1 + totalLow,
      leftHalf + rightMinusHalf - thrustHigh,
      leftMinusHalf + rightHalf + thrustLow,
    );
    const halfTotal = Math.max(
      left1 + right0 - totalHigh / 2 - thrustHigh,
      left0 + right1 - totalHigh / 2 + thrustLow,
      left0 + rightMinus1 + totalLow / 2 - thrustHigh,
      leftMinus1 + right0 + totalLow / 2 + thrustLow,
    );
    const wholeTotal = Math.max(
      excess(u0, leftLow, leftHigh) + 1.5 * u0 + rightHalf - totalHigh - thrustHigh,
      leftHalf + excess(v0, rightLow, rightHigh) + 1.5 * v0 - totalHigh + thrustLow,
      leftMinusHalf + excess(v1, rightLow, rightHigh) - 1.5 * v1 + totalLow - thrustHigh,
      excess(u1, leftLow, leftHigh) - 1.5 * u1 + rightMinusHalf + totalLow + thrustLow,
    );
    return Math.max(plain, halfTotal, wholeTotal);
  }
}
