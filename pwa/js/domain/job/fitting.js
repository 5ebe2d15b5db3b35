// What a job leaves in at a wheel, in the words in which the shop tells phones of it: the twin of fitting_of in
// server/records/installed_rings.py, bound to it by fixtures/golden/installed.json. Pure.

import { currentRound, isTicked } from "./checklist-slots.js";
import { isObject, KIND } from "./entry.js";
import { installedPairAt } from "./installed-rings.js";
import { fitSlot, oldRingsIn } from "./round-work.js";
import { fieldOf, settledAt } from "./slot-values.js";

/**
 * @param {object} fold of the job
 * @param {"left"|"right"} side
 * @returns {object|null} {ring_set, table, pair, round, seen, bolts: {new, length_mm, class}|null}, `seen` where
 *   somebody has ticked that the rings are in; of rings that were found there and stayed {found: true, ring_set, pair},
 *   as far as they could be read; null: nothing that the job knows of
 */
export function fittingOf(fold, side) {
  const pair = installedPairAt(fold, side);
  if (!pair) return oldRingsIn(fold).includes(side) ? foundAt(fold, side) : null;
  const { ring_set: ringSet, table = null, round } = pair;
  return {
    ring_set: ringSet, table: typeof table === "string" ? table : null, pair: pair.pair, round,
    seen: isTicked(fold, fitSlot(round, "rings-in", side)), bolts: boltsAt(fold, side),
  };
}

function foundAt(fold, side) {
  const given = asObject(fieldOf(fold, "vehicle.pair-marks")) ?? {};
  const marks = asObject(given[side]);
  const pair = ["inner", "outer"].map((ring) => marks?.[ring] ?? null);
  return { found: true, ring_set: typeof given.ring_set === "string" ? given.ring_set : null, pair };
}

/** Length and class of the hub bolts that closed the wheel last, as far as somebody wrote them down. */
function boltsAt(fold, side) {
  for (let round = currentRound(fold); round > 0; round -= 1) {
    const bare = fold.slots[fitSlot(round, "bare-bolts", side)] ?? [];
    if (bare.some(({ kind }) => kind === KIND.STEP_DONE)) return null;
    const record = asObject(settledAt(fold, fitSlot(round, "bolt-length", side), KIND.STEP_DONE)?.body.length);
    if (record) return { new: record.new === true, length_mm: record.length_mm ?? null, class: record.class ?? null };
  }
  return null;
}

function asObject(part) {
  return isObject(part) ? part : null;
}
