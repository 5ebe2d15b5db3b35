// The steps from each released version of the phone's database to the next. Steps add; none ever drops a store.

import { INDEX, STORE } from "./names.js";

/** STEPS[k] leads from version k to version k + 1. A released step is never edited. */
const STEPS = [
  function toVersion1(database) {
    const entries = database.createObjectStore(STORE.ENTRIES, { keyPath: "id" });
    entries.createIndex(INDEX.ENTRIES_BY_JOB, "job");
    for (const name of [STORE.OUTBOX, STORE.REFUSED, STORE.RING_SETS]) database.createObjectStore(name, { keyPath: "id" });
    for (const name of [STORE.PHOTOS, STORE.PHOTO_OUTBOX, STORE.TABLES]) {
      database.createObjectStore(name, { keyPath: "sha256" });
    }
    database.createObjectStore(STORE.SETTINGS, { keyPath: "name" });
    database.createObjectStore(STORE.DRAFTS, { keyPath: "key" });
    database.createObjectStore(STORE.STATE, { keyPath: "key" });
  },
];

/** The version that this program opens. */
export const DATABASE_VERSION = STEPS.length;

/** Runs every step from `oldVersion` on, inside the version change transaction. */
export function upgrade(database, transaction, oldVersion, steps = STEPS) {
  for (const step of steps.slice(oldVersion)) step(database, transaction);
}
