// The readings of a job: repeats of each wheel, their mean and what the mean is worth. Pure, in whole mdeg.

import { KIND } from "./entry.js";
import { SIDES } from "../numbers/sides.js";
import { meanMdeg, sdOfMean } from "../numbers/stats.js";

const DEFAULT_SD_MDEG = Object.freeze({ camber: 50, toe: 30 });
const QUANTITIES = Object.keys(DEFAULT_SD_MDEG);

/**
 * Readings of one wheel that may be used, in the order of their numbers.
 * @param {{slots: object, conflicts: string[]}} fold of the job
 * @param {string} prefix "base", or "round.1.check"
 * @returns {{slot: string, camber: number|null, toe: number|null}[]} without withdrawn ones, and without those about
 *   which two people differ: a person must say first which one holds
 */
export function readingsOf(fold, prefix, side) {
  const start = `${prefix}.${side}.`;
  const numbered = Object.keys(fold.slots).filter((slot) => slot.startsWith(start) && /^\d+$/.test(slot.slice(start.length)));
  return numbered
    .filter((slot) => !fold.conflicts.includes(slot))
    .sort((a, b) => Number(a.slice(start.length)) - Number(b.slice(start.length)))
    .map((slot) => ({ slot, entry: fold.slots[slot][0] }))
    .filter(({ entry }) => entry.kind === KIND.READING_TAKEN && (entry.body.camber || entry.body.toe))
    .map(({ slot, entry }) => ({ slot, camber: entry.body.camber?.mdeg ?? null, toe: entry.body.toe?.mdeg ?? null }));
}

/**
 * What the readings of both wheels say: {left: {camber, toe, camber_sd, toe_sd, count}, right: ...}.
 * camber and toe are means in whole mdeg or null where there is no reading; the SDs are those of the means.
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

/** {left: f("left"), right: f("right")}. */
export function bothSides(f) {
  return Object.fromEntries(SIDES.map((side) => [side, f(side)]));
}
