// What more tells about a crooked axle: lengths measured on the floor, and the wheels swapped from side to side. The
// twin of calc/choose/askew.py, which has the geometry and its source. Whole tenths of a millimetre, whole mdeg, to the
// right of the vehicle.

import { degreesOf } from "../numbers/arithmetic.js";
import { checkKeys, checkNumber } from "../numbers/checks.js";
import {
  CLEAR_SDS, LENGTHS_APART_SHARE, LENGTH_MM_HIGH, LENGTH_MM_LOW, LENGTH_SD_MM, LENGTH_SD_MM_HIGH,
  TRACK_MM_HIGH, TRACK_MM_LOW,
} from "../constants.js";
import { InputError } from "../numbers/input-error.js";
import { WHEEL_ANGLES } from "../numbers/quantities.js";
import { SIDES } from "../numbers/sides.js";
import { roundHalfAway } from "../numbers/units.js";

/**
 * @param {{track_mm: number, wheelbase: object|null, diagonals: object|null, sd_mm?: number}} lengths in mm, a diagonal
 *   named by the front wheel that it begins at
 * @param {number} thrust as read, in mdeg, may end in .5
 * @param {object} spread complete
 * @returns {{from: string, axle: number, axle_sd: number, thrust_sd: number, rest: number, rest_sd: number, verdict:
 *   string, side_shift_mm: number|null, side_shift_sd_mm: number|null, is_aside: boolean|null}} verdict is
 *   "axle-askew", "wheels-askew", "both" or "not-told"
 * @throws {InputError} naming the field
 */
export function positionOf(lengths, thrust, spread) {
  const { track, wheelbase, diagonals, sd } = checkedLengths(lengths);
  const [axle, axleSd] = wheelbase ? fromWheelbase(track, wheelbase, sd) : fromDiagonals(track, diagonals, sd);
  const { toe_sd: { left, right }, thrust_sd: settled } = spread;
  const thrustSd = atLeast1((left * left + right * right) / 4 + settled * settled);
  const isAxleOff = Math.abs(axle) > CLEAR_SDS * axleSd;
  const twiceRest = 2 * thrust - 2 * axle;
  const variance = axleSd * axleSd + thrustSd * thrustSd;
  const isRestThere = twiceRest * twiceRest > (2 * CLEAR_SDS) ** 2 * variance;
  return {
    from: wheelbase ? "wheelbase" : "diagonals",
    axle,
    axle_sd: axleSd,
    thrust_sd: thrustSd,
    rest: twiceRest / 2,
    rest_sd: atLeast1(variance),
    verdict: isAxleOff ? (isRestThere ? "both" : "axle-askew") : isRestThere ? "wheels-askew" : "not-told",
    ...sideShift(track, wheelbase, diagonals, sd),
  };
}

/**
 * @param {{left: object, right: object}} before readings of both wheels, in mdeg
 * @param {{left: object, right: object}} after the same with the wheels swapped from side to side
 * @param {object} spread complete: the SDs of each reading
 * @returns {{camber: object|null, toe: object|null}} each {went, stayed, sd, verdict}; verdict is "wheels", "hub",
 *   "both" or "not-told"; null where an angle was not read
 */
export function swapOf(before, after, spread) {
  return Object.fromEntries(WHEEL_ANGLES.map((angle) => [angle, swappedAngle(angle, before, after, spread)]));
}

function swappedAngle(angle, before, after, spread) {
  if ([before, after].some((wheels) => SIDES.some((side) => wheels[side][angle] === null))) return null;
  const [was, now] = [before, after].map(({ left, right }) => left[angle] - right[angle]);
  const { left, right } = spread[`${angle}_sd`];
  const settled = angle === "camber" ? 0 : 2 * (spread.thrust_sd * spread.thrust_sd);
  const sd = atLeast1((left * left + right * right) / 2 + settled);
  const [went, stayed] = [was - now, was + now].map((apart) => Math.abs(apart) > 2 * CLEAR_SDS * sd);
  const verdict = went ? (stayed ? "both" : "wheels") : stayed ? "hub" : "not-told";
  return { went: (was - now) / 2, stayed: (was + now) / 2, sd, verdict };
}

