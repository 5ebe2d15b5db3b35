// What one wheel aims at: its part of the distance, which decides between results that are equally far outside.
// The sums run in the order that the rule states, so that Python and JavaScript get the same double. Where nobody
// states an aim it is the middle of the window; a window that is open on one side has none: calc/choose/wheel_aim.py
// says what it aims at.

import { LEAST_HALF_WINDOW_MDEG, MOVED_IN_SDS } from "../constants.js";
import { isClosed } from "../numbers/window.js";
import { SIDES } from "../numbers/sides.js";

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
 * @param {object} request checked input of choosing
 * @param {"left"|"right"} wheel
 * @returns {WheelAim}
 */
export function aimOf(request, wheel) {
  const { camber, toe } = termsOf(request, wheel);
  return new WheelAim(camber?.aim ?? 0, camber?.half ?? Infinity, toe?.aim ?? 0, toe?.half ?? Infinity);
}

/**
 * @returns {object} side -> angle -> {mdeg, from, moved_in} of what is aimed at, as `choose` puts it out; null where an
 *   angle has no term
 */
export function aimsJson(request) {
  const said = (term) => term && { mdeg: term.aim, from: term.from, moved_in: term.movedIn };
  return Object.fromEntries(SIDES.map((wheel) => {
    const { camber, toe } = termsOf(request, wheel);
    return [wheel, { camber: said(camber), toe: said(toe) }];
  }));
}

function termsOf({ windows, axle, spread }, wheel) {
  const { camber, toe, aim } = windows[wheel];
  const seat = spread.seat_sd ** 2;
  const camberSd = Math.sqrt(spread.camber_sd[wheel] ** 2 + seat);
  const toeSd = Math.sqrt(spread.toe_sd[wheel] ** 2 + seat + spread.thrust_sd ** 2);
  const isTotalAlone = axle.total_toe !== null && windows.left.toe === null && windows.right.toe === null;
  return {
    camber: term(camber, aim?.[0], camberSd),
    toe: isTotalAlone ? halfOfTotal(axle.total_toe, spread) : term(toe, aim?.[1], toeSd),
  };
}

// A window that is open on one side has no middle: the closed edge is moved in, and the half is how far that is from
// it.
function term(window, stated, sd) {
  if (window === null) return null;
  const [low, high] = window;
  const from = stated === undefined ? "window" : "stated";
  if (isClosed(window)) return { aim: stated ?? (low + high) / 2,
    half: Math.max((high - low) / 2, LEAST_HALF_WINDOW_MDEG), from, movedIn: null };
  const [edge, inwards] = low === -Infinity ? [high, -1] : [low, 1];
  const movedIn = stated === undefined ? Math.floor(MOVED_IN_SDS * sd + 0.5) : null;
  const aim = stated ?? edge + inwards * movedIn;
  return { aim, half: Math.max(Math.abs(aim - edge), LEAST_HALF_WINDOW_MDEG), from, movedIn };
}

// Thrust moves one toe as far out as the other in, so it does not enter their sum.
function halfOfTotal(total, { toe_sd: { left, right }, seat_sd: seat }) {
  const whole = term(total, undefined, Math.sqrt(left ** 2 + right ** 2 + 2 * seat ** 2));
  const half = isClosed(total) ? (total[1] - total[0]) / 4 : whole.movedIn / 2;
  return { aim: whole.aim / 2, half: Math.max(half, LEAST_HALF_WINDOW_MDEG), from: "total-toe",
    movedIn: whole.movedIn };
}
