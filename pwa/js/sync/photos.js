// Sends photos, one by one and whole, and fetches those of other phones when somebody looks at them.

import { ask, endsAsking } from "./client.js";
import { PHOTO_REFUSED } from "./photo-refusals.js";

const PHOTO_LIMIT_MS = 180_000;
/** Photos in a row over which a server may stumble: then it is not about the photo. */
const MOST_FAILURES = 5;
/**
 * Sends every photo that waits or that the server asks for.
 * @returns {Promise<void>} rejects SyncTrouble: at once when the way is broken, else when all the others have been
 *   sent; a refused photo is noted
 */
export async function sendPhotos(session, phone, wanted) {
  let first = null;
  let failures = 0;
  for (const sha256 of await phone.syncStore.photosToSend(wanted)) {
    const photo = await phone.photo(sha256);
    if (!photo) continue; // it waits, and its bytes are gone: the start screen says what this phone has lost
    try {
      await session.write(`/api/photos/${sha256}`, {
        method: "PUT", limitMs: PHOTO_LIMIT_MS, body: photo.bytes, headers: { "Content-Type": photo.mime },
      });
      await phone.syncStore.photoHeld(sha256, session.serverTime);
      await phone.changed();
      failures = 0;
    } catch (trouble) {
      if (endsAsking(trouble)) throw trouble;
      if (PHOTO_REFUSED.includes(trouble.problem)) await phone.syncStore.photoRefused(sha256, trouble.problem);
      if (trouble.code === "refused") continue;
      first ??= trouble;
      failures += 1;
      if (failures === MOST_FAILURES) break;
    }
  }
  if (first) throw first;
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
