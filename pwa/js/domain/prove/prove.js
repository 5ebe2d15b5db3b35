// Proving a fitting: size and turn of the change, what may lie behind it, and where to go from here.
// The twin of calc/prove/prove.py. It says what to look at and never more than the numbers carry. It chooses nothing
// itself: the second pass is choose's. Angles in whole mdeg at every edge.

import { degreesOf, radiansOf, remainder, toDecimals } from "../numbers/arithmetic.js";
import {
  AS_PLANNED, BETWEEN_FACES, CHOOSE_KEYS, CHOOSE_KEYS_OPTIONAL, LOOK_AT, READING_LIMIT_MDEG, SDS_TO_SPEAK,
  SLACK_MM, THIN_DIRT,
} from "../constants.js";
import { candidatesOf, smallerDiameterMm } from "./causes.js";
import { checkKeys } from "../numbers/checks.js";
import { choose } from "../choose/choose.js";
import { cutRingServes } from "../rings/cutting.js";
import { explain, likelihood, named, together } from "./explain.js";
import { InputError } from "../numbers/input-error.js";
import { checkedProveInput } from "./prove-input.js";
import { SIDES } from "../numbers/sides.js";
import { effectMdeg, placedPair } from "../rings/tilt.js";
import { roundHalfAway } from "../numbers/units.js";

/**
 * @param {object} input as calc's prove takes it; `choose`, for the second pass, may name ring sets by id
 * @param {object[]} tables parsed tables, for the second pass
 * @returns {object} as calc's prove gives it: {planned, observed, missed, noise_sd, size, size_sd, turn_deg,
 *   turn_sd_deg, causes, groups, explained, between_faces, look_at, second_pass, cut_rings}
 * @throws {InputError} naming the field
 */
export function prove(input, tables = []) {
  const { wheel, known, spread } = checkedProveInput(input);
  const planned = effectMdeg(placedPair(known.ringSet, known.pair));
  const observed = difference(known.check, known.base);
  const missed = difference(observed, planned);
  const noiseSd = Math.sqrt(spread.camberSd ** 2 + spread.toeSd ** 2 + spread.seatSd ** 2);
  const explained = explain(known, candidatesOf(known), spread);
  const groups = together(explained);
  const causes = explained.map((row) => {
    return { ...causeJson(row, known, planned, observed), likelihood: likelihood(row, groups[0]) };
  });
  const secondPass = secondPassFrom(input.choose ?? null, wheel, causes[0].second_pass_base, tables);
  return {
    planned: planned.map(roundHalfAway),
    observed,
    missed: missed.map(roundHalfAway),
    noise_sd: roundHalfAway(noiseSd),
    ...sizeAndTurn(planned, observed, noiseSd),
    causes,
    groups,
    explained: named(explained).some((row) => row.code !== BETWEEN_FACES),
    between_faces: betweenFaces(known.ringSet, missed, noiseSd),
    look_at: groups[0].includes(AS_PLANNED) ? [] : [...LOOK_AT],
    second_pass: secondPass,
    cut_rings: cutRings(known, wheel, explained[0], secondPass),
  };
}

function difference(a, b) {
  return [a[0] - b[0], a[1] - b[1]];
}

function sum(a, b) {
  return [a[0] + b[0], a[1] + b[1]];
}

// All null where the planned change is too small; SDs are of first order.
function sizeAndTurn(planned, observed, noiseSd) {
  const [length, seen] = [Math.hypot(...planned), Math.hypot(...observed)];
  if (length < SDS_TO_SPEAK * noiseSd) return { size: null, size_sd: null, turn_deg: null, turn_sd_deg: null };
  const turn = degreesOf(Math.atan2(observed[1], observed[0]) - Math.atan2(planned[1], planned[0]));
  const hasDirection = seen >= SDS_TO_SPEAK * noiseSd;
  return {
    size: toDecimals(seen / length, 3),
    size_sd: toDecimals(noiseSd / length, 3),
    turn_deg: hasDirection ? toDecimals(180 - remainder(180 - turn, 360), 1) : null,
    turn_sd_deg: hasDirection ? toDecimals(degreesOf(noiseSd / seen), 1) : null,
  };
}

