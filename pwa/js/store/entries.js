// The local archive of entries, own ones and those that came from the shop. An entry is never changed nor deleted here;
// a whole job leaves by prune.js alone.

import { INDEX, STORE } from "./names.js";
import { touch } from "./summaries.js";
import { notePlanTables } from "./tables.js";

/** Puts an own, new entry with its outbox row and all that tells of it, in the caller's transaction. */
export async function addOwn(transaction, entry, queuedAt) {
  await Promise.all([touch(transaction, [entry.job]), notePlanTables(transaction, [entry])]);
  transaction.put(STORE.ENTRIES, { id: entry.id, job: entry.job, mine: true, held_at: null, entry });
  enqueue(transaction, entry, queuedAt);
}

/** The stores that a transaction needs for `addOwn`. */
export const OWN_STORES = Object.freeze([STORE.ENTRIES, STORE.OUTBOX, STORE.SUMMARIES, STORE.STATE]);

/** Puts an entry into the outbox. */
export function enqueue(transaction, { id, job, device, n }, queuedAt) {
  transaction.put(STORE.OUTBOX, { id, job, device, n, queued_at: queuedAt });
}

/** Entries of one job. */
export async function entriesOf(database, job) {
  const records = await database.read([STORE.ENTRIES], (t) => t.allByIndex(STORE.ENTRIES, INDEX.ENTRIES_BY_JOB, job));
  return records.map((record) => record.entry);
}
