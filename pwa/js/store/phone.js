// The phone's storage as the screens and the sync see it. Everything below it touches IndexedDB; nothing above does.

import { KIND, zonedTime } from "../domain/job/entry.js";
import { randomBytes, uuid4 } from "../domain/job/ids.js";
import { TabChannel } from "./tab-channel.js";
import { Database } from "./database.js";
import { draftOf, dropDraft, saveDraft } from "./drafts.js";
import { entriesOf } from "./entries.js";
import { STORE } from "./names.js";
import { refusedOf, refusedPhotosOf, TRACE_STORES, traceIn, unsentOf } from "./outbox.js";
import { photoOf } from "./photos.js";
import { probe } from "./probe.js";
import { dropRescued, rescue, rescued } from "./rescue.js";
import { saveMakingRoom } from "./save.js";
import { setSetting, settingOf } from "./settings.js";
import { codeOf, SaveFailed } from "./store-error.js";
import { jobsAlike, jobsOf } from "./summaries.js";
import { StorageGuard } from "./storage-guard.js";
import { SyncStore } from "./sync-store.js";
import { hasRingSet, keepRingSets, keepTable, ringSetNamesOf, ringSetsOf, tableNames, tableOf } from "./tables.js";
import { isHere } from "./whole-jobs.js";

/** For so long what was proven is taken as it was. */
const PROVEN_MS = 10_000;

/**
 * Opens this phone's storage. Never rejects: a phone that cannot store still computes, and says so in `health`.
 * @param {{now?: () => number, random?: (count: number) => Uint8Array, database?: Database,
 *   localStorage?: Storage, storageManager?: StorageManager, tabs?: TabChannel, caches?: CacheStorage, locks?:
 *   LockManager|null, lines?: Object}} parts for tests
 */
export async function openPhone(parts = {}) {
  const phone = new Phone(parts);
  await phone.check();
  return phone;
}

/** What openPhone gives. Made by itself it can be read from at once; `check` has to follow. */
export class Phone {
  /** {ok: true}, or {ok: false, code}: the screen shows `error.<code>` and starts no job. */
  health = { ok: true };
  #now;
  #random;
  #database;
  #localStorage;
  #storageManager;
  #tabs;
  #guard;
  #asked = null;
  #lines = null;
  #linesParts;
  #locks;
  /** Names that this page has made: what is saved under one of them begins a job. */
  #fresh = new Set();
  /** When something was last written and read back. */
  #provenAt = -Infinity;

