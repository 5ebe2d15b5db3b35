// The storage side of sync: what goes out, and what the server's answer changes. It sends nothing itself.
// The pull position moves in the same transaction as the entries that it covers, never before.

import { KIND } from "../domain/job/entry.js";
import { isUuid4 } from "../domain/job/ids.js";
import { catchUp, deviceIn, renameDevice } from "./device.js";
import { enqueue } from "./entries.js";
import { MOST_CHARACTERS_SENT, MOST_ENTRIES } from "./limits.js";
import { INDEX, STATE_KEY, STORE } from "./names.js";
import { putSummary, touch } from "./summaries.js";
import { notePlanTables, planTablesOf } from "./tables.js";
import { dropSettled, matchCopies } from "./unsent-copies.js";

/** The server's code for a photo that no entry shows: the job was erased at the desk, or its entry was refused. */
const NOT_WANTED = "photo-not-wanted";
/** With any other verdict, of a later server, the entry stays in the outbox. */
const SETTLED = new Set(["accepted", "already", "parked", "refused"]);

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

  #copies;

  /**
   * @param {import("./database.js").Database} database
   * @param {function(): string} freshId
   * @param {import("./unsent-copies.js").UnsentCopies} copies
   */
  constructor(database, freshId, copies) {
    this.#database = database;
    this.#freshId = freshId;
    this.#copies = copies;
  }

  /** The pull position and what the server last said. */
  cursor() {
    return this.#database.read([STORE.STATE], cursorIn);
  }

  /**
   * The next batch: {device, since, entries, unsent}, in the order in which this phone made them; `unsent` wait behind it.
   * @param {{most?: number, without?: Set<string>}} limits at most so many entries, and none of these ids
   */
  async outgoing({ most = MOST_ENTRIES, without = new Set() } = {}) {
    const fresh = this.#freshId();
    return this.#database.write([STORE.STATE, STORE.OUTBOX, STORE.ENTRIES], async (t) => {
      const device = await deviceIn(t, fresh);
      t.put(STORE.STATE, device); // the server must hear the same device id every time
      const waiting = (await t.all(STORE.OUTBOX)).sort(byDeviceAndNumber);
      const rows = waiting.filter((row) => !without.has(row.id)).slice(0, Math.min(most, MOST_ENTRIES));
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
  async apply(answer, { request, serverTime, at }) {
    const stores = [STORE.STATE, STORE.OUTBOX, STORE.ENTRIES, STORE.SUMMARIES, STORE.REFUSED, STORE.PHOTO_OUTBOX];
    const outcome = await this.#database.write(stores, async (t) => {
      const jobs = new Set();
      const isSameStore = (await t.get(STORE.STATE, STATE_KEY.DEVICE))?.id === request.device;
      const settled = await applyVerdicts(t, answer.results, request.entries, serverTime, jobs);
      await touch(t, jobs);
      await applyPulled(t, answer.entries, serverTime, jobs);
      const cursor = await cursorIn(t);
      await sendAgain(t, answer, request.device, cursor, at);
      t.put(STORE.STATE, {
        ...cursor,
        since: isSameStore ? answer.next : cursor.since, // made anew meanwhile, it holds nothing of what came before
        server_time: serverTime,
        synced_at: at,
        high_water: { ...cursor.high_water, [request.device]: answer.high_water },
        backed_up_through: { ...cursor.backed_up_through, [request.device]: answer.backed_up_through },
      });
      const behind = await catchUp(t, request.device, answer.high_water);
      if (answer.new_device) await renameDevice(t, answer.new_device);
      return { jobs: [...jobs], settled, behind };
    });
    await dropSettled(this.#database, this.#copies, [...request.entries, ...answer.entries].map((entry) => entry?.id));
    if (answer.restart) await matchCopies(this.#database, this.#copies); // much of what was sent waits again
    return outcome;
  }

  /** Keeps entries of a job that was asked for by itself; the pull position stays. */
  async keepJob(entries, serverTime) {
    const outcome = await this.#database.write([STORE.STATE, STORE.OUTBOX, STORE.ENTRIES, STORE.SUMMARIES], async (t) => {
      const jobs = new Set();
      await applyPulled(t, entries, serverTime, jobs);
      return { jobs: [...jobs] };
    });
    await dropSettled(this.#database, this.#copies, entries.map((entry) => entry?.id));
    return outcome;
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
  tablesOfPlans() {
    return planTablesOf(this.#database);
  }
}

async function cursorIn(transaction) {
  return { ...NO_CURSOR, ...(await transaction.get(STORE.STATE, STATE_KEY.CURSOR)) };
}

/** Only ids that were in this request count: an answer to something else must not empty the outbox. */
async function applyVerdicts(transaction, results, sent, serverTime, jobs) {
  const sentIds = new Set(sent.map((entry) => entry.id));
  const settling = results.filter(({ id, verdict }) => sentIds.has(id) && SETTLED.has(verdict));
  const records = await Promise.all(settling.map(({ id }) => transaction.get(STORE.ENTRIES, id)));
  for (const [k, { id, verdict, reason, text }] of settling.entries()) {
    const record = records[k];
    if (!record) continue; // the storage was made anew since it was sent
    if (verdict === "refused") {
      transaction.put(STORE.REFUSED, { id, reason: reason ?? "", text: text ?? "" });
      if (record.entry.kind === KIND.PHOTO_ATTACHED) await refusePhoto(transaction, record.entry.body.sha256, NOT_WANTED);
    } else {
      transaction.put(STORE.ENTRIES, { ...record, held_at: serverTime });
    }
    transaction.delete(STORE.OUTBOX, id);
    jobs.add(record.job);
  }
  return settling.length;
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

/** Of a job that has no summary nothing is here, so nothing of it is looked up. All else is asked for before any answer is awaited. */
async function applyPulled(transaction, entries, serverTime, jobs) {
  const nameable = entries.filter((entry) => isUuid4(entry?.id) && isUuid4(entry.job)); // what can be stored under its name
  const named = [...new Set(nameable.map(({ job }) => job))];
  const [device, waiting, ...rows] = await Promise.all([
    transaction.get(STORE.STATE, STATE_KEY.DEVICE), transaction.keys(STORE.OUTBOX), ...named.map((job) => transaction.get(STORE.SUMMARIES, job)),
  ]);
  const isHere = new Set(named.filter((_, k) => rows[k]));
  const ours = new Set(device ? [device.id, ...device.former] : []);
  const recordOf = (entry) => ({ id: entry.id, job: entry.job, mine: ours.has(entry.device), entry, held_at: serverTime });
  await applyToKnown(transaction, nameable.filter(({ job }) => isHere.has(job)).map(recordOf), new Set(waiting), jobs);
  const fresh = new Map(); // job -> its records, each id once
  for (const entry of nameable.filter(({ job }) => !isHere.has(job))) {
    transaction.add(STORE.ENTRIES, recordOf(entry));
    if (!fresh.has(entry.job)) fresh.set(entry.job, new Map());
    if (!fresh.get(entry.job).has(entry.id)) fresh.get(entry.job).set(entry.id, recordOf(entry));
  }
  for (const [job, records] of fresh) {
    putSummary(transaction, job, [...records.values()]);
    jobs.add(job);
  }
  await notePlanTables(transaction, nameable);
}

/** What came of a job that is here already. */
async function applyToKnown(transaction, records, waiting, jobs) {
  const known = await Promise.all(records.map(({ id }) => transaction.get(STORE.ENTRIES, id)));
  const changed = new Set();
  for (const [k, record] of records.entries()) {
    transaction.put(STORE.ENTRIES, { ...record, entry: known[k]?.entry ?? record.entry, held_at: known[k]?.held_at ?? record.held_at });
    if (waiting.has(record.id)) transaction.delete(STORE.OUTBOX, record.id);
    if ((known[k]?.held_at ?? null) === null) changed.add(record.job);
  }
  await touch(transaction, changed);
  for (const job of changed) jobs.add(job);
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
    return k > 0 && characters > MOST_CHARACTERS_SENT;
  });
  return end < 0 ? entries : entries.slice(0, end);
}

function byDeviceAndNumber(a, b) {
  if (a.device !== b.device) return a.device < b.device ? -1 : 1;
  return a.n - b.n;
}
