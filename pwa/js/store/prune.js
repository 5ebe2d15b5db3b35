// Lets go of what the shop surely has. A whole job becomes a line when the server's line of it says that it is closed
// and a backup has all of it, the server holds every entry that is here, nobody wants it here any more, and no tab
// shows it; the bytes of a photo go when the server holds them and 30 days have passed or a backup has them.
// Time is the server's; the phone's own clock can only hold back. Nothing unsent, refused or unknown to a backup is
// ever touched, however full the phone is.
// Who may go is read off the summaries; the entries of such a job alone are then read, in the transaction that takes
// them away.

import { fold } from "../domain/job/fold.js";
import { KEPT_ON_PHONES_MS } from "./limits.js";
import { INDEX, STATE_KEY, STORE } from "./names.js";
import { isSamePlace, placeIn } from "./sync-place.js";
import { jobsOf } from "./summaries.js";
import { wholeIn } from "./whole-jobs.js";

/** What may go after 30 days can wait for an hour more. */
const BETWEEN_MS = 3600 * 1000;
/** A server whose clock is this far ahead of the phone's is not believed that a month has passed. */
const AHEAD_MS = 24 * 3600 * 1000;
const JOB_STORES = [STORE.STATE, STORE.ENTRIES, STORE.SUMMARIES, STORE.OUTBOX, STORE.REFUSED, STORE.PHOTO_OUTBOX];

/**
 * Lets go of what may go.
 * @param {{lines: import("./lines.js").Lines, locks: LockManager|null, now: function(): number}} parts
 * @returns {Promise<{jobs: number, photos: number}>} how many went
 */
export async function prune(database, { lines, locks, now }) {
  const { cursor, place } = await database.read([STORE.STATE],
    async (t) => ({ cursor: await t.get(STORE.STATE, STATE_KEY.CURSOR), place: await placeIn(t) }));
  if (!cursor?.server_time) return { jobs: 0, photos: 0 };
  const summaries = await jobsOf(database);
  const jobs = await leave(database, { cursor, place, summaries, lines, locks, now: now() });
  return { jobs, photos: await prunePhotos(database, newestInBackup(summaries, cursor.backed_up_through),
    cursor.server_time) };
}

/**
 * Resolves how many jobs became lines. Only by lines that came with the newest entries: an older one may not know of
 * them.
 */
async function leave(database, { cursor, place, summaries, lines, locks, now }) {
  if (!locks || !place.has_lines || !place.lines_through || cursor.server_time > now + AHEAD_MS) return 0;
  const monthAgo = cursor.server_time - KEPT_ON_PHONES_MS;
  const old = summaries.filter(({ state, isStale, held_ms: heldMs, own, rechecks }) => !isStale && state !== "open"
    && heldMs !== null &&
    Object.values(own).every((each) => each.held_ms <= monthAgo) && !isWaitedFor(rechecks, cursor.server_time));
  const told = await lines.jobs.of(old.map(({ job }) => job), place.era);
  if (!isSamePlace(place.lines_through, told.place)) return 0;
  let gone = 0;
  for (const line of told.lines.values()) {
    if (line.state === "open" || line.last_seq > place.backed_up_seq) continue;
    gone += await locks.request(lockName(line.job), { ifAvailable: true },
      (lock) => (lock ? letGo(database, line.job, place) : 0))
      .catch((error) => { console.error(error); return 0; });
  }
  const here = new Set(await database.read([STORE.SUMMARIES], (t) => t.keys(STORE.SUMMARIES)));
  await lines.jobs.letGo(monthAgo, here).catch(() => {}); // as good as gone, or gone with all others
  return gone;
}

/** Who shows a job holds this lock shared; leaving takes it alone or not at all. */
export function lockName(job) {
  return `job.${job}`;
}

/** A recheck that is due by a day is still to be listed here then, and for as long again as any job stays. */
function isWaitedFor(rechecks, now) {
  return (rechecks ?? []).some(({ day }) => day !== null && Date.parse(day) + KEPT_ON_PHONES_MS > now);
}

/**
 * The same after a sync: once an hour by the server's clock, and not at once on a phone that has just fetched
 * everything.
 */
