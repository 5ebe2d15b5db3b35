// What a job means for proving one wheel of one round (prove.js). Pure; it weighs nothing itself.

import { planOf } from "./checklist-slots.js";
import { boltsOf } from "./fit-request.js";
import { baseOf } from "./job.js";
import { fieldOf } from "./slot-values.js";
import { agreedReadings, bothSides, readingsOf } from "./readings.js";
import { readingSds, spreadOf } from "./shop-spread.js";

const OTHER = { left: "right", right: "left" };
const LEAST_SD_MDEG = 1; // what is weighed must have some spread

/**
 * @param {object} fold of the job
 * @param {number} round
 * @param {"left"|"right"} side
 * @param {{setOf: function(string): object|undefined, others: object[], shop?: object|null}} known `setOf` the ring set
 *   of an id as it was when the plan was made; `others` all ring sets that the shop has; `shop` its own spreads
 *   (shop-spread.js), as in choosing
 * @returns {object|null} input of `prove`; null where that wheel got no rings in this round, or is not read
 */
export function proveInputOf(fold, round, side, { setOf, others, shop = null }) {
  const fitted = planOf(fold, round)?.plan[side];
  const base = baseOf(fold, round, undefined, readingSds(shop));
  const check = agreedReadings(fold, `round.${round}.check`, readingSds(shop));
  if (!fitted || !setOf(fitted.ring_set) || !isRead(base[side]) || !isRead(check[side])) return null;
  return {
    wheel: side,
    ring_set: setOf(fitted.ring_set),
    pair: fitted.pair,
    base: angles(base[side]),
    check: angles(check[side]),
    spread: spreadOf(worseOf(base, check), shop),
    bolts: boltsOf(fold)?.at ?? [],
    droop_deg: droopOf(fold, round, side),
    toe_units: {
      base: toeUnitOf(fold, round === 1 ? "base" : `round.${round - 1}.check`, side),
      check: toeUnitOf(fold, `round.${round}.check`, side),
    },
    other: { wheel: otherWheel(fold, round, OTHER[side], { setOf, base, check }), ring_sets: others },
  };
}

/**
 * The unit in which the toe of one wheel was typed at a reading, as total toe where it was worked out from that.
 * @param {object} fold of the job
 * @param {string} prefix "base", or "round.1.check"
 * @param {"left"|"right"} side
 * @returns {string|null} null where it was typed in more than one, or in none
 */
export function toeUnitOf(fold, prefix, side) {
  const units = readingsOf(fold, prefix, side).filter(({ toe }) => toe !== null).map(({ slot, n }) => {
    const total = fieldOf(fold, `${prefix}.total-toe.${n}`);
    return (total ?? fold.slots[slot][0].body.toe).unit;
  });
  return units.length > 0 && units.every((unit) => unit === units[0]) ? units[0] : null;
}

/**
 * How far that flange turned towards the rear between ride height and hanging, in degrees; null while nobody measured
 * it.
 */
function droopOf(fold, round, side) {
  const slots = [`round.${round}.fit.${side}.level-hanging`, `fit.${side}.level-hanging`];
  const turn = slots.map((slot) => fieldOf(fold, slot)?.turn_deg).find((deg) => typeof deg === "number");
  return turn >= 0 && turn <= 60 ? turn : null; // 0 rules the cause out
}

// The readings before and after may be worth different amounts: the worse counts for both.
function worseOf(base, check) {
  const worse = (side, name) => Math.max(LEAST_SD_MDEG, base[side][name], check[side][name]);
  return bothSides((side) => ({ camber_sd: worse(side, "camber_sd"), toe_sd: worse(side, "toe_sd") }));
}

function otherWheel(fold, round, side, { setOf, base, check }) {
  const fitted = planOf(fold, round)?.plan[side];
  const ringSet = fitted && setOf(fitted.ring_set);
  if (!ringSet) return null;
  const wheel = { ring_set: ringSet, pair: fitted.pair };
  return isRead(base[side]) && isRead(check[side]) ? { ...wheel, base: angles(base[side]), check: angles(check[side]) }
    : wheel;
}

function angles({ camber, toe }) {
  return { camber, toe };
}

function isRead({ camber, toe }) {
  return camber !== null && toe !== null;
}
