// Photos that wait to be sent, and what the server has said of each.

import { KIND } from "../domain/job/entry.js";
import { INDEX, STORE } from "./names.js";

/** The server's code for a photo that no entry shows: the job was erased at the desk, or its entry was refused. */
export const NOT_WANTED = "photo-not-wanted";

/**
 * Names of photos to send now: those that wait and whose entry the server holds, and those that it asks for and this
 * phone still has. One that it can never take goes no second time; one that it did not want does once it is asked for.
 */
export function photosToSend(database, wanted) {
  return database.read([STORE.PHOTOS, STORE.PHOTO_OUTBOX, STORE.OUTBOX, STORE.ENTRIES], async (t) => {
    const names = new Set();
    const hopeless = new Set();
    for (const row of await t.all(STORE.PHOTO_OUTBOX)) {
      if (row.refused === null && (await isEntryHeld(t, row))) names.add(row.sha256);
      if (row.refused !== null && row.refused !== NOT_WANTED) hopeless.add(row.sha256);
    }
    for (const sha256 of wanted) if (!hopeless.has(sha256) && (await t.get(STORE.PHOTOS, sha256))) names.add(sha256);
    return [...names];
  });
}

/** The server holds this photo. */
export function photoHeld(database, sha256, serverTime) {
  return database.write([STORE.PHOTOS, STORE.PHOTO_OUTBOX], async (t) => {
    const photo = await t.get(STORE.PHOTOS, sha256);
    if (photo) t.put(STORE.PHOTOS, { ...photo, held_at: serverTime });
    t.delete(STORE.PHOTO_OUTBOX, sha256);
  });
}

/** The server will never take this photo as it is; its bytes stay here. */
export function photoRefused(database, sha256, reason) {
  return database.write([STORE.PHOTO_OUTBOX], (t) => refusePhoto(t, sha256, reason));
}

export async function refusePhoto(transaction, sha256, reason) {
  const row = await transaction.get(STORE.PHOTO_OUTBOX, sha256);
  if (row) transaction.put(STORE.PHOTO_OUTBOX, { ...row, refused: reason });
}

/**
 * The server takes a photo only for an entry that it holds; one that goes out again after a restore is not held yet.
 */
async function isEntryHeld(transaction, { sha256, job }) {
  const records = await transaction.allByIndex(STORE.ENTRIES, INDEX.ENTRIES_BY_JOB, job);
  const own = records.filter(({ entry, held_at }) => held_at !== null && entry.kind === KIND.PHOTO_ATTACHED
    && entry.body.sha256 === sha256);
  const waiting = await Promise.all(own.map(({ id }) => transaction.get(STORE.OUTBOX, id)));
  return waiting.some((row) => !row);
}
