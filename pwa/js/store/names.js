// Every name that stands in the phone's storage. A name, once released, is never used for anything else.

export const DATABASE_NAME = "tapermark";

export const STORE = Object.freeze({
  ENTRIES: "entries", // key id: {id, job, mine, held_at, entry}; held_at is server time, null until the server holds it
  OUTBOX: "outbox", // key id: {id, job, device, n, queued_at}
  SUMMARIES: "summaries", // key job: see summaries.js; {job, touched: how often, stale: 1 until it is derived again}
  REFUSED: "refused", // key id: {id, reason, text}
  PHOTOS: "photos", // key sha256: {sha256, mime, bytes, stored_at, held_at}
  PHOTO_OUTBOX: "photo_outbox", // key sha256: {sha256, job, queued_at, refused}
  TABLES: "tables", // key sha256: {sha256, bytes}
  RING_SETS: "ring_sets", // key id: what the server said of it
  SETTINGS: "settings", // key name: {name, value}
  DRAFTS: "drafts", // key key: {key, value}
  STATE: "state", // key key: the records named by STATE_KEY
});

export const INDEX = Object.freeze({
  ENTRIES_BY_JOB: "by_job",
  STALE_SUMMARIES: "stale", // named, like the next two, as what it indexes; a fresh summary is not in it
  SUMMARIES_BY_REGISTRATION: "registration_key",
  SUMMARIES_BY_DESCRIPTION: "description_key",
});

export const STATE_KEY = Object.freeze({
  DEVICE: "device", // {id, n, former: [ids]}
  CURSOR: "cursor", // what the server last said; see sync-place.js
  PLACE: "place", // up to where entries have come; see sync-place.js. An older program has it in CURSOR
  WHOLE: "whole", // {jobs, unproved, parts, along}; see whole-jobs.js
  PROBE: "probe",
  PLAN_TABLES: "plan_tables", // {names, whole}: see tables.js
  PRUNED: "pruned", // {server_time} of the last time, see prune.js
  LOSS: "loss", // what this phone has lost and nobody has read yet; see storage-loss.js
});

/** What the server tells of all vehicles and of the shop: it proves nothing and may be dropped. See lines.js. */
/** A setting: {name, demo} of the shop, as it said last; the report names it without a network too. */
export const SHOP = "shop";

export const LINES_NAME = "tapermark-lines";

export const LINES_STORE = Object.freeze({
  // key job: {job, at, keys: [digests], left, right, day}, as the server gave it but for packed ids
  FITTINGS: "fittings",
  // key job: {job, at, state, registration, vehicle, conflicts, changed_ms, last_seq}, as the server gave it
  LINES: "lines",
  STATE: "state", // key key: {key: <list>, value} of lists that come whole, and the two places below
});

/** {key: "position", epoch, at}: the same of fittings. */
export const FITTINGS_PLACE = "position";
/** {key: "lines", place, era}: up to where lines have come; see job-lines.js. */
export const LINES_PLACE = "lines";


export const LINES_INDEX = Object.freeze({ FITTINGS_BY_KEY: "keys", LINES_BY_STATE: "state" });

/** Names in localStorage: small texts that must survive when the database does not. */
export const LOCAL = Object.freeze({
  STORED_JOBS: "tapermark.witness", // {device, n, unsent, photos}
  RESCUED: "tapermark.rescued",
  TORN_LOG: "tapermark.torn", // see torn-log.js
  UNSENT: "tapermark.unsent.", // and the id of an entry: {queued_at, entry}
});

export const CHANNEL_NAME = "tapermark.changes";
