/**
 * What can be taken back, newest first, for each job. History is never erased: taking back writes the earlier
 * values as a new entry, or says that there are none. Kinds that stand for themselves (photos, notes,
 * signing) are not taken back here.
 */

import { KIND } from "../domain/job/entry.js";

export class UndoStack {
  #saved = [];

  /**
   * @param {Object} entry just saved
   * @param {Object[]} before the live entries that it superseded
   * @param {{joined?: boolean}} [how] joined: part of the same answer as the one before, and taken back with it
   */
  push(entry, before, { joined = false } = {}) {
    // the way back opens it again
    if (entry.kind === KIND.JOB_SIGNED) this.#saved = this.#saved.filter((saved) => saved.entry.job !== entry.job);
    else if (withdrawal(entry)) this.#saved.push({ entry, before, joined });
  }

  /** @returns {{entry, content, joined: string[]}|null} what pop would take back and write, slots that go with it */
  peek(job) {
    const ofJob = this.#saved.filter(({ entry }) => entry.job === job);
    const at = ofJob.findLastIndex(({ joined }) => !joined);
    if (at < 0) return null;
    const { entry } = ofJob[at];
    return { entry, content: { job, slot: entry.slot, ...earlier(ofJob[at]) },
      joined: ofJob.slice(at + 1).map((each) => each.entry.slot) };
  }

  /** @returns {{entry, content, saved}[]|null} what is taken back, each with the entry to write, less `after`, `by` */
  pop(job) {
    const undone = [];
    for (let joined = true; joined;) {
      const at = this.#saved.findLastIndex(({ entry }) => entry.job === job);
      if (at < 0) break;
      const [last] = this.#saved.splice(at, 1);
      undone.push({ entry: last.entry, content: { job, slot: last.entry.slot, ...earlier(last) }, saved: last });
      joined = last.joined;
    }
    return undone.length > 0 ? undone : null;
  }

  /** What was written instead of an answer stands for the earlier answer, which may be taken back in its turn. */
  undid({ before }, entry) {
    for (const saved of this.#saved) if (before.some(({ id }) => id === standing(saved))) saved.standsAs = entry.id;
  }

  /** What was popped and could not be written is there again. */
  putBack(undone) {
    this.#saved.push(...undone.map(({ saved }) => saved).reverse());
  }
}

/**
 * @param {Object[]} undone as pop gives it
 * @param {Job} job
 * @returns {Object|null} what somebody has answered there since; null where nobody has
 */
export function answeredSince(undone, job) {
  const ours = undone.map(({ saved }) => standing(saved));
  return undone.flatMap(({ saved }) => job.live(saved.entry.slot)).find(({ id }) => !ours.includes(id)) ?? null;
}

function standing({ entry, standsAs = entry.id }) {
  return standsAs;
}

/** What stood there before; where two people differed there was no one answer to bring back. */
function earlier({ entry, before }) {
  return before.length === 1 ? { kind: before[0].kind, body: before[0].body } : withdrawal(entry);
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
