// Lets go of what the shop surely has: a job leaves when it is closed, all of it is backed up and 30 days have passed;
// the bytes of a photo when the server holds them and 30 days have passed or a backup has them.
// Time is the server's. Nothing unsent, refused or unknown to a backup is ever touched, however full the phone is.
// Who may go is read off the summaries; the entries of such a job alone are then read, in the transaction that takes them away.

import { fold } from "../domain/job/fold.js";
import { INDEX, STATE_KEY, STORE } from "./names.js";
import { jobsOf } from "./summaries.js";

const KEPT_MS = 30 * 24 * 3600 * 1000;
/** What may go after 30 days can wait for an hour more. */
const BETWEEN_MS = 3600 * 1000;
const JOB_STORES = [STORE.STATE, STORE.ENTRIES, STORE.SUMMARIES, STORE.OUTBOX, STORE.REFUSED];

/** Lets go of what may go. Resolves {jobs, photos}: how many went. */
export async function prune(database) {
  const cursor = await database.read([STORE.STATE], (t) => t.get(STORE.STATE, STATE_KEY.CURSOR));
  if (!cursor?.server_time) return { jobs: 0, photos: 0 };
  const summaries = await jobsOf(database);
  const newest = newestInBackup(summaries, cursor.backed_up_through);
  const old = summaries.filter(({ state, held_ms: heldMs, rechecks }) =>
    state !== "open" && heldMs !== null && heldMs <= cursor.server_time - KEPT_MS && !isWaitedFor(rechecks, cursor.server_time));
  let jobs = 0;
  for (const { job } of old) jobs += await letGo(database, job, newest).catch((error) => { console.error(error); return 0; });
  return { jobs, photos: await prunePhotos(database, newest, cursor.server_time) };
}

/** A recheck that is due by a day is still to be listed here then, and for as long again as any job stays. */
function isWaitedFor(rechecks, now) {
  return (rechecks ?? []).some(({ day }) => day !== null && Date.parse(day) + KEPT_MS > now);
}

/** The same after a sync: once an hour by the server's clock, and not at once on a phone that has just fetched everything. */
export async function pruneNowAndThen(database) {
  const [cursor, last] = await database.read([STORE.STATE], (t) =>
    Promise.all([t.get(STORE.STATE, STATE_KEY.CURSOR), t.get(STORE.STATE, STATE_KEY.PRUNED)]));
  const now = cursor?.server_time ?? null;
  if (now === null || (last && Math.abs(now - last.server_time) < BETWEEN_MS)) return;
  if (last) await prune(database);
  await database.write([STORE.STATE], (t) => t.put(STORE.STATE, { key: STATE_KEY.PRUNED, server_time: now }));
}

/** Resolves 1 if the job went, else 0. */
function letGo(database, job, newest) {
  return database.write(JOB_STORES, async (t) => {
    const { cursor, records, isOpen, isSafe } = await jobIn(t, job, newest);
    const isOld = ({ held_at: heldAt }) => heldAt <= cursor.server_time - KEPT_MS;
    if (isOpen || !isSafe || !records.every(isOld)) return 0;
    dropJob(t, job, records);
    return 1;
  });
}

/**
 * Reads a job inside a transaction, for what its summary said is looked up again in its entries.
 * @returns {Promise<{cursor: object, records: object[], folded: object, isOpen: boolean, isSafe: boolean}>} isSafe: the server and a
 *   backup hold every entry
 */
export async function jobIn(t, job, newest) {
  const [cursor, records, waiting, refused] = await Promise.all([
    t.get(STORE.STATE, STATE_KEY.CURSOR), t.allByIndex(STORE.ENTRIES, INDEX.ENTRIES_BY_JOB, job), t.keys(STORE.OUTBOX), t.keys(STORE.REFUSED),
  ]);
  const needed = new Set([...waiting, ...refused]);
  const isBackedUp = ({ id, mine, held_at: heldAt, entry }) => !needed.has(id) && heldAt !== null &&
    (heldAt < newest || (mine && entry.n <= (cursor.backed_up_through[entry.device] ?? 0)));
  const folded = fold(records.map((record) => record.entry));
  return { cursor, records, folded, isOpen: folded.state === "open", isSafe: records.every(isBackedUp) };
}

export function dropJob(t, job, records) {
  for (const { id } of records) t.delete(STORE.ENTRIES, id);
  t.delete(STORE.SUMMARIES, job);
}

/** One photo at a time: all of them together may not fit into memory. */
export async function prunePhotos(database, newest, serverTime) {
  const [names, waiting] = await database.read([STORE.PHOTOS, STORE.PHOTO_OUTBOX], (t) =>
    Promise.all([t.keys(STORE.PHOTOS), t.keys(STORE.PHOTO_OUTBOX)]));
  let gone = 0;
  for (const sha256 of names.filter((name) => !waiting.includes(name))) {
    gone += await database.write([STORE.PHOTOS, STORE.PHOTO_OUTBOX], async (t) => {
      const [photo, isWaiting] = await Promise.all([t.get(STORE.PHOTOS, sha256), t.get(STORE.PHOTO_OUTBOX, sha256)]);
      const heldAt = photo?.held_at ?? null;
      if (isWaiting || heldAt === null || (heldAt > serverTime - KEPT_MS && heldAt >= newest)) return 0;
      t.delete(STORE.PHOTOS, sha256);
      return 1;
    });
  }
  return gone;
}

/**
 * The server's newest backup surely holds what came to it before this time: a backup that holds an own entry sent in a later
 * sync holds all that the server had in an earlier one. A job of which it holds a part alone tells nothing.
 */
export function newestInBackup(summaries, through) {
  const own = summaries.flatMap((summary) => Object.entries(summary.own ?? {}));
  const inBackup = own.filter(([device, { n, held_ms: heldMs }]) => heldMs !== null && n <= (through[device] ?? 0));
  return Math.max(-Infinity, ...inBackup.map(([, { held_ms: heldMs }]) => heldMs));
}
