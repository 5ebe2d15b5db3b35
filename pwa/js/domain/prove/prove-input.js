// The input of proving, checked; what is not known is null. The twin of calc/prove/prove_input.py, where each part is
// described. Ring sets are those that tables hold. It computes nothing.

import { MOST_RING_SETS, READING_LIMIT_MDEG, UNITS } from "../constants.js";
import { checkBolts } from "../rings/bolt-pattern.js";
import { checkChoice, checkInteger, checkKeys, checkList, checkNumber } from "../numbers/checks.js";
import { completeSpread } from "../choose/choose-input.js";
import { checkPair } from "../fit/fit-input.js";
import { InputError } from "../numbers/input-error.js";
import { WHEEL_ANGLES } from "../numbers/quantities.js";
import { SIDES } from "../numbers/sides.js";

const REQUIRED_KEYS = ["ring_set", "wheel", "pair", "base", "check"];
const OPTIONAL_KEYS = ["spread", "bolts", "droop_deg", "toe_units", "other", "choose"];

/**
 * @param {object} input of `prove`
 * @returns {{wheel: string, known: object, spread: object}} `known` is what is known of the fitting, readings as
 *   [camber, toe]; `spread` that of this wheel
 * @throws {InputError} naming the field
 */
export function checkedProveInput(input) {
  checkKeys(input, "", REQUIRED_KEYS, OPTIONAL_KEYS);
  const wheel = checkChoice(input.wheel, "wheel", SIDES);
  const known = {
    ringSet: input.ring_set,
    pair: checkPair(input.pair, input.ring_set, "pair"),
    base: checkReading(input.base, "base"),
    check: checkReading(input.check, "check"),
    bolts: checkBolts(input.bolts ?? [], "bolts"),
    droopDeg: ifGiven(input.droop_deg, (droop) => checkNumber(droop, "droop_deg", 0, 60)),
    toeUnits: ifGiven(input.toe_units, checkToeUnits) ?? { base: null, check: null },
    other: ifGiven(input.other, checkOther),
  };
  return { wheel, known, spread: spreadOfWheel(input.spread ?? {}, wheel) };
}

function ifGiven(value, check) {
  return value === undefined || value === null ? null : check(value);
}

function checkReading(value, field) {
  checkKeys(value, field, WHEEL_ANGLES);
  return WHEEL_ANGLES.map((angle) => {
    return checkInteger(value[angle], `${field}.${angle}`, -READING_LIMIT_MDEG, READING_LIMIT_MDEG);
  });
}

function checkToeUnits(value) {
  checkKeys(value, "toe_units", ["base", "check"]);
  const unitAt = (name) => ifGiven(value[name], (unit) => checkChoice(unit, `toe_units.${name}`, UNITS));
  return { base: unitAt("base"), check: unitAt("check") };
}

function checkOther(value) {
  checkKeys(value, "other", [], ["wheel", "ring_sets", "old_rings"]);
  const wheel = ifGiven(value.wheel,
    (given) => checkKeys(given, "other.wheel", ["ring_set", "pair"], ["base", "check"]));
  return {
    fitting: wheel && checkFitting(wheel, "other.wheel"),
    base: ifGiven(wheel?.base, (reading) => checkReading(reading, "other.wheel.base")),
    check: ifGiven(wheel?.check, (reading) => checkReading(reading, "other.wheel.check")),
    ringSets: checkList(value.ring_sets ?? [], "other.ring_sets", 0, MOST_RING_SETS),
    oldRings: ifGiven(value.old_rings, (old) => {
      return checkFitting(checkKeys(old, "other.old_rings", ["ring_set", "pair"]), "other.old_rings");
    }),
  };
}

function checkFitting({ ring_set, pair }, field) {
  return { ringSet: ring_set, pair: checkPair(pair, ring_set, `${field}.pair`) };
}

// A reading without any spread cannot be weighed, so its SD is at least 1 mdeg.
function spreadOfWheel(value, wheel) {
  const spread = completeSpread(value);
  for (const name of ["camber_sd", "toe_sd"]) {
    if (spread[name][wheel] < 1) {
      throw new InputError("bad-input", `spread.${name}.${wheel}`, "at least 1 to weigh causes by",
        spread[name][wheel]);
    }
  }
  return {
    camberSd: spread.camber_sd[wheel],
    toeSd: spread.toe_sd[wheel],
    clockSdDeg: spread.clock_sd_deg,
    markSdSteps: spread.mark_sd_steps,
    seatSd: spread.seat_sd,
  };
}
