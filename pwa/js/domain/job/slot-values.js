// What holds in a slot. Two phones that answered alike gave one answer; where they differ, nothing holds until a person
// has said which. Pure.

import { KIND } from "./entry.js";

/**
 * @param {{slots: Object<string, object[]>, conflicts: string[]}} fold of the job
 * @param {string} slot
 * @param {string} kind of entry that is asked for
 * @returns {object|null} the entry that holds; null where there is none of that kind, or where people differ
 */
export function settledAt(fold, slot, kind) {
  const entry = fold.conflicts.includes(slot) ? null : fold.slots[slot]?.[0];
  return entry?.kind === kind ? entry : null;
}

/** @returns {*} the value of a field; undefined where it was never set, or where people differ */
export function fieldOf(fold, slot) {
  return settledAt(fold, slot, KIND.FIELD_SET)?.body.value;
}
