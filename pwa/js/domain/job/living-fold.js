// The fold of one job, kept up to date entry by entry: what fold.js says of all entries at once, at the cost of one.
// Pure but for its own state; the two are bound by a property test. It knows no checklist.

import { KIND, KINDS, OWN_SLOT_KINDS } from "./entry.js";
import { sameMeaning } from "./fold.js";

export class LivingFold {
  #byId = new Map();
  /** Entries of a slot, live or not, and those of them that are superseded: `after` counts only within a slot. */
  #superseded = new Map();
  #live = new Map();
  #conflicts = new Set();
  #ofKind = new Map();
  #unknown = [];
  #plans = [];
  #shown = null;

  /**
   * @param {object} entry of this job; a second entry of the same id is ignored
   * @returns {boolean} whether it was new
   */
  apply(entry) {
    if (this.#byId.has(entry.id)) return false;
    this.#byId.set(entry.id, entry);
    this.#shown = null;
    if (!KINDS.has(entry.kind)) insert(this.#unknown, entry);
    if (entry.kind === KIND.PLAN_CHOSEN) insert(this.#plans, entry);
    const superseded = this.#supersededIn(entry.slot);
    for (const id of Array.isArray(entry.after) ? entry.after : []) {
      if (id === entry.id || superseded.has(id)) continue;
      superseded.add(id);
      const other = this.#byId.get(id);
      if (other?.slot === entry.slot) this.#leave(other);
    }
    if (!superseded.has(entry.id)) this.#enter(entry);
    return true;
  }

  /** @returns {object} exactly what fold() gives; it is made anew after each entry and never changes */
  get state() {
    this.#shown ??= this.#show();
    return this.#shown;
  }

  /** @returns {string[]} ids of every live entry: what a signature given now covers. Sorted. */
  get liveIds() {
    return this.#allLive().map(({ id }) => id);
  }

  #supersededIn(slot) {
    if (!this.#superseded.has(slot)) this.#superseded.set(slot, new Set());
    return this.#superseded.get(slot);
  }

  #enter(entry) {
    const list = this.#listOf(entry);
    insert(list, entry);
    this.#settle(entry, list);
  }

  #leave(entry) {
    const list = this.#listOf(entry);
    const at = list.indexOf(entry);
    if (at < 0) return;
    list.splice(at, 1);
    if (list.length === 0 && !isOwn(entry)) this.#live.delete(entry.slot);
    this.#settle(entry, list);
  }

  /** Kinds that stand for themselves, and unknown ones, are kept by kind; all others by slot. */
  #listOf(entry) {
    const [lists, name] = isOwn(entry) ? [this.#ofKind, entry.kind] : [this.#live, entry.slot];
    if (!lists.has(name)) lists.set(name, []);
    return lists.get(name);
  }

  #settle(entry, list) {
    if (isOwn(entry)) return;
    if (list.some((each) => !sameMeaning(each, list[0]))) this.#conflicts.add(entry.slot);
    else this.#conflicts.delete(entry.slot);
  }

  #kind(kind) {
    return this.#ofKind.get(kind) ?? [];
  }

  #allLive() {
    const lists = [...this.#live.values(), ...this.#ofKind.values()];
    return lists.flat().sort(byId);
  }

  #show() {
    const reopened = new Set(this.#kind(KIND.JOB_REOPENED).flatMap(({ body }) => listed(body?.reopens)));
    const inForce = (kind) => this.#kind(kind).filter(({ id }) => !reopened.has(id));
    const [signed, stopped] = [inForce(KIND.JOB_SIGNED), inForce(KIND.JOB_STOPPED)];
    return {
      slots: Object.fromEntries([...this.#live].map(([slot, live]) => [slot, [...live]])),
      photos: [...this.#kind(KIND.PHOTO_ATTACHED)],
      notes: [...this.#kind(KIND.NOTE_WRITTEN)],
      state: signed.length > 0 ? "signed" : stopped.length > 0 ? "stopped" : "open",
      signed,
      stopped,
      conflicts: [...this.#conflicts].sort(),
      after_signing: this.#afterSigning(signed),
      unknown: [...this.#unknown],
      plans: [...this.#plans],
    };
  }

  #afterSigning(signed) {
    if (signed.length === 0) return [];
    const covered = new Set(signed.flatMap(({ body }) => listed(body?.covers)));
    return this.#allLive().filter(({ kind, id }) => kind !== KIND.JOB_SIGNED && !covered.has(id)).map(({ id }) => id);
  }
}

function isOwn({ kind }) {
  return OWN_SLOT_KINDS.has(kind) || !KINDS.has(kind);
}

/** An entry of another program may lack a list, or hold something else in its place. */
function listed(ids) {
  return Array.isArray(ids) ? ids : [];
}

function byId(a, b) {
  return a.id < b.id ? -1 : 1;
}

/** Into its place by id. */
function insert(list, entry) {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (list[middle].id < entry.id) low = middle + 1;
    else high = middle;
  }
  list.splice(low, 0, entry);
}
