// The steps from each released version of the phone's database to the next. Steps add; none ever drops a store.

import { INDEX, STATE_KEY, STORE } from "./names.js";

/** STEPS[k] leads from version k to version k + 1. A released step is never edited. */
const STEPS = [
  function toVersion1(database) {
    const entries = database.createObjectStore(STORE.ENTRIES, { keyPath: "id" });
    entries.createIndex(INDEX.ENTRIES_BY_JOB, "job");
    for (const name of [STORE.OUTBOX, STORE.REFUSED, STORE.RING_SETS])
      database.createObjectStore(name, { keyPath: "id" });
    for (const name of [STORE.PHOTOS, STORE.PHOTO_OUTBOX, STORE.TABLES]) {
      database.createObjectStore(name, { keyPath: "sha256" });
    }
    database.createObjectStore(STORE.SETTINGS, { keyPath: "name" });
    database.createObjectStore(STORE.DRAFTS, { keyPath: "key" });
    database.createObjectStore(STORE.STATE, { keyPath: "key" });
  },
  /** Of an older database it reads the names of the jobs alone: an open that takes too long is given up. */
  function toVersion2(database, transaction, oldVersion) {
    const summaries = database.createObjectStore(STORE.SUMMARIES, { keyPath: "job" });
    for (const index of [INDEX.STALE_SUMMARIES, INDEX.SUMMARIES_BY_REGISTRATION, INDEX.SUMMARIES_BY_DESCRIPTION]) {
      summaries.createIndex(index, index);
    }
    transaction.objectStore(STORE.STATE).put({ key: STATE_KEY.PLAN_TABLES, names: [], whole: oldVersion === 0 });
    const jobs = transaction.objectStore(STORE.ENTRIES).index(INDEX.ENTRIES_BY_JOB);
    const markFrom = (range) => {
      const first = jobs.openKeyCursor(range);
      first.onsuccess = () => {
        const job = first.result?.key;
        if (job === undefined) return;
        summaries.put({ job, touched: 1, stale: 1 });
        // no "nextunique": in WebKit it fails where there is nothing (bug 319640)
        markFrom(IDBKeyRange.lowerBound(job, true));
      };
    };
    markFrom(null);
  },
];

/** The version that this program opens. */
export const DATABASE_VERSION = STEPS.length;

/** Runs every step from `oldVersion` on, inside the version change transaction. */
export function upgrade(database, transaction, oldVersion, steps = STEPS) {
  for (const step of steps.slice(oldVersion)) step(database, transaction, oldVersion);
}

/** The entries' database as a connection opens it. */
export const ENTRIES_SCHEMA = Object.freeze({ version: DATABASE_VERSION, upgrade });
