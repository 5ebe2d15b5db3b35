// The input of the fitting aids, checked: nothing but the wheel is required, and what is not given is null.
// The twin of calc/fit/fit_input.py; field names and choices are those of the checklist's Vehicle stage. It computes
// nothing.

import {
  CLEARANCE_MM, MOST_LUGS, MOST_STOCK, VEHICLE_CHOICES, VEHICLE_LENGTHS_MM, WANTED_DIAMETERS,
} from "../constants.js";
import { checkBolts } from "../rings/bolt-pattern.js";
import { checkChoice, checkInteger, checkKeys, checkList, checkNumber } from "../numbers/checks.js";
import { InputError } from "../numbers/input-error.js";
import { SIDES } from "../numbers/sides.js";
import { checkClass, checkThread } from "./threads.js";
import { checkTorque } from "./torque.js";

const OPTIONAL_KEYS = ["ring_set", "pair", "vehicle", "bolts", "torque", "cut_pair", "bracket"];
const BOLT_FIELDS = [
  "thread", "class", "engaged_mm", "turns", "blind_depth_mm", "metal", "nut_height_mm", "clearance_mm",
];

/**
 * @param {object} input of `fit`; the ring set is one that a table holds
 * @returns {object} complete: every part that was not given is null
 * @throws {InputError} naming the field
 */
export function checkedFitInput(input) {
  checkKeys(input, "", ["wheel"], OPTIONAL_KEYS);
  const ringSet = input.ring_set ?? null;
  const pairOf = (key) => ifGiven(input[key], (pair) => {
    if (ringSet === null) throw new InputError("bad-input", "ring_set", `the ring set that ${key} is of`, null);
    return checkPair(pair, ringSet, key);
  });
  return {
    ringSet,
    pair: pairOf("pair"),
    cutPair: pairOf("cut_pair"),
    wheel: checkChoice(input.wheel, "wheel", SIDES),
    vehicle: checkVehicle(input.vehicle ?? {}),
    bolts: ifGiven(input.bolts, checkHubBolts),
    torque: ifGiven(input.torque, (torque) => checkTorque(torque, "torque")),
    bracket: ifGiven(input.bracket, checkBracket),
  };
}

/** @returns {number[]} the index pair, each a mark that its ring has */
export function checkPair(value, ringSet, field) {
  checkList(value, field, 2, 2);
  [ringSet.inner, ringSet.outer].forEach(({ first_mark, marks }, k) => {
    checkInteger(value[k], `${field}[${k}]`, first_mark, first_mark + marks - 1);
  });
  return value;
}

function ifGiven(value, check) {
  return value === undefined || value === null ? null : check(value);
}

function optionalNumber(parts, field, key, low, high) {
  return ifGiven(parts[key], (value) => checkNumber(value, `${field}.${key}`, low, high));
}

function checkVehicle(value) {
  checkKeys(value, "vehicle", [],
    [...Object.keys(VEHICLE_CHOICES), ...Object.keys(VEHICLE_LENGTHS_MM), "pairs_fitted"]);
  const vehicle = {};
  for (const [key, choices] of Object.entries(VEHICLE_CHOICES)) {
    vehicle[key] = ifGiven(value[key], (choice) => checkChoice(choice, `vehicle.${key}`, choices));
  }
  for (const [key, limits] of Object.entries(VEHICLE_LENGTHS_MM))
    vehicle[key] = optionalNumber(value, "vehicle", key, ...limits);
  vehicle.pairs_fitted = ifGiven(value.pairs_fitted, (pairs) => checkInteger(pairs, "vehicle.pairs_fitted", 0, 9));
  return vehicle;
}

function checkHubBolts(value) {
  checkKeys(value, "bolts", ["at"], BOLT_FIELDS);
  const thread = ifGiven(value.thread, (given) => checkThread(given, "bolts.thread"));
  const engagedMm = checkEngaged(value, thread);
  const depthMm = optionalNumber(value, "bolts", "blind_depth_mm", 1, 200);
  if (depthMm !== null && engagedMm !== null && depthMm < engagedMm) {
    throw new InputError("bad-input", "bolts.blind_depth_mm", `at least the engagement of ${engagedMm} mm`, depthMm);
  }
  const bolts = {
    at: checkBolts(value.at, "bolts.at", 2),
    thread,
    propertyClass: ifGiven(value.class, (given) => checkClass(given, "bolts.class")),
    engagedMm,
    depthMm,
    metal: ifGiven(value.metal, (metal) => checkChoice(metal, "bolts.metal", Object.keys(WANTED_DIAMETERS))),
    nutHeightMm: optionalNumber(value, "bolts", "nut_height_mm", 1, 50),
    clearanceMm: checkClearance(value, thread),
  };
  checkRoom(bolts);
  return bolts;
}

// Without rings: measured, or turns counted x pitch.
function checkEngaged(value, thread) {
  if ((value.turns ?? null) === null) return optionalNumber(value, "bolts", "engaged_mm", 0.5, 200);
  if ((value.engaged_mm ?? null) !== null) {
    throw new InputError("bad-input", "bolts.turns", "either turns or engaged_mm, not both", "both");
  }
  if (thread === null) throw new InputError("bad-input", "bolts.thread", "the thread whose turns were counted", null);
  return checkNumber(value.turns, "bolts.turns", 0.5, 100) * thread.pitch_mm;
}

function checkClearance(value, thread) {
  if ((value.clearance_mm ?? null) === null) return thread && CLEARANCE_MM[thread.diameter_mm];
  return checkNumber(value.clearance_mm, "bolts.clearance_mm", thread ? thread.diameter_mm : 1, 60);
}

function checkRoom({ at, clearanceMm }) {
  if (clearanceMm === null) return;
  at.forEach(([radiusMm], k) => {
    if (radiusMm > clearanceMm / 2) return;
    throw new InputError("bad-input", `bolts.at[${k}][0]`, `over ${clearanceMm / 2} mm, half the clearance`, radiusMm);
  });
}

function checkBracket(value) {
  checkKeys(value, "bracket", ["lugs"], ["stock", "engaged_mm"]);
  const lugs = checkBolts(checkList(value.lugs, "bracket.lugs", 1, MOST_LUGS), "bracket.lugs", 1);
  const stock = checkList(value.stock ?? [], "bracket.stock", 0, MOST_STOCK);
  stock.forEach((item, k) => {
    const field = `bracket.stock[${k}]`;
    checkKeys(item, field, ["thickness_mm", "quantity"]);
    checkNumber(item.thickness_mm, `${field}.thickness_mm`, 0.05, 30);
    checkInteger(item.quantity, `${field}.quantity`, 0, 10000);
  });
  return { lugs, stock, engagedMm: optionalNumber(value, "bracket", "engaged_mm", 0.5, 200) };
}
