// Saves one entry, with its outbox row and its photo, in one transaction, and proves it by reading it back.
// It resolves for what is on the disk and for nothing else.

import { makeEntry } from "../domain/job/entry.js";
import { nextNumber } from "./device.js";
import { addOwn } from "./entries.js";
import { STORE } from "./names.js";
import { addPhoto, checkPhoto, checkRoom } from "./photos.js";
import { StoreError } from "./store-error.js";

const ENTRY_STORES = [STORE.ENTRIES, STORE.OUTBOX, STORE.STATE];
const PHOTO_STORES = [STORE.PHOTOS, STORE.PHOTO_OUTBOX];

/**
 * Saves an entry.
 * @param {import("./database.js").Database} database
 * @param {object} content {job, kind, slot, after, body, by, photo?: {bytes, mime, sha256}}
 * @param {{id: string, at: string, queuedAt: number, freshDevice: string, storageManager: StorageManager}} stamp
 * @returns {Promise<object>} the entry; rejects InputError, StoreError or the browser's QuotaExceededError
 */
export async function saveEntry(database, content, stamp) {
  const { photo } = content;
  if (photo) {
    await checkPhoto(photo); // hashing first: awaiting it inside would end the transaction
    await checkRoom(stamp.storageManager, photo.bytes);
  }
  const stores = photo ? [...ENTRY_STORES, ...PHOTO_STORES] : ENTRY_STORES;
  const entry = await database.write(stores, (t) => putAll(t, content, stamp));
  await readBack(database, entry, photo);
  return entry;
}

async function putAll(transaction, content, { id, at, queuedAt, freshDevice }) {
  const earlier = await transaction.get(STORE.ENTRIES, id);
  if (earlier) return earlier.entry; // an attempt that looked dead had reached the disk
  const { id: device, n } = await nextNumber(transaction, freshDevice);
  const entry = makeEntry(content, { id, device, n, at });
  addOwn(transaction, entry, queuedAt);
  const { photo } = content;
  if (photo && !(await transaction.get(STORE.PHOTOS, photo.sha256))) addPhoto(transaction, photo, entry.job, queuedAt);
  return entry;
}

async function readBack(database, entry, photo) {
  const stores = photo ? [STORE.ENTRIES, STORE.PHOTOS] : [STORE.ENTRIES];
  const [record, kept] = await database.read(stores, (t) => Promise.all([
    t.get(STORE.ENTRIES, entry.id), photo ? t.get(STORE.PHOTOS, photo.sha256) : null,
  ]));
  const entryIsThere = JSON.stringify(record?.entry) === JSON.stringify(entry);
  const photoIsThere = !photo || kept?.bytes.byteLength === photo.bytes.byteLength;
  if (!entryIsThere || !photoIsThere) throw new StoreError("store-cannot-write");
}
