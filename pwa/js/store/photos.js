// The bytes of photos, as ArrayBuffer under their SHA-256. Never a Blob or File: Safari has lost the bytes of stored
// ones.

import { LARGEST_PHOTO } from "./limits.js";
import { STORE } from "./names.js";
import { StoreError } from "./store-error.js";

/** Room that photos leave free, so that readings can still be saved on a full phone. */
const ROOM_FOR_READINGS_BYTES = 10_000_000;

/** Returns the SHA-256 of bytes as 64 hexadecimal digits. */
export async function sha256Hex(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Returns the first 32 of these digits for a text: enough to tell things apart under names that say nothing. */
export async function shortDigest(text) {
  return (await sha256Hex(new TextEncoder().encode(text))).slice(0, 32);
}

/**
 * Refuses a photo that cannot be kept: not bytes, empty, too large, or not those that its hash names.
 * @param {{bytes: ArrayBuffer, mime: string, sha256: string}} photo
 */
export async function checkPhoto({ bytes, sha256 }) {
  if (!(bytes instanceof ArrayBuffer)) throw new TypeError("photo.bytes: expected an ArrayBuffer, got something else");
  if (bytes.byteLength === 0) throw new StoreError("photo-empty");
  if (bytes.byteLength > LARGEST_PHOTO) {
    const megabytes = (size) => Math.ceil(size / 100_000) / 10;
    throw new StoreError("photo-too-large", undefined, {
      size_mb: megabytes(bytes.byteLength), limit_mb: megabytes(LARGEST_PHOTO),
    });
  }
  if ((await sha256Hex(bytes)) !== sha256) throw new StoreError("photo-damaged");
}

/** Refuses a photo that would leave too little room for readings. A phone that cannot tell is trusted. */
export async function checkRoom(storageManager, bytes) {
  const { quota, usage } = (await storageManager?.estimate?.()) ?? {};
  if (quota !== undefined && quota - usage < bytes.byteLength + ROOM_FOR_READINGS_BYTES) {
    throw new StoreError("photo-no-room");
  }
}

/** Puts a photo and its outbox row into the caller's transaction. */
export function addPhoto(transaction, { bytes, mime, sha256 }, job, at) {
  transaction.put(STORE.PHOTOS, { sha256, mime, bytes, stored_at: at, held_at: null });
  transaction.put(STORE.PHOTO_OUTBOX, { sha256, job, queued_at: at, refused: null });
}

/** Returns {bytes, mime} or null. */
export async function photoOf(database, sha256) {
  const photo = await database.read([STORE.PHOTOS], (t) => t.get(STORE.PHOTOS, sha256));
  return photo ? { bytes: photo.bytes, mime: photo.mime } : null;
}
