// The local archive of entries, own ones and those that came from the shop. An entry is never changed nor deleted here;
// a whole job leaves by prune.js alone.

import { INDEX, STORE } from "./names.js";

/** Puts an own, new entry with its outbox row. Both or neither: they share the caller's transaction. */
export function addOwn(transaction, entry, queuedAt) {
  transaction.put(STORE.ENTRIES, { id: entry.id, job: entry.job, mine: true, held_at: null, entry });
  enqueue(transaction, entry, queuedAt);
}

/** Puts an entry into the outbox. */
export function enqueue(transaction, { id, job, device, n }, queuedAt) {
  transaction.put(STORE.OUTBOX, { id, job, device, n, queued_at: queuedAt });
}

/** Entries of one job. */
export async function entriesOf(database, job) {
  const records = await database.read([STORE.ENTRIES], (t) => t.allByIndex(STORE.ENTRIES, INDEX.ENTRIES_BY_JOB, job));
  return records.map((record) => record.entry);
}

/** Every job on this phone: [{job, entries, unsent}], unsent = its entries and photos that the server lacks. */
export async function jobsOf(database) {
  return database.read([STORE.ENTRIES, STORE.OUTBOX, STORE.PHOTO_OUTBOX], async (t) => {
    const jobs = new Map();
    for (const { job, entry } of await t.all(STORE.ENTRIES)) {
      if (!jobs.has(job)) jobs.set(job, { job, entries: [], unsent: 0 });
      jobs.get(job).entries.push(entry);
    }
    const waiting = [...(await t.all(STORE.OUTBOX)), ...(await t.all(STORE.PHOTO_OUTBOX))];
    for (const { job } of waiting) if (jobs.has(job)) jobs.get(job).unsent += 1;
    return [...jobs.values()];
  });
}
