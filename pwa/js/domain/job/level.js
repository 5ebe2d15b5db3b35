/**
 * The phone as a level: the turn of a flange between two rests of the phone on the same flat of it, from the phone's
 * own sense of upright. Pure: it listens to nothing. Angles in degrees.
 *
 * The phone stands on an edge with its screen towards the person at the wheel, so a turn of the flange turns the
 * upright direction within the screen. Both rests must be alike; which edge it stands on does not matter.
 */

import { halfTurn } from "../numbers/arithmetic.js";

/** Beyond this the screen looks up or down rather than at the person, and the turn cannot be read from it. */
const MOST_LEAN_DEG = 30;
/** Two rests are steady when all their samples agree within this. */
const MOST_UNREST_DEG = 0.5;

const DEG = Math.PI / 180;

/**
 * The upright direction in the phone's axes (x to the right of the screen, y to its top, z out of it): the last row of
 * the rotation Z(alpha) X(beta) Y(gamma) of the W3C Device Orientation specification.
 * @param {number} beta_deg
 * @param {number} gamma_deg
 * @returns {number[]} unit vector
 */
export function uprightOf(beta_deg, gamma_deg) {
  const beta = beta_deg * DEG, gamma = gamma_deg * DEG;
  return [-Math.cos(beta) * Math.sin(gamma), Math.sin(beta), Math.cos(beta) * Math.cos(gamma)];
}

/**
 * One rest, from samples taken while the phone was still.
 * @param {{beta: number, gamma: number}[]} samples
 * @returns {{angle_deg: number, unrest_deg: number, problem: null|"leaning"|"moving"|"silent"}} `angle_deg`: of the
 *   upright direction in the screen, clockwise from the screen's top
 */
export function restOf(samples) {
  const ups = samples.filter(({ beta, gamma }) => Number.isFinite(beta) && Number.isFinite(gamma))
    .map(({ beta, gamma }) => uprightOf(beta, gamma));
  if (ups.length === 0) return { angle_deg: 0, unrest_deg: 0, problem: "silent" };
  const [x, y, z] = [0, 1, 2].map((axis) => ups.reduce((sum, up) => sum + up[axis], 0) / ups.length);
  const angle_deg = Math.atan2(x, y) / DEG;
  const unrest_deg = Math.max(...ups.map((up) => Math.abs(halfTurn(Math.atan2(up[0], up[1]) / DEG - angle_deg, 360))));
  const lean_deg = Math.abs(Math.atan2(z, Math.hypot(x, y))) / DEG;
  const problem = lean_deg > MOST_LEAN_DEG ? "leaning" : unrest_deg > MOST_UNREST_DEG ? "moving" : null;
  return { angle_deg, unrest_deg, problem };
}

/**
 * How far the flange turned between two rests, towards the REAR positive.
 * @param {number} first_deg angle of the first rest
 * @param {number} second_deg angle of the second
 * @param {"left"|"right"} side the wheel; its rear is on the viewer's right at the left wheel
 * @returns {number} degrees, more than -180, at most 180
 */
export function turnBetween(first_deg, second_deg, side) {
  // When the phone turns clockwise for the person, upright turns counterclockwise in the screen.
  const clockwise = halfTurn(first_deg - second_deg, 360);
  return side === "left" ? clockwise : halfTurn(-clockwise, 360);
}

/** A typed turn: digits with one decimal point or comma; null if it is no number of at most 90 degrees. */
export function turnFromText(text) {
  if (!/^\d{1,2}([.,]\d{1,2})?$/.test(text.trim())) return null;
  const turn = Number(text.trim().replace(",", "."));
  return turn <= 90 ? turn : null;
}
