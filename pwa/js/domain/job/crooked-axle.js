// What a job knows beside its readings about a crooked axle: lengths that somebody measured, readings with the wheels
// swapped from side to side, and what follows from both. Pure; the weighing is choose/askew.js's.

import { axle } from "../choose/axle.js";
import { InputError } from "../numbers/input-error.js";
import { SIDES } from "../numbers/sides.js";
import { CAMBER_SD_MDEG, TOE_SD_MDEG } from "../constants.js";
import { KIND } from "./entry.js";
import { agreedReadings, bothSides } from "./readings.js";
import { fieldOf, settledAt } from "./slot-values.js";
import { readingSds, spreadOf } from "./shop-spread.js";

/**
 * Slot of a wheel's reading after the wheels were swapped: the place where it was read, whichever wheel turns there.
 */
export function swappedSlot(side) {
  return `swapped.${side}`;
}

/** Row that the lengths begin with, and the row of the swapped readings: where an advice leads. */
export const FIRST_LENGTH = "base.wheelbase-left";
export const SWAPPED_ROW = "base.swapped";

/**
 * @param {object} fold of the job
 * @param {object|null} shop its own spreads (shop-spread.js)
 * @returns {{position: object|null, missing: "lengths"|"readings"|null, error: InputError|null}} `position` as
 *   positionOf
 */
export function axlePosition(fold, shop = null) {
  const lengths = lengthsOf(fold);
  if (!lengths) return { position: null, missing: "lengths", error: null };
  const base = agreedReadings(fold, "base", readingSds(shop));
  if (SIDES.some((side) => base[side].toe === null)) return { position: null, missing: "readings", error: null };
  try {
    const { position } = axle({ ...anglesOf(base), spread: spreadOf(base, shop), lengths });
    return { position, missing: null, error: null };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { position: null, missing: null, error };
  }
}

/**
 * @returns {object|null} as swapOf, by the SD of a single reading, for nobody repeats these; null until both wheels
 *   were read before and after
 */
export function swappedWheels(fold, shop = null) {
  const base = agreedReadings(fold, "base", readingSds(shop));
  const swapped = bothSides((side) => swappedReading(fold, side));
  if (SIDES.some((side) => base[side].toe === null || swapped[side].toe === null)) return null;
  const { camber = CAMBER_SD_MDEG, toe = TOE_SD_MDEG } = readingSds(shop);
  const spread = { camber_sd: bothSides(() => camber), toe_sd: bothSides(() => toe) };
  return axle({ ...anglesOf(base), spread, swapped }).swap;
}

function swappedReading(fold, side) {
  const body = settledAt(fold, swappedSlot(side), KIND.READING_TAKEN)?.body;
  return { camber: body?.camber?.mdeg ?? null, toe: body?.toe?.mdeg ?? null };
}

function anglesOf(wheels) {
  return bothSides((side) => ({ camber: wheels[side].camber, toe: wheels[side].toe }));
}

/** @returns {object|null} in mm; null while the track or one of a pair is not typed */
function lengthsOf(fold) {
  const mm = (name) => fieldOf(fold, `base.${name}`)?.number ?? null;
  const pair = (name) => {
    const both = bothSides((side) => mm(`${name}-${side}`));
    return SIDES.every((side) => both[side] !== null) ? both : null;
  };
  const [track, wheelbase, diagonals] = [mm("rear-track"), pair("wheelbase"), pair("diagonal")];
  return track !== null && (wheelbase || diagonals) ? { track_mm: track, wheelbase, diagonals } : null;
}
