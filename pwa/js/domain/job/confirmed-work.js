// What was confirmed at the wheels and still holds: rings, torques, hub bolts. A row that was confirmed before the
// wheel was opened again says nothing of what sits there now. Pure.

import { recordIn } from "./bolt-length.js";
import { isTicked } from "./checklist-slots.js";
import { fitSlot, isAnswered, isOpened, TAKE_OUT, workOf } from "./round-work.js";
import { fieldOf } from "./slot-values.js";
import { SIDES } from "../numbers/sides.js";

/** Each torque with the row of a wheel that confirms it. */
const TORQUES = {
  "fit.torque": "tightened", "torque.caliper": "bracket-bolts", "torque.bracket": "bracket-bolts",
  "torque.wheel": "wheel-fasteners", "torque.axle-nut": "axle-nut-final",
};
/** Rows that easing the fasteners for any wheel opens again, were the wheel never taken off. */
const OPENED_BY_EASING = { "wheel-fasteners": "eased", "axle-nut-final": "axle-nut-eased" };

/** @returns {object|null} the newest row of that name at the wheel, where it is done and nothing opened it since */
export function confirmedRow(job, name, side) {
  for (let { round } = job; round >= TAKE_OUT; round -= 1) {
    const row = job.row(fitSlot(round, name, side));
    if (row?.state === "done") return row;
    if (isOpened(job.fold, round, side) || isEased(job.fold, round, name, side)) return null;
  }
  return null;
}

function isEased(fold, round, name, side) {
  const eased = OPENED_BY_EASING[name];
  return Boolean(eased) && isAnswered(fold, fitSlot(round, eased)) && Boolean(workOf(fold, round)?.work.includes(side));
}

/** @returns {{row: object, value: object, sides: string[]}[]} the torques that were confirmed, with the wheels */
export function confirmedTorques(job) {
  return Object.entries(TORQUES).flatMap(([slot, name]) => {
    const row = job.row(slot);
    const value = fieldOf(job.fold, slot) ?? null;
    const sides = SIDES.filter((side) => confirmedRow(job, name, side));
    return row && value && sides.length > 0 ? [{ row, value, sides }] : [];
  });
}

/** @returns {{side: string, record: object}[]} the hub bolts that close each wheel, as their length was confirmed */
export function confirmedBolts(job) {
  return SIDES.flatMap((side) => {
    const row = confirmedRow(job, "bolt-length", side);
    const record = row && recordIn(job.fold, row.slot);
    return record ? [{ side, record }] : [];
  });
}

/** @returns {{side: string, spacers: {lug: number, mm: number}[]}[]} what was put in under each bracket */
export function confirmedSpacers(job) {
  return SIDES.flatMap((side) => {
    const spacers = confirmedRow(job, "spacers", side)?.entry?.body.spacers ?? [];
    return spacers.length > 0 ? [{ side, spacers }] : [];
  });
}

/**
 * What sits at a wheel by what was done there.
 * @returns {object|null} as `job.installed`, and `closed`: whether the hub was tightened over it
 */
export function confirmedPair(job, side) {
  const pair = job.installed(side);
  if (!pair || job.begunWith < 2) return pair; // a job of an older program is believed by its plan
  return { ...pair, closed: pair.closed && confirmedRow(job, "tightened", side) !== null };
}

/** @returns {boolean} whether a pair was put in at this wheel in any round */
export function wasEverIn(job, side) {
  return Array.from({ length: job.round }, (_, n) => n + 1).some((round) => isPutIn(job, side, round));
}

/** @returns {boolean} whether rings went in at a wheel, or, without a side, any hub was closed in that round */
export function isPutIn(job, side, round) {
  if (side) return isTicked(job.fold, fitSlot(round, "rings-in", side));
  return SIDES.some((each) => isTicked(job.fold, fitSlot(round, "tightened", each)));
}
