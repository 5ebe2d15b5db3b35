// How a base reading stands against its windows: what it needs, whether it is too near an edge, whether it is safely
// in. The twin of calc/choose/base_reading.py. Angles and standard deviations in mdeg. It gives no advice and judges no
// plan.

import { EDGE_SDS, SAFE_SDS, WHEEL_ANGLES } from "../constants.js";

/**
 * @returns {{camber: number, toe: number}} the smallest signed moves of the base into the wheel's own windows, 0 if
 *   inside
 */
export function needsOf({ wheels, windows }, wheel) {
  return {
    camber: need(wheels[wheel].camber, windows[wheel].camber),
    toe: need(wheels[wheel].toe, windows[wheel].toe),
  };
}

/** @returns {number} the smallest signed move of an angle into a window; 0 inside and where there is no window */
export function need(angle, window) {
  if (window === null) return 0;
  return Math.min(Math.max(angle, window[0]), window[1]) - angle;
}

/**
 * Whether the base is within 2 SD of an edge of the wheel's own windows, on either side of it, and no angle is more
 * than 2 SD outside: then another reading may say otherwise.
 */
export function isTooNear(request, wheel) {
  const parts = partsOf(request, wheel);
  if (parts.some(({ angle, window, sd }) => Math.abs(need(angle, window)) > EDGE_SDS * sd)) return false;
  return parts.some(({ angle, window, sd }) => (window ?? []).some((edge) => Math.abs(angle - edge) <= EDGE_SDS * sd));
}

/**
 * Whether both angles are inside the wheel's own windows by at least one SD: rings on it would be needless. An angle
 * without a window of its own is safely inside, except where a window of the axle that it enters is broken.
 */
export function isSafelyInside(request, wheel) {
  return partsOf(request, wheel).every(({ part, angle, window, sd }) => {
    if (window === null) return !isAxleBroken(request, part);
    return Math.min(angle - window[0], window[1] - angle) >= SAFE_SDS * sd;
  });
}

function partsOf({ wheels, windows, spread }, wheel) {
  return WHEEL_ANGLES.map((part) => ({
    part, angle: wheels[wheel][part], window: windows[wheel][part], sd: spread[`${part}_sd`][wheel],
  }));
}

function isAxleBroken({ wheels: { left, right }, axle }, part) {
  if (part === "camber") return need(left.camber - right.camber, axle.cross_camber) !== 0;
  return need((left.toe - right.toe) / 2, axle.thrust) !== 0 || need(left.toe + right.toe, axle.total_toe) !== 0;
}
