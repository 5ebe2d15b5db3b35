// The storage side of sync: what goes out, and what the server's answer changes. It sends nothing itself.
// The pull position moves in the same transaction as the entries that it covers, never before.

import { KIND } from "../domain/job/entry.js";
import { isUuid4 } from "../domain/job/ids.js";
import { catchUp, deviceIn, renameDevice } from "./device.js";
import { enqueue } from "./entries.js";
import { INDEX, STATE_KEY, STORE } from "./names.js";

/** Most entries in one request (DEVELOPERS: Records and sync). */
const BATCH = 500;
/** Most characters in one request: plans are large, and the server refuses a body as a whole. */
const BATCH_CHARACTERS = 4_000_000;
/** The server's code for a photo that no entry shows: the job was erased at the desk, or its entry was refused. */
const NOT_WANTED = "photo-not-wanted";

const NO_CURSOR = Object.freeze({
  key: STATE_KEY.CURSOR,
  since: null, // {epoch, seq, id} of the entry last seen
  server_time: null, // ms, as the server said at the last sync
  synced_at: null, // ms, by this phone's clock
  high_water: {}, // device -> what the server said it holds without a gap
  backed_up_through: {}, // device -> the same in its newest backup
});

export class SyncStore {
  #database;
  #freshId;

  /** @param {import("./database.js").Database} database */
  constructor(database, freshId) {
    this.#database = database;
    this.#freshId = freshId;
  }

  /** The pull position and what the server last said. */
  cursor() {
    return this.#database.read([STORE.STATE], cursorIn);
  }

  /**
   * The next batch: {device, since, entries, unsent}, in the order in which this phone made them; `unsent` wait behind it.
   * @param {{most?: number, without?: Set<string>}} limits at most so many entries, and none of these ids
   */
  async outgoing({ most = BATCH, without = new Set() } = {}) {
    const fresh = this.#freshId();
    return this.#database.write([STORE.STATE, STORE.OUTBOX, STORE.ENTRIES], async (t) => {
      const device = await deviceIn(t, fresh);
      t.put(STORE.STATE, device); // the server must hear the same device id every time
      const waiting = (await t.all(STORE.OUTBOX)).sort(byDeviceAndNumber);
      const rows = waiting.filter((row) => !without.has(row.id)).slice(0, Math.min(most, BATCH));
      const records = await Promise.all(rows.map((row) => t.get(STORE.ENTRIES, row.id)));
      const entries = firstThatFit(records.map((record) => record.entry));
      return { device: device.id, since: (await cursorIn(t)).since, entries, unsent: waiting.length - entries.length };
    });
  }

  /**
   * Applies an answer of POST /api/entries, whole or not at all.
   * @param {object} answer see DEVELOPERS: Records and sync
   * @param {{request: {device, entries}, serverTime: number, at: number}} context
   * @returns {Promise<{jobs: string[], settled: number, behind: {device: string, n: number}|null}>} jobs that changed;
   *   how many entries left the outbox by a verdict; the last entry of this device that it has forgotten itself
   */
  apply(answer, { request, serverTime, at }) {
    const stores = [STORE.STATE, STORE.OUTBOX, STORE.ENTRIES, STORE.REFUSED, STORE.PHOTO_OUTBOX];
    return this.#database.write(stores, async (t) => {
      const jobs = new Set();
      const settled = await applyVerdicts(t, answer.results, request.entries, serverTime, jobs);
      await applyPulled(t, answer.entries, serverTime, jobs);
      const cursor = await cursorIn(t);
      await sendAgain(t, answer, request.device, cursor, at);
      t.put(STORE.STATE, {
        ...cursor,
        since: answer.next,
        server_time: serverTime,
        synced_at: at,
        high_water: { ...cursor.high_water, [request.device]: answer.high_water },
        backed_up_through: { ...cursor.backed_up_through, [request.device]: answer.backed_up_through },
      });
      const behind = await catchUp(t, request.device, answer.high_water);
      if (answer.new_device) await renameDevice(t, answer.new_device);
      return { jobs: [...jobs], settled, behind };
    });
  }

  /** Keeps entries of a job that was asked for by itself; the pull position stays. */
  keepJob(entries, serverTime) {
    return this.#database.write([STORE.STATE, STORE.OUTBOX, STORE.ENTRIES], async (t) => {
      const jobs = new Set();
      await applyPulled(t, entries, serverTime, jobs);
      return { jobs: [...jobs] };
    });
  }

  /**
   * Names of photos to send now: those that wait and whose entry the server holds, and those that it asks for and this
   * phone still has. One that it can never take goes no second time; one that it did not want does once it is asked for.
   */
  photosToSend(wanted) {
    return this.#database.read([STORE.PHOTOS, STORE.PHOTO_OUTBOX, STORE.OUTBOX, STORE.ENTRIES], async (t) => {
      const names = new Set();
      const hopeless = new Set();
      for (const row of await t.all(STORE.PHOTO_OUTBOX)) {
        if (row.refused === null && (await isEntryHeld(t, row))) names.add(row.sha256);
        if (row.refused !== null && row.refused !== NOT_WANTED) hopeless.add(row.sha256);
      }
      for (const sha256 of wanted) if (!hopeless.has(sha256) && (await t.get(STORE.PHOTOS, sha256))) names.add(sha256);
      return [...names];
    });
  }

  /** The server holds this photo. */
  photoHeld(sha256, serverTime) {
    return this.#database.write([STORE.PHOTOS, STORE.PHOTO_OUTBOX], async (t) => {
      const photo = await t.get(STORE.PHOTOS, sha256);
      if (photo) t.put(STORE.PHOTOS, { ...photo, held_at: serverTime });
      t.delete(STORE.PHOTO_OUTBOX, sha256);
    });
  }

  /** The server will never take this photo as it is; its bytes stay here. */
  photoRefused(sha256, reason) {
    return this.#database.write([STORE.PHOTO_OUTBOX], (t) => refusePhoto(t, sha256, reason));
  }

  /** Names of the tables that plans on this phone were made with. */
  async tablesOfPlans() {
    const records = await this.#database.read([STORE.ENTRIES], (t) => t.all(STORE.ENTRIES));
    const plans = records.filter((record) => record.entry.kind === KIND.PLAN_CHOSEN);
    return [...new Set(plans.flatMap(({ entry }) => Object.values(entry.body?.tables ?? {})))];
  }
}

