/**
 * What the touches on a picture of a fitted ring say: which mark stands at the line, which turn of the bolt pattern,
 * which face. It claims no angle, and where the touches do not settle something it says so.
 * The twin of calc/picture/read_picture.py, which says why.
 */

import { degreesOf, remainder, toDecimals } from "../numbers/arithmetic.js";
import { clockSense, facesLook } from "../rings/rings.js";
import { LEAST_APART, LINE_SD_STEPS, MOST_MISFIT, MOST_TILT_DEG, RULED_OUT, SURE } from "./picture-limits.js";
import { fitRim } from "./rim-fit.js";

/** marks of a ring -> which numbers are asked for */
const EVERY = [[30, 5], [12, 2], [0, 1]];

/**
 * What the touches say, held against the plan.
 * @param {{ring: object, wheel: "left"|"right", from: "outside"|"behind", size: number[], line: number[],
 *   marks: number[][], planned: number[], turns: number[]}} asked size [width, height], line [x, y], marks [mark, x, y]
 *   in pixels from the upper left; planned: marks that the plan allows at the line; turns of the bolt pattern in
 *   degrees
 * @returns {{verdict: "agrees"|"differs"|"cannot-tell", why, mark, between, looks, face, turn_deg, at_line}} null where
 *   not known
 */
export function readPicture({ ring, wheel, from, size, line, marks, planned, turns }) {
  const { fit, sense, why } = seenIn(ring, size, line, marks);
  if (why) return answer("cannot-tell", why);
  const step = (2 * Math.PI) / ring.marks;
  const atLine = remainder((sense * fit.lineRad) / step, ring.marks);
  const shares = markShares(atLine, spreadSteps(fit, step), ring.marks);
  const looks = looksWhere(ring, from, sense);
  const isAsPlanned = looks === facesLook(ring, wheel);
  const known = {
    looks,
    face: isAsPlanned ? "as-planned" : "other-way",
    turn_deg: turnOf(ring, isAsPlanned, atLine, planned, turns),
    at_line: toDecimals(ring.first_mark + atLine, 2),
  };
  const [[best, share], [second]] = [...shares].sort((a, b) => b[1] - a[1]);
  const notPlanned = isAsPlanned ? "mark" : "face";
  if (share >= SURE) {
    const agrees = isAsPlanned && planned.includes(ring.first_mark + best);
    return answer(agrees ? "agrees" : "differs", agrees ? null : notPlanned,
      { mark: ring.first_mark + best, ...known });
  }
  const between = [best, second].sort((a, b) => a - b).map((mark) => ring.first_mark + mark);
  const isOther = planned.every((mark) => (shares.get(mark - ring.first_mark) ?? 0) < RULED_OUT);
  if (!isAsPlanned || isOther) return answer("differs", notPlanned, { between, ...known });
  return answer("cannot-tell", "between-marks", { between, ...known });
}

/**
 * For each quarter of a ring the numbers to ask for, the first in the middle of it: round ones, spread out. None of
 * them depends on the plan, so that what is touched proves something.
 * @returns {number[][]}
 */
export function marksToTouch({ marks, first_mark: first }) {
  const [, every] = EVERY.find(([least]) => marks >= least);
  const asked = Array.from({ length: marks }, (_, k) => first + k).filter((mark) => mark % every === 0);
  return [0, 1, 2, 3].map((k) => {
    const middle = first + (marks * (2 * k + 1)) / 8;
    const away = (mark) => Math.abs(mark - middle);
    return asked.filter((mark) => away(mark) <= marks / 8).sort((a, b) => away(a) - away(b) || a - b);
  });
}

/** How likely each mark near the line stands there, counted from the first; the line is painted at a mark. */
function markShares(atLine, spread, marks) {
  const near = Array.from({ length: 8 }, (_, k) => Math.floor(atLine) - 3 + k);
  const weights = near.map((mark) => Math.exp(-(((mark - atLine) / spread) ** 2) / 2));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  if (total < 1e-12) return new Map([near[3], near[4]].map((mark) => [remainder(mark, marks), 0.5]));
  const shares = new Map();
  near.forEach((mark, k) => {
    const place = remainder(mark, marks);
    shares.set(place, (shares.get(place) ?? 0) + weights[k] / total);
  });
  return shares;
}

/** The better of both ways round, sense 1 where the numbers run clockwise as seen; and why nothing can be told. */
function seenIn(ring, size, line, marks) {
  const touched = marks.map(([, x, y]) => [x, y]);
  const [clockwise, counter] = [1, -1].map((sense) => {
    const angles = marks.map(([mark]) => sense * (mark - ring.first_mark) * ((2 * Math.PI) / ring.marks));
    return fitRim(angles, touched, line, size, ring.outer_diameter_mm / 2);
  });
  if (!clockwise || !counter) return { why: "touches-apart" };
  const isClockwise = clockwise.misfit <= counter.misfit;
  const [fit, other] = isClockwise ? [clockwise, counter] : [counter, clockwise];
  return { fit, sense: isClockwise ? 1 : -1, why: whyNot(fit, other) };
}

function whyNot(fit, other) {
  if (fit.misfit > MOST_MISFIT) return "touches-apart";
  if (other.misfit - fit.misfit < LEAST_APART) return "which-way";
  return fit.tiltDeg > MOST_TILT_DEG ? "slanted" : null;
}

/** The SD of the line among the marks, in steps; touches that fit badly are believed less. */
function spreadSteps({ lineSdRad, misfit, freedom }, step) {
  const sd = lineSdRad / step;
  return Math.sqrt(sd * sd * Math.max(1, misfit / freedom) + LINE_SD_STEPS * LINE_SD_STEPS);
}

/** The marked face looks to where its numbers run as they do on it. */
function looksWhere(ring, from, sense) {
  const isToViewer = (sense === 1) === (ring.direction === "clockwise");
  return isToViewer === (from === "outside") ? "outboard" : "inboard";
}

/**
 * The turn of the bolt pattern, 0 for none, that brings a planned mark nearest to where it stands; null: no pattern is
 * known.
 */
function turnOf(ring, isAsPlanned, atLine, planned, turns) {
  if (turns.length === 0) return null;
  const sense = clockSense(ring) * (isAsPlanned ? 1 : -1);
  let best = null;
  for (const mark of planned) {
    const stands = sense * (mark - ring.first_mark - atLine) * degreesOf((2 * Math.PI) / ring.marks);
    for (const turn of [0, ...turns]) {
      const off = Math.abs(remainder(stands - turn + 180, 360) - 180);
      if (!best || off < best.off - 1e-6) best = { off, turn };
    }
  }
  return best.turn;
}

function answer(verdict, why, known = {}) {
  return { verdict, why, mark: null, between: null, looks: null, face: null, turn_deg: null, at_line: null, ...known };
}
