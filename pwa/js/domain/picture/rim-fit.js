/**
 * Where a ring lies in a picture, from its rim touched at marks of known number and where the line crosses it. The rim
 * is a circle of radius 1 in space, seen by a camera of which only the usual angle of view is known. It says no mark
 * and judges nothing. The twin of calc/picture/rim_fit.py, which says why.
 */

import { degreesOf, radiansOf } from "../numbers/arithmetic.js";
import { FOCAL_SHARE, ROUNDS, START_TILTS, STEP, TILT_SD_DEG, TOUCH_SD_MM, UNKNOWNS } from "./picture-limits.js";

const LARGEST_DAMPING = 1e9;
const NO_TURN = 1e-16; // under the root, so that a plane that is not turned has slopes
const UNSETTLED = 1e-12; // what no touch settles has an SD of a million
const FARTHEST = 50; // of the logarithm
const NEAREST = 0.05; // radii from the camera
const LEAST = 1e-6; // a circle smaller than this is none

/**
 * The best fit of the rim.
 * @param {number[]} angles where the touched marks stand on the ring, radians, clockwise as seen
 * @param {number[][]} touched [x, y] of each, pixels from the upper left; at least 3
 * @param {number[]} line [x, y] of the line at the rim
 * @param {number[]} size [width, height] of the picture in pixels
 * @param {number} radiusMm
 * @returns {{lineRad, lineSdRad, misfit, freedom, tiltDeg}|null} null: no picture of a circle at all
 */
export function fitRim(angles, touched, line, size, radiusMm) {
  const focal = FOCAL_SHARE * Math.max(...size);
  const seen = [...touched, line].map(([x, y]) => [(x - size[0] / 2) / focal, (y - size[1] / 2) / focal]);
  const start = flatStart(angles, seen);
  if (!start) return null;
  const { roll, x, y, scale, lineRad } = start;
  const problem = { angles, seen, touchSd: (TOUCH_SD_MM / radiusMm) * scale };
  const first = [roll, 0, 0, x / scale, y / scale, -Math.log(scale), lineRad];
  let best = null;
  for (const [p, q] of START_TILTS) {
    const found = least(problem, [first[0], p, q, ...first.slice(3)]);
    if (!best || found.cost < best.cost - 1e-9) best = found;
  }
  return asFit(problem, best.unknowns);
}

/** All touches in SDs: across, down, then the two tilts, which are mostly small. */
function residualsAt({ angles, seen, touchSd }, [roll, p, q, x, y, logFar, line]) {
  const turn = Math.sqrt(p * p + q * q + NO_TURN);
  const sine = Math.sin(turn) / turn;
  const rest = (1 - Math.cos(turn)) / (turn * turn);
  const far = Math.exp(Math.min(logFar, FARTHEST));
  const across = [];
  const down = [];
  [...angles, line].forEach((angle, k) => {
    const flatX = Math.sin(angle + roll);
    const flatY = -Math.cos(angle + roll);
    const spaceX = flatX * (1 - rest * q * q) + flatY * rest * p * q + x;
    const spaceY = flatX * rest * p * q + flatY * (1 - rest * p * p) + y;
    const spaceZ = Math.max(sine * (p * flatY - q * flatX) + far, NEAREST);
    across.push((spaceX / spaceZ - seen[k][0]) / touchSd);
    down.push((spaceY / spaceZ - seen[k][1]) / touchSd);
  });
  const tiltSd = radiansOf(TILT_SD_DEG);
  return [...across, ...down, p / tiltSd, q / tiltSd];
}

/** The change of every residual with each unknown, by central differences: one row for each unknown. */
function slopesAt(problem, unknowns) {
  return unknowns.map((_, k) => {
    const moved = (by) => residualsAt(problem, unknowns.map((value, n) => (n === k ? value + by : value)));
    const [above, below] = [moved(STEP), moved(-STEP)];
    return above.map((value, n) => (value - below[n]) / (2 * STEP));
  });
}