export async function pruneNowAndThen(database, parts) {
  const [cursor, last] = await database.read([STORE.STATE], (t) =>
    Promise.all([t.get(STORE.STATE, STATE_KEY.CURSOR), t.get(STORE.STATE, STATE_KEY.PRUNED)]));
  const now = cursor?.server_time ?? null;
  if (now === null || (last && Math.abs(now - last.server_time) < BETWEEN_MS)) return;
  if (last) await prune(database, parts);
  await database.write([STORE.STATE], (t) => t.put(STORE.STATE, { key: STATE_KEY.PRUNED, server_time: now }));
}

/**
 * Resolves 1 if the job went, else 0. All is looked up again: something may have been saved, or come, since it was
 * chosen.
 */
function letGo(database, job, asOf) {
  return database.write(JOB_STORES, async (t) => {
    const [{ cursor, records, waiting, isOpen }, place, whole, photos] =
      await Promise.all([jobIn(t, job), placeIn(t), wholeIn(t), t.all(STORE.PHOTO_OUTBOX)]);
    const monthAgo = cursor.server_time - KEPT_ON_PHONES_MS;
    const isParkedSafe = ({ mine, parked, entry }) => !parked
      || (mine && entry.n <= (cursor.backed_up_through[entry.device] ?? 0));
    const isHeld = (record) => !waiting.has(record.id) && record.held_at !== null && isParkedSafe(record);
    const isWanted = whole.along[job] > monthAgo
      || records.some(({ mine, held_at: heldAt }) => mine && heldAt > monthAgo);
    if (!isSamePlace(place.since, asOf.since) || isOpen || isWanted || !records.every(isHeld)
      || photos.some((row) => row.job === job)) return 0;
    dropJob(t, job, records, whole);
    return 1;
  });
}

/**
 * Reads a job inside a transaction, for what its summary said is looked up again in its entries.
 * @param {number} [newest] as newestInBackup gives it
 * @returns {Promise<{cursor: object, records: object[], folded: object, isOpen: boolean, waiting: Set<string>, isSafe:
 *   boolean}>} waiting: ids of what is not sent or was refused; isSafe: the server and a backup hold every entry
 */
export async function jobIn(t, job, newest = -Infinity) {
  const [cursor, records, unsent, refused] = await Promise.all([
    t.get(STORE.STATE, STATE_KEY.CURSOR), t.allByIndex(STORE.ENTRIES, INDEX.ENTRIES_BY_JOB, job), t.keys(STORE.OUTBOX),
    t.keys(STORE.REFUSED),
  ]);
  const waiting = new Set([...unsent, ...refused]);
  const isBackedUp = ({ id, mine, held_at: heldAt, entry }) => !waiting.has(id) && heldAt !== null &&
    (heldAt < newest || (mine && entry.n <= (cursor.backed_up_through[entry.device] ?? 0)));
  const folded = fold(records.map((record) => record.entry));
  return { cursor, records, folded, isOpen: folded.state === "open", waiting, isSafe: records.every(isBackedUp) };
}

/** Takes it away, also from what is held `whole`. */
export function dropJob(t, job, records, whole) {
  for (const { id } of records) t.delete(STORE.ENTRIES, id);
  t.delete(STORE.SUMMARIES, job);
  whole.forget(job);
  whole.put(t);
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
      if (isWaiting || heldAt === null || (heldAt > serverTime - KEPT_ON_PHONES_MS && heldAt >= newest)) return 0;
      t.delete(STORE.PHOTOS, sha256);
      return 1;
    });
  }
  return gone;
}

/**
 * The server's newest backup surely holds what came to it before this time: a backup that holds an own entry sent in a
 * later sync holds all that the server had in an earlier one. A job of which it holds a part alone tells nothing.
 */
export function newestInBackup(summaries, through) {
  const own = summaries.flatMap((summary) => Object.entries(summary.own ?? {}));
  const inBackup = own.filter(([device, { n, held_ms: heldMs }]) => heldMs !== null && n <= (through[device] ?? 0));
  return Math.max(-Infinity, ...inBackup.map(([, { held_ms: heldMs }]) => heldMs));
}
