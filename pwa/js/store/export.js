// Writes everything that the server does not hold into one file, for the day when this phone cannot send any more.
// The desk imports it. The file is built piece by piece: photos of a week do not fit into one text.

import { STORE } from "./names.js";
import { rescued } from "./rescue.js";

export const EXPORT_FORMAT = 1;

/** Resolves with the file: {"format", "exported_at", "device", "rescued", "refused", "entries", "photos"} as JSON. */
export async function exportUnsent(database, { at, device, localStorage }) {
  const { entries, refused, photoRows } = await database.read(
    [STORE.OUTBOX, STORE.REFUSED, STORE.ENTRIES, STORE.PHOTO_OUTBOX],
    async (t) => {
      const refusedRows = await t.all(STORE.REFUSED);
      const ids = [...(await t.all(STORE.OUTBOX)), ...refusedRows].map((row) => row.id);
      const records = await Promise.all(ids.map((id) => t.get(STORE.ENTRIES, id)));
      return {
        entries: records.map((record) => record.entry), refused: refusedRows, photoRows: await t.all(STORE.PHOTO_OUTBOX),
      };
    },
  );
  const head = { format: EXPORT_FORMAT, exported_at: at, device, rescued: rescued(localStorage), refused, entries };
  const parts = [JSON.stringify(head).slice(0, -1), ',"photos":['];
  for (const [k, { sha256 }] of photoRows.entries()) {
    const photo = await database.read([STORE.PHOTOS], (t) => t.get(STORE.PHOTOS, sha256));
    const line = { sha256, mime: photo.mime, base64: base64Of(photo.bytes) };
    parts.push(`${k > 0 ? "," : ""}\n${JSON.stringify(line)}`);
  }
  parts.push("]}\n");
  return new Blob(parts, { type: "application/json" });
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