async function cursorIn(transaction) {
  return { ...NO_CURSOR, ...(await transaction.get(STORE.STATE, STATE_KEY.CURSOR)) };
}

/** Only ids that were in this request count: an answer to something else must not empty the outbox. */
async function applyVerdicts(transaction, results, sent, serverTime, jobs) {
  const sentIds = new Set(sent.map((entry) => entry.id));
  let settled = 0;
  for (const { id, verdict, reason, text } of results) {
    if (!sentIds.has(id)) continue;
    const record = await transaction.get(STORE.ENTRIES, id);
    if (verdict === "refused") {
      transaction.put(STORE.REFUSED, { id, reason: reason ?? "", text: text ?? "" });
      if (record.entry.kind === KIND.PHOTO_ATTACHED) await refusePhoto(transaction, record.entry.body.sha256, NOT_WANTED);
    } else if (verdict === "accepted" || verdict === "already" || verdict === "parked") {
      transaction.put(STORE.ENTRIES, { ...record, held_at: serverTime });
    } else {
      continue; // a verdict of a later server: the entry stays in the outbox
    }
    transaction.delete(STORE.OUTBOX, id);
    jobs.add(record.job);
    settled += 1;
  }
  return settled;
}

async function refusePhoto(transaction, sha256, reason) {
  const row = await transaction.get(STORE.PHOTO_OUTBOX, sha256);
  if (row) transaction.put(STORE.PHOTO_OUTBOX, { ...row, refused: reason });
}

/** The server takes a photo only for an entry that it holds; one that goes out again after a restore is not held yet. */
async function isEntryHeld(transaction, { sha256, job }) {
  const records = await transaction.allByIndex(STORE.ENTRIES, INDEX.ENTRIES_BY_JOB, job);
  const own = records.filter(({ entry, held_at }) => held_at !== null && entry.kind === KIND.PHOTO_ATTACHED && entry.body.sha256 === sha256);
  const waiting = await Promise.all(own.map(({ id }) => transaction.get(STORE.OUTBOX, id)));
  return waiting.some((row) => !row);
}

async function applyPulled(transaction, entries, serverTime, jobs) {
  const device = await transaction.get(STORE.STATE, STATE_KEY.DEVICE);
  const ours = new Set(device ? [device.id, ...device.former] : []);
  for (const entry of entries) {
    if (!isUuid4(entry?.id) || !isUuid4(entry.job)) continue; // nothing that could be stored under a name
    const known = await transaction.get(STORE.ENTRIES, entry.id);
    transaction.put(STORE.ENTRIES, {
      id: entry.id, job: entry.job, mine: ours.has(entry.device), entry: known?.entry ?? entry,
      held_at: known?.held_at ?? serverTime,
    });
    transaction.delete(STORE.OUTBOX, entry.id);
    if (!known) jobs.add(entry.job);
  }
}

/**
 * Puts entries back into the outbox when the server has gone back in time: after a restart all that this phone holds,
 * other phones' too, because theirs may be lost; else its own beyond the high water where that has fallen. What the
 * server still holds it answers with "already".
 */
async function sendAgain(transaction, answer, device, cursor, at) {
  const fell = answer.high_water < (cursor.high_water[device] ?? 0);
  if (!answer.restart && !fell) return;
  const refused = (await transaction.all(STORE.REFUSED)).map((row) => row.id);
  const settled = new Set([...refused, ...answer.results.map((r) => r.id), ...answer.entries.map((entry) => entry.id)]);
  for (const { id, mine, entry } of await transaction.all(STORE.ENTRIES)) {
    const missing = answer.restart || (mine && entry.device === device && entry.n > answer.high_water);
    if (missing && !settled.has(id)) enqueue(transaction, entry, at);
  }
}

/** At least one entry goes, however large: the server then refuses it by itself. */
function firstThatFit(entries) {
  let characters = 0;
  const end = entries.findIndex((entry, k) => {
    characters += JSON.stringify(entry).length;
    return k > 0 && characters > BATCH_CHARACTERS;
  });
  return end < 0 ? entries : entries.slice(0, end);
}

function byDeviceAndNumber(a, b) {
  if (a.device !== b.device) return a.device < b.device ? -1 : 1;
  return a.n - b.n;
}
