// The axle as a whole: total toe, thrust and cross camber, and what pattern of damage they show. The twin of
// calc/choose/axle.py. Per wheel from total toe and thrust too, because total toe alone never makes a plan. It chooses
// no rings. Whole mdeg; thrust may end in .5 and is positive to the right of the vehicle.

import { damageOf } from "./advice.js";
import { positionOf, swapOf } from "./askew.js";
import { checkInteger, checkKeys, checkNumber } from "../numbers/checks.js";
import { checkedInput, completeSpread } from "./choose-input.js";
import { InputError } from "../numbers/input-error.js";
import { READING_LIMIT_MDEG } from "../constants.js";
import { WHEEL_ANGLES } from "../numbers/quantities.js";
import { SIDES } from "../numbers/sides.js";
import { roundHalfAway } from "../numbers/units.js";

const BESIDE = ["windows", "axle", "band", "spread", "lengths", "swapped"];
const NO_AXLE_WINDOWS = { total_toe: null, thrust: null, cross_camber: null };

/**
 * @param {object} input {left: {camber, toe}, right: {...}}, or {total_toe, thrust, camber: {left, right}}; a camber
 *   that was not read is null; `windows`, `axle`, `band` and `spread` as in choosing may be given; `lengths` and
 *   `swapped` as in askew.js
 * @returns {{left: object, right: object, total_toe: number, thrust: number, thrust_way: string,
 *   cross_camber: number|null, patterns: string[]|null, position: object|null, swap: object|null}} patterns are codes
 *   of damage, null without windows or cambers; position and swap as positionOf and swapOf, null where nothing was
 *   given for them
 * @throws {InputError} naming the field
 */
export function axle(input) {
  const wheels = input && "total_toe" in Object(input) ? wheelsOfTotal(input) : wheelsAsRead(input);
  const { total_toe, thrust, cross_camber } = axleOf(wheels);
  const hasCambers = wheels.left.camber !== null && wheels.right.camber !== null;
  return {
    ...wheels,
    total_toe,
    thrust,
    thrust_way: thrust === 0 ? "straight" : thrust > 0 ? "to-the-right" : "to-the-left",
    cross_camber: hasCambers ? cross_camber : null,
    patterns: hasCambers && input.windows ? patternsOf(input, wheels) : null,
    ...beside(input, wheels, thrust),
  };
}

function beside({ spread, lengths, swapped }, wheels, thrust) {
  const complete = completeSpread(spread ?? {});
  return {
    position: lengths ? positionOf(lengths, thrust, complete) : null,
    swap: swapped ? swapOf(wheels, readWheels(swapped, "swapped"), complete) : null,
  };
}

/** What both wheels make of the axle: total toe, thrust and cross camber. */
export function axleOf({ left, right }) {
  return {
    total_toe: left.toe + right.toe, thrust: (left.toe - right.toe) / 2, cross_camber: left.camber - right.camber,
  };
}

/**
 * Each wheel's toe from the axle's, rounded half away from zero on the left; the right gets the rest.
 * @param {number} totalMdeg
 * @param {number} thrustMdeg
 * @returns {{left: number, right: number}}
 */
export function wheelToes(totalMdeg, thrustMdeg) {
  const left = roundHalfAway(totalMdeg / 2 + thrustMdeg);
  return { left, right: totalMdeg - left };
}

function wheelsAsRead(input) {
  checkKeys(input, "", SIDES, BESIDE);
  const [left, right] = SIDES.map((side) => checkedWheel(input[side], side));
  return { left, right };
}

function readWheels(value, field) {
  checkKeys(value, field, SIDES);
  const [left, right] = SIDES.map((side) => checkedWheel(value[side], `${field}.${side}`));
  return { left, right };
}

function checkedWheel(value, field) {
  checkKeys(value, field, WHEEL_ANGLES);
  return { camber: checkCamber(value.camber, `${field}.camber`), toe: checkAngle(value.toe, `${field}.toe`) };
}

function wheelsOfTotal(input) {
  checkKeys(input, "", ["total_toe", "thrust"], ["camber", ...BESIDE]);
  const total = checkInteger(input.total_toe, "total_toe", -2 * READING_LIMIT_MDEG, 2 * READING_LIMIT_MDEG);
  const thrust = checkNumber(input.thrust, "thrust", -READING_LIMIT_MDEG, READING_LIMIT_MDEG);
  if (!Number.isInteger(2 * thrust)) throw new InputError("bad-input", "thrust", "whole or half mdeg", thrust);
  const cambers = input.camber ?? { left: null, right: null };
  checkKeys(cambers, "camber", SIDES);
  const toes = wheelToes(total, thrust);
  const [left, right] = SIDES.map((side) => {
    if (Math.abs(toes[side]) > READING_LIMIT_MDEG) {
      const expected = `a total and thrust that leave each wheel within ${READING_LIMIT_MDEG}`;
      throw new InputError("bad-input", "thrust", expected, toes[side]);
    }
    return { camber: checkCamber(cambers[side], `camber.${side}`), toe: toes[side] };
  });
  return { left, right };
}

function checkCamber(value, field) {
  return value === null ? null : checkAngle(value, field);
}

function checkAngle(value, field) {
  return checkInteger(value, field, -READING_LIMIT_MDEG, READING_LIMIT_MDEG);
}

// By the rules behind choosing's advice, so the windows are checked as choosing checks them.
function patternsOf({ windows, axle: axleWindows, band, spread }, { left, right }) {
  const choosing = {
    ring_sets: [],
    wheels: { left: { ...left, rings: "no" }, right: { ...right, rings: "no" } },
    windows,
    axle: axleWindows ?? NO_AXLE_WINDOWS,
    band: band ?? {},
    spread: spread ?? {},
  };
  return damageOf(checkedInput(choosing, []));
}
