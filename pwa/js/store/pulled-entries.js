// Entries that came from the shop, put where they belong.

import { isUuid4 } from "../domain/job/ids.js";
import { STATE_KEY, STORE } from "./names.js";
import { putSummary, touch } from "./summaries.js";
import { notePlanTables } from "./tables.js";
import { wholeIn } from "./whole-jobs.js";

/** The stores that a transaction needs for `applyPulled`. */
export const PULL_STORES = [STORE.STATE, STORE.OUTBOX, STORE.ENTRIES, STORE.SUMMARIES];
/** Entries in one transaction: a slow phone has time for few more. */
const TOGETHER = 500;

/**
 * Puts most of the entries of these jobs, where there are too many for one transaction. Until the last of them is
 * there, and says so, the jobs are called whole by nobody.
 * @returns {Promise<{rest: object[], jobs: string[]}>} what is left to put, and jobs of which something was
 */
export async function pullInParts(database, entries, jobs, serverTime) {
  if (entries.length <= TOGETHER) return { rest: entries, jobs: [] };
  const wanted = new Set(jobs);
  const of = entries.filter((entry) => wanted.has(entry?.job));
  const parts = of.slice(0, Math.max(0, of.length - TOGETHER));
  const changed = new Set();
  for (let k = 0; k < parts.length; k += TOGETHER) {
    await database.write(PULL_STORES, async (t) => {
      const [whole, part] = [await wholeIn(t), parts.slice(k, k + TOGETHER)];
      await applyPulled(t, part, serverTime, changed);
      for (const { job } of part) whole.addPart(job);
      whole.put(t);
    });
  }
  const put = new Set(parts);
  return { rest: entries.filter((entry) => !put.has(entry)), jobs: [...changed] };
}

/**
 * Of a job that has no summary nothing is here, so nothing of it is looked up. All else is asked for before any answer
 * is awaited.
 */
export async function applyPulled(transaction, entries, serverTime, jobs) {
  // what can be stored under its name
  const nameable = entries.filter((entry) => isUuid4(entry?.id) && isUuid4(entry.job));
  const named = [...new Set(nameable.map(({ job }) => job))];
  const [device, waiting, ...rows] = await Promise.all([
    transaction.get(STORE.STATE, STATE_KEY.DEVICE), transaction.keys(STORE.OUTBOX),
    ...named.map((job) => transaction.get(STORE.SUMMARIES, job)),
  ]);
  const isHere = new Set(named.filter((_, k) => rows[k]));
  const ours = new Set(device ? [device.id, ...device.former] : []);
  const recordOf = (entry) => ({ id: entry.id, job: entry.job, mine: ours.has(entry.device), entry,
    held_at: serverTime });
  await applyToKnown(transaction, nameable.filter(({ job }) => isHere.has(job)).map(recordOf), new Set(waiting), jobs);
  const fresh = new Map(); // job -> its records, each id once
  for (const entry of nameable.filter(({ job }) => !isHere.has(job))) {
    transaction.add(STORE.ENTRIES, recordOf(entry));
    if (!fresh.has(entry.job)) fresh.set(entry.job, new Map());
    if (!fresh.get(entry.job).has(entry.id)) fresh.get(entry.job).set(entry.id, recordOf(entry));
  }
  for (const [job, records] of fresh) {
    putSummary(transaction, job, [...records.values()]);
    jobs.add(job);
  }
  await notePlanTables(transaction, nameable);
}

/** What came of a job that is here already. */
async function applyToKnown(transaction, records, waiting, jobs) {
  const known = await Promise.all(records.map(({ id }) => transaction.get(STORE.ENTRIES, id)));
  const changed = new Set();
  for (const [k, record] of records.entries()) {
    const { entry = record.entry, held_at: heldAt = null, ...more } = known[k] ?? {};
    transaction.put(STORE.ENTRIES, { ...more, ...record, entry, held_at: heldAt ?? record.held_at });
    if (waiting.has(record.id)) transaction.delete(STORE.OUTBOX, record.id);
    if (heldAt === null) changed.add(record.job);
  }
  await touch(transaction, changed);
  for (const job of changed) jobs.add(job);
}
