// What the server has not confirmed yet, and what it refused. Rows leave only by the server's own word (sync-store.js).

import { STATE_KEY, STORE } from "./names.js";

/** What `traceIn` reads. */
export const TRACE_STORES = Object.freeze([STORE.STATE, STORE.OUTBOX, STORE.PHOTO_OUTBOX]);

/** @returns {Promise<{device: object|undefined, entries: number, photos: number}>} what was made here, what waits */
export async function traceIn(t) {
  const [device, entries, photos] = await Promise.all([
    t.get(STORE.STATE, STATE_KEY.DEVICE), t.count(STORE.OUTBOX), t.count(STORE.PHOTO_OUTBOX),
  ]);
  return { device, entries, photos };
}

/** Counts what waits: {entries, photos, oldest_at: ms by this phone's clock, or null}. */
export async function unsentOf(database) {
  return database.read([STORE.OUTBOX, STORE.PHOTO_OUTBOX], async (t) => {
    const entries = await t.all(STORE.OUTBOX);
    const photos = await t.all(STORE.PHOTO_OUTBOX);
    const times = [...entries, ...photos].map((row) => row.queued_at);
    return { entries: entries.length, photos: photos.length, oldest_at: times.length ? Math.min(...times) : null };
  });
}

/** Entries that the server will never take as they are: [{entry, reason, text}]. They stay on the phone. */
export async function refusedOf(database) {
  return database.read([STORE.REFUSED, STORE.ENTRIES], async (t) => {
    const rows = await t.all(STORE.REFUSED);
    const records = await Promise.all(rows.map((row) => t.get(STORE.ENTRIES, row.id)));
    return rows.map((row, k) => ({ entry: records[k].entry, reason: row.reason, text: row.text }));
  });
}

/** Photos that the server will never take as they are: [{sha256, job, reason}]. Their bytes stay on the phone. */
export async function refusedPhotosOf(database) {
  const rows = await database.read([STORE.PHOTO_OUTBOX], (t) => t.all(STORE.PHOTO_OUTBOX));
  return rows.filter((row) => row.refused !== null)
    .map(({ sha256, job, refused }) => ({ sha256, job, reason: refused }));
}
