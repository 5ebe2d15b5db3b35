// The phone's storage as the screens and the sync see it. Everything below it touches IndexedDB; nothing above does.

import { zonedTime } from "../domain/job/entry.js";
import { randomBytes, uuid4 } from "../domain/job/ids.js";
import { TabChannel } from "./tab-channel.js";
import { Database } from "./database.js";
import { draftOf, dropDraft, saveDraft } from "./drafts.js";
import { entriesOf, jobsOf } from "./entries.js";
import { exportUnsent } from "./export.js";
import { STATE_KEY, STORE } from "./names.js";
import { refusedOf, refusedPhotosOf, unsentOf } from "./outbox.js";
import { askPersistence } from "./persist.js";
import { photoOf } from "./photos.js";
import { probe } from "./probe.js";
import { prune } from "./prune.js";
import { dropRescued, rescue, rescued } from "./rescue.js";
import { saveEntry } from "./save.js";
import { setSetting, settingOf } from "./settings.js";
import { codeOf, SaveFailed, StoreError } from "./store-error.js";
import { SyncStore } from "./sync-store.js";
import { keepRingSets, keepTable, ringSetNamesOf, ringSetsOf, tableNames, tableOf } from "./tables.js";
import { forgetLost, lostSince, rememberStored } from "./emptied-phone.js";

/** The setting that says that a loss which only the server knew of was read. */
const LOSS_READ = "loss-read";

/**
 * Opens this phone's storage. Never rejects: a phone that cannot store still computes, and says so in `health`.
 * @param {{now?: () => number, random?: (count: number) => Uint8Array, database?: Database,
 *   localStorage?: Storage, storageManager?: StorageManager, tabs?: TabChannel}} parts for tests
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
  /** null, or {device, n, unsent}: this phone had stored jobs and has them no more. */
  lost = null;
  #now;
  #random;
  #database;
  #localStorage;
  #storageManager;
  #tabs;
  #persistence = null;

  constructor({
    now = Date.now, random = randomBytes, database = new Database(), localStorage = globalThis.localStorage,
    storageManager = globalThis.navigator?.storage, tabs = new TabChannel(),
  } = {}) {
    this.#now = now;
    this.#random = random;
    this.#database = database;
    this.#localStorage = localStorage;
    this.#storageManager = storageManager;
    this.#tabs = tabs;
    /** For sync/ alone. */
    this.syncStore = new SyncStore(database, () => this.newJob());
  }

  /** Writes and reads back a probe; sets and resolves `health`. Also heals a connection that died in the background. */
  async check() {
    try {
      await probe(this.#database, uuid4(this.#random));
      this.lost ??= lostSince(this.#localStorage, await this.#device());
      this.health = { ok: true };
    } catch (error) {
      this.health = { ok: false, code: codeOf(error) };
    }
    return this.health;
  }

  /**
   * The server has had so many entries from this phone. One that never made an entry has then lost all that it stored, its
   * traces too: the browser has emptied everything but the cookie.
   */
  async compareWithServer(sent) {
    if (this.lost || sent === 0 || (await this.setting(LOSS_READ))) return;
    const device = await this.#device();
    if (!device || (device.n === 0 && device.former.length === 0)) this.lost = { device: null, n: sent, unsent: 0 };
  }

  /** The person has read that jobs were lost. */
  async forgetLoss() {
    this.lost = null;
    forgetLost(this.#localStorage);
    await this.setSetting(LOSS_READ, true);
  }

  /** A name for a new job. Nothing is stored until its job-opened entry is saved. */
  newJob() {
    return uuid4(this.#random);
  }

  /**
   * Saves one entry; see DEVELOPERS: Records and sync for its parts. Resolves with the entry once it is on the disk and was read back.
   * @param {{job: string, kind: string, slot?: string|null, after?: string[], body: object, by: string,
   *   photo?: {bytes: ArrayBuffer, mime: string, sha256: string}}} content
   * @returns {Promise<object>} rejects SaveFailed: show NOT SAVED, `error.<code>`, and keep the values on the screen
   */
  async save(content) {
    const queuedAt = this.#now();
    const stamp = {
      id: uuid4(this.#random), at: zonedTime(queuedAt), queuedAt, freshDevice: uuid4(this.#random),
      storageManager: this.#storageManager,
    };
    try {
      const entry = await this.#saveMakingRoom(content, stamp);
      dropRescued(this.#localStorage, content);
      await this.changed(content.job, "saved");
      this.#persistence ??= this.#keepPersistence();
      return entry;
    } catch (error) {
      this.keepAside(content);
      throw new SaveFailed(codeOf(error), error, content, error.params);
    }
  }

  /** Everything on this phone: [{job, entries, unsent}]. */
  jobs() {
    return jobsOf(this.#database);
  }

  entries(job) {
    return entriesOf(this.#database, job);
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

  /** The names of the ring sets by id: what a person reads instead of the id. */
  ringSetNames() {
    return ringSetNamesOf(this.#database);
  }

  /** The parsed table of that name, or null: for a plan that names a table by its hash. */
  table(sha256) {
    return tableOf(this.#database, sha256);
  }

  tableNames() {
    return tableNames(this.#database);
  }

  keepTable(sha256, bytes) {
    return keepTable(this.#database, sha256, bytes);
  }

  keepRingSets(ringSets) {
    return keepRingSets(this.#database, ringSets);
  }

  /** A file with everything that the server does not hold; see export.js for a database that does not answer. */
  exportUnsent() {
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

  /** Lets go of closed jobs and photos that the shop surely has (DEVELOPERS: Records and sync). */
  prune() {
    return prune(this.#database);
  }

  /** Calls `listener({job, cause})` after every change, in any tab; `cause` is "saved" or "synced". Returns the function that stops it. */
  onChange(listener) {
    return this.#tabs.listen(listener);
  }

  /** Something stored has changed: told to every tab. `job` is null for what belongs to no job. */
  async changed(job = null, cause = "synced") {
    try {
      this.#tabs.announce(job, cause);
      if (this.lost) return; // until the person has read it, the trace of what was lost stays
      const [device, unsent] = await Promise.all([this.#device(), this.unsent()]);
      if (device) rememberStored(this.#localStorage, { device: device.id, n: device.n, unsent: unsent.entries });
    } catch {
      // what was saved is on the disk and was read back; only its trace is missing
    }
  }

  async #saveMakingRoom(content, stamp) {
    try {
      return await saveEntry(this.#database, content, stamp);
    } catch (error) {
      if (error.name !== "QuotaExceededError" && error.code !== "photo-no-room") throw error;
      const { jobs, photos } = await this.prune();
      if (jobs + photos === 0) throw fullError(error, content);
      return saveEntry(this.#database, content, stamp).catch((again) => { throw fullError(again, content); });
    }
  }

  async #keepPersistence() {
    const answer = await askPersistence(this.#storageManager);
    try {
      if ((await this.setting("persistence")) !== answer) await this.setSetting("persistence", answer);
    } catch {
      // asked again after the next start
    }
  }

  #device() {
    return this.#database.read([STORE.STATE], (t) => t.get(STORE.STATE, STATE_KEY.DEVICE));
  }
}

/** Names what does not fit: a photo may wait or be taken smaller, a reading may not. */
function fullError(error, content) {
  if (error.name !== "QuotaExceededError") return error;
  return new StoreError(content.photo ? "photo-no-room" : "store-full", error);
}