function checkedLengths(value) {
  checkKeys(value, "lengths", ["track_mm", "wheelbase", "diagonals"], ["sd_mm"]);
  const track = tenths(value.track_mm, "lengths.track_mm", TRACK_MM_LOW, TRACK_MM_HIGH);
  const [wheelbase, diagonals] = ["wheelbase", "diagonals"]
    .map((name) => checkedPair(value[name], `lengths.${name}`, track));
  if (!wheelbase && !diagonals) throw new InputError("bad-input", "lengths.wheelbase",
    "both wheelbases, or both diagonals", "neither");
  const sd = checkNumber("sd_mm" in value ? value.sd_mm : LENGTH_SD_MM, "lengths.sd_mm", 0, LENGTH_SD_MM_HIGH);
  return { track, wheelbase, diagonals, sd: 10 * sd };
}

function checkedPair(value, field, track) {
  if (value === null) return null;
  checkKeys(value, field, SIDES);
  const [left, right] = SIDES.map((side) => tenths(value[side], `${field}.${side}`, LENGTH_MM_LOW, LENGTH_MM_HIGH));
  const refuse = (expected) => {
    throw new InputError("bad-input", field, expected, `${value.left}, ${value.right}`);
  };
  if (LENGTHS_APART_SHARE * Math.abs(left - right) > track)
    refuse("two lengths less than a quarter of the track apart");
  if (field === "lengths.diagonals" && twiceWheelbaseSquared(track, { left, right }) <= 0)
    refuse("diagonals longer than the track");
  return { left, right };
}

function tenths(value, field, low, high) {
  return roundHalfAway(10 * checkNumber(value, field, low, high));
}

function twiceWheelbaseSquared(track, { left, right }) {
  return left * left + right * right - 2 * track * track;
}

function fromWheelbase(track, { left, right }, sd) {
  return [mdegOf((right - left) / track), sdMdegOf((sd * Math.SQRT2) / track)];
}

function fromDiagonals(track, diagonals, sd) {
  const { left, right } = diagonals;
  const wheelbase = Math.sqrt(twiceWheelbaseSquared(track, diagonals) / 2);
  const mean = Math.sqrt((left * left + right * right) / 2);
  const sine = (left * left - right * right) / (2 * wheelbase * track);
  if (Math.abs(sine) > 1 / LENGTHS_APART_SHARE) {
    throw new InputError("bad-input", "lengths.diagonals", "two lengths less than a quarter of the track apart",
      `${sine.toFixed(2)} of it`);
  }
  return [mdegOf(sine), sdMdegOf((sd * Math.SQRT2 * mean) / (wheelbase * track))];
}

function sideShift(track, wheelbase, diagonals, sd) {
  if (!wheelbase || !diagonals) return { side_shift_mm: null, side_shift_sd_mm: null, is_aside: null };
  const [a, b] = [diagonals.left, diagonals.right];
  const { left, right } = wheelbase;
  const shift = roundHalfAway((right * right - left * left - (a * a - b * b)) / (40 * track));
  const reach = Math.sqrt((left * left + right * right + a * a + b * b) / 2);
  const shiftSd = Math.max(1, roundHalfAway((sd * Math.SQRT2 * reach) / (20 * track)));
  return { side_shift_mm: shift, side_shift_sd_mm: shiftSd, is_aside: Math.abs(shift) > CLEAR_SDS * shiftSd };
}

function mdegOf(sine) {
  return roundHalfAway(1000 * degreesOf(Math.asin(sine)));
}

function sdMdegOf(radians) {
  return Math.max(1, roundHalfAway(1000 * degreesOf(radians)));
}

function atLeast1(variance) {
  return Math.max(1, roundHalfAway(Math.sqrt(variance)));
}