/** The circle that the marks would be, looked at straight: seen = centre + turned flat, as complex numbers. */
function flatStart(angles, seen) {
  const flat = angles.map((angle) => [Math.sin(angle), -Math.cos(angle)]);
  const marks = seen.slice(0, -1);
  const [flatMiddle, seenMiddle] = [middleOf(flat), middleOf(marks)];
  const apart = flat.map((point) => minus(point, flatMiddle));
  const spread = apart.reduce((sum, [x, y]) => sum + x * x + y * y, 0);
  if (spread < LEAST) return null;
  const sum = apart.map(([x, y], k) => times([x, -y], minus(marks[k], seenMiddle)))
    .reduce(([x, y], [moreX, moreY]) => [x + moreX, y + moreY]);
  const turned = [sum[0] / spread, sum[1] / spread];
  const scale = Math.hypot(...turned);
  if (scale < LEAST) return null;
  const centre = minus(seenMiddle, times(turned, flatMiddle));
  const back = times([turned[0] / (scale * scale), -turned[1] / (scale * scale)], minus(seen.at(-1), centre));
  return { roll: Math.atan2(turned[1], turned[0]), x: centre[0], y: centre[1], scale,
    lineRad: Math.atan2(back[0], -back[1]) };
}

/** The least cost near a start: damped Gauss-Newton, whatever is better is taken. */
function least(problem, start) {
  let unknowns = start;
  let damping = 1e-3;
  let residuals = residualsAt(problem, unknowns);
  let cost = dot(residuals, residuals);
  for (let round = 0; round < ROUNDS; round += 1) {
    const slopes = slopesAt(problem, unknowns);
    const square = squareOf(slopes);
    square.forEach((row, k) => { row[k] += damping * row[k]; });
    const step = solve(square, slopes.map((slope) => -dot(slope, residuals)));
    const tried = unknowns.map((value, k) => value + step[k]);
    const triedResiduals = residualsAt(problem, tried);
    const triedCost = dot(triedResiduals, triedResiduals);
    if (triedCost < cost) {
      const isDone = cost - triedCost < 1e-8 * (1 + cost);
      [unknowns, residuals, cost, damping] = [tried, triedResiduals, triedCost, Math.max(damping / 10, 1e-12)];
      if (isDone) break;
    } else {
      damping *= 10;
      if (damping > LARGEST_DAMPING) break;
    }
  }
  return { unknowns, cost };
}

function asFit(problem, unknowns) {
  const residuals = residualsAt(problem, unknowns);
  const spread = solve(squareOf(slopesAt(problem, unknowns)), unknowns.map((_, k) => (k === UNKNOWNS - 1 ? 1 : 0)));
  return {
    lineRad: unknowns.at(-1),
    lineSdRad: Math.sqrt(Math.max(spread.at(-1), 0)),
    misfit: dot(residuals, residuals),
    freedom: residuals.length - UNKNOWNS,
    tiltDeg: degreesOf(Math.hypot(unknowns[1], unknowns[2])),
  };
}

/** x of square x = right, by elimination with the largest pivot; a pivot that vanishes gives an endless spread. */
function solve(square, right) {
  const rows = square.map((row, k) => [...row, right[k]]);
  const count = right.length;
  for (let k = 0; k < count; k += 1) {
    let best = k;
    for (let n = k + 1; n < count; n += 1) if (Math.abs(rows[n][k]) > Math.abs(rows[best][k])) best = n;
    [rows[k], rows[best]] = [rows[best], rows[k]];
    if (Math.abs(rows[k][k]) < 1e-300) rows[k][k] = 1e-300;
    for (let below = k + 1; below < count; below += 1) {
      const share = rows[below][k] / rows[k][k];
      for (let n = k; n <= count; n += 1) rows[below][n] -= share * rows[k][n];
    }
  }
  const found = new Array(count).fill(0);
  for (let k = count - 1; k >= 0; k -= 1) {
    let known = 0;
    for (let n = k + 1; n < count; n += 1) known += rows[k][n] * found[n];
    found[k] = (rows[k][count] - known) / rows[k][k];
  }
  return found;
}

function squareOf(slopes) {
  return slopes.map((one, k) => slopes.map((other, n) => dot(one, other) + (k === n ? UNSETTLED : 0)));
}

function dot(one, other) {
  return one.reduce((sum, value, k) => sum + value * other[k], 0);
}

function middleOf(points) {
  return [0, 1].map((axis) => points.reduce((sum, point) => sum + point[axis], 0) / points.length);
}

function minus([x, y], [otherX, otherY]) {
  return [x - otherX, y - otherY];
}

/** The product of two complex numbers. */
function times([x, y], [otherX, otherY]) {
  return [x * otherX - y * otherY, x * otherY + y * otherX];
}
