// One phone in a browser page, driven from Python by phone_page.py: the product's own store and sync on a real browser
// database, with a clock to set, storage that can be told to fail, and no timers. It judges nothing.

import { fold, liveIds } from "/js/domain/job/fold.js";
import { Database } from "/js/store/database.js";
import { LOCAL, STORE } from "/js/store/names.js";
import { openPhone } from "/js/store/phone.js";
import { placeIn } from "/js/store/sync-place.js";
import { wholeIn } from "/js/store/whole-jobs.js";
import { bringJob } from "/js/sync/find-jobs.js";
import { pair } from "/js/sync/pair.js";
import { Sync } from "/js/sync/sync.js";
import { FaultyFactory } from "/tests/faulty-database.js";

const ALL_STORES = Object.values(STORE);
const NO_TIMERS = { set: () => 0, clear: () => {} };

let phone;
let database;
let factory;
let release = () => {};
let sync;
const clock = { ms: 0 };

/** Opens the phone on a database; `cleared`: as one that was never used. */
export async function open(name, ms, cleared) {
  if (cleared) localStorage.clear();
  clock.ms = ms;
  factory = new FaultyFactory();
  database = new Database({ factory, name });
  phone = await openPhone({ now: () => clock.ms, database, storageManager: null, lines: { name: linesName(name) } });
  sync = new Sync(phone, { now: () => clock.ms, locks: null, timers: NO_TIMERS, page: new EventTarget() });
  return phone.health;
}

/** Closes and deletes the database, for the next history. */
export async function forget(name) {
  database?.close();
  release();
  for (const each of [name, linesName(name)]) await dropDatabase(each);
}

/** The browser throws away what may be thrown away: the lines. */
export async function loseLines(name) {
  await dropDatabase(linesName(name));
}

/** A screen shows this job from now on, or none. */
export async function show(job) {
  release();
  release = job ? await phone.holdJob(job) : () => {};
}

/** Takes a job along, as the line's screen does: null, or why it did not come. */
export function takeAlong(job) {
  return bringJob(phone, job).then(() => null, (trouble) => trouble.code);
}

function linesName(name) {
  return `${name}-lines`;
}

function dropDatabase(name) {
  return new Promise((resolve) => {
    const request = indexedDB.deleteDatabase(name);
    request.onsuccess = request.onerror = request.onblocked = resolve;
  });
}

export function setClock(ms) {
  clock.ms = ms;
}

/**
 * Saves as a screen does: what this phone shows as live in the slot is superseded. `opens`: the job begins with it, as
 * on a screen by an entry of its own. {entry} or {error: code}.
 */
export async function save({ job, kind, slot, body, by, photo, opens }, faults = []) {
  if (opens && !(await phone.isHere(job))) {
    await phone.save({ job, kind: "job-opened", slot: null, after: [], body: { checklist: 2 }, by }).catch(() => {});
  }
  const entries = await phone.entries(job);
  const after = slot === null ? [] : (fold(entries).slots[slot] ?? []).map(({ id }) => id);
  const whole = kind === "job-signed" ? { covers: liveIds(entries) } : body;
  factory.faults = faults;
  try {
    return { entry: await phone.save({ job, kind, slot, after, body: whole, by,
      ...(photo && { photo: withBytes(photo) }) }) };
  } catch (error) {
    return { error: error.code ?? String(error) };
  } finally {
    factory.faults = [];
  }
}

/** Begins to save or to sync and returns at once, so that the page can be killed meanwhile. */
export function begin(what, ...args) {
  const running = what === "save" ? save(...args) : sync.now();
  running.catch(() => {});
}

/** Syncs once; the state that the screen shows then. */
export async function syncNow() {
  await sync.now();
  return sync.state;
}

/** Types in the code that the desk shows: null, or why it was not taken. */
export function pairBy(code) {
  return pair(code).then(() => null, (trouble) => trouble.problem);
}

/**
 * An entry that the server will never take, as a fault in an older program might have left it here. Resolves whether it
 * could be.
 */
export async function poison(job, id) {
  const { entry } = await save({ job, kind: "note-written", slot: null, body: { text: "poison" }, by: "Ada Lind" });
  if (!entry) return false;
  await database.write([STORE.ENTRIES, STORE.OUTBOX], async (t) => {
    const record = await t.get(STORE.ENTRIES, entry.id);
    const row = await t.get(STORE.OUTBOX, entry.id);
    for (const store of [STORE.ENTRIES, STORE.OUTBOX]) t.delete(store, entry.id);
    t.put(STORE.ENTRIES, { ...record, id, entry: { ...record.entry, id, slot: id, by: 7 } });
    t.put(STORE.OUTBOX, { ...row, id });
  });
  localStorage.removeItem(LOCAL.UNSENT + entry.id);
  return true;
}

/**
 * What is on this phone: {entries, photos: [sha256], unsent, refused: [ids], rescued: number, jobs: [ids], proved:
 * [ids], since, lines}: jobs held whole, those of which it says that it has every entry up to `since`, and the lines of
 * all.
 */
export async function contents() {
  const { entries, photos, whole, place } =
      await database.read([STORE.ENTRIES, STORE.PHOTOS, STORE.STATE, STORE.SUMMARIES], async (t) => ({
    entries: await t.all(STORE.ENTRIES), photos: await t.all(STORE.PHOTOS), whole: await wholeIn(t),
    place: await placeIn(t),
  }));
  const refused = await phone.refused();
  return {
    entries: entries.map((record) => record.entry), photos: photos.map((photo) => photo.sha256),
    unsent: await phone.unsent(), refused: refused.map(({ entry }) => entry.id), rescued: phone.rescued().length,
    proved: [...whole.jobs].filter((job) => !whole.unproved.has(job)), jobs: [...whole.jobs], since: place.since,
    lines: await (await phone.lines()).jobs.all(),
  };
}

/** The file that a person takes to the desk. */
export async function exported() {
  return JSON.parse(await (await phone.exportUnsent()).text());
}

/** The whole storage, as a backup of the phone has it; `adopt` puts it into another phone. */
export async function copy() {
  const stores = await database.read(ALL_STORES, async (t) => {
    const all = {};
    for (const store of ALL_STORES) all[store] = await t.all(store);
    return all;
  });
  for (const photo of stores[STORE.PHOTOS]) photo.bytes = [...new Uint8Array(photo.bytes)];
  return { stores, local: { ...localStorage } };
}

export async function adopt({ stores, local }) {
  for (const photo of stores[STORE.PHOTOS]) photo.bytes = Uint8Array.from(photo.bytes).buffer;
  await database.write(ALL_STORES, (t) => {
    for (const store of ALL_STORES) for (const record of stores[store]) t.put(store, record);
  });
  localStorage.clear();
  for (const [name, text] of Object.entries(local)) localStorage.setItem(name, text);
}

function withBytes({ base64, ...photo }) {
  return { ...photo, bytes: Uint8Array.from(atob(base64), (character) => character.charCodeAt(0)).buffer };
}
