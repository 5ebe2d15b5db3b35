// Which repeated readings of an axle contradict each other, so that their mean would say nothing: the twin of
// calc/numbers/disagreeing.py. It drops none.

import { APART_SDS_SQUARED, WHEEL_ANGLES } from "../constants.js";
import { SIDES } from "./sides.js";

/**
 * Every two readings of an angle that are further apart than 3 sqrt 2 of the SD of one reading.
 * @param {{left: object[], right: object[]}} readings {n, camber, toe} of each, mdeg or null where not read; n is the
 *   same on both sides for what was read together
 * @param {{camber: number, toe: number}} sds the SD of one reading of each angle, mdeg
 * @returns {{side: string, angle: string, between: number[], apart: number, looks: string[]}[]} `looks` holds
 *   "mirrored" where one is the other with the way turned about, "crosswise" where all that was read of both wheels
 *   fits with left and right exchanged
 */
export function disagreeing(readings, sds) {
  return SIDES.flatMap((side) => everyTwo(readings[side]).flatMap(([one, other]) => WHEEL_ANGLES.flatMap((angle) => {
    const [a, b, sd] = [one[angle], other[angle], sds[angle]];
    if (a === null || b === null || fits(a, b, sd)) return [];
    const looks = [fits(a, -b, sd) && "mirrored", isCrosswise(readings, one.n, other.n, sds) && "crosswise"]
      .filter(Boolean);
    return [{ side, angle, between: [one.n, other.n], apart: Math.abs(a - b), looks }];
  })));
}

function everyTwo(list) {
  return list.flatMap((one, at) => list.slice(at + 1).map((other) => [one, other]));
}

function fits(a, b, sd) {
  return (a - b) ** 2 <= APART_SDS_SQUARED * sd * sd;
}

// Whether each wheel's reading n is the other wheel's reading m, in every angle that was read at all four.
function isCrosswise(readings, n, m, sds) {
  const [[leftN, leftM], [rightN, rightM]] =
    SIDES.map((side) => [n, m].map((number) => readings[side].find((each) => each.n === number)));
  if (!leftN || !leftM || !rightN || !rightM) return false;
  const crossed = [[leftN, rightM], [rightN, leftM]];
  const whole = WHEEL_ANGLES.filter((angle) => crossed.flat().every((reading) => reading[angle] !== null));
  return whole.length > 0 && whole.every((angle) => crossed.every(([a, b]) => fits(a[angle], b[angle], sds[angle])));
}