// Where something lies between the faces, thin or not, it has to come out first, so there is no second pass from it.
function causeJson({ code, candidate, distance, explains, share }, known, planned, observed) {
  const found = candidate ?? { detail: {}, shown: observed, rings: null, base: known.base };
  const fitted = candidate === null ? null : candidate.rings === null ? [0, 0] : effectMdeg(candidate.rings);
  return {
    code,
    detail: found.detail,
    shown: found.shown.map(roundHalfAway),
    distance: distance === null ? null : toDecimals(distance, 2),
    explains: explains === null ? null : toDecimals(explains, 4),
    share: toDecimals(share, 4),
    fitted: fitted && fitted.map(roundHalfAway),
    second_pass_base: fitted && code !== THIN_DIRT ? difference(candidate.check, fitted).map(roundHalfAway) : null,
    after_refit: sum(found.base, planned).map(roundHalfAway),
  };
}

/**
 * What between the faces would tilt the hub by the miss.
 * @param {object} ringSet
 * @param {number[]} missed [camber, toe] in mdeg
 * @param {number} noiseSd in mdeg
 * @returns {object|null} {tilt, clock_deg of its thick side, diameter_mm of the smaller ring, far_edge_mm: its
 *   thickness where the hub hinges on the opposite edge, centre_mm: where it hinges at the centre}; null where the miss
 *   is noise
 */
export function betweenFaces(ringSet, missed, noiseSd) {
  const tilt = Math.hypot(...missed);
  if (tilt < SDS_TO_SPEAK * noiseSd) return null;
  const diameter = smallerDiameterMm(ringSet);
  const farEdge = diameter * Math.tan(radiansOf(tilt / 1000));
  return {
    tilt: roundHalfAway(tilt),
    clock_deg: remainder(roundHalfAway(degreesOf(Math.atan2(missed[1], missed[0]))), 360),
    diameter_mm: diameter,
    far_edge_mm: toDecimals(farEdge, 2),
    centre_mm: toDecimals(farEdge / 2, 2),
  };
}

// choose with this wheel's base replaced by the estimate; null where that is no reading.
function secondPassFrom(choosing, wheel, base, tables) {
  if (choosing === null || base === null || Math.max(...base.map(Math.abs)) > READING_LIMIT_MDEG) return null;
  checkKeys(choosing, "choose", CHOOSE_KEYS, CHOOSE_KEYS_OPTIONAL);
  checkKeys(choosing.wheels, "choose.wheels", SIDES);
  const own = checkKeys(choosing.wheels[wheel], `choose.wheels.${wheel}`, ["camber", "toe", "rings"]);
  const wheels = { ...choosing.wheels, [wheel]: { ...own, camber: base[0], toe: base[1] } };
  try {
    return choose({ ...choosing, wheels }, tables);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(error.code, `choose.${error.field}`, error.expected, error.got);
  }
}

// Per ring whether it serves for the second pass's first plan. The slots are taken to be where the likeliest cause has
// the rings now; where it has none, where they were planned.
function cutRings(known, wheel, likeliest, secondPass) {
  const wanted = secondPass?.plans[0][wheel];
  if (!wanted || wanted.ring_set !== known.ringSet.id || known.bolts.length === 0) return null;
  const now = likeliest.candidate?.rings ?? placedPair(known.ringSet, known.pair);
  const then = placedPair(known.ringSet, wanted.pair);
  const [inner, outer] = now.map((ring, k) => {
    return cutRingServes(known.bolts, degreesOf(ring.clockRad), degreesOf(then[k].clockRad), SLACK_MM);
  });
  return { inner, outer };
}
