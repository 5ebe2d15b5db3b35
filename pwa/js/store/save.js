// Saves entries that belong together, with their outbox rows and photos, in one transaction, and proves it by reading
// them back. It resolves for what is on the disk and for nothing else.

import { makeEntry } from "../domain/job/entry.js";
import { countOn, deviceIn } from "./device.js";
import { addOwn, OWN_STORES } from "./entries.js";
import { TRACE_STORES, traceIn } from "./outbox.js";
import { STORE } from "./names.js";
import { addPhoto, checkPhoto, checkRoom } from "./photos.js";
import { StoreError } from "./store-error.js";
import { enterJob, wholeIn } from "./whole-jobs.js";

const PHOTO_STORES = [STORE.PHOTOS, STORE.PHOTO_OUTBOX];

/**
 * Saves entries: all of them or none.
 * @param {import("./database.js").Database} database
 * @param {object[]} contents {job, kind, slot, after, body, by, photo?: {bytes, mime, sha256}}
 * @param {{ids: string[], at: string, queuedAt: number, freshDevice: string, isFresh: boolean, storageManager:
 *   StorageManager}} stamp isFresh: the name of the job was made just now
 * @returns {Promise<{entries: object[], trace: object}>} trace: see traceIn; rejects InputError, StoreError or the
 *   browser's QuotaExceededError
 */
async function saveEntries(database, contents, stamp) {
  const photos = contents.map(({ photo }) => photo).filter(Boolean);
  for (const photo of photos) {
    await checkPhoto(photo); // hashing first: awaiting it inside would end the transaction
    await checkRoom(stamp.storageManager, photo.bytes);
  }
  const stores = photos.length > 0 ? [...OWN_STORES, ...PHOTO_STORES] : OWN_STORES;
  const { entries, back } = await database.write(stores, async (t) => {
    const put = [];
    for (const [at, content] of contents.entries()) put.push(await putAll(t, content, { ...stamp, id: stamp.ids[at] }));
    return { entries: put, back: readBehind(database, put, contents) };
  }, photos.reduce((sum, { bytes }) => sum + bytes.byteLength, 0));
  const trace = await back.read.catch(() => readBehind(database, entries, contents, false).read);
  return { entries, trace };
}

/** The same; where there is no room, `makeRoom` is called once and resolves {jobs, photos}: how many it let go of. */
export async function saveMakingRoom(database, contents, stamp, makeRoom) {
  try {
    return await saveEntries(database, contents, stamp);
  } catch (error) {
    if (error.name !== "QuotaExceededError" && error.code !== "photo-no-room") throw error;
    const { jobs, photos } = await makeRoom();
    if (jobs + photos === 0) throw fullError(error, contents);
    return saveEntries(database, contents, stamp).catch((again) => { throw fullError(again, contents); });
  }
}

/** Names what does not fit: a photo may wait or be taken smaller, a reading may not. */
function fullError(error, contents) {
  if (error.name !== "QuotaExceededError") return error;
  return new StoreError(contents.some(({ photo }) => photo) ? "photo-no-room" : "store-full", error);
}

async function putAll(transaction, content, { id, at, queuedAt, freshDevice, isFresh }) {
  const [earlier, device, whole] = await Promise.all([
    transaction.get(STORE.ENTRIES, id), deviceIn(transaction, freshDevice), wholeIn(transaction),
  ]);
  if (earlier) return earlier.entry; // an attempt that looked dead had reached the disk
  const entry = makeEntry(content, { id, device: device.id, n: countOn(transaction, device), at });
  await enterJob(transaction, whole, entry, isFresh);
  await addOwn(transaction, entry, queuedAt);
  const { photo } = content;
  if (photo && !(await transaction.get(STORE.PHOTOS, photo.sha256))) addPhoto(transaction, photo, entry.job, queuedAt);
  return entry;
}

/**
 * Reads back what the transaction that asks for this puts. The browser begins no later one on the same stores before
 * that one is on the disk; asked for now, this one follows it at once.
 * @param {boolean} [isTraced] false: without the trace, which is no part of the proof
 * @returns {{read: Promise<object>}} read: the trace of what is stored then; in an object, so that the writing does not
 *   wait for it
 */
function readBehind(database, entries, contents, isTraced = true) {
  const hasPhoto = contents.some(({ photo }) => photo);
  const stores = [STORE.ENTRIES, ...(isTraced ? TRACE_STORES : []), ...(hasPhoto ? [STORE.PHOTOS] : [])];
  const read = database.read(stores, async (t) => {
    const [trace, ...isThere] = await Promise.all([isTraced && traceIn(t),
      ...entries.map((entry, at) => isThereIn(t, entry, contents[at].photo))]);
    return { trace, isWhole: isThere.every(Boolean) };
  }).then(({ trace, isWhole }) => {
    if (!isWhole) throw new StoreError("store-cannot-write");
    return trace;
  });
  read.catch(() => {}); // where the writing fails nobody waits for it
  return { read };
}

async function isThereIn(t, entry, photo) {
  const [record, kept] = await Promise.all([
    t.get(STORE.ENTRIES, entry.id), photo ? t.get(STORE.PHOTOS, photo.sha256) : null,
  ]);
  return JSON.stringify(record?.entry) === JSON.stringify(entry)
    && (!photo || kept?.bytes.byteLength === photo.bytes.byteLength);
}
