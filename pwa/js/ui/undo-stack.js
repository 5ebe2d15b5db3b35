/**
 * What can be taken back, newest first, for each job. History is never erased: taking back writes the values
 * of before as a new entry, or says that there are none. Kinds that stand for themselves (photos, notes,
 * signing) are not taken back here.
 */

import { KIND } from "../domain/entry.js";

export class UndoStack {
  #saved = [];

  /** @param {Object} entry just saved; @param {Object[]} before the live entries that it superseded */
  push(entry, before) {
    if (withdrawal(entry)) this.#saved.push({ entry, before });
  }

  /** @returns {{content: Object}|null} the entry to write, without its `after` and `by` */
  pop(job) {
    const at = this.#saved.findLastIndex(({ entry }) => entry.job === job);
    if (at < 0) return null;
    const [{ entry, before }] = this.#saved.splice(at, 1);
    const earlier = before.length === 1 ? { kind: before[0].kind, body: before[0].body } : withdrawal(entry);
    return { content: { job, slot: entry.slot, ...earlier } };
  }
}

/**
 * The entry that says "not so any more" of a slot.
 * @returns {{kind: string, body: Object}|null} null where the kind cannot be taken back
 */
export function withdrawal({ kind, slot }) {
  const none = kind === KIND.FIELD_SET && slot.startsWith("window."); // null there means that the maker gives none
  if (kind === KIND.FIELD_SET && !none) return { kind, body: { value: null } };
  if (kind === KIND.READING_TAKEN) return { kind, body: { camber: null, toe: null } };
  const undone = [KIND.STEP_DONE, KIND.HOLD_OVERRIDDEN, KIND.PLAN_CHOSEN, KIND.CONSENT_RECORDED];
  return none || undone.includes(kind) ? { kind: KIND.STEP_UNDONE, body: {} } : null;
}
