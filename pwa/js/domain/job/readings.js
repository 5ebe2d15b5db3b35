// The readings of a job: repeats of each wheel, their mean and what the mean is worth. Pure, in whole mdeg.

import { CAMBER_SD_MDEG, TOE_SD_MDEG } from "../constants.js";
import { KIND } from "./entry.js";
import { disagreeing } from "../numbers/disagreeing.js";
import { fieldOf, settledAt } from "./slot-values.js";
import { SIDES } from "../numbers/sides.js";
import { meanMdeg, sdOfMean } from "../numbers/stats.js";

const DEFAULT_SD_MDEG = Object.freeze({ camber: CAMBER_SD_MDEG, toe: TOE_SD_MDEG });
const QUANTITIES = Object.keys(DEFAULT_SD_MDEG);

/** Slot of the field that strikes a reading: {reason} of the person who writes it, or null to take that back. */
export function struckSlot(slot) {
  return `struck.${slot}`;
}

/**
 * Readings of one wheel that may be used, in the order of their numbers.
 * @param {{slots: object, conflicts: string[]}} fold of the job
 * @param {string} prefix "base", or "round.1.check"
 * @returns {{slot: string, n: number, camber: number|null, toe: number|null}[]} without withdrawn and struck ones, and
 *   without those about which two people differ: a person must say first which one holds
 */
export function readingsOf(fold, prefix, side) {
  return allReadings(fold, prefix, side).filter(({ slot }) => !fieldOf(fold, struckSlot(slot)));
}

/**
 * @returns {object[]} the readings that somebody has struck, as readingsOf, with `by` (a name) and `reason`: they stay
 *   readable
 */
export function struckReadings(fold, prefix, side) {
  return allReadings(fold, prefix, side).flatMap((reading) => {
    const struck = settledAt(fold, struckSlot(reading.slot), KIND.FIELD_SET);
    return struck?.body.value ? [{ ...reading, by: struck.by, reason: struck.body.value.reason ?? "" }] : [];
  });
}

function allReadings(fold, prefix, side) {
  const start = `${prefix}.${side}.`;
  const numbered = Object.keys(fold.slots)
    .filter((slot) => slot.startsWith(start) && /^\d+$/.test(slot.slice(start.length)));
  return numbered
    .filter((slot) => !fold.conflicts.includes(slot))
    .map((slot) => ({ slot, n: Number(slot.slice(start.length)), entry: fold.slots[slot][0] }))
    .sort((a, b) => a.n - b.n)
    .filter(({ entry }) => entry.kind === KIND.READING_TAKEN && (entry.body.camber || entry.body.toe))
    .map(({ slot, n, entry }) => ({ slot, n, camber: entry.body.camber?.mdeg ?? null,
      toe: entry.body.toe?.mdeg ?? null }));
}

/**
 * What the readings of both wheels say: {left: {camber, toe, camber_sd, toe_sd, count}, right: ...}.
 * camber and toe are means in whole mdeg or null where there is no reading; the SDs are those of the means. It only
 * shows what was read: what decides anything asks agreedReadings.
 * @param {{camber?: number, toe?: number}} [sds] SD of one reading in mdeg, where the shop knows its own
 */
export function meanReadings(fold, prefix, sds = {}) {
  const usual = { ...DEFAULT_SD_MDEG, ...sds };
  return bothSides((side) => {
    const readings = readingsOf(fold, prefix, side);
    const wheel = { count: readings.length };
    for (const quantity of QUANTITIES) {
      const taken = readings.map((reading) => reading[quantity]).filter((mdeg) => mdeg !== null);
      wheel[quantity] = taken.length ? meanMdeg(taken) : null;
      wheel[`${quantity}_sd`] = taken.length ? sdOfMean(taken, usual[quantity]) : usual[quantity];
    }
    return wheel;
  });
}

/**
 * Which readings of both wheels contradict each other (numbers/disagreeing.js), each also with `slots`. A further
 * reading settles nothing: one of the two is struck. In a job that was signed nothing is asked any more: it reads as it
 * did.
 */
export function disagreeingReadings(fold, prefix, sds = {}) {
  if (fold.state === "signed") return [];
  const readings = bothSides((side) => readingsOf(fold, prefix, side));
  return disagreeing(readings, { ...DEFAULT_SD_MDEG, ...sds }).map((each) => ({
    ...each, slots: each.between.map((n) => readings[each.side].find((reading) => reading.n === n).slot),
  }));
}

/** As meanReadings, but an angle whose readings contradict each other has no mean: it is null. */
export function agreedReadings(fold, prefix, sds = {}) {
  const wheels = meanReadings(fold, prefix, sds);
  for (const { side, angle } of disagreeingReadings(fold, prefix, sds)) wheels[side][angle] = null;
  return wheels;
}

/** {left: f("left"), right: f("right")}. */
export function bothSides(f) {
  return Object.fromEntries(SIDES.map((side) => [side, f(side)]));
}
