// Writes everything that the server does not hold into one file, for the day when this phone cannot send any more.
// The desk imports it. The file is built piece by piece: photos of a week do not fit into one text.

import { STATE_KEY, STORE } from "./names.js";
import { rescued } from "./rescue.js";

const EXPORT_FORMAT = 1;
const STORES = [STORE.STATE, STORE.OUTBOX, STORE.REFUSED, STORE.ENTRIES, STORE.PHOTO_OUTBOX];

/**
 * Resolves with the file: {"format", "exported_at", "whole", "device", "rescued", "refused", "entries", "photos"} as
 * JSON. `whole` is false where the database does not answer: then only the values that could not be saved are in it.
 * Rejects StoreError if there are none of those either.
 */
export async function exportUnsent(database, { at, localStorage }) {
  const texts = rescued(localStorage);
  const waiting = await database.read(STORES, readWaiting).catch((error) => {
    if (texts.length === 0) throw error;
    return { whole: false, device: null, refused: [], entries: [], photos: [] };
  });
  const { photos, ...kept } = waiting;
  const head = { format: EXPORT_FORMAT, exported_at: at, rescued: texts, ...kept };
  const parts = [JSON.stringify(head).slice(0, -1), ',"photos":['];
  for (const sha256 of photos) {
    const photo = await database.read([STORE.PHOTOS], (t) => t.get(STORE.PHOTOS, sha256));
    if (!photo) continue; // sent by another tab meanwhile
    const line = JSON.stringify({ sha256, mime: photo.mime, base64: base64Of(photo.bytes) });
    parts.push(`${parts.length > 2 ? "," : ""}\n${line}`);
  }
  parts.push("]}\n");
  return new Blob(parts, { type: "application/json" });
}

async function readWaiting(t) {
  const refused = await t.all(STORE.REFUSED);
  const ids = [...(await t.all(STORE.OUTBOX)), ...refused].map((row) => row.id);
  const records = await Promise.all(ids.map((id) => t.get(STORE.ENTRIES, id)));
  const device = await t.get(STORE.STATE, STATE_KEY.DEVICE);
  const photos = await t.all(STORE.PHOTO_OUTBOX);
  return {
    whole: true, device: device?.id ?? null, refused, entries: records.map((record) => record.entry),
    photos: photos.map((row) => row.sha256),
  };
}

const CHUNK_BYTES = 0x8000; // String.fromCharCode takes only so many arguments

function base64Of(buffer) {
  const bytes = new Uint8Array(buffer);
  let text = "";
  for (let k = 0; k < bytes.length; k += CHUNK_BYTES) {
    text += String.fromCharCode(...bytes.subarray(k, k + CHUNK_BYTES));
  }
  return btoa(text);
}
