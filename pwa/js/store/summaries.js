// One summary a job, so that nobody reads all entries to list jobs or to find one. Whoever changes a job's entries
// marks its summary stale in the same transaction; it is derived again when somebody wants it, from that job's entries
// alone.

import { fold } from "../domain/job/fold.js";
import { summaryOf } from "../domain/job/summary.js";
import { INDEX, STORE } from "./names.js";
import { wholeIn } from "./whole-jobs.js";

/** Jobs read at a time: more would hold up a tap on a slow phone. */
const TOGETHER = 8;

const NOTHING_SAID = Object.freeze({
  state: "open", stop_reason: null, registration: "", description: "", registration_key: "", description_key: "",
  changed_ms: 0, next: null, takes: null,
});

/** Marks the summaries of these jobs stale, in the transaction that changes their entries. */
export function touch(transaction, jobs) {
  return Promise.all([...jobs].map(async (job) => {
    const row = await transaction.get(STORE.SUMMARIES, job);
    transaction.put(STORE.SUMMARIES, { ...(row ?? { job }), touched: (row?.touched ?? 0) + 1, stale: 1 });
  }));
}

/** Sums up a job all of whose entries are these, in the transaction that puts them. */
export function putSummary(transaction, job, records) {
  transaction.put(STORE.SUMMARIES, derived({ job, touched: 1 }, records, null));
}

/**
 * Every job on this phone: [{job, unsent, isStale, ...}] with what summaryOf and `derived` give. `unsent` counts the
 * entries and photos that the server lacks; `isPart`: the job is not whole here. At most `most` summaries are derived
 * first; what is stale beyond that is told as it stood, and a job that was never summed up has no `state` yet.
 * @param {{most?: number, next?: {by: string, bring: function(): Promise<function(object, object[]): *>}|null}} [wish]
 *   next: what else is kept of an open job, from its fold and its entries; `by` names the way, so that another
 *   program's is derived anew. What works it out is brought when it is wanted.
 */
export async function jobsOf(database, { most = Infinity, next = null } = {}) {
  const { rows, waiting, whole } = await database.read([STORE.SUMMARIES, STORE.OUTBOX, STORE.PHOTO_OUTBOX, STORE.STATE],
      async (t) => ({
    rows: await t.all(STORE.SUMMARIES), waiting: [...(await t.all(STORE.OUTBOX)), ...(await t.all(STORE.PHOTO_OUTBOX))],
    whole: await wholeIn(t),
  }));
  const isStale = (row) => row.stale === 1 || isOfOlderProgram(row)
    || (next !== null && row.state === "open" && row.next_by !== next.by);
  const unsent = new Map();
  for (const { job } of waiting) unsent.set(job, (unsent.get(job) ?? 0) + 1);
  const ownFirst = (a, b) => unsent.has(b) - unsent.has(a);
  const stale = rows.filter(isStale).map(({ job }) => job).sort(ownFirst);
  const derivedNow = await derive(database, stale.slice(0, most), next);
  const fresh = new Map(derivedNow.map((row) => [row.job, row]));
  return rows.map((row) => ({
    ...(fresh.get(row.job) ?? row), isStale: isStale(row) && !fresh.has(row.job), unsent: unsent.get(row.job) ?? 0,
    isPart: !whole.jobs.has(row.job),
  }));
}

/** Summed up before rechecks were known, or what an open job takes. */
function isOfOlderProgram({ state, rechecks, takes }) {
  return (state === "signed" && rechecks === undefined) || (state === "open" && takes === undefined);
}

/** Fresh summaries of the jobs whole here whose `key` ("registration_key" or "description_key") is this. */
export async function jobsAlike(database, key, value) {
  const stale = await database.read([STORE.SUMMARIES], (t) => t.keysByIndex(STORE.SUMMARIES, INDEX.STALE_SUMMARIES, 1));
  const fresh = await derive(database, stale);
  const { rows, whole } = await database.read([STORE.SUMMARIES, STORE.STATE], async (t) => ({
    rows: await t.allByIndex(STORE.SUMMARIES, key, value), whole: await wholeIn(t),
  }));
  const isFresh = new Set(fresh.map(({ job }) => job));
  const alike = [...rows.filter(({ job }) => !isFresh.has(job)), ...fresh.filter((row) => row[key] === value)];
  return alike.filter(({ job }) => whole.jobs.has(job));
}

async function derive(database, jobs, next = null) {
  const fresh = [];
  const wish = next && jobs.length > 0 ? { by: next.by, of: await next.bring() } : null;
  for (let k = 0; k < jobs.length; k += TOGETHER)
    fresh.push(...await deriveFew(database, jobs.slice(k, k + TOGETHER), wish));
  return fresh;
}

/**
 * Not in one transaction: a save never waits for it, and a job that was touched meanwhile stays stale. On a full phone
 * it is derived all the same, for prune.js makes room by it.
 */
async function deriveFew(database, jobs, next) {
  const few = await database.read([STORE.SUMMARIES, STORE.ENTRIES], (t) => Promise.all(jobs.map((job) => Promise.all([
    t.get(STORE.SUMMARIES, job), t.allByIndex(STORE.ENTRIES, INDEX.ENTRIES_BY_JOB, job),
  ]))));
  const fresh = few.filter(([row, records]) => row && records.length > 0)
    .map(([row, records]) => derived(row, records, next));
  await database.write([STORE.SUMMARIES], async (t) => {
    const now = await Promise.all(fresh.map(({ job }) => t.get(STORE.SUMMARIES, job)));
    for (const [k, row] of fresh.entries()) if (now[k]?.touched === row.touched) t.put(STORE.SUMMARIES, row);
  }).catch((error) => { if (error.name !== "QuotaExceededError") throw error; });
  return fresh;
}

/**
 * `held_ms`: since when the server holds all of it, null while it does not. `own`: for each name of this phone the last
 * number in the job, and when the newest of them that the server holds came to it.
 */
function derived({ job, touched }, records, next) {
  const held = records.map((record) => record.held_at);
  return {
    job, touched, ...said(records.map((record) => record.entry), next), own: ownOf(records),
    held_ms: held.includes(null) ? null : Math.max(...held),
  };
}

/** A job over which this program stumbles is open and says nothing: it holds up no other, and never leaves. */
function said(entries, next) {
  try {
    const folded = fold(entries);
    const isNextWanted = folded.state === "open" && next;
    return { ...summaryOf(entries, folded), next: isNextWanted ? next.of(folded, entries) : null,
      next_by: next?.by ?? null };
  } catch (error) {
    console.error(error);
    return { ...NOTHING_SAID, next_by: next?.by ?? null };
  }
}

function ownOf(records) {
  const own = {};
  for (const { mine, held_at: heldAt, entry: { device, n } } of records) {
    if (!mine) continue;
    own[device] ??= { n: 0, held_ms: null };
    own[device].n = Math.max(own[device].n, n);
    if (heldAt !== null) own[device].held_ms = Math.max(own[device].held_ms ?? heldAt, heldAt);
  }
  return own;
}
