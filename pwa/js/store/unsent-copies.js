// A second copy of each entry that the server does not hold yet, one by one in localStorage: a browser that empties the
// database may leave it, and then the entries come back under their own ids. The verdict takes a copy away, as it does
// the outbox row; nothing is ever sent from here.

import { isUuid4 } from "../domain/job/ids.js";
import { LOCAL, STORE } from "./names.js";

/** Two megabytes; a browser gives localStorage five million characters of two bytes. What does not fit has no copy. */
const MOST_CHARACTERS = 1_000_000;

export class UnsentCopies {
  #storage;
  #characters = null; // counted when first wanted

  /** @param {Storage} storage */
  constructor(storage) {
    this.#storage = storage;
  }

  /** Keeps a copy where there is room for it. Never throws: the entry itself is on the disk. */
  keep(entry, queuedAt) {
    const [name, text] = [nameOf(entry.id), JSON.stringify({ queued_at: queuedAt, entry })];
    try {
      if (this.has(entry.id) || this.#counted() + name.length + text.length > MOST_CHARACTERS) return;
      this.#storage.setItem(name, text);
      this.#characters += name.length + text.length;
    } catch {
      // no localStorage, or it is full
    }
  }

  has(id) {
    return this.#textOf(id) !== null;
  }

  drop(ids) {
    for (const id of ids) {
      const text = this.#textOf(id);
      if (text === null) continue;
      this.#storage.removeItem(nameOf(id));
      if (this.#characters !== null) this.#characters -= nameOf(id).length + text.length;
    }
  }

  /** The ids of all copies. */
  ids() {
    try {
      const names = Array.from({ length: this.#storage.length }, (_, k) => this.#storage.key(k));
      return names.filter((name) => name.startsWith(LOCAL.UNSENT)).map((name) => name.slice(LOCAL.UNSENT.length));
    } catch {
      return [];
    }
  }

  /** {entry, queued_at}, or null for what is no whole copy. */
  get(id) {
    try {
      const { entry, queued_at: queuedAt } = JSON.parse(this.#textOf(id));
      const isWhole = entry.id === id && isUuid4(id) && isUuid4(entry.job) && isUuid4(entry.device)
        && Number.isInteger(entry.n);
      return isWhole ? { entry, queued_at: Number(queuedAt) } : null;
    } catch {
      return null;
    }
  }

  #textOf(id) {
    try {
      return this.#storage.getItem(nameOf(id));
    } catch {
      return null;
    }
  }

  #counted() {
    this.#characters ??= this.ids().reduce((sum, id) => sum + nameOf(id).length + this.#textOf(id).length, 0);
    return this.#characters;
  }
}

/** Drops the copies of those among `ids` that do not wait any more. */
export async function dropSettled(database, copies, ids) {
  const kept = ids.filter((id) => copies.has(id));
  if (kept.length === 0) return;
  const rows = await database.read([STORE.OUTBOX], (t) => Promise.all(kept.map((id) => t.get(STORE.OUTBOX, id))));
  copies.drop(kept.filter((_, k) => !rows[k]));
}

/**
 * Makes copies and outbox agree, as they may not after a crash or an update. Resolves with the copies of entries that
 * the database does not hold at all: [{entry, queued_at}].
 */
export async function matchCopies(database, copies) {
  const ids = copies.ids(); // before the database, which gets each entry first
  const { rows, fresh, records } = await database.read([STORE.OUTBOX, STORE.ENTRIES], async (t) => {
    const rows = await t.all(STORE.OUTBOX);
    const without = rows.filter((row) => !copies.has(row.id));
    const get = (id) => t.get(STORE.ENTRIES, id);
    return { rows, fresh: await Promise.all(without.map(({ id }) => get(id))),
      records: await Promise.all(ids.map(get)) };
  });
  const waiting = new Map(rows.map((row) => [row.id, row]));
  for (const { id, entry } of fresh) copies.keep(entry, waiting.get(id).queued_at);
  copies.drop(ids.filter((id, k) => records[k] && !waiting.has(id)));
  return ids.filter((_, k) => !records[k]).map((id) => copies.get(id)).filter(Boolean);
}

function nameOf(id) {
  return LOCAL.UNSENT + id;
}
