// Sends photos, one by one and whole, and fetches those of other phones when somebody looks at them.

import { ask } from "./client.js";

const PHOTO_LIMIT_MS = 180_000;
/** The server's codes for a photo that it will not take as it is; not wanted counts, as its entry is held when it goes. */
const HOPELESS = new Set(["photo-empty", "photo-different", "photo-format", "photo-not-wanted", "photo-too-many-pixels", "too-large"]);

/**
 * Sends every photo that waits or that the server asks for.
 * @returns {Promise<void>} rejects SyncTrouble when the way is broken; a refused photo is noted and the others go on
 */
export async function sendPhotos(session, phone, wanted) {
  for (const sha256 of await phone.syncStore.photosToSend(wanted)) {
    const { bytes, mime } = await phone.photo(sha256);
    try {
      await session.write(`/api/photos/${sha256}`, {
        method: "PUT", limitMs: PHOTO_LIMIT_MS, body: bytes, headers: { "Content-Type": mime },
      });
      await phone.syncStore.photoHeld(sha256, session.serverTime);
      await phone.changed();
    } catch (trouble) {
      if (trouble.code !== "refused") throw trouble;
      if (HOPELESS.has(trouble.problem)) await phone.syncStore.photoRefused(sha256, trouble.problem);
    }
  }
}

/** {bytes, mime} of a photo, from this phone or else from the server; null where neither has it just now. */
export async function loadPhoto(phone, sha256, fetch = globalThis.fetch.bind(globalThis)) {
  const here = await phone.photo(sha256);
  if (here) return here;
  try {
    const bytes = await ask(fetch, `/api/photos/${sha256}`, { limitMs: PHOTO_LIMIT_MS, bytes: true });
    return { bytes, mime: "image/jpeg" }; // the server keeps its own picture of every photo, always a JPEG
  } catch {
    return null;
  }
}
