// Lets go of what the shop surely has: a job leaves when it is closed, all of it is backed up and 30 days have passed;
// the bytes of a photo when the server holds them and 30 days have passed or a backup has them.
// Time is the server's. Nothing unsent, refused or unknown to a backup is ever touched, however full the phone is.

import { fold } from "../domain/job/fold.js";
import { STATE_KEY, STORE } from "./names.js";

const KEPT_MS = 30 * 24 * 3600 * 1000;
const STORES = [
  STORE.ENTRIES, STORE.OUTBOX, STORE.REFUSED, STORE.PHOTOS, STORE.PHOTO_OUTBOX, STORE.STATE,
];

/** Lets go of what may go. Resolves {jobs, photos}: how many went. */
export function prune(database) {
  return database.write(STORES, async (t) => {
    const cursor = await t.get(STORE.STATE, STATE_KEY.CURSOR);
    if (!cursor?.server_time) return { jobs: 0, photos: 0 };
    const held = new Set([...(await t.all(STORE.OUTBOX)), ...(await t.all(STORE.REFUSED))].map((row) => row.id));
    const backup = new Backup(await t.all(STORE.ENTRIES), cursor);
    const jobs = backup.jobs().filter(([, records]) => mayGo(records, held, backup, cursor.server_time));
    for (const [, records] of jobs) for (const { id } of records) t.delete(STORE.ENTRIES, id);
    return { jobs: jobs.length, photos: await prunePhotos(t, backup, cursor.server_time) };
  });
}

function mayGo(records, held, backup, serverTime) {
  const settled = records.every((record) =>
    !held.has(record.id) && record.held_at !== null && record.held_at <= serverTime - KEPT_MS && backup.has(record));
  return settled && fold(records.map((record) => record.entry)).state !== "open";
}

async function prunePhotos(transaction, backup, serverTime) {
  const waiting = new Set((await transaction.all(STORE.PHOTO_OUTBOX)).map((row) => row.sha256));
  let gone = 0;
  for (const { sha256, held_at: heldAt } of await transaction.all(STORE.PHOTOS)) {
    if (waiting.has(sha256) || heldAt === null) continue;
    if (heldAt > serverTime - KEPT_MS && !backup.covers(heldAt)) continue;
    transaction.delete(STORE.PHOTOS, sha256);
    gone += 1;
  }
  return gone;
}

/** What the server's newest backup surely holds. */
class Backup {
  #records;
  #through;
  #newest = -Infinity;

  constructor(records, cursor) {
    this.#records = records;
    this.#through = cursor.backed_up_through;
    for (const record of records) {
      if (this.#namesIt(record)) this.#newest = Math.max(this.#newest, record.held_at ?? -Infinity);
    }
  }

  /** Records by job: [[job, records]]. */
  jobs() {
    const byJob = new Map();
    for (const record of this.#records) {
      if (!byJob.has(record.job)) byJob.set(record.job, []);
      byJob.get(record.job).push(record);
    }
    return [...byJob];
  }

  has(record) {
    return this.#namesIt(record) || this.covers(record.held_at);
  }

  /** A backup that holds an own entry sent in a later sync holds all that the server had in an earlier one. */
  covers(heldAt) {
    return heldAt !== null && heldAt < this.#newest;
  }

  #namesIt({ mine, entry }) {
    return mine && entry.n <= (this.#through[entry.device] ?? 0);
  }
}
