// How well each cause explains a check reading, given the spreads; and which causes the numbers cannot tell apart.
// The twin of calc/prove/explain.py. Plain arithmetic in a stated order, angles in mdeg. It knows no words and gives no
// advice.

import { radiansOf } from "../numbers/arithmetic.js";
import {
  AS_PLANNED, AS_PLANNED_WEIGHT, BETWEEN_FACES, BETWEEN_FACES_SD_MDEG, BETWEEN_FACES_WEIGHT, LEAST_EXPLAINS,
  MOST_LIKELY_SHARE, NEAR_PLAN_SDS, TOGETHER_RATIO,
} from "../constants.js";
import { effectMdeg } from "../rings/tilt.js";

const NOTHING_MORE = [0, 0, 0];

/**
 * The causes, likeliest first (of equals the earlier found), between-faces among them. A cause counts by the mean
 * density of its candidates, so that one which could have shown almost anything does not win by that; one that is near
 * the plan counts no more than fitted as planned, which comes first among the candidates.
 * @param {object} known checked input of `prove`
 * @param {object[]} candidates of causes.js
 * @param {object} spread of that wheel
 * @returns {object[]} {code, candidate, distance (chi-square), explains (chance of one as large), nearPlan, share of
 *   all causes}; for between-faces candidate, distance and explains are null: it would explain anything
 */
export function explain(known, candidates, spread) {
  const evidence = candidates.map((candidate) => evidenceFor(candidate, known, spread));
  const codes = [...new Set(candidates.map((candidate) => candidate.code))];
  const rows = [];
  for (const code of codes) {
    const own = evidence.filter(({ candidate }) => candidate.code === code);
    const best = own.reduce((a, b) => (b.logDensity > a.logDensity ? b : a));
    let log = logSum(own.map((row) => row.logDensity + Math.log(row.candidate.weight)));
    log -= Math.log(own.reduce((sum, row) => sum + row.candidate.weight, 0));
    if (code === AS_PLANNED) log += Math.log(AS_PLANNED_WEIGHT);
    const nearPlan = code !== AS_PLANNED && isNearPlan(best.candidate, candidates[0], spread);
    if (nearPlan) log = Math.min(log, rows[0].log);
    rows.push({ code, candidate: best.candidate, distance: best.distance, explains: best.explains, nearPlan, log });
  }
  const anything = Math.log(BETWEEN_FACES_WEIGHT) + anythingLogDensity(changeOf(known), candidates[0].rings, spread);
  rows.push({ code: BETWEEN_FACES, candidate: null, distance: null, explains: null, nearPlan: false, log: anything });
  const total = logSum(rows.map((row) => row.log));
  return rows.map(({ log, ...row }) => ({ ...row, share: Math.exp(log - total) })).sort((a, b) => b.share - a.share);
}

// What it would have shown is no more than NEAR_PLAN_SDS from the planned change.
function isNearPlan(candidate, planned, spread) {
  const { distance } = distanceAndDensity(candidate.shown, planned.shown, changeCovariance(planned, spread));
  return distance <= NEAR_PLAN_SDS * NEAR_PLAN_SDS;
}

/** @returns {object[]} the causes that explain the reading well enough to be named; as planned with any near it */
export function named(explained) {
  const isNear = explained.some((row) => row.nearPlan && explainsEnough(row));
  return explained.filter((row) => explainsEnough(row) || (isNear && row.code === AS_PLANNED));
}

function explainsEnough({ explains }) {
  return explains === null || explains >= LEAST_EXPLAINS;
}

/**
 * How a cause is called before anybody asks for its numbers: possible are those that the numbers cannot tell from the
 * likeliest; most likely is one of them with a large share of all causes. Of the causes weighed here alone; what no
 * number can name is never ruled out by it.
 * @param {{code: string, share: number}} row of a proof's causes
 * @param {string[]} firstGroup codes
 * @returns {"most-likely"|"possible"|"unlikely"}
 */
export function likelihood({ code, share }, firstGroup) {
  if (!firstGroup.includes(code)) return "unlikely";
  return share >= MOST_LIKELY_SHARE ? "most-likely" : "possible";
}

/**
 * @returns {string[][]} codes of the causes that may be named, likeliest first; those together no number tells apart
 */