  constructor({
    now = Date.now, random = randomBytes, database = new Database(), localStorage = globalThis.localStorage,
    storageManager = globalThis.navigator?.storage, tabs = new TabChannel(), caches = globalThis.caches,
    locks = globalThis.navigator?.locks ?? null, lines = {},
  } = {}) {
    this.#linesParts = lines;
    this.#locks = locks;
    this.#now = now;
    this.#random = random;
    this.#database = database;
    this.#localStorage = localStorage;
    this.#storageManager = storageManager;
    this.#tabs = tabs;
    const freshId = () => uuid4(this.#random);
    this.#guard = new StorageGuard({
      database, localStorage, storageManager, caches, locks, freshId, onChange: () => tabs.announce([], "synced"),
    });
    /** For sync/ alone. */
    this.syncStore = new SyncStore(database,
      { freshId, copies: this.#guard.copies, bringRest: () => this.bringRest() });
  }

  /** Writes and reads back a probe; sets and resolves `health`. Also heals a connection that died in the background. */
  async check() {
    try {
      await this.#guard.look(); // before anything is written
      await probe(this.#database, uuid4(this.#random));
      this.#proven();
      this.#guard.restore();
      if (this.isTight) this.keepReserve(); // somebody may have made room meanwhile
    } catch (error) {
      this.health = { ok: false, code: codeOf(error) };
    }
    return this.health;
  }

  /** The same where nothing was written and read back lately: a write that tells nothing new keeps others waiting. */
  checkWhereUnproven() {
    const isProven = this.health.ok && performance.now() - this.#provenAt < PROVEN_MS;
    return isProven ? this.health : this.check();
  }

  #proven() {
    this.health = { ok: true };
    this.#provenAt = performance.now();
  }

  // How safe what is stored is by now: see storage-guard.js

  get persistence() {
    return this.#guard.persistence;
  }

  get isKept() {
    return this.#guard.isKept;
  }

  get isTight() {
    return this.#guard.isTight;
  }

  get lost() {
    return this.#guard.lost;
  }

  set lost(lost) {
    this.#guard.lost = lost;
  }

  askToKeep() {
    return this.#guard.askToKeep();
  }

  openReserve() {
    return this.#guard.openReserve();
  }

  keepReserve() {
    return this.#guard.keepReserve();
  }

  compareWithServer(sent) {
    return this.#guard.compareWithServer(sent);
  }

  async forgetLoss() {
    await this.#guard.forgetLoss();
    await this.changed();
  }

  /** A name for a new job. Nothing is stored until its job-opened entry is saved. */
  newJob() {
    const job = uuid4(this.#random);
    this.#fresh.add(job);
    return job;
  }

  /**
   * Saves one entry (server/README: Entries). Resolves with it once it is on the disk and was read back.
   * @param {{job: string, kind: string, slot?: string|null, after?: string[], body: object, by: string,
   *   photo?: {bytes: ArrayBuffer, mime: string, sha256: string}}} content
   * @returns {Promise<object>} rejects SaveFailed: show NOT SAVED, `error.<code>`, and keep the values on the screen
   */
  async save(content) {
    const [entry] = await this.saveTogether([content]);
    return entry;
  }

  /** The same for entries of one job that are there together or not at all. */
  async saveTogether(contents) {
    const queuedAt = this.#now();
    const stamp = {
      ids: contents.map(() => uuid4(this.#random)), at: zonedTime(queuedAt), queuedAt, freshDevice: uuid4(this.#random),
      isFresh: this.#fresh.has(contents[0].job), storageManager: this.#storageManager,
    };
    try {
      const { entries, trace } = await saveMakingRoom(this.#database, contents, stamp, () => this.prune());
      this.#fresh.delete(contents[0].job);
      for (const entry of entries) this.#guard.copies.keep(entry, queuedAt);
      this.#proven();
      for (const content of contents) dropRescued(this.#localStorage, content);
      await this.#told([contents[0].job], "saved", trace);
      this.#asked ??= this.askToKeep();
      return entries;
    } catch (error) {
      // in what opens a job nothing is typed
      for (const content of contents) if (content.kind !== KIND.JOB_OPENED) this.keepAside(content);
      // nothing is called safe now
      if (codeOf(error).startsWith("store-")) this.health = { ok: false, code: codeOf(error) };
      throw new SaveFailed(codeOf(error), error, contents[0], error.params);
    }
  }

  /** See jobsOf in summaries.js. */
  jobs(wish) {
    return jobsOf(this.#database, wish);
  }

  /** The ids of all jobs. */
  jobIds() {
    return this.#database.read([STORE.SUMMARIES], (t) => t.keys(STORE.SUMMARIES));
  }

  /** Summaries of the jobs whose "registration_key" or "description_key" is this. */
  jobsAlike(key, value) {
    return jobsAlike(this.#database, key, value);
  }

  entries(job) {
    return entriesOf(this.#database, job);
  }

  /** Whether this phone holds the job whole: of any other it has a line at most, and nothing can be saved into it. */
  isHere(job) {
    return isHere(this.#database, job);
  }

  /** While a job is shown it does not leave this phone. Resolves, once that is sure, with the function that ends it. */
  holdJob(job) {
    if (!this.#locks) return Promise.resolve(() => {}); // then none ever leaves
    return new Promise((resolve) => {
      const held = () => new Promise((release) => { resolve(release); });
      // a page that is going away
      this.#locks.request(`job.${job}`, { mode: "shared" }, held).catch(() => resolve(() => {}));
    });
  }

  /** {entries, photos, oldest_at}: what the server does not hold yet. */
  unsent() {
    return unsentOf(this.#database);
  }

  /** [{entry, reason, text}]: what the server will never take as it is. */
  refused() {
    return refusedOf(this.#database);
  }

  /** [{sha256, job, reason}]: the same for photos. */
  refusedPhotos() {
    return refusedPhotosOf(this.#database);
  }

  /** {bytes, mime}, or null where this phone does not have the photo. */
  photo(sha256) {
    return photoOf(this.#database, sha256);
  }

  setting(name) {
    return settingOf(this.#database, name);
  }

  setSetting(name, value) {
    return setSetting(this.#database, name, value);
  }

  draft(key) {
    return draftOf(this.#database, key);
  }

  saveDraft(key, value) {
    return saveDraft(this.#database, key, value);
  }

  dropDraft(key) {
    return dropDraft(this.#database, key);
  }

  /** [{id, name, revision, retired, sha256, table}]; offer only those that are not retired. */
  ringSets() {
    return ringSetsOf(this.#database);
  }

  /** Ring set names by id. */
  ringSetNames() {
    return ringSetNamesOf(this.#database);
  }

  /** Whether a plan could be made: a ring set is here with its table. No table is read for it. */
  hasRingSet() {
    return hasRingSet(this.#database);
  }

  /** The parsed table of that hash, or null. */
  table(sha256) {
    return tableOf(this.#database, sha256);
  }

  tableNames() {
    return tableNames(this.#database);
  }

  keepTable(sha256, bytes) {
    return keepTable(this.#database, sha256, bytes);
  }

  keepRingSets(ringSets, tables) {
    return keepRingSets(this.#database, ringSets, tables);
  }

  // Vehicle types: see types.js

  async typesTag() {
    return (await this.bringRest()).typesTag(this.#database);
  }

  async keepTypes(said) {
    return (await this.bringRest()).keepTypes(this.#database, said);
  }

  async keepOwnType(own) {
    await (await this.bringRest()).keepOwnType(this.#database, own);
    await this.changed();
  }

  async typeRows() {
    return (await this.bringRest()).typeRows(this.#database);
  }

  async typeNow(ref) {
    return (await this.bringRest()).typeNow(this.#database, ref);
  }

  /** A file with everything that the server does not hold; see export.js for a database that does not answer. */
  async exportUnsent() {
    const { exportUnsent } = await this.bringRest();
    return exportUnsent(this.#database, { at: zonedTime(this.#now()), localStorage: this.#localStorage });
  }

  /** Keeps the content of a save that failed, or could not even be tried, as text outside of the database. */
  keepAside(content) {
    rescue(this.#localStorage, content, zonedTime(this.#now()));
  }

  /** Values whose save failed, kept as text: [{job, kind, slot, after, body, by, at}]. */
  rescued() {
    return rescued(this.#localStorage);
  }

  /** What the first screen does without, brought together, so that another tab's update mixes no builds. */
  async bringRest() {
    const parts = await Promise.all([
      import("./export.js"), import("./prune.js"), import("./lines.js"), import("./leave-shop.js"),
      import("./types.js"),
      import("./next-request.js"), import("./take-answer.js"), import("./photos-out.js"),
    ]);
    return Object.assign({}, ...parts);
  }

  /** What the shop says of vehicles and of itself: a database that may be dropped. @returns {Promise<Lines>} */
  async lines() {
    const { Lines } = await this.bringRest();
    this.#lines ??= new Lines({ protect: this.#guard.protectOther, ...this.#linesParts });
    return this.#lines;
  }

  /** Lets go of closed jobs and photos that the shop surely has (pwa/README: What a phone keeps). */
  async prune() {
    return (await this.bringRest()).prune(this.#database, await this.#leaving());
  }

  /** The same, where it was not done within the last hour. */
  async pruneNowAndThen() {
    return (await this.bringRest()).pruneNowAndThen(this.#database, await this.#leaving());
  }

  async #leaving() {
    return { lines: await this.lines(), locks: this.#locks, now: this.#now };
  }

  /** The pairing has ended: lets go of what the shop surely has, and of what it told. Resolves {gone, kept}: jobs. */
  async leaveShop() {
    const { gone, kept, isNews } = await (await this.bringRest()).leaveShop(this.#database, await this.lines());
    if (isNews) await this.changed(gone);
    return { gone, kept };
  }

  /**
   * Calls `listener({jobs, cause})` after every change in any tab, cause "saved" or "synced"; returns what stops it.
   */
  onChange(listener) {
    return this.#tabs.listen(listener);
  }

  /** Something stored has changed: told to every tab. `jobs` is empty for what belongs to no job. */
  changed(jobs = [], cause = "synced") {
    return this.#told(jobs, cause, this.#database.read(TRACE_STORES, traceIn));
  }

  /** @param {object|Promise<object>} trace of what is stored now */
  async #told(jobs, cause, trace) {
    try {
      this.#tabs.announce(jobs, cause);
      await this.#guard.remember(await trace);
    } catch {
      // what was saved is on the disk and was read back; only its trace is missing
    }
  }
}
