// Every name that stands in the phone's storage. A name, once released, is never used for anything else.

export const DATABASE_NAME = "tapermark";

export const STORE = Object.freeze({
  ENTRIES: "entries", // key id: {id, job, mine, held_at, entry}; held_at is server time, null until the server holds it
  OUTBOX: "outbox", // key id: {id, job, device, n, queued_at}
  REFUSED: "refused", // key id: {id, reason, text}
  PHOTOS: "photos", // key sha256: {sha256, mime, bytes, stored_at, held_at}
  PHOTO_OUTBOX: "photo_outbox", // key sha256: {sha256, job, queued_at, refused}
  TABLES: "tables", // key sha256: {sha256, bytes}
  RING_SETS: "ring_sets", // key id: what the server said of it
  SETTINGS: "settings", // key name: {name, value}
  DRAFTS: "drafts", // key key: {key, value}
  STATE: "state", // key key: the records named by STATE_KEY
});

export const INDEX = Object.freeze({ ENTRIES_BY_JOB: "by_job" });

export const STATE_KEY = Object.freeze({
  DEVICE: "device", // {id, n, former: [ids]}
  CURSOR: "cursor", // see sync-store.js
  PROBE: "probe",
});

/** Names in localStorage: small texts that must survive when the database does not. */
export const LOCAL = Object.freeze({ STORED_JOBS: "tapermark.witness", RESCUED: "tapermark.rescued" });

export const CHANNEL_NAME = "tapermark.changes";