export function together(explained) {
  const groups = [];
  let head = Infinity;
  for (const { code, share } of named(explained)) {
    if (groups.length > 0 && share >= TOGETHER_RATIO * head) groups.at(-1).push(code);
    else {
      groups.push([code]);
      head = share;
    }
  }
  return groups;
}

function changeOf({ base, check }) {
  return [check[0] - base[0], check[1] - base[1]];
}

// The other wheel counts only for a cause that says what should be seen there: its distance is added (then 4 degrees of
// freedom), its density as a ratio to the better of fitted as planned there and anything at all.
function evidenceFor(candidate, known, spread) {
  const { distance, logDensity } = distanceAndDensity(
    changeOf(known), candidate.shown, changeCovariance(candidate, spread),
  );
  const other = known.other;
  if (candidate.elsewhere === null || !other.base || !other.check) {
    return { candidate, distance, explains: Math.exp(-distance / 2), logDensity };
  }
  const seen = changeOf(other);
  const [there, asPlanned] = candidate.elsewhere.map((rings) => atOtherWheel(seen, rings, spread));
  const both = distance + there.distance;
  const usual = Math.max(asPlanned.logDensity, anythingLogDensity(seen, candidate.elsewhere[1], spread));
  return {
    candidate,
    distance: both,
    explains: Math.exp(-both / 2) * (1 + both / 2),
    logDensity: logDensity + (there.logDensity - usual),
  };
}

// [camber-camber, camber-toe, toe-toe] of check - base under a candidate: two readings and the fitting between them.
function changeCovariance({ rings, toeFactor, looseSd = 0 }, spread) {
  const [cc, ct, tt] = rings === null ? NOTHING_MORE : fittedCovariance(rings, spread);
  const [camber, toe] = [spread.camberSd * spread.camberSd, spread.toeSd * spread.toeSd];
  const loose = looseSd * looseSd;
  return [cc + 2 * camber + loose, ct * toeFactor, (tt + 2 * toe + loose) * toeFactor * toeFactor];
}

// What fitting adds: clock of the whole pair; per ring lining up a mark, then taper; seat.
function fittedCovariance(rings, spread) {
  const [camber, toe] = effectMdeg(rings);
  const clock = radiansOf(spread.clockSdDeg);
  let [cc, ct, tt] = [clock * clock * toe * toe, -clock * clock * camber * toe, clock * clock * camber * camber];
  for (const { taperRad, clockRad, taperSdMdeg, stepRad } of rings) {
    const [cosine, sine] = [Math.cos(clockRad), Math.sin(clockRad)];
    const acrossSd = taperRad * 180000 / Math.PI * spread.markSdSteps * stepRad;
    const [across, along] = [acrossSd * acrossSd, taperSdMdeg * taperSdMdeg];
    cc += across * sine * sine + along * cosine * cosine;
    ct += (along - across) * sine * cosine;
    tt += across * cosine * cosine + along * sine * sine;
  }
  const seat = spread.seatSd * spread.seatSd;
  return [cc + seat, ct, tt + seat];
}

function atOtherWheel(seen, rings, spread) {
  return distanceAndDensity(seen, effectMdeg(rings), changeCovariance({ rings, toeFactor: 1 }, spread));
}

// Something of any size may lie between the faces of a planned pair.
function anythingLogDensity(seen, rings, spread) {
  const [cc, ct, tt] = changeCovariance({ rings, toeFactor: 1 }, spread);
  const wide = BETWEEN_FACES_SD_MDEG * BETWEEN_FACES_SD_MDEG;
  return distanceAndDensity(seen, effectMdeg(rings), [cc + wide, ct, tt + wide]).logDensity;
}

// Chi-square distance with 2 degrees of freedom, and the logarithm of the normal density.
function distanceAndDensity(seen, shown, [cc, ct, tt]) {
  const [camber, toe] = [seen[0] - shown[0], seen[1] - shown[1]];
  const determinant = cc * tt - ct * ct;
  const distance = (tt * camber * camber - 2 * ct * camber * toe + cc * toe * toe) / determinant;
  return { distance, logDensity: -0.5 * distance - Math.log(2 * Math.PI) - 0.5 * Math.log(determinant) };
}

function logSum(logs) {
  const top = Math.max(...logs);
  return top + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - top), 0));
}
